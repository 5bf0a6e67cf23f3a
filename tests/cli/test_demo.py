"""The demonstration: what it wrote opens from one page, says that it is invented, and holds what was put into it.

The steps that take long (pictures, the page for a phone, what to gauge) are left to `benchmarks.demonstration`.
"""

from __future__ import annotations

import os
import re
import shlex
import signal
import tomllib
from datetime import UTC, datetime
from pathlib import Path
from random import Random

import numpy as np
import openpyxl
import pytest
from pypdf import PdfReader

from benchmarks.demonstration import faults
from coaxtell import files
from coaxtell.cli import demo
from coaxtell.cli.demo import COMMANDS, SEED, make
from coaxtell.cli.main import main, parser
from coaxtell.demo import people, sweeps
from coaxtell.demo.page import INVENTED
from coaxtell.demo.steps import STEPS
from coaxtell.models import tables
from coaxtell.models.measure import Grade
from coaxtell.models.numbers import walk
from coaxtell.pocket.data import Wanted
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import Answered, Started
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.store import Store
from coaxtell.quiz.tries import of as tries_of
from tests.halves import all_halves
from tests.mutants.trial import ROOT

NOW = datetime.now(UTC)
LONG = {"sheets", "phone", "guide", "lifesize", "gauge", "person"}
SHOWN = [step for step in STEPS if step.name not in LONG]


@pytest.fixture(scope="module")
def depot(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("depot")
    make(folder, SHOWN, None, NOW)
    return folder


def test_everything_opens_from_one_page_and_says_that_it_is_invented(depot: Path) -> None:
    assert faults(depot) == []
    linked = set(re.findall(r'href="([^"#]+)"', (depot / "index.html").read_text(encoding="utf-8")))
    assert linked == {name for step in SHOWN for name in step.files}
    for page in depot.glob("*.html"):
        assert INVENTED in page.read_text(encoding="utf-8"), page
    for name in ("guide", "lifesize"):
        assert main([name, "--ports", str(depot / "ports.toml"), "-o", str(depot / f"{name}.pdf")]) == 0
    papers = list(depot.glob("*.pdf"))
    assert len(papers) == 3
    for paper in papers:
        for sheet in PdfReader(paper).pages:
            assert "(invented)" in sheet.extract_text(), paper
    book = openpyxl.load_workbook(depot / "plan.xlsx")
    assert all("(invented)" in str(sheet.oddFooter.left.text) for sheet in book)


def test_the_page_for_a_phone_holds_nothing_of_the_depot_but_which_ports_come_first() -> None:
    """So it alone need not say that this is invented, as docs/demonstration.md tells."""
    assert set(Wanted._fields) == {"tables", "day", "language", "ports"}
    text = (ROOT / "docs" / "demonstration.md").read_text(encoding="utf-8")
    assert "but for the page for a phone" in " ".join(text.split())


def test_what_is_missing_or_scripted_is_found(depot: Path, tmp_path: Path) -> None:
    (tmp_path / "index.html").write_text('<a href="gone.pdf">x</a><script src="https://example.org">', encoding="utf-8")
    assert len(faults(tmp_path)) == 4  # not there, not said to be invented, a script, an address outside


def test_the_cables_that_were_spoiled_are_the_ones_that_are_told(depot: Path) -> None:
    index = (depot / "index.html").read_text(encoding="utf-8")
    said = dict(re.findall(r"^(R\d to [\w ]+): ([\w ]+)", index, re.MULTILINE))
    wrong = {name for name, verdict in said.items() if not verdict.startswith("As ordered")}
    assert len(said) == 5
    assert wrong == {"R1 to gate 2 left", "R1 to gate 2 right"}
    assert "cut short: 11.4" in index
    assert re.search(r"4\.9\d ± 0\.\d+ m in: return loss", index)  # crushed at 0.4 of 12.3 m


def test_the_walk_names_what_is_there_and_says_what_is_missing(depot: Path) -> None:
    found = re.findall(r'data-head="named">([^<]*)<', (depot / "walk.html").read_text(encoding="utf-8"))
    assert (found.count("settled"), found.count("not settled"), found.count("not read")) == (7, 2, 1)


def test_three_people_sat_in_the_quiz_itself(depot: Path) -> None:
    with Store(str(depot / "record.db")) as store:
        assert store.verify()[1] == []
        events = store.events()
        assert set(store.persons()) == {one.name for one in people.PEOPLE}
    assert all("(invented)" in one.name for one in people.PEOPLE)
    assert max(event.time for event in events) < NOW
    (test,) = tries_of([event for event in events if event.person == people.PEOPLE[0].name])
    assert test.verdict is Decision.READY
    starts = {event.id for event in events if isinstance(event, Started)}
    assert all(event.sitting in starts for event in events if isinstance(event, Answered))


def test_the_same_seed_gives_the_same_answers() -> None:
    plan = Blueprint(Stock(all_halves()), {"rp-tnc-jack": 6, "n-50-jack": 2, "sma-jack": 2})
    wanda = people.PEOPLE[2]
    twice = [people.answered(wanda, plan, "", NOW, Random(SEED)) for _ in range(2)]
    assert twice[0] == twice[1]
    assert twice[0] != people.answered(wanda, plan, "", NOW, Random(SEED + 1))


def test_the_gauge_file_joins_the_tables(depot: Path) -> None:
    half = tables.load(depot / "measured").half("sma-jack")
    assert any(measure.grade is Grade.MEASURED for _, measure in walk(half))
    book = tomllib.loads((depot / "measured" / "gauged.toml").read_text(encoding="utf-8"))
    assert {sitting["who"] for number in book["number"] for sitting in number["sittings"]} == {"Tobin (invented)"}


def test_a_line_by_formula_is_the_known_one() -> None:
    """A quarter wave of 100 ohm between 50 ohm ends: reflects (Z²/Z0 - Z0)/(Z²/Z0 + Z0) = 0.6 (any textbook)."""
    quarter = sweeps.line(1j * np.pi / 2 * np.ones(1), 1.0, 100.0)
    s11, s21 = sweeps.scattering(quarter)[:2]
    assert abs(abs(s11[0]) - 0.6) < 1e-12
    assert abs(abs(s21[0]) - 0.8) < 1e-12


def test_every_line_of_every_step_is_one_that_the_program_takes() -> None:
    lines = [line.format(until="2030-01-01") for step in STEPS for line in step.lines]
    for line in lines:
        words = shlex.split(line)
        parser((words[0],)).parse_args(words)
    assert {shlex.split(line)[0] for line in lines} == set(COMMANDS)


@pytest.mark.parametrize(("raised", "status"), [(KeyboardInterrupt(), 130), (OSError(28, "No space left", "x"), 2)])
@pytest.mark.parametrize("there", [True, False])
def test_what_is_broken_off_leaves_nothing(
    there: bool, raised: BaseException, status: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C or a full disk in the third step: the folder is empty where it was there before, else gone again."""
    monkeypatch.chdir(tmp_path)
    if there:
        Path("depot").mkdir()
    said = demo._said
    seen: list[str] = []

    def broken(line: str, folder: Path | None) -> str:
        seen.append(line)
        if len(seen) == 3:
            assert list(Path().glob("*"))  # two steps lie there already
            raise raised
        return said(line, folder)

    monkeypatch.setattr(demo, "_said", broken)
    assert main(["demo", "depot"]) == status
    assert len(seen) == 3
    assert list(tmp_path.rglob("*")) == ([tmp_path / "depot"] if there else [])


def fill(folder: Path) -> None:
    """Three names, the page the second of them, through a folder aside."""
    with files.filled(folder, "choose another place", last="b.html") as aside:
        (aside / "a").mkdir()
        for name in ("a/1.txt", "b.html", "c.txt"):
            (aside / name).write_text(name, encoding="utf-8")
        assert [path.name for path in folder.iterdir()] == [aside.name]


def test_what_is_whole_comes_in_together_and_the_first_page_last(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill(tmp_path / "new" / "depot")
    found = {path.relative_to(tmp_path / "new/depot").as_posix() for path in (tmp_path / "new").rglob("*.*")}
    assert found == {"a/1.txt", "b.html", "c.txt"}
    rename, moved = Path.rename, []

    def until_full(path: Path, to: Path) -> Path:
        moved.append(path.name)
        if path.name == "b.html":
            raise OSError(28, "Full", str(to))
        return rename(path, to)

    monkeypatch.setattr(Path, "rename", until_full)
    with pytest.raises(OSError, match="Full"):
        fill(tmp_path / "full")
    assert sorted(moved) == ["a", "b.html", "c.txt"]
    assert moved[-1] == "b.html"
    assert not (tmp_path / "full").exists()


def test_what_a_killed_one_left_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    left = tmp_path / "depot" / f"{files.ASIDE}abc"
    left.mkdir(parents=True)
    assert main(["demo", str(tmp_path / "depot")]) == 2
    err = capsys.readouterr().err
    assert "unfinished files of a demonstration that was killed" in err
    assert f"delete {left.parent}" in err or left.name in err
    assert err.count("\n") == 1


@pytest.mark.needs("linux")
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_to_end_leaves_nothing(
    number: signal.Signals, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    def ended(line: str, folder: Path | None) -> str:
        os.kill(os.getpid(), number)
        return ""

    before = signal.getsignal(number)
    monkeypatch.setattr(demo, "_said", ended)
    with pytest.raises(SystemExit) as caught:
        main(["demo", "depot"])
    assert caught.value.code == 128 + number
    assert list(tmp_path.rglob("*")) == []
    assert signal.getsignal(number) is before


@pytest.mark.parametrize("there", ["a folder with a file in it", "a file"])
def test_what_is_there_already_stays(there: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    place = tmp_path / "place"
    if there == "a file":
        place.write_text("mine", encoding="utf-8")
    else:
        place.mkdir()
        (place / "mine.txt").write_text("mine", encoding="utf-8")
    assert main(["demo", str(place)]) == 2
    told = capsys.readouterr().err
    assert told.startswith("coaxtell: ")
    assert told.count("\n") == 1
    assert [one.name for one in tmp_path.rglob("*") if one.is_file()] in (["mine.txt"], ["place"])
