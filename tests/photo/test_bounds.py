"""Every assumed constant of a width in a photograph, just below and just above it; figures stand in full."""

from __future__ import annotations

import numpy as np
import pytest

from coaxtell import photo_bench
from coaxtell.photo import circle, width
from coaxtell.photo.card import LONG, SHORT, Array, Card, Grey


def rings(*radii: float) -> circle.Polar:
    """Edges of one strength that run round at these radii [mm], each over three places of 0.1 mm, from 5 to 15 mm."""
    places = 5 + 0.1 * np.arange(101, dtype=np.float64)
    slope = np.zeros((8, 101))
    for radius in radii:
        middle = round((radius - 5) / 0.1)
        slope[:, middle - 1 : middle + 2] = 40.0
    none = np.zeros((8, 2))
    return circle.Polar(slope, places, none, none)


def test_where_no_ring_stands_out_the_mark_is_off_by_six_in_a_hundred() -> None:
    """Assumed: 0.06 of the radius."""
    assert circle._ring(rings(), 10.0) == pytest.approx((10.0, 0.6))


@pytest.mark.parametrize(("wider", "share"), [(0.6, 0.37754), (0.8, 0.29134)])
def test_of_two_rings_the_farther_counts_by_the_normal_law_of_the_mark(wider: float, share: float) -> None:
    """By hand: one spread of 0.06 off and 1.333, e^-1/2 and e^-8/9 against 1, so that share of all."""
    best, other = circle._ring(rings(10.0, 10.0 + wider), 10.0)
    assert best == pytest.approx(10.0)
    assert other == pytest.approx(wider * share**0.5, rel=0.01)


FAR = 26.0 / 36 * 2000 / 8.0
"""The camera's distance by a main lens of 26 mm, a picture of 2,000 px and 8 px/mm: 180.56 mm."""


def measured(monkeypatch: pytest.MonkeyPatch, height: tuple[float, float] | None, share: float = 1.0) -> width.Width:
    """A rim of 10 mm seen on a card at 8 px/mm, as wide as marked, with so much of it in sight."""
    seen = circle.Rim(np.zeros(2), 10.0, 0.01, 0.0, share, 0.0)
    monkeypatch.setattr(width, "rim", lambda *_: seen)
    corners = np.array([[0.0, 0.0], [LONG, 0.0], [LONG, SHORT], [0.0, SHORT]]) * 8.0
    card = Card(corners, np.diag([1 / 8.0, 1 / 8.0, 1.0]), 0.1, (1.0,) * 4)
    grey: Grey = np.zeros((1500, 2000), dtype=np.float32)
    mark: Array = np.zeros(2)
    found = width.measure(grey, card, mark, 40.0, height) if height else width.measure(grey, card, mark, 40.0)
    assert found is not None
    return found


@pytest.mark.parametrize(("said", "up", "off"), [("level", 0.0, 0.7), ("unknown", 4.0, 4.0), ("3mm", 3.0, 0.5)])
def test_how_high_a_face_stands_and_how_sure_that_is(said: str, up: float, off: float) -> None:
    """Assumed: level with the card within 0.7 mm, 4 mm within 4 where nobody says, within 0.5 as a person says."""
    assert photo_bench.height(said, "--height") == (up, off)


def test_a_face_of_unknown_height_is_what_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """4 mm within 4: the width over the card's plane shrinks by so much of the distance, and may be off by as much."""
    unsaid, said = measured(monkeypatch, None), measured(monkeypatch, (4.0, 4.0))
    assert unsaid.mm == pytest.approx(10 * (FAR - 4) / FAR)
    assert unsaid.parts == said.parts


def test_a_rim_half_in_sight_is_off_by_a_share_of_the_mark(monkeypatch: pytest.MonkeyPatch) -> None:
    """Assumed: 0.06 of the width; half of the 0.7 from which on the mark does not count: 0.06 x 10 mm x 1/2."""
    assert measured(monkeypatch, (0.0, 0.0), 0.35).parts["mark"] == pytest.approx(0.3)
    assert measured(monkeypatch, (0.0, 0.0), 0.7).parts["mark"] == 0


@pytest.mark.parametrize(("share", "taken"), [(0.499, True), (0.501, False)])
def test_no_face_is_measured_from_half_way_to_the_camera_on(
    share: float, taken: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Assumed: 0.5 of the way."""
    if taken:
        assert measured(monkeypatch, (share * FAR, 0.5)).mm == pytest.approx(10 * (1 - share))
        return
    with pytest.raises(ValueError, match="no face stands"):
        measured(monkeypatch, (share * FAR, 0.5))


def test_a_width_counts_as_twice_as_far_off_as_it_was_on_drawn_photographs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Assumed: 2.0."""
    found = measured(monkeypatch, (0.0, 0.5))
    assert found.counted == pytest.approx(2.0 * found.plus_minus, rel=1e-9)
    assert photo_bench.typed(found).endswith(f"+-{2.0 * found.plus_minus:.2f} by photograph")
