"""Every scene at every size, text size and tone: nothing cut off, nothing over another, all reached by keys."""

import pygame
import pytest

from coaxtell.window.jobs import ALL
from coaxtell.window.kit.cards import Card
from coaxtell.window.kit.pen import Frame, Words
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.theme import BAND, LEAST_TARGET
from tests.window.driving import SIZES, Hand
from tests.window.looking import problems, weak_contrasts

SCENES = [scene.name for scene in ALL]


def pages(hand: Hand) -> list[float]:
    """Scroll positions that show the whole page between them."""
    step = max(40.0, hand.app.page.h * 0.8)
    return [min(k * step, hand.app.furthest) for k in range(int(hand.app.furthest / step) + 2)]


def scroll(hand: Hand, offset: float) -> None:
    hand.app._scroll[hand.app._place] = offset
    hand.app.arrange()


def check(hand: Hand) -> None:
    for offset in pages(hand):
        scroll(hand, offset)
        assert problems(hand.app) == []
        assert weak_contrasts(hand.app) == []
        assert not hand.app.faults
    scroll(hand, 0)


def sized(scene: str, size: tuple[int, int], text: int, tone: str) -> Hand:
    return Hand(scene, size, Settings(motion=False, text=text, tone=tone))


@pytest.mark.parametrize("tone", ["dark", "light"])
@pytest.mark.parametrize("text", [100, 150, 200])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("scene", SCENES)
def test_nothing_is_cut_off_or_covered(scene: str, size: tuple[int, int], text: int, tone: str) -> None:
    hand = sized(scene, size, text, tone)
    check(hand)
    for dialog in (hand.app.show_jobs, hand.app.show_keys):
        dialog()
        hand.app.arrange()
        check(hand)
        hand.desk.close_dialog()
        hand.app.arrange()


@pytest.mark.parametrize("size", [(1, 1), (3, 900), (64, 900), (1280, 1), (1280, 180)], ids=lambda s: f"{s[0]}x{s[1]}")
def test_a_window_of_a_few_pixels_is_painted(size: tuple[int, int]) -> None:
    """As a person may draw it: painted, not only arranged, from a sound size."""
    for scene in SCENES:
        hand = sized(scene, (1024, 640), 100, "dark")
        hand.app.handle(pygame.event.Event(pygame.VIDEORESIZE, w=size[0], h=size[1], size=size))
        hand.app.arrange()
        hand.app.show(pygame.Surface(size))
        assert not hand.app.faults


@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("scene", SCENES)
def test_every_control_is_large_enough_and_reached_by_keys(scene: str, size: tuple[int, int], text: int) -> None:
    walk(sized(scene, size, text, "dark"))


def walk(hand: Hand) -> int:
    """Go round all controls by Tab; each is large enough, and the focus is seen on each. Returns how many there are."""
    by_mouse = {w.key for w in hand.app.widgets if w.focusable}
    for widget in hand.app.widgets:
        if widget.focusable:
            assert min(widget.box.w, widget.box.h) >= LEAST_TARGET, widget.key
    by_keys: set[str] = set()
    for _ in range(len(by_mouse)):
        hand.tab()
        focused = hand.app.focused
        assert focused is not None
        by_keys.add(focused.key)
        assert focus_shows(hand), f"the focus on {focused.key} is not seen"
    assert by_keys == by_mouse
    forward = [w.key for w in hand.app.widgets if w.focusable]
    hand.tab(back=True)
    focused = hand.app.focused
    assert focused is not None
    assert focused.key in forward
    return len(by_mouse)


def focus_shows(hand: Hand) -> bool:
    """Whether a ring in the colour of action lies round the focus, inside the window."""
    focused = hand.app.focused
    assert focused is not None
    box = focused.box.moved(0, -hand.app.offset if focused.scrolls else 0)
    ring = [
        call
        for call in hand.calls()
        if isinstance(call, Frame) and call.colour == hand.desk.palette.action and call.width >= 2
    ]
    page = hand.app.page if focused.scrolls else box
    return any(call.box.overlaps(box) and call.box.overlaps(page) for call in ring)


def test_scenes_keep_one_grid_and_one_scale_of_type() -> None:
    sizes = set()
    for scene in SCENES:
        hand = Hand(scene)
        sizes |= {call.size for call in hand.calls() if isinstance(call, Words)}
        for widget in hand.app.room.column.widgets:
            assert widget.box.x >= hand.app.room.column.x
            assert widget.box.right <= hand.app.room.column.x + hand.app.room.column.width + 0.01
    assert sizes <= {14, 18, 24, 36}


def test_cards_show_the_number_that_takes_them() -> None:
    hand = Hand(SCENES[0])
    for widget in hand.app.widgets:
        if isinstance(widget, Card):
            assert widget.number


def test_drawing_changes_nothing() -> None:
    for scene in SCENES:
        hand = Hand(scene)
        first = hand.app.draw().calls
        assert hand.app.draw().calls == first
        held = hand.app.scene.remembered()
        hand.picture()
        assert hand.app.scene.remembered() == held


def test_window_sizes_come_through_events() -> None:
    hand = Hand(SCENES[0])
    hand.post(pygame.event.Event(pygame.VIDEORESIZE, w=1024, h=640, size=(1024, 640)))
    assert hand.app.size == (1024, 640)
    assert (hand.settings.width, hand.settings.height) == (1024, 640)


@pytest.mark.parametrize(
    ("size", "text"),
    # the smallest window that may be, and the sizes of common screens at each size of text
    [((640, 400), 100), *((size, text) for size in ((1024, 600), (1366, 768)) for text in (100, 150, 200))],
)
def test_every_job_and_the_whole_screen_are_in_sight(size: tuple[int, int], text: int) -> None:
    hand = sized("name", size, text, "dark")
    for scene in ALL:
        tab = hand.widget(f"go-{scene.name}")
        assert not tab.scrolls
        assert tab.box.x >= 0
        assert tab.box.right < hand.widget("jobs").box.x
        assert tab.box.bottom <= BAND
        hand.click(tab.key)
        assert hand.app.scene.name == scene.name
    hand.click("full")
    assert hand.settings.full
    hand.click("full")
    assert not hand.settings.full
