"""What drawings share: the bar of the scale is the longest round length that fits."""

from __future__ import annotations

import pytest

from coaxtell.models.drawings.drafting import scale_bar
from coaxtell.models.drawings.drawing import Line


@pytest.mark.parametrize(
    ("scale", "mm"), [(84.0, 0.5), (42.0, 1), (21.0, 2), (8.0, 5), (4.0, 10), (3.0, 10), (2.0, 20), (200.0, 0.5)]
)
def test_the_bar_is_the_longest_round_length_of_at_most_42_mm_on_paper(scale: float, mm: float) -> None:
    """Common practice: 1, 2, 5 and their tenfold."""
    bar = next(item for item in scale_bar(100.0, 10.0, scale)[1:] if isinstance(item, Line))
    (left, _), (right, _) = bar.points
    assert right == 100.0
    assert right - left == pytest.approx(mm * scale)
