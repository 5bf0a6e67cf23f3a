"""Parts measured in the window: the same book as from the terminal, by keys alone and by mouse alone."""

from pathlib import Path

import pygame
import pytest

from coaxtell.gauge_bench import own_book
from coaxtell.models import gauged
from coaxtell.window.kit.pen import Picture
from tests.window.driving import Hand


def begun(folder: Path, half: str = "sma") -> Hand:
    hand = Hand("half", sheets=folder)
    hand.choose("gauge")
    assert hand.desk.dialogs
    return hand


def test_readings_are_kept_part_by_part_and_the_range_is_told(tmp_path: Path) -> None:
    hand = begun(tmp_path)
    folder = tmp_path / "coaxtell-tables"
    assert hand.says("disconnected from everything")
    assert hand.says("switch the transmitter off")
    assert any(isinstance(call, Picture) and call.name == "sma-plug measured" for call in hand.calls())
    place = hand.app.focused
    assert place is not None
    assert place.key == "reading"
    # the first number asked of an SMA plug and what its table would read, as the dialog says
    words = " ".join(hand.words().split())
    reads = words.partition("it would read ")[2].split()[0]
    for part, typed in enumerate((reads, reads, reads), start=1):
        hand.type(f"{typed} {typed}")
        hand.enter()
        (number,) = own_book(folder).number
        assert [len(one) for sitting in number.sittings for one in sitting.parts] == [2] * part
    assert hand.says("95 % of such parts")
    assert hand.says("3 parts, 6 readings")
    hand.choose("next-number")
    assert hand.says("2 of ") or hand.says("That was all")


def test_the_drawing_is_in_sight_with_its_field(tmp_path: Path) -> None:
    hand = begun(tmp_path)
    field, drawing = hand.widget("reading"), hand.widget("place")
    assert field.sight.y == pytest.approx(drawing.box.y)
    assert field.sight.bottom == field.box.bottom


def test_what_is_odd_is_asked_again_and_the_same_again_is_taken(tmp_path: Path) -> None:
    hand = begun(tmp_path)
    hand.type("40")
    hand.enter()
    assert hand.says("look for a slipped digit")
    assert not own_book(tmp_path / "coaxtell-tables").number
    hand.type("40")
    hand.enter()
    assert own_book(tmp_path / "coaxtell-tables").number


@pytest.mark.parametrize(
    ("typed", "told"), [("", "A reading of"), ("x", "A reading of"), ("400", "no length"), ("5kg", "unit")]
)
def test_bad_readings_are_one_sentence_and_nothing_is_kept(tmp_path: Path, typed: str, told: str) -> None:
    hand = begun(tmp_path)
    hand.type(typed)
    hand.enter()
    assert told in hand.desk.notice
    assert not (tmp_path / "coaxtell-tables").exists()


def test_a_precision_half_says_why_nothing_is_measured(tmp_path: Path) -> None:
    hand = Hand("half", sheets=tmp_path)
    hand.key(pygame.K_3, "3")
    hand.type(".5 plug")
    hand.enter()
    hand.choose("gauge")
    assert hand.says("Nothing of it is to be measured here")


def test_by_mouse_alone_the_numbers_are_gone_through(tmp_path: Path) -> None:
    hand = Hand("half", sheets=tmp_path)
    hand.click("gauge")
    for _ in range(60):
        if hand.says("That was all"):
            break
        hand.click("next-number")
    assert hand.says("That was all that is to be measured here")
    assert hand.says("Nothing was measured")


def test_a_port_with_two_lugs_is_confirmed_to_be_no_high_voltage_first(tmp_path: Path) -> None:
    hand = Hand("name", sheets=tmp_path)
    hand.desk.carry["half"] = ("bnc-50-jack",)
    hand.desk.go("half")
    hand.choose("gauge")
    assert hand.says("may be one for high voltage")
    assert not hand.says("1 of ")
    # Enter is no yes: who is not sure gets out by it, by the mouse too
    assert hand.app.focused_key == "close-unsure"
    hand.enter()
    assert not hand.desk.dialogs
    hand.click("gauge")
    hand.click("close-unsure")
    assert not hand.desk.dialogs
    hand.choose("gauge")
    hand.choose("no-high-voltage")
    assert hand.says("1 of ")


def test_readings_against_what_is_stated_are_told_as_by_the_terminal(tmp_path: Path) -> None:
    """A BNC sleeve of 9.4 mm would not pass its jack's collar of 9.6: what IEC 61169-8 states is not lost unsaid."""
    hand = Hand("half", sheets=tmp_path)
    hand.key(pygame.K_b, "b")
    hand.type("nc plug 50")
    hand.enter()
    hand.choose("gauge")
    hand.choose("no-high-voltage")
    for typed in ("9.40", "9.40", "9.41", "9.41", "9.40"):
        hand.type(typed)
        hand.enter()
    assert hand.says("BNC plug 50 ohm is stated to mate with BNC jack 50 ohm; by what was read of its")
    assert hand.says("does not join. Those readings are kept and do not count. Measure again")
    # who begins with these tables is told so at the start, and where something is ordered
    (folder,) = (path.parent for path in tmp_path.rglob(gauged.FILE))
    for job in ("half", "name", "cable"):
        begun = Hand(job, extra=folder)
        begun.app.tick()
        begun.app.arrange()
        assert begun.says("BNC plug 50 ohm is stated to mate with BNC jack 50 ohm; by what was read of its")
        assert begun.says("kept and do not count")
        begun.desk.notice = ""
        if job == "name":
            begun.choose("name-now")
        begun.app.arrange()
        assert begun.says("kept and do not count") == (job != "half")
