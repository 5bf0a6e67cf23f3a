"""Assumed constants of training, just below and just above them; figures stand in full."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import pytest

from coaxtell.models.measure import Grade, Measure
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.items import look
from coaxtell.quiz.option_sets import crossed_near
from coaxtell.quiz.stock import Stock


class Widths:
    """Halves that are so wide [mm]."""

    def __init__(self, **wide: float) -> None:
        self.wide = wide

    def width(self, half_id: str) -> Measure:
        return Measure(grade=Grade.HIGH, source=["test"], mm=self.wide[half_id])


@pytest.mark.parametrize(("wide", "near"), [(21.9, True), (22.1, False)])
def test_halves_up_to_2_2_times_as_wide_are_taken_for_each_other(wide: float, near: bool) -> None:
    """Assumed: TNC beside SMA (1.75), N beside TNC (1.43), not 7/16 beside SMA (4.6)."""
    stock = cast(Stock, Widths(a=10.0, b=wide))
    assert crossed_near(stock, ("a", "b")) is near


@pytest.mark.parametrize("pairs", [8, 9])
def test_an_assessment_asks_eight_harmful_pairs_and_names_the_rest(pairs: int) -> None:
    names = tuple(f"fact {i}" for i in range(pairs))
    plan = SimpleNamespace(harmful_pairs=names)
    facts, left_out = (cast(property, getattr(Blueprint, one)).fget for one in ("facts", "left_out"))
    assert facts is not None
    assert left_out is not None
    assert facts(plan) == names[:8]
    assert left_out(plan) == names[8:]


@pytest.mark.parametrize(("wide", "alike"), [(15.66, True), (15.70, False)])
def test_halves_are_look_alikes_up_to_so_much_wider(wide: float, alike: bool) -> None:
    """Assumed: 0.45 in the logarithm of the width, 1.568 times; here of two halves of one family."""
    one, two = (SimpleNamespace(id=name, family="X", key=None) for name in ("a", "b"))
    stock = cast(Stock, SimpleNamespace(halves={"a": one, "b": two}, width=Widths(a=10.0, b=wide).width))
    assert list(look._look_alikes(stock)) == ([("a", "b")] if alike else [])
