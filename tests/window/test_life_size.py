"""Life size: one millimetre of the part is one millimetre of the screen, by a card or not at all."""

import pygame
import pytest

from coaxtell.window.desk.pictures import LARGEST, Pictures
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.pen import Fill, Picture, Shape
from coaxtell.window.kit.settings import Settings
from coaxtell.window.scenes.life_size import LifeSize
from tests.window.driving import Hand

# ISO/IEC 7810, ID-1: 85.60 mm by 53.98 mm
CARD_W, CARD_H = 85.60, 53.98


def scene(hand: Hand) -> LifeSize:
    found = hand.app.scene
    assert isinstance(found, LifeSize)
    return found


def outline(hand: Hand) -> Fill:
    """The card's outline: the filled box with round corners of the card's own proportion."""
    for call in hand.calls():
        if isinstance(call, Fill) and call.box.h and call.box.w / call.box.h == pytest.approx(CARD_W / CARD_H):
            return call
    raise AssertionError("no outline of a card is drawn")


@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080), (3840, 2160)])
@pytest.mark.parametrize("text", [100, 150])
def test_a_screen_set_with_a_card_shows_parts_at_one_to_one(size: tuple[int, int], text: int) -> None:
    true_px_per_mm = 5.37  # of a screen at 136.4 px to the inch
    hand = Hand("life-size", size, Settings(motion=False, text=text))
    hand.choose("set")
    hand.tab_to("bench")
    for _ in range(400):
        off = outline(hand).box.w * hand.app.type.scale - CARD_W * true_px_per_mm
        if abs(off) < true_px_per_mm * 0.11:
            break
        hand.key(pygame.K_LEFT if off > 0 else pygame.K_RIGHT)
    hand.choose("done")
    assert scene(hand).is_set
    part = next(call for call in hand.calls() if isinstance(call, Shape) and call.name.endswith("side"))
    # within the tenth of a millimetre to which the card was fitted, over its 85.6 mm
    assert part.per_mm * hand.app.type.scale == pytest.approx(true_px_per_mm, rel=0.2 / CARD_W)


def test_it_is_remembered_per_display() -> None:
    hand = Hand("life-size")
    hand.choose("set")
    hand.key(pygame.K_RIGHT, mod=pygame.KMOD_SHIFT)
    hand.choose("done")
    kept = dict(hand.settings.per_mm)
    again = Hand("life-size", settings=hand.settings)
    assert scene(again).is_set
    again.desk.display = "another"
    assert not scene(again).is_set
    assert again.settings.per_mm == kept


def test_unset_screens_say_so_and_esc_leaves_the_setting() -> None:
    hand = Hand("life-size")
    assert hand.says("This screen is not set yet")
    hand.choose("set")
    hand.key(pygame.K_RIGHT)
    hand.key(pygame.K_ESCAPE)
    assert not scene(hand).setting
    assert hand.settings.per_mm == {}


def test_the_outline_follows_the_mouse() -> None:
    hand = Hand("life-size")
    hand.choose("set")
    before = outline(hand).box.w
    hand.drag("bench", 30, 0)
    # the outline is centred: its right edge follows the mouse, and the left one goes the other way
    assert (outline(hand).box.w - before) * hand.app.type.scale == pytest.approx(60, abs=1.0)


class Ready(Pictures):
    """Pictures that are at hand at once."""

    why = ""

    def __init__(self) -> None:
        self.jobs: list[Job] = []

    def want(self, job: Job, first: bool = False) -> pygame.Surface | None:
        self.jobs.append(job)
        return pygame.Surface((job.side, job.side), pygame.SRCALPHA)


@pytest.mark.parametrize("half_id", ["1.0-jack", "sma-plug", "7-16-jack"])
def test_pictures_at_life_size_are_made_for_this_screen_and_shown_pixel_by_pixel(half_id: str) -> None:
    pictures = Ready()
    hand = Hand("life-size", (1920, 1080), pictures=pictures)
    hand.settings.per_mm[hand.desk.display] = 5.37
    scene(hand).half_id = half_id
    hand.app.arrange()
    pictures.jobs.clear()
    shown = [call for call in hand.calls() if isinstance(call, Picture)]
    assert len(shown) == 2
    for job, call in zip(pictures.jobs, shown, strict=True):
        assert job.px_per_mm == pytest.approx(5.37, abs=5e-4)
        assert call.box.w * hand.app.type.scale == pytest.approx(job.side, rel=1e-3)


def test_arrow_keys_go_from_half_to_half() -> None:
    hand = Hand("life-size")
    ids = [half.id for half in hand.desk.usual]
    at = ids.index(scene(hand).half_id)
    hand.tab_to("bench")
    hand.key(pygame.K_RIGHT)
    assert scene(hand).half_id == ids[at + 1]
    hand.key(pygame.K_LEFT)
    assert scene(hand).half_id == ids[at]


def test_no_picture_is_larger_than_the_worker_makes_them() -> None:
    pictures = Ready()
    hand = Hand("life-size", (3840, 2160), pictures=pictures)
    hand.settings.per_mm[hand.desk.display] = 40.0
    for half in hand.desk.tables.halves.values():
        scene(hand).half_id = half.id
        hand.app.arrange()
        hand.calls()
    assert max(job.side for job in pictures.jobs) <= LARGEST
    for job, call in zip(pictures.jobs[-2:], [c for c in hand.calls() if isinstance(c, Picture)], strict=True):
        assert call.box.w * hand.app.type.scale == pytest.approx(job.side / job.px_per_mm * 40.0, rel=1e-3)


def test_a_key_held_down_presses_once() -> None:
    """A busy window is sent the key again and again until it is let go; the focus has gone on meanwhile."""
    hand = Hand("life-size")
    hand.tab_to("set")
    down = pygame.event.Event(pygame.KEYDOWN, key=pygame.K_RETURN, unicode="\r", mod=0)
    hand.post(down)
    hand.tab_to("done")
    hand.post(down, down)
    assert scene(hand).setting
    hand.post(pygame.event.Event(pygame.KEYUP, key=pygame.K_RETURN, mod=0), down)
    assert not scene(hand).setting
