"""Stated probabilities are honest over simulated people with each of five models of mistakes.

The figures are those of the study in benchmarks/identifier_calibration.py, as many people as were played so far (its
JSON says how many). In every bin with 5 % of the people or more the mean stated lies within 2 points of the 95 %
interval of the share that is right for the own model, and at most 4 points above it for the others.
"""

from __future__ import annotations

import pytest

from benchmarks.identifier_calibration import SHARES, STUDY, play
from benchmarks.study import kept, kept_tallies, strays

ENOUGH = 0.05
"""Share of a model's people in a bin for it to count."""


def bins(model: str) -> list[tuple[float, tuple[float, float]]]:
    """Mean stated and the interval of the share right of every bin of a model with enough people."""
    held = kept(STUDY.name)
    assert held is not None
    figures = kept_tallies(STUDY.name)
    people = held["n"] * SHARES[model]
    assert people >= 500
    labels = [label.removesuffix(", right") for label in figures if label.startswith(model) and label.endswith("right")]
    return [
        (figures[f"{label}, stated"].mean, figures[f"{label}, right"].interval())
        for label in labels
        if figures[f"{label}, right"].tries >= ENOUGH * people
    ]


def test_own_model() -> None:
    found = bins("own")
    assert len(found) >= 6
    for stated, (low, high) in found:
        assert low - 0.02 <= stated <= high + 0.02


@pytest.mark.parametrize("model", list(SHARES)[1:])
def test_other_models(model: str) -> None:
    found = bins(model)
    assert len(found) >= 4
    for stated, (_, high) in found:
        assert stated <= high + 0.04


def test_fresh_people_do_as_those_of_the_study() -> None:
    assert strays(STUDY, play(STUDY.blocks, STUDY.sample)) == []
