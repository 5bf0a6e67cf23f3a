"""The page of figures: everything that is kept stands on it, and what is quick is worked out in the same run."""

from __future__ import annotations

import json

from benchmarks.__main__ import GOALS, QUICK, kept
from benchmarks.study import RESULTS


def test_every_kept_figure_stands_on_the_page() -> None:
    page = list(kept())
    heads = [line.split()[0] for line in page if not line.startswith(" ")]
    assert heads == sorted(path.stem for path in RESULTS.glob("*.json") if path.stem != QUICK)


def test_what_is_to_be_reached_is_a_figure_that_is_kept() -> None:
    held = {path.stem: json.loads(path.read_text(encoding="utf-8")) for path in RESULTS.glob("*.json")}
    found = {name: set(goals) - {""} <= set(held[name]) for name, goals in GOALS.items() if name in held}
    assert found
    assert all(found.values()), found
