"""`coaxtell checkup`: what works here, what does not, and what to do; on machines that lack something too."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections import namedtuple
from importlib import metadata
from importlib.util import find_spec
from pathlib import Path

import pytest

from coaxtell.cli import checkup
from coaxtell.cli.main import main
from coaxtell.models import lettering
from coaxtell.painter import Painter
from coaxtell.quiz.store import Store
from tests.mutants.trial import ROOT
from tests.quiz.kill import answer, started


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("COAXTELL_HOME", str(tmp_path / "home"))
    monkeypatch.setattr(Painter, "draw", lambda *_: None)  # the graphics have a test of their own
    return tmp_path


def findings(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, dict[str, str]]:
    assert main(["checkup", "--json", *words]) == status
    told = json.loads(capsys.readouterr().out)
    assert told["works"] == (status == 0)
    return {one["name"]: one for one in told["findings"]}


def test_everything_is_looked_at(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    found = findings(capsys)
    assert {"versions", "packages", "tables", "screen", "graphics", "fonts", "encoding", "terminal", "record",
            "folders", "own disk", "temporary disk"} <= set(found)  # fmt: skip
    for one in found.values():
        assert one["state"] in ("works", "stands in", "does not work")
        assert (one["do"] != "") == (one["state"] != "works"), one
    assert not (home / "home").exists(), "nothing is made by looking"
    assert main(["checkup"]) == 0
    said = capsys.readouterr().out
    assert "✓ versions" in said
    # the place of a folder is one word, however long
    assert max(len(line) for line in said.splitlines() if str(home) not in line) <= 80


def test_without_graphics_drawings_stand_in(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise RuntimeError("the graphics ended by SIGSEGV")

    monkeypatch.setattr(Painter, "draw", fails)
    found = findings(capsys)["graphics"]
    assert found["state"] == "stands in"
    assert "SIGSEGV" in found["found"]
    assert "libgl1" in found["do"]


def test_a_package_that_is_missing_or_old_is_named(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = metadata.version

    def version(name: str) -> str:
        if name == "fpdf2":
            raise metadata.PackageNotFoundError(name)
        return "1.20.3" if name == "numpy" else real(name)

    monkeypatch.setattr(metadata, "version", version)
    found = findings(capsys, status=1)["packages"]
    assert found["state"] == "does not work"
    assert "fpdf2 is missing" in found["found"]
    assert "numpy 1.20.3 is older than 1.26" in found["found"]


@pytest.mark.parametrize("installed", [True, False])
def test_what_cannot_be_imported_is_named_from_a_folder_too(
    installed: bool, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder has no list of its own installation; what it asks for stands in its project's file."""
    real = metadata.version

    def version(name: str) -> str:
        if name == "coaxtell" and not installed:
            raise metadata.PackageNotFoundError(name)
        return real(name)

    def fails(*_: object) -> None:
        raise RuntimeError("No module named 'numpy'")

    monkeypatch.setattr(metadata, "version", version)
    assert findings(capsys)["packages"]["state"] == ("works" if installed else "stands in")
    monkeypatch.setattr(
        "coaxtell.cli.checkup.find_spec", lambda name: None if name in ("numpy", "PIL") else find_spec(name)
    )
    monkeypatch.setattr(Painter, "draw", fails)
    found = findings(capsys, status=1)
    assert found["packages"]["state"] == "does not work"
    assert found["packages"]["found"] == "numpy is missing; pillow is missing"
    assert found["graphics"]["do"] == checkup.AGAIN, "no graphics library is to blame"


def test_a_disk_that_is_full_fonts_that_lack_and_a_narrow_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage(10**9, 10**9, 1_000_000))
    monkeypatch.setattr(lettering, "font_file", lambda bold=False: None)
    monkeypatch.setattr(shutil, "get_terminal_size", lambda *_: os.terminal_size((20, 24)))
    found = findings(capsys, status=1)
    assert "1 MB are free" in found["own disk"]["found"]
    assert found["fonts"]["state"] == "does not work"
    assert found["terminal"]["state"] == "stands in"


def test_a_record_that_is_whole_damaged_or_none(capsys: pytest.CaptureFixture[str], home: Path) -> None:
    place = home / "r.db"
    with Store(str(place)) as store:
        store.add(started("s"))
        store.add(answer("s", 1))
    assert "2 events" in findings(capsys, "--records", str(place))["record"]["found"]
    raw = place.read_bytes()
    place.write_bytes(raw[: len(raw) // 2].replace(b"Ana", b"Eva"))
    assert findings(capsys, "--records", str(place), status=1)["record"]["state"] == "does not work"
    place.write_text("a letter", encoding="utf-8")
    assert "records verify" in findings(capsys, "--records", str(place), status=1)["record"]["do"]
    nowhere = findings(capsys, "--records", "postgresql://nobody@127.0.0.1:1/none", status=1)["record"]
    assert nowhere["state"] == "does not work"


@pytest.mark.needs("linux")
@pytest.mark.parametrize("kind", ["device", "file", "lost link"])
def test_a_home_that_holds_no_folders_is_told(
    kind: str, capsys: pytest.CaptureFixture[str], home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A device is the home of many a service's account; all had been said to be well there."""
    place = Path(os.devnull) if kind == "device" else home / "thing"
    if kind == "file":
        place.write_text("", encoding="utf-8")
    elif kind == "lost link":
        place.symlink_to(home / "no" / "where")
    monkeypatch.setenv("COAXTELL_HOME", str(place))
    monkeypatch.delenv("COAXTELL_RECORDS", raising=False)
    found = findings(capsys, status=1)
    assert found["record"]["state"] == "does not work"
    assert f"{place / 'data'} cannot be written" in found["record"]["found"]
    assert found["folders"]["state"] == "stands in"
    assert main(["practise", "--items", "1"]) == 2, "as it turns out"
    monkeypatch.setenv("COAXTELL_HOME", str(home))
    (home / "f.db").mkdir()
    for other in (str(home / "f.db"), os.devnull):
        assert "is no file" in findings(capsys, "--records", other, status=1)["record"]["found"]


def test_own_tables_that_are_wrong_and_a_part_that_breaks(
    capsys: pytest.CaptureFixture[str], home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (home / "mine.toml").write_text("x = [", encoding="utf-8")
    assert "mine.toml" in findings(capsys, "--tables", str(home), status=1)["tables"]["found"]

    def breaks() -> None:
        raise OSError("no such device")

    monkeypatch.setattr(checkup, "_fonts", breaks)
    assert "no such device" in findings(capsys, status=1)["fonts"]["found"]


@pytest.mark.parametrize("encoding", ["cp1252", "utf-8"])
def test_it_says_in_every_encoding_what_cannot_be_written(encoding: str, home: Path) -> None:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": encoding, "HOME": str(home)}
    found = subprocess.run(
        [sys.executable, "-m", "coaxtell", "checkup", "--json"], env=env, capture_output=True, check=False
    )
    told = {one["name"]: one for one in json.loads(found.stdout.decode(encoding))["findings"]}
    assert found.stderr == b""
    assert told["encoding"]["state"] == ("works" if encoding == "utf-8" else "stands in")
    assert told["graphics"]["state"] in ("works", "stands in"), "looked at for good"
