"""The page of figures: everything that is kept stands on it beside what it is to reach, or that nothing is asked."""

from __future__ import annotations

import json
import re
import sys
from datetime import date
from fnmatch import fnmatchcase
from pathlib import Path

import pytest

from benchmarks import __main__ as page
from benchmarks import study
from benchmarks.__main__ import QUICK, kept
from benchmarks.aims import AIMS, NOTES, QUICK_MS, Aim, aim
from benchmarks.figures import figures
from benchmarks.study import MEASURED, RESULTS, STUDIES, dated
from coaxtell.models.mating.mate import shipped
from tests.halves import half

HELD = {
    path.stem: figures(path.stem, json.loads(path.read_text(encoding="utf-8")))
    for path in sorted(RESULTS.glob("*.json"))
    if path.stem != QUICK
}


def test_every_kept_figure_stands_on_the_page() -> None:
    parts: dict[str, str] = {}
    for line in kept():
        if not line.startswith(" "):
            parts[name := line.partition(",")[0]] = ""
        else:
            parts[name] += " ".join(line.split()) + " "
    assert list(parts) == list(HELD)
    for name, found in HELD.items():
        assert found, f"{name} prints no figure"
        asked = [figure for figure in found if aim(name, figure) is not None]
        assert parts[name].count("to reach: ") == len(asked)
        for figure, value in found.items():
            assert f"{figure} {value:.4g}" in parts[name], f"{name}: {figure}"
        free = parts[name].partition("nothing is asked of: ")[2]
        assert (free.count("; ") + 1 if free else 0) == len(found) - len(asked)


def test_each_file_stands_with_its_day_and_what_is_stale_is_marked(monkeypatch: pytest.MonkeyPatch) -> None:
    """The page had shown no day, and of what is stale left out what keeps itself, as the page's speed."""
    monkeypatch.setattr(study, "stale", lambda: ["pocket_speed", "arrival"])
    heads = [line for line in kept() if not line.startswith(" ")]
    assert all(re.match(r"\w+, 20\d\d-\d\d-\d\d", head) for head in heads), heads
    assert [head.partition(",")[0] for head in heads if "; stale: " in head] == ["arrival", "pocket_speed"]
    watched = {head.partition(",")[0] for head in heads if "not watched" not in head}
    assert watched == {*STUDIES, *MEASURED} & set(HELD)


def test_what_is_kept_from_now_on_has_its_day() -> None:
    assert dated({"n": 1}) == {"date": date.today().isoformat(), "n": 1}


@pytest.mark.parametrize("name", list(AIMS))
def test_what_is_to_be_reached_is_a_figure_that_is_kept(name: str) -> None:
    for one in AIMS[name]:
        assert any(fnmatchcase(figure, one.figures) and aim(name, figure) is one for figure in HELD[name]), one.figures
    assert set(NOTES) <= set(HELD)


def test_what_is_worked_out_anew_says_what_it_is_to_reach(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    names = [*QUICK_MS, "a step of no aim"]
    monkeypatch.setattr(page, "quick", lambda: dict.fromkeys(names, 2.0))
    monkeypatch.setattr(page, "RESULTS", tmp_path)
    monkeypatch.setattr(sys, "argv", ["benchmarks"])
    page.main()
    lines = capsys.readouterr().out.splitlines()[1 : len(names) + 1]
    assert [line.endswith(" ms") for line in lines] == [True] * len(QUICK_MS) + [False]
    assert lines[-1].endswith("nothing is asked of it")
    source = Path(page.__file__).read_text(encoding="utf-8")
    assert all(f'"{name}"' in source for name in QUICK_MS)


def test_an_aim_says_what_it_asks_and_whether_it_is_reached() -> None:
    both = Aim("parts held", 0.92, 0.98)
    assert both.words == "at least 0.92 and at most 0.98"
    assert [both.reached(value) for value in (0.919, 0.92, 0.98, 0.981)] == [False, True, True, False]
    assert (Aim("lost", 0, 0).words, Aim("share", most=0.1).words) == ("0", "at most 0.1")


def test_a_mating_is_worked_out_and_not_remembered() -> None:
    """It had been taken from what was remembered, and all ratios to it came out a thousand times too large."""
    a, b = half("sma-plug"), half("rp-sma-jack")
    for _ in range(2):
        page.fresh(a, b)
        assert (shipped.cache_info().hits, shipped.cache_info().misses) == (0, 1)
