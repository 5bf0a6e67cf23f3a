"""Side by side: what differs is what the tables say, with the millimetres, and nothing is said of what does not."""

import itertools

import pytest

from coaxtell.identifier import looks
from coaxtell.identifier.features import Feature
from coaxtell.models import tables
from coaxtell.window.kit.pen import Pen, Shape, Words
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.widgets import Button
from coaxtell.window.scenes.beside import SideBySide
from coaxtell.window.views.differences import differences
from tests.window.driving import Hand
from tests.window.looking import PLAY

HALVES = tables.load().halves
LOOKS = looks.load()


def test_reverse_polarity_differs_by_the_centre_alone() -> None:
    # IEC 61169-1 names gender by body, reverse polarity exchanges the contacts only (common practice)
    found = differences([HALVES["sma-jack"], HALVES["rp-sma-jack"]], LOOKS)
    # the centre by eye and by touch, and what is measured on it
    assert {one.feature for one in found} == {
        Feature.CENTRE, Feature.TOUCH, Feature.PIN_DIAMETER, Feature.SOCKET_BORE
    }  # fmt: skip
    pin = next(one for one in found if one.feature is Feature.PIN_DIAMETER)
    assert pin.values[0] == "none"
    assert float(pin.values[1].split()[0]) == pytest.approx(HALVES["rp-sma-jack"].centre.pin.d.nominal, abs=0.005)  # type: ignore[union-attr]


def test_a_half_does_not_differ_from_itself() -> None:
    for half in list(HALVES.values())[:20]:
        assert differences([half, half], LOOKS) == []


def test_impedances_differ_by_the_pin_on_n() -> None:
    # the 75 ohm N has a thinner centre contact than the 50 ohm one: MIL-STD-348 against the trade's 75 ohm series
    found = {one.feature for one in differences([HALVES["n-50-plug"], HALVES["n-75-plug"]], LOOKS)}
    assert Feature.PIN_DIAMETER in found
    assert Feature.COUPLING not in found


def test_what_does_not_decide_is_sunk_and_what_does_is_named() -> None:
    hand = Hand("beside")
    shapes = [c for c in hand.calls() if isinstance(c, Shape)]
    assert shapes
    assert all(shape.alpha < 0.5 for shape in shapes)
    assert hand.says("pin diameter: 0.91 mm")
    hand.choose("pictures")
    assert hand.app.scene.only is False  # type: ignore[attr-defined]


def test_halves_are_added_up_to_six_and_taken_away_down_to_two() -> None:
    hand = Hand("beside")
    scene = hand.app.scene
    assert isinstance(scene, SideBySide)
    for word in ("tnc plug", "n plug 50", "mcx plug", "7-16 plug"):
        hand.choose("add")
        hand.type(word)
        hand.enter()
    assert len(set(scene.halves)) == 6
    assert "add" not in [w.key for w in hand.app.widgets]
    for count in (5, 4, 3, 2):
        hand.choose("half-0")
        hand.choose("without")
        assert len(scene.halves) == count
    hand.choose("half-0")
    assert "without" not in [w.key for w in hand.app.widgets]


def test_all_stand_at_one_scale() -> None:
    hand = Hand("beside")
    assert isinstance(hand.app.scene, SideBySide)
    hand.app.scene.halves = ["sma-plug", "n-50-plug", "7-16-plug"]
    hand.app.arrange()
    scales = {round(c.per_mm, 6) for c in hand.calls() if isinstance(c, Shape)}
    assert len(scales) == 1


def test_differences_are_symmetric() -> None:
    for a, b in itertools.islice(itertools.combinations(sorted(HALVES), 2), 0, 400, 13):
        one = differences([HALVES[a], HALVES[b]], LOOKS)
        two = differences([HALVES[b], HALVES[a]], LOOKS)
        assert [(d.feature, d.values) for d in one] == [(d.feature, d.values[::-1]) for d in two]


@pytest.mark.parametrize("text", [100, 150, 200])
@pytest.mark.parametrize("size", [(1024, 600), (1366, 768), (1920, 1080)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_six_halves_lose_no_digit_and_no_word(size: tuple[int, int], text: int) -> None:
    hand = Hand("beside", size, Settings(motion=False, text=text))
    scene = hand.app.scene
    assert isinstance(scene, SideBySide)
    scene.halves = ["sma-plug", "n-50-plug", "tnc-plug", "rp-sma-plug", "mcx-plug", "7-16-plug"]
    hand.app.arrange()
    across = next(one for one in scene.found if one.feature is Feature.COUPLING_DIAMETER)
    stage = hand.widget("bench")
    pen = Pen(hand.desk.palette, hand.app.type)
    scene.draw(pen, stage.box)
    drawn = [call for call in pen.calls if isinstance(call, Words)]
    told = "".join("".join(call.words for call in drawn).split())
    for half_id, value in zip(scene.halves, across.values, strict=True):
        assert "".join(f"coupling diameter: {value}".split()) in told
        assert "".join(hand.desk.half(half_id).name.split()) in told
    # what has no room is counted on the button that shows it
    keys = [f"{''.join(one.words.split())}:" for one in scene.found]
    # the name of one may end as another's: bore, socket bore
    longer = {key: [other for other in keys if other != key and other.endswith(key)] for key in keys}
    told_here = [key for key in keys if told.count(key) > sum(told.count(other) for other in longer[key])]
    left = len(scene.found) - len(told_here)
    assert [w.words for w in hand.app.widgets if isinstance(w, Button) and w.key == "rest"] == [f"+{left} more"][:left]
    assert all(stage.box.holds(call.box.x, call.box.y) and stage.box.holds(call.box.right, call.box.bottom)
               for call in drawn)  # fmt: skip
    for i, one in enumerate(drawn):
        assert not any(one.box.overlaps(other.box, PLAY) for other in drawn[i + 1 :]), one.words


@pytest.mark.parametrize("text", [100, 200])
def test_what_has_no_room_is_a_press_away(text: int) -> None:
    hand = Hand("beside", (1024, 600), Settings(motion=False, text=text))
    scene = hand.app.scene
    assert isinstance(scene, SideBySide)
    scene.halves = ["sma-plug", "n-50-plug", "tnc-plug", "rp-sma-plug", "mcx-plug", "7-16-plug"]
    hand.app.arrange()
    for press in (hand.choose, hand.click):
        press("rest")
        for one in scene.found:
            assert all(hand.says(f"{hand.desk.half(half_id).name}: {value}")
                       for half_id, value in zip(scene.halves, one.values, strict=True))  # fmt: skip
        hand.choose("close-all")
        assert not hand.desk.dialogs
    scene.only = False
    hand.app.arrange()
    assert "rest" not in [w.key for w in hand.app.widgets]
