"""A cable chosen through real events; the figures on screen are those of the engine."""

import pygame
import pytest

from coaxtell.models import tables
from coaxtell.window.kit.pen import Curve
from coaxtell.window.scenes.cable import Cable
from tests.window.driving import Hand


def scene(hand: Hand) -> Cable:
    found = hand.app.scene
    assert isinstance(found, Cable)
    return found


def test_a_cable_is_chosen_by_keys_and_its_words_are_copied() -> None:
    hand = Hand("cable")
    hand.choose("reader")
    hand.type("rp-sma jack")
    hand.enter()
    assert scene(hand).reader == "rp-sma-jack"
    hand.tab_to("length")
    for _ in range(3):
        hand.key(pygame.K_RIGHT)
    assert scene(hand).length_m == pytest.approx(9.5)
    hand.tab_to("assemblies")
    hand.key(pygame.K_DOWN)
    second = scene(hand).choice.ranked[1].assembly
    assert scene(hand).chosen is second
    hand.choose("copy")
    assert "9.5 m" in hand.desk.copied
    assert f"{second.cable.name}" in hand.desk.copied
    assert "RP-SMA plug, reverse polarity" in hand.desk.copied
    assert hand.desk.notice


def test_sliders_by_mouse_change_loss_and_curves() -> None:
    hand = Hand("cable")
    before = scene(hand).chosen.loss.cable_db
    curves = [call.points for call in hand.calls() if isinstance(call, Curve)]
    hand.click("length", right=0.72, down=0.5)
    assert scene(hand).length_m > 20
    after = scene(hand).chosen.loss.cable_db
    # at one frequency the loss of one class goes with its length
    assert after / before == pytest.approx(scene(hand).length_m / 8.0, rel=1e-6)
    assert [call.points for call in hand.calls() if isinstance(call, Curve)] != curves


def test_hand_worked_run_stands_on_screen() -> None:
    # US 915 MHz, 10 m of 240, 8.5 dBi: 2.50 dB, 27.5 dBm by the letter (worked by hand in the cables' issue)
    hand = Hand("cable")
    hand.tab_to("typed")
    hand.type("10m")
    hand.enter()
    scene(hand).picked = "240"
    hand.app.arrange()
    assert scene(hand).chosen.loss.cable_db == pytest.approx(2.50, abs=0.01)
    assert hand.says("27.5\u2009dBm")
    assert scene(hand).power is None


def test_a_power_set_by_hand_goes_back_to_the_highest_allowed() -> None:
    hand = Hand("cable")
    highest = scene(hand).chosen.power_dbm
    hand.tab_to("power")
    hand.key(pygame.K_LEFT)
    assert scene(hand).chosen.power_dbm < highest
    hand.choose("highest")
    assert scene(hand).chosen.power_dbm == highest
    hand.choose("by-hand")
    assert scene(hand).power == highest


@pytest.mark.parametrize("words", ["7", "abc", "12 furlongs", "-3m", "9e9dBi"])
def test_bad_values_are_told_in_one_sentence(words: str) -> None:
    hand = Hand("cable")
    before = scene(hand).held()
    hand.tab_to("typed")
    hand.type(words)
    hand.enter()
    assert hand.desk.notice.endswith((".", ")"))
    assert hand.says(hand.desk.notice)
    assert scene(hand).held() == before


def test_units_of_gain_are_not_mixed_up() -> None:
    hand = Hand("cable")
    lowest = scene(hand).chosen.power_dbm
    hand.choose("unit-dBd")
    # 2.15 dB more antenna, so 2.15 dB less from the reader by the letter
    assert lowest - scene(hand).chosen.power_dbm == pytest.approx(2.15, abs=0.01)


def test_region_without_conducted_limit_is_taken() -> None:
    hand = Hand("cable")
    hand.choose("region-eu-lower")
    assert scene(hand).choice.run.frequency_mhz == pytest.approx(scene(hand).tables.region("eu-lower").usual.nominal)


def test_an_illegal_power_is_marked_with_a_word() -> None:
    hand = Hand("cable")
    hand.tab_to("power")
    hand.key(pygame.K_END)
    assert scene(hand).chosen.power_dbm == 36.0
    assert hand.says("over limits")
    assert hand.says("Nothing to order: over the limits at this setting.")
    assert not hand.says("Copy the order words")


def test_the_reader_is_turned_down_rather_than_a_lossy_cable_bought() -> None:
    hand = Hand("cable")
    highest, best = scene(hand).chosen.power_dbm, scene(hand).chosen.cable.name
    hand.tab_to("power")
    for _ in range(20):
        hand.key(pygame.K_RIGHT)
    assert scene(hand).choice.turned_down is not None
    assert hand.says("Do not pick a lossy cable to meet the rules.")
    hand.choose("turn-down")
    assert (scene(hand).chosen.power_dbm, scene(hand).chosen.cable.name) == (highest, best)
    assert not hand.says("Do not pick a lossy cable to meet the rules.")


def test_every_half_can_stand_at_either_end() -> None:
    hand = Hand("cable")
    for half_id in tables.load().halves:
        scene(hand).reader = half_id
        hand.app.arrange()
        hand.calls()
        assert not hand.app.faults, half_id
