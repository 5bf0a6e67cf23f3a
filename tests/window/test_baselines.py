"""A few pictures of whole windows against kept ones, and twins of each that the comparison must refuse.

To accept what is drawn now as the new pictures: COAXTELL_ACCEPT_PICTURES=1 pytest tests/window/test_baselines.py, then
look at each of them before they are committed.
"""

import os
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pygame
import pytest

from coaxtell.window.kit.pen import Call, Fill, Frame, Words
from coaxtell.window.kit.settings import Settings
from tests.window.driving import Hand

KEPT = Path(__file__).parent / "baselines"
ACCEPT = os.environ.get("COAXTELL_ACCEPT_PICTURES") == "1"
SIZE = (1024, 640)
OFF = 44
"""A pixel of the halved picture is off where a channel differs by more than this of 255: letters are smoothed a
little differently by each version of the font library."""
MOST_OFF = 60
"""Pixels of the halved picture, of 163,840, that may be off."""


def off(one: pygame.Surface, two: pygame.Surface) -> int:
    """How many pixels of the two pictures, halved, are off."""
    small = (SIZE[0] // 2, SIZE[1] // 2)
    halves = [pygame.surfarray.array3d(pygame.transform.smoothscale(s, small)) for s in (one, two)]
    return int((np.abs(halves[0].astype(int) - halves[1].astype(int)).max(axis=2) > OFF).sum())


def together() -> Hand:
    hand = Hand("together", SIZE, Settings(motion=False, tone="dark"))
    hand.choose("together")
    return hand


def name() -> Hand:
    hand = Hand("name", SIZE, Settings(motion=False, tone="light"))
    hand.key(pygame.K_1, "1")
    return hand


def cable() -> Hand:
    return Hand("cable", SIZE, Settings(motion=False, tone="dark"))


SCENES: dict[str, Callable[[], Hand]] = {"together": together, "name": name, "cable": cable}


def painted(hand: Hand, calls: list[Call]) -> pygame.Surface:
    surface = pygame.Surface(SIZE)
    hand.app.painter.paint(calls, surface)
    return surface


@pytest.mark.parametrize("scene", SCENES)
def test_windows_look_as_kept(scene: str, tmp_path: Path) -> None:
    hand = SCENES[scene]()
    drawn = painted(hand, hand.calls())
    path = KEPT / f"{scene}.png"
    if ACCEPT:
        pygame.image.save(drawn, str(path))
    kept = pygame.image.load(str(path))
    found = off(drawn, kept)
    if found > MOST_OFF:
        both = pygame.Surface((2 * SIZE[0], SIZE[1]))
        both.blit(kept, (0, 0))
        both.blit(drawn, (SIZE[0], 0))
        pygame.image.save(both, str(tmp_path / f"{scene}.png"))
        raise AssertionError(f"{found} pixels are off; kept at the left, drawn at the right: {tmp_path / scene}.png")


def recoloured(hand: Hand, calls: list[Call]) -> list[Call]:
    """The colour of action exchanged for that of quiet text."""
    palette = hand.desk.palette
    return [
        c._replace(colour=palette.quiet) if isinstance(c, Fill | Frame) and c.colour == palette.action else c
        for c in calls
    ]


def label_moved(hand: Hand, calls: list[Call]) -> list[Call]:
    """One line of text that is in sight a little lower."""
    seen = [c for c in calls if isinstance(c, Words) and c.box.bottom < hand.app.height]
    words = max(seen, key=lambda c: c.box.w)
    return [c._replace(box=c.box.moved(0, 9)) if c is words else c for c in calls]


def control_missing(hand: Hand, calls: list[Call]) -> list[Call]:
    """All that is drawn inside one control left out: the first one of the column."""
    box = next(w.box for w in hand.app.room.column.widgets if w.focusable).inset(-4)
    return [c for c in calls if not (isinstance(c, Fill | Frame | Words) and c.box.within(box))]


@pytest.mark.parametrize("twin", [recoloured, label_moved, control_missing])
@pytest.mark.parametrize("scene", SCENES)
def test_twins_are_refused(scene: str, twin: Callable[[Hand, list[Call]], list[Call]]) -> None:
    hand = SCENES[scene]()
    calls = twin(hand, hand.calls())
    assert calls != hand.calls()
    kept = pygame.image.load(str(KEPT / f"{scene}.png"))
    assert off(painted(hand, calls), kept) > MOST_OFF
