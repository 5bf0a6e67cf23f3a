"""A release is refused in a sentence each while anything of it is not ready, and what is written adds up."""

from __future__ import annotations

import hashlib
import subprocess
from datetime import date
from pathlib import Path

import pytest

from tests import release

TODAY = date(2026, 5, 4)
LOG = "# Changelog\n\n## Unreleased\n\n## 1.2.0 - 2026-05-01\n\n- Something new.\n\n## 1.1.0 - 2025-01-01\n\n- Old.\n"


@pytest.fixture
def ready(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A checkout that is ready, under an invented version, on a machine that has every tool."""
    (tmp_path / "coaxtell").mkdir()
    for name, text in {
        "pyproject.toml": '[project]\nversion = "1.2.0"\n',
        "coaxtell/__init__.py": '__version__ = "1.2.0"\n',
        "CHANGELOG.md": LOG,
        "tested-versions.txt": "setuptools==84.0\n",
    }.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.setattr(release, "_installed", {"setuptools": "84.0", "build": "1", "mypy": "2"}.__getitem__)
    git = ["git", "-c", "user.name=T", "-c", "user.email=t@example.org"]
    for words in (["init", "-q"], ["add", "."], ["commit", "-q", "-m", "all"]):
        subprocess.run([*git, *words], cwd=tmp_path, check=True)
    return tmp_path


def commit(root: Path, name: str, text: str) -> None:
    (root / name).write_text(text, encoding="utf-8")
    git = ["git", "-c", "user.name=T", "-c", "user.email=t@example.org"]
    subprocess.run([*git, "commit", "-qam", "changed"], cwd=root, check=True)


def test_what_is_ready_is_not_refused(ready: Path) -> None:
    assert list(release.unready(ready, TODAY)) == []


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("coaxtell/__init__.py", '__version__ = "1.1.0"\n', "pyproject.toml says version 1.2.0 and coaxtell/__init__"),
        ("coaxtell/__init__.py", "pass\n", "__init__.py none"),
        ("CHANGELOG.md", LOG.replace("Unreleased\n", "Unreleased\n\n- Left.\n"), "has lines under Unreleased"),
        ("CHANGELOG.md", LOG.replace("## Unreleased\n", ""), "has no heading Unreleased"),
        ("CHANGELOG.md", LOG.replace("1.2.0", "1.3.0"), "says nothing of 1.2.0"),
        ("CHANGELOG.md", LOG.replace("- Something new.\n", ""), "says nothing of 1.2.0"),
        ("CHANGELOG.md", LOG.replace("2026-05-01", "2026-05-05"), "today is 2026-05-04"),
        ("CHANGELOG.md", LOG.replace("2026-05-01", "May"), "'May', which is no day"),
        ("tested-versions.txt", "setuptools==85.0\n", "names setuptools 85.0 and here is 84.0"),
    ],
)
def test_what_is_not_ready_is_said_in_one_sentence(name: str, text: str, said: str, ready: Path) -> None:
    commit(ready, name, text)
    (found,) = release.unready(ready, TODAY)
    assert said in found
    assert found.endswith(".")


def test_nothing_is_made_where_something_is_not_committed(ready: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (ready / "new.py").write_text("pass\n", encoding="utf-8")
    assert release.main([], ready) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err == "new.py differs from the last commit (1 files in all); commit it or put it back.\n"
    assert not (ready / "dist").exists()


def test_a_tool_that_is_missing_is_named(ready: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(release, "_installed", {"setuptools": "84.0", "build": "none", "mypy": "2"}.__getitem__)
    assert list(release.unready(ready, TODAY)) == ["build is not installed here; install the test extras."]


def test_what_cannot_be_built_is_said_and_leaves_nothing(ready: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The invented project names no backend and no project: its build ends, and that is told."""
    commit(ready, "pyproject.toml", '[project]\nversion = "1.2.0"\n[build-system]\nrequires = 3\n')
    assert release.main([], ready) == 1
    told = capsys.readouterr().err
    assert told.startswith("Building ended with status 1: ")
    assert told.count("\n") == 1
    assert not (ready / "dist").exists()


def test_the_sums_are_those_that_everybody_reckons(tmp_path: Path) -> None:
    """SHA-256 of "abc" from FIPS 180-2, appendix B.1."""
    (tmp_path / "a.whl").write_bytes(b"abc")
    want = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert hashlib.sha256(b"abc").hexdigest() == want
    assert release.sums(tmp_path, [tmp_path / "a.whl"]) == f"{want}  a.whl\n"
    assert (tmp_path / release.SUMS).read_text(encoding="utf-8") == f"{want}  a.whl\n"


def test_what_is_committed_here_agrees_on_its_version() -> None:
    import coaxtell

    assert release.version_of(release.ROOT) == coaxtell.__version__
