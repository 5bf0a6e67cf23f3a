"""From readings to the range that parts have: Student's distribution by a library, ranges by the study, what is odd."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from benchmarks.gauge_range import STUDY, play
from benchmarks.study import kept, kept_tallies, strays
from coaxtell.models import parts
from coaxtell.models.parts import NORMAL, Sitting, Stated, agrees, shared_error, spread, strange, student

TABLE = Stated(7.94, 7.85, 8.03)


def sitting(*parts: list[float], plus_minus: float = 0.02, date: str = "2026-01-01") -> Sitting:
    return Sitting("calliper", plus_minus, "Ana", date, list(parts))


@given(st.integers(1, 60), st.sampled_from([0.5, 0.9, 0.95, 0.99]))
def test_students_distribution_as_scipy_has_it(freedom: int, share: float) -> None:
    assert student(freedom, share) == pytest.approx(stats.t.ppf((1 + share) / 2, freedom), rel=1e-9)


def test_the_range_holds_the_parts() -> None:
    """1,000 repeats with eight parts: 95 % within 3 points where parts spread as stated, of a printed number and of a
    weak one; the other worlds are printed."""
    held = kept(STUDY.name)
    assert held is not None
    assert held["n"] >= 1000
    figures = kept_tallies(STUDY.name)
    print({label: round(tally.mean, 4) for label, tally in figures.items()})
    assert figures["as stated, parts held"].mean == pytest.approx(0.95, abs=0.03)
    assert figures["weak number, parts held"].mean == pytest.approx(0.95, abs=0.03)
    assert figures["weak number, slipped digit caught"].mean >= 0.9
    assert figures["as stated, slipped digit caught"].mean >= 0.95
    assert figures["as stated, honest part asked for again"].mean <= 0.01
    assert strays(STUDY, play(STUDY.blocks, STUDY.sample)) == []


def test_by_hand() -> None:
    """Two parts of 10 and 12 mm, a table without a range: mean 11, spread sqrt 2, Student's 12.706 with one degree of
    freedom, sqrt(1 + 1/2); 12.706 x sqrt 2 x sqrt 1.5 = 22.008; the calliper's 1.96 x 0.02 / sqrt 3 vanishes beside."""
    found = spread([sitting([10.0], [12.0])], Stated(11, 11, 11))
    assert found.mean == 11
    assert found.deviation == pytest.approx(2**0.5)
    assert found.high - found.mean == pytest.approx(22.008, abs=0.01)
    assert (found.parts, found.readings) == (2, 2)


def test_the_instruments_own_error_does_not_shrink_with_readings() -> None:
    few, many = sitting(*[[7.94, 7.94]] * 3), sitting(*[[7.94] * 40] * 200)
    assert shared_error([few]) == pytest.approx(0.02 / 3**0.5)
    assert shared_error([many]) == pytest.approx(0.02 / 3**0.5)
    assert shared_error([many, sitting(*[[7.94] * 40] * 200, date="2026-01-02")]) < 0.02 / 3**0.5
    found = spread([many], Stated(7.94, 7.94, 7.94))
    assert found.high - found.value == pytest.approx(NORMAL * 0.02 / 3**0.5)


def test_a_table_that_the_parts_contradict_is_left_aside() -> None:
    near, far = sitting([7.93], [7.95], [7.94]), sitting([8.43], [8.45], [8.44])
    assert agrees([near], TABLE)
    assert not agrees([far], TABLE)
    found = spread([far], TABLE)
    assert not found.agrees
    assert found.low > TABLE.high
    assert found.value == pytest.approx(8.44)


def test_one_part_says_nothing_of_the_spread_by_itself() -> None:
    with pytest.raises(ValueError, match="second"):
        spread([sitting([8.44])], TABLE)
    assert spread([sitting([7.93])], TABLE).parts == 1


@pytest.mark.parametrize(("reading", "odd"), [(7.94, False), (7.89, False), (7.49, True), (79.4, True), (9.74, True)])
def test_what_lies_far_from_other_parts_is_asked_for_again(reading: float, odd: bool) -> None:
    assert strange(reading, [], [7.93, 7.95, 7.94], TABLE, 0.02) == odd


@pytest.mark.parametrize(("reading", "odd"), [(7.97, False), (7.99, True)])
def test_readings_of_one_part_differ_by_what_the_instrument_is_off(reading: float, odd: bool) -> None:
    """Twice 0.02 mm about the mean of those before."""
    assert strange(reading, [7.94, 7.94], [], TABLE, 0.02) == odd


@pytest.mark.parametrize(
    ("parts", "plus_minus"), [([], 0.02), ([[]], 0.02), ([[float("nan")]], 0.02), ([[1e6]], 0.02), ([[7.9]], 0)]
)
def test_what_is_no_sitting(parts: list[list[float]], plus_minus: float) -> None:
    with pytest.raises(ValueError, match=r"sitting|reading|plus-minus"):
        Sitting("calliper", plus_minus, "Ana", "2026-01-01", parts)


@pytest.mark.parametrize(("far", "again"), [(4.4, False), (4.6, True)])
def test_a_reading_is_asked_for_again_from_4_5_deviations(far: float, again: bool) -> None:
    """Assumed: 4.5 deviations of what the parts before it lead one to expect."""
    before = [7.94, 7.96, 7.92, 7.95]
    expected = parts._expected(before, TABLE, 0.02 / math.sqrt(3))
    assert expected is not None
    reading = expected.middle + far * math.hypot(expected.scale, expected.shared)
    assert strange(reading, [], before, TABLE, 0.02) is again


def test_the_study_of_ranges_is_named_stale_where_the_method_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    held = kept("gauge_range")
    assert held is not None
    assert held["tables"] == STUDY.check_sum()
    monkeypatch.setattr(parts, "BEFORE", parts.BEFORE + 1)
    assert held["tables"] != STUDY.check_sum()
