"""The axes that all plots share: even ends and steps, marks from nothing to the end, places in proportion."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.axes import axis, shares


@given(st.floats(1e-3, 1e6), st.integers(2, 20))
def test_an_axis_ends_evenly_at_or_above_its_limit(limit: float, most: int) -> None:
    found = axis(10.0, 110.0, limit, most)
    assert limit <= found.limit * (1 + 1e-9)
    assert found.limit - limit < found.step * (1 + 1e-6)
    marks = found.marks()
    assert marks[0].at == 10.0
    assert marks[-1].at == pytest.approx(110.0)
    assert len(marks) - 1 <= most
    gaps = [b.at - a.at for a, b in itertools.pairwise(marks)]
    assert gaps == pytest.approx([100.0 * found.step / found.limit] * len(gaps))
    mantissa = found.step / 10 ** math.floor(math.log10(found.step) + 1e-9)
    assert any(mantissa == pytest.approx(even) for even in (1, 2, 5, 10))


def test_an_axis_upwards_and_what_lies_beyond_its_end() -> None:
    up = axis(100.0, 25.0, 4.2, 8)
    assert [mark.words for mark in up.marks()] == ["0", "1", "2", "3", "4", "5"]
    assert up.at(0.0) == 100.0
    assert up.at(2.5) == pytest.approx(62.5)
    assert up.at(9.0) == 25.0


def test_shares_are_marked_in_percent() -> None:
    assert [mark.words for mark in shares(0.0, 50.0).marks()] == ["0 %", "20 %", "40 %", "60 %", "80 %", "100 %"]
    assert shares(0.0, 50.0).at(0.8) == pytest.approx(40.0)
