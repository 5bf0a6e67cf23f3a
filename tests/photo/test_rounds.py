"""Round things beside the card: the rim of the coupling comes first, a flange behind it and a bore in it after."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from benchmarks.photo_rounds import right
from benchmarks.study import kept_tallies
from coaxtell.photo import card as cards
from coaxtell.photo import rounds

PER_MM = 6.0


def drawn(circles: list[tuple[float, float, float, int]]) -> tuple[np.ndarray, cards.Card]:
    """A grey picture with a card and circles (x, y, diameter [mm], brightness), the later over the earlier."""
    fine = 4
    picture = np.full((900 * fine, 1200 * fine), 150, np.uint8)
    k = PER_MM * fine
    card = np.array(
        [[20.0, 20.0], [20 + cards.LONG, 20.0], [20 + cards.LONG, 20 + cards.SHORT], [20.0, 20 + cards.SHORT]]
    )
    cv2.rectangle(
        picture, np.round(card[0] * k).astype(int).tolist(), np.round(card[2] * k).astype(int).tolist(), 60, -1
    )
    for x, y, across, grey in circles:
        cv2.circle(picture, (round(x * k), round(y * k)), round(across / 2 * k), grey, -1)
    small = cv2.GaussianBlur(cv2.resize(picture, (1200, 900), interpolation=cv2.INTER_AREA), (0, 0), 0.8)
    found = cards.fitted(small.astype(np.float32), card * PER_MM)
    assert found is not None
    return np.repeat(small[..., None], 3, axis=2), found


def test_the_rim_comes_before_its_flange_and_its_bore() -> None:
    """Sizes as on a jack of SMA: thread 6.35, bore 4.6, contact 1.3; a flange of 9 behind it, seen 0.8 beside it."""
    picture, card = drawn([(140, 60, 9.0, 90), (140.8, 60, 6.35, 220), (140.8, 60, 4.6, 120), (140.8, 60, 1.3, 30)])
    middle, radius = rounds.proposals(picture, card)[0]
    assert 2 * radius / PER_MM == pytest.approx(6.35, rel=0.03)
    assert middle / PER_MM == pytest.approx([140.8, 60.0], abs=0.15)


def test_a_lone_disc_comes_after_a_port() -> None:
    picture, card = drawn([(140, 30, 8.0, 40), (140, 110, 11.1, 230), (140, 110, 8.0, 90), (140, 110, 2.0, 20)])
    found = rounds.proposals(picture, card)
    assert 2 * found[0][1] / PER_MM == pytest.approx(11.1, rel=0.03)
    assert any(abs(middle[1] / PER_MM - 30) < 1 for middle, _ in found)


def test_nothing_round_proposes_nothing_and_the_card_is_no_face() -> None:
    picture, card = drawn([])
    assert rounds.proposals(picture, card) == []
    picture, card = drawn([(60, 45, 8.0, 200), (60, 45, 5.0, 30)])
    assert rounds.proposals(picture, card) == []


def test_a_scene_that_nothing_was_set_on_begins_with_the_rim() -> None:
    held = right(55_001)
    assert held is not None
    assert held[0]


def test_the_study_holds_what_is_told_of_it() -> None:
    figures = kept_tallies("photo_rounds")
    assert figures["the first is right"].tries >= 100
    assert figures["the first is right"].interval()[0] > 0.6
