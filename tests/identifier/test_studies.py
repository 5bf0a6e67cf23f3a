"""What the studies of asking and of unknown families hold: figures to keep, the poor ones too."""

from __future__ import annotations

import pytest

from benchmarks import identifier_asking, identifier_unknown
from benchmarks.study import kept_tallies

KINDS = ("own", "careless", "one-sided", "settled", "hurried")


def test_a_family_that_is_not_in_the_tables() -> None:
    """The blocks left out: harm stays rare; every fourth or so is named all the same, which is too many."""
    _, found = identifier_unknown.left_out(kept_tallies(identifier_unknown.STUDY.name))
    assert found["harm or no contact"].mean <= 0.015
    assert found["settled and wrong"].mean <= 0.25
    assert found["in table, settled"].mean >= 0.82


def test_the_curve_falls_both_ways() -> None:
    """The stricter the threshold, the fewer are named wrongly, and the fewer of the tables' own are named at all."""
    figures = kept_tallies(identifier_unknown.STUDY.name)
    for what in ("settled and wrong", "in table, settled"):
        curve = [
            identifier_unknown.share(figures, one, [*range(identifier_unknown.BLOCKS)], what).mean
            for one in identifier_unknown.THRESHOLDS
        ]
        assert curve == sorted(curve, reverse=True)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("setting", "instrument"), identifier_asking.CELLS)
def test_asking(setting: str, instrument: str, kind: str) -> None:
    """Right and seldom sure and wrong; with eyes alone it is quicker and weaker, and more often open."""
    figures = kept_tallies(identifier_asking.STUDY.name)
    cell = {what: figures[f"{setting}, {instrument}, {kind}, {what}"].mean for what in ("right", "wrong at 0.9")}
    eyes = instrument == "none"
    assert cell["right"] >= (0.85 if eyes else 0.95)
    assert cell["wrong at 0.9"] <= (0.06 if eyes else 0.03)
    assert figures[f"{setting}, {instrument}, {kind}, seconds"].mean <= (35 if eyes else 80)
