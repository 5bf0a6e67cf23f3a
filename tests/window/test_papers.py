"""Papers and files: what the terminal writes is written from the window too, where a person says."""

from pathlib import Path
from random import Random

import pygame
import pytest

from benchmarks.sweeps import Truth, sweep
from coaxtell import files
from coaxtell.cli.main import COMMANDS, main
from coaxtell.models.errors import InputError
from coaxtell.window.desk import errands
from coaxtell.window.desk.errands import ERRANDS, arguments
from coaxtell.window.jobs import ALL
from coaxtell.window.scenes.papers import Papers
from tests.cables.test_site import GOOD
from tests.window.driving import Hand

ROOT = Path(__file__).parents[2]
REASONS = {
    "window": "opens it",
    "practice": "another word for practise",
    "campaign": "the lead's, line by line in the terminal",
    "signoff": "the lead's, line by line in the terminal",
    "certificate": "the lead's, from the terminal",
    "checkup": "the machine, from the terminal",
    "demo": "a folder to look round in, from the terminal",
}
"""Commands that no job of the window does, each with its reason."""


def table() -> list[str]:
    """Terminal and window side by side, from the commands and the scenes."""
    rows = ["| terminal | window |", "|---|---|"]
    for command in COMMANDS:
        jobs = [scene.word for scene in ALL if command in scene.serves]
        rows.append(f"| `coaxtell {command}` | {', '.join(jobs) or '(' + REASONS.get(command, '') + ')'} |")
    return rows


def test_every_command_has_its_place_in_the_window() -> None:
    without = [c for c in COMMANDS if not any(c in scene.serves for scene in ALL)]
    assert set(without) == set(REASONS)
    for scene in ALL:
        assert scene.serves
        assert set(scene.serves) <= set(COMMANDS)


def test_the_table_in_the_docs_is_this_one() -> None:
    text = (ROOT / "docs" / "window.md").read_text(encoding="utf-8")
    assert "\n".join(table()) in text


def scene(hand: Hand) -> Papers:
    assert isinstance(hand.app.scene, Papers)
    return hand.app.scene


@pytest.mark.parametrize(("key", "start"), [("drawing", b"%PDF"), ("solid", b"glTF")])
def test_a_file_is_written_by_keys_only(key: str, start: bytes, tmp_path: Path) -> None:
    hand = Hand("papers", sheets=tmp_path)
    hand.choose(f"paper-{key}")
    hand.choose("save")
    path = scene(hand).written
    assert path is not None, scene(hand).trouble
    assert path.parent == tmp_path
    assert path.read_bytes().startswith(start)
    assert hand.says(str(path.name))
    # what was there before is never written over unasked
    hand.choose("others")
    hand.choose(f"paper-{key}")
    assert scene(hand).where.text != str(path)


def test_the_commands_own_sentence_is_shown_where_it_fails(tmp_path: Path) -> None:
    hand = Hand("papers", sheets=tmp_path)
    bad = tmp_path / "site.toml"
    bad.write_text("[site\n", encoding="utf-8")
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(bad)))
    hand.choose("save")
    assert scene(hand).written is None
    assert "site.toml" in scene(hand).trouble
    assert "Traceback" not in scene(hand).trouble
    assert hand.says(scene(hand).trouble.split(";")[0][:20])


def test_a_cut_cable_and_an_open_port_are_told_with_the_file_and_not_as_a_failure(tmp_path: Path) -> None:
    hand = Hand("papers", sheets=tmp_path)
    cut = Truth("240", 12.0, "240", 9.6, "", 0.0, "open", True, 25.0)
    sweep(cut, Random(3)).write_touchstone("gate 1", dir=tmp_path)
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(tmp_path / "gate 1.s1p")))
    hand.tab_to("typed-0")
    hand.type("240:12m")
    hand.choose("save")
    assert "say what stood at the far end" in scene(hand).trouble
    hand.choose("option-open")
    hand.choose("save")
    assert scene(hand).written is not None, scene(hand).trouble
    assert hand.says("gate 1: Not as ordered.")
    assert hand.says("cut short: 9.6")
    # a folder is a delivery
    scene(hand).typed[1].set(str(tmp_path))
    hand.choose("save")
    assert hand.says("0 of 1 as ordered")


def test_a_wrong_ending_is_refused_before_anything_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(errands, "done", lambda words: pytest.fail("nothing may run"))
    hand = Hand("papers", sheets=tmp_path)
    hand.choose("paper-chart")
    scene(hand).where.set(str(tmp_path / "chart.docx"))
    hand.choose("save")
    assert ".pdf" in hand.desk.notice


def test_what_failed_before_is_no_longer_told_once_another_sentence_is(tmp_path: Path) -> None:
    hand = Hand("papers", sheets=tmp_path)
    hand.choose("paper-chart")
    scene(hand).where.set(str(tmp_path / "nowhere" / "chart.pdf"))
    hand.choose("save")
    assert "cannot be written" in scene(hand).trouble
    scene(hand).where.set(str(tmp_path / "chart.docx"))
    hand.choose("save")
    assert ".pdf" in hand.desk.notice
    assert scene(hand).trouble == ""
    assert not hand.says("cannot be written")


def test_a_file_that_is_there_is_written_over_only_when_asked_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran: list[list[str]] = []

    def done(words: list[str]) -> str:
        ran.append(words)
        return ""

    monkeypatch.setattr(errands, "done", done)
    mine = tmp_path / "mine.pdf"
    mine.write_text("MY NOTES", encoding="utf-8")
    hand = Hand("papers", sheets=tmp_path)
    hand.choose("paper-chart")
    scene(hand).where.set(str(mine))
    hand.choose("save")
    assert "mine.pdf is there already" in hand.desk.notice
    assert not ran
    hand.choose("save")
    assert len(ran) == 1
    # what this scene wrote itself it may write anew
    hand.choose("save")
    assert len(ran) == 2


@pytest.mark.parametrize("errand", ERRANDS, ids=lambda e: e.key)
def test_every_errand_is_a_command_that_its_parser_takes(errand: errands.Errand, tmp_path: Path) -> None:
    from coaxtell.cli.main import parser

    typed = ["240:12m", "delivered.s2p"][: len(errands.FIELDS.get(errand.takes, ()))]
    given = typed if errand.takes in (*errands.FIELDS, "nothing", "a record") else ["sma-plug"]
    for kind in errand.kinds:
        words = arguments(errand, given, tmp_path / f"x.{kind}", str(tmp_path / "r.db"), None)
        assert parser().parse_args(words).command == errand.command[0]


@pytest.mark.parametrize("errand", ERRANDS, ids=lambda e: e.key)
def test_the_kinds_of_an_errand_are_those_that_its_command_writes(
    errand: errands.Errand, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    refused: list[Path] = []

    def kind(path: Path | None, sentence: str, *kinds: str) -> str:
        if path is not None and path.suffix not in kinds:
            refused.append(path)
        raise InputError("far enough")

    monkeypatch.setattr(files, "kind", kind)
    monkeypatch.setenv("COAXTELL_HOME", str(tmp_path / "home"))
    site = tmp_path / "site.toml"
    site.write_text(GOOD, encoding="utf-8")
    given = {"a site file": [str(site)], "a sweep": ["240:12m", "delivered.s2p"], "one or two halves": ["sma-plug"],
             "one to six halves": ["sma-plug"]}  # fmt: skip
    for ending in errand.kinds:
        target = tmp_path / f"x.{ending}"
        words = arguments(errand, given.get(errand.takes, []), target, str(tmp_path / "r.db"), None)
        if errand.command[0] not in ("export", "pocket"):  # whose own modules know their kinds
            main(words)
    assert refused == []


@pytest.mark.parametrize("missing", ["gone", "gone/away"])
def test_a_folder_that_is_not_there_is_told_and_the_way_up_stands_open(tmp_path: Path, missing: str) -> None:
    hand = Hand("papers", sheets=tmp_path / missing)
    hand.choose("paper-plan")
    hand.choose("find-0")
    assert hand.says("cannot be looked into")
    hand.choose("files")
    assert not hand.says("cannot be looked into")
    assert hand.says(str(tmp_path))


def test_opening_and_printing_go_the_systems_own_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A recording stand-in for the printer; real printers and other systems are untried."""
    lp = tmp_path / "lp"
    lp.write_text(f'#!/bin/sh\necho "$1" > {tmp_path}/printed\n', encoding="utf-8")
    lp.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    page = tmp_path / "page.pdf"
    page.write_bytes(b"%PDF")
    assert "page.pdf" in errands.print_file(page)
    assert (tmp_path / "printed").read_text().strip() == str(page)
    lp.unlink()
    with pytest.raises(InputError, match="No printer service"):
        errands.print_file(page)
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", lambda url: opened.__iadd__([url]) is opened)
    errands.open_file(page)
    assert opened == [page.as_uri()]
