"""Measures: what is refused, and how limits and grades are read."""

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.models.measure import SOFT_GRADES, Grade, Measure, text

numbers = st.floats(-1e6, 1e6, allow_nan=False)


@given(low=numbers, mid=numbers, high=numbers, grade=st.sampled_from(Grade))
def test_a_measure_is_accepted_exactly_when_its_limits_hold(low: float, mid: float, high: float, grade: Grade) -> None:
    if low <= mid <= high:
        measure = Measure(mm=mid, min=low, max=high, grade=grade, source=["x"])
        assert measure.low <= measure.nominal <= measure.high
        assert measure.soft == (grade in SOFT_GRADES)
    else:
        with pytest.raises(ValueError, match=r"below|above"):
            Measure(mm=mid, min=low, max=high, grade=grade, source=["x"])


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"mm": 1, "grade": "high", "source": []}, "no source"),
        ({"mm": 1, "grade": "high", "source": [" "]}, "no source"),
        ({"mm": 1, "grade": "memory", "source": ["memory"]}, "needs a range"),
        ({"mm": 1, "min": 0.5, "grade": "assumed", "source": ["a"]}, "needs a range"),
        ({"min": 1, "grade": "high", "source": ["a"]}, "no value"),
        ({"mm": 1, "value": 2, "grade": "high", "source": ["a"]}, "not both"),
        ({"mm": 1, "unit": "GHz", "grade": "high", "source": ["a"]}, "other units"),
        ({"mm": float("nan"), "grade": "high", "source": ["a"]}, "finite"),
        ({"mm": float("inf"), "grade": "high", "source": ["a"]}, "finite"),
        ({"mm": 1, "grade": "sure", "source": ["a"]}, "sure"),
        ({"mm": 1, "grade": "high", "source": ["a"], "colour": 3}, "colour"),
        ({"mm": "wide", "grade": "high", "source": ["a"]}, "float"),
    ],
)
def test_a_bad_entry_is_refused_with_its_reason(entry: dict[str, object], words: str) -> None:
    with pytest.raises(msgspec.ValidationError, match=words):
        msgspec.convert(entry, Measure)


def test_soft_ranges_do_not_count_as_limits() -> None:
    sourced = Measure(mm=4.58, max=4.593, grade=Grade.MEDIUM, source=["x"])
    assert sourced.sourced_high == 4.593
    recalled = Measure(mm=4.58, min=4.5, max=4.7, grade=Grade.MEMORY, source=["memory"])
    assert recalled.sourced_high == recalled.sourced_low == 4.58
    measured = Measure(mm=4.58, min=4.5, max=4.7, grade=Grade.MEASURED, source=["x"])
    assert measured.sourced_high == measured.sourced_low == 4.58, "a range that holds most parts is no limit"


def test_limits_without_a_value_meet_in_the_middle() -> None:
    assert Measure(min=2, max=4, grade=Grade.HIGH, source=["x"]).nominal == 3


def test_text_marks_what_no_document_backs() -> None:
    recalled = Measure(mm=2.3, min=1.27, max=2.54, grade=Grade.MEMORY, source=["memory"])
    assert text(recalled) == "2.3 mm (1.27 to 2.54) [memory]"
    assert "[" not in text(Measure(mm=2.3, grade=Grade.HIGH, source=["x"]))
