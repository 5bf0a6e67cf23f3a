"""A cable chosen through real events; the figures on screen are those of the engine."""

import json
from pathlib import Path

import pygame
import pytest

from coaxtell.cables.rows import NamedPort
from coaxtell.cli.main import main
from coaxtell.identifier.answers import Term
from coaxtell.identifier.features import Feature
from coaxtell.models import tables
from coaxtell.window.kit.pen import Curve, Shape, Words
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.widgets import Button
from coaxtell.window.scenes.cable import Cable
from coaxtell.window.scenes.name_port import NamePort
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
    assert scene(hand).ports.ids["reader"] == "rp-sma-jack"
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
    assert hand.desk.dialogs


def test_sliders_by_mouse_change_loss_and_curves() -> None:
    hand = Hand("cable")
    before = scene(hand).chosen.loss.cable_db
    first, thin = scene(hand).chosen.cable.name, scene(hand).chosen.cable.diameter.nominal
    curves = [call.points for call in hand.calls() if isinstance(call, Curve)]
    hand.click("length", right=0.72, down=0.5)
    assert scene(hand).length_m > 20
    # a longer run takes a thicker cable; at one frequency the loss of one class goes with its length
    assert scene(hand).chosen.cable.diameter.nominal > thin
    scene(hand).picked = first
    assert scene(hand).chosen.loss.cable_db / before == pytest.approx(scene(hand).length_m / 8.0, rel=1e-6)
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
    assert hand.says("Set the reader to 27.50\u2009dBm")


def test_the_reader_is_never_set_to_what_it_cannot_give() -> None:
    hand = Hand("cable")
    hand.tab_to("typed")
    hand.type("10..27.2/0.4")
    hand.enter()
    # 27.5 dBm by the letter; the reader gives 27.2 and every 0.4 dB below
    assert scene(hand).chosen.power_dbm == pytest.approx(27.2)
    hand.tab_to("power")
    hand.key(pygame.K_LEFT)
    assert scene(hand).chosen.power_dbm == pytest.approx(26.8)


@pytest.mark.parametrize("words", ["10..30", "31..10", "10..60", "../x", "12..5m", "10..30/0", "..", "10..30/0.25/x"])
@pytest.mark.parametrize("before", ["", "10..31.5/0.25"])
def test_a_wrong_range_is_told_and_all_stays_as_it_was(words: str, before: str) -> None:
    hand = Hand("cable")
    if before:
        _typed(hand, before)
    was, order = scene(hand).remembered(), scene(hand)._order()
    _typed(hand, words)
    assert hand.desk.notice.startswith("reader ")
    assert scene(hand).remembered() == was
    assert scene(hand)._order() == order
    assert hand.widget("typed").key == "typed"
    hand.key(pygame.K_ESCAPE)
    hand.key(pygame.K_ESCAPE)
    hand.app.go("name")
    hand.app.go("cable")
    hand.app.arrange()
    assert hand.widget("length").key == "length"


def _typed(hand: Hand, words: str) -> None:
    """Words in the field for a value of one's own, in place of what stands there."""
    hand.tab_to("typed")
    hand.key(pygame.K_a, mod=pygame.KMOD_CTRL)
    hand.type(words)
    hand.enter()


@pytest.mark.parametrize("words", ["0.00001dBi", "-0.0000001dBd", "0dBic"])
def test_a_gain_of_next_to_nothing_keeps_the_job_going(words: str) -> None:
    hand = Hand("cable")
    _typed(hand, words)
    assert scene(hand).choice.ranked
    assert hand.widget("copy").key == "copy"


@pytest.mark.parametrize(("settings", "power"), [("20..31.5/0.25", "10dBm"), ("40..45/1", "20dBm")])
def test_a_power_below_the_lowest_setting_is_refused_as_in_the_terminal(
    settings: str, power: str, capsys: pytest.CaptureFixture[str]
) -> None:
    run = ("rp-tnc-jack", "n-50-jack", "--length", "8m", "--region", "us", "--gain", "8.5dBi")
    assert main(["cable", *run, "--power", power, "--reader", settings]) == 2
    hand = Hand("cable")
    _typed(hand, settings)
    was = scene(hand).remembered()
    _typed(hand, power)
    assert "lowest setting is" in hand.desk.notice
    assert capsys.readouterr().err.strip() == f"coaxtell: {hand.desk.notice}"
    assert scene(hand).remembered() == was
    # nor does the slider go below it, whatever was held of last time
    hand.tab_to("power")
    hand.key(pygame.K_HOME)
    lowest = scene(hand).reader.lowest_dbm
    assert f"{lowest:g}\u2009dBm" in hand.words().split("\n")
    worked_with = scene(hand).choice.run.power
    assert worked_with is not None
    assert worked_with.highest_dbm == lowest
    scene(hand).recall({**scene(hand).remembered(), "power": 10.0})
    assert scene(hand).power == lowest


def test_the_marks_of_the_run_are_dragged_and_moved_by_keys() -> None:
    hand = Hand("cable")
    hand.tab_to("bench")
    hand.key(pygame.K_LEFT)
    assert scene(hand).length_m == pytest.approx(7.5)
    scene(hand)._drag(40.0, 0.0)
    assert 7.7 < scene(hand).length_m < 10
    scene(hand)._drag(-1e6, 0.0)
    assert scene(hand).length_m == 0.5


def test_every_curve_has_its_name_and_both_plugs_are_pictured() -> None:
    hand = Hand("cable")
    for length in (0.5, 8.0, 30.0):
        scene(hand).length_m = length
        hand.app.arrange()
        for name in ("100", "195", "200", "240", "400", "600", "RG-58", "RG-213"):
            assert any(isinstance(call, Words) and call.words == name for call in hand.calls()), (length, name)
    shown = [call.name for call in hand.calls() if isinstance(call, Shape)]
    assert shown[:4] == ["rp-tnc-jack", "n-50-jack", "rp-tnc-plug", "n-50-plug"]


def test_rows_say_what_they_miss() -> None:
    hand = Hand("cable")
    scene(hand).length_m = 20.0
    hand.app.arrange()
    assert hand.says("short by")
    assert hand.says("meets it")


@pytest.mark.parametrize("words", ["7", "abc", "12 furlongs", "-3m", "9e9dBi"])
def test_bad_values_are_told_in_one_sentence(words: str) -> None:
    hand = Hand("cable")
    before = scene(hand).remembered()
    hand.tab_to("typed")
    hand.type(words)
    hand.enter()
    assert hand.desk.notice.endswith((".", ")"))
    assert hand.says(hand.desk.notice)
    assert scene(hand).remembered() == before


def test_units_of_gain_are_not_mixed_up() -> None:
    hand = Hand("cable")
    lowest = scene(hand).chosen.power_dbm
    hand.choose("unit-dBd")
    # 2.15 dB more antenna, so 2.15 dB less from the reader by the letter: 25.35, and down to a step of 0.5 dB
    assert lowest == 27.5
    assert scene(hand).chosen.power_dbm == 25.0


def test_region_without_conducted_limit_is_taken() -> None:
    hand = Hand("cable")
    hand.choose("region-eu-lower")
    assert scene(hand).choice.run.frequency_mhz == pytest.approx(scene(hand).tables.region("eu-lower").usual.nominal)


def test_the_reader_is_set_no_higher_than_the_limits_allow() -> None:
    hand = Hand("cable")
    best = scene(hand).chosen.cable.name
    hand.tab_to("power")
    hand.key(pygame.K_END)
    # 8.5 dBi: 2.5 dB under the 30 dBm of the letter, whatever the reader could give
    assert scene(hand).chosen.power_dbm == 27.5
    assert (scene(hand).chosen.cable.name, scene(hand).chosen.legal.value) == (best, "yes")
    assert hand.says("Copy the order words")


def test_every_half_can_stand_at_either_end() -> None:
    hand = Hand("cable")
    for half_id in tables.load().halves:
        scene(hand).ports.take("reader", NamedPort(hand.desk.half(half_id)))
        hand.app.arrange()
        hand.calls()
        assert not hand.app.faults, half_id


def doubted(hand: Hand) -> None:
    """The Cable scene says what is not settled and gives no order words."""
    assert scene(hand).ports.ids["reader"] == "sma-jack"
    assert hand.says("RP-SMA jack")
    assert hand.says("SMA plug damages it: never force a coupling")
    assert hand.says("What settles it")
    assert "copy" not in [widget.key for widget in hand.app.widgets]
    assert not hand.says("Order words")
    assert not hand.says("order SMA plug")
    main_button = next(w for w in hand.app.widgets if isinstance(w, Button) and w.kind == "action")
    assert main_button.key == "look-again"
    copied = hand.desk.copied
    hand.tab_to("assemblies")
    hand.enter()
    assert hand.desk.copied == copied


def test_a_port_carried_over_keeps_its_doubt_until_it_is_looked_at_again() -> None:
    hand = Hand("name")
    naming = hand.app.scene
    assert isinstance(naming, NamePort)
    naming.inquiry.use(setting="any")
    naming.inquiry.saw(Feature.COUPLING, "thread-outside")
    naming.early = True
    hand.app.arrange()
    hand.choose("to-cable")
    doubted(hand)
    hand.choose("swap")
    assert scene(hand).ports.settled == (True, False)
    hand.choose("look-again")
    assert hand.app.scene is naming
    # the antenna's port comes back, settled, to the antenna's side
    naming.inquiry.use(setting="uhf-reader")
    naming.inquiry.saw(Feature.CENTRE, "socket")
    naming.inquiry.measured(Feature.COUPLING_DIAMETER, "6.3")
    naming.early, naming.asked = True, None
    hand.app.arrange()
    assert naming.inquiry.found.settled
    hand.choose("to-cable")
    assert scene(hand).ports.ids == {"reader": "n-50-jack", "antenna": "sma-jack"}
    assert scene(hand).ports.settled == (True, True)
    assert hand.says("Copy the order words")


def test_a_dropped_identification_keeps_its_doubt_and_so_does_the_next_session(tmp_path: Path) -> None:
    saved = tmp_path / "port.json"
    assert main(["identify", "--saw", "coupling=thread-outside", "--save", str(saved), "--json"]) == 0
    hand = Hand("cable")
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(saved)))
    doubted(hand)
    later = Hand("cable")
    scene(later).recall(scene(hand).remembered())
    later.app.arrange()
    doubted(later)
    # a port chosen by hand is taken as told
    hand.choose("reader")
    hand.type("rp-sma jack")
    hand.enter()
    assert scene(hand).ports.settled == (True, True)
    assert hand.says("Copy the order words")
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(Path(__file__))))
    assert "is no saved identification" in hand.desk.notice


def test_a_port_kept_under_other_tables_is_worked_out_anew_and_says_so(tmp_path: Path) -> None:
    saved = tmp_path / "port.json"
    assert main(["identify", "--saw", "coupling=thread-outside", "--save", str(saved), "--json"]) == 0
    hand = Hand("cable")
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(saved)))
    named = scene(hand).ports.ids["reader"]
    held = json.loads(json.dumps(scene(hand).remembered()))
    # other tables once called the same answers settled, and another port
    held["reader"] = "sma-plug"
    held["named"]["reader"] |= {
        "tables": "0000", "state": "settled", "candidates": [{"id": "sma-plug", "probability": 0.99}],
    }  # fmt: skip
    later = Hand("cable")
    scene(later).recall(held)
    told = later.desk.notice
    later.app.arrange()
    assert scene(later).ports.ids["reader"] == named
    doubted(later)
    assert "port.json: saved under other tables and worked out anew" in told
    assert "it named SMA plug, settled (99 %) and now names" in told
    # that was said once: what is kept now is of these tables
    again = Hand("cable")
    scene(again).recall(scene(later).remembered())
    assert not again.desk.notice
    assert scene(again).ports.doubts == scene(later).ports.doubts


@pytest.mark.parametrize(
    ("key", "told"),
    [
        ("arrestor", "Surge arrestor with two N jacks"),
        ("splitter", "Splitter, one to two"),
        ("pigtail", "Pigtail inside the enclosure"),
        ("outdoor", "Weather seal for 1 joint"),
        ("right-antenna", "right-angle N plug"),
        ("service", "8.5\u2009m (27.9 ft)"),
        ("drip", "8.3\u2009m (27.2 ft)"),
    ],
)
def test_parts_in_and_round_the_run_come_into_the_order(key: str, told: str) -> None:
    hand = Hand("cable")
    assert not hand.says(told)
    hand.choose(f"part-{key}")
    assert hand.says(told)
    held = scene(hand).remembered()
    hand.choose(f"part-{key}")
    assert not hand.says(told)
    scene(hand).recall(held)
    hand.app.arrange()
    assert hand.says(told)


def test_a_tight_bend_and_the_heat_count_as_at_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    hand = Hand("cable")
    loss = scene(hand).chosen.loss.cable_db
    hand.choose("part-warm")
    # 15 C above the table's 25, at 0.2 %/C
    assert scene(hand).chosen.loss.cable_db == pytest.approx(loss * 1.03, rel=1e-3)
    hand.choose("part-bend")
    hand.tab_to("size-bend")
    hand.key(pygame.K_HOME)
    assert scene(hand).choice.run.bend_mm == 5.0
    assert hand.says("the route bends to 5\u2009mm")


def test_an_inline_part_never_lies_beyond_a_short_run() -> None:
    hand = Hand("cable")
    hand.choose("part-arrestor")
    for length in (0.05, 0.5, 1.0, 30.0):
        scene(hand).length_m = length
        hand.app.arrange()
        inline = scene(hand).choice.run.inline
        assert inline is not None
        assert 0 < inline.at_m < length
        hand.calls()
    hand.choose("part-splitter")
    assert scene(hand).parts.on == {"splitter"}


def test_the_target_may_be_a_loss_or_the_legal_limit() -> None:
    hand = Hand("cable")
    hand.choose("aim-budget")
    hand.tab_to("budget")
    assert scene(hand).choice.target.most_db == 3.0
    hand.choose("aim-limit")
    assert scene(hand).choice.run.want_dbm is None
    assert hand.says("the legal limit at the antenna") or hand.says("at most")


def test_what_comes_first_among_those_that_serve_may_be_chosen() -> None:
    hand = Hand("cable")
    thin = scene(hand).chosen
    hand.choose("prefer-least-loss")
    assert scene(hand).chosen.loss.worst_db < thin.loss.worst_db
    held = scene(hand).remembered()
    hand.choose("prefer-thinnest")
    assert scene(hand).chosen.cable.name == thin.cable.name
    scene(hand).recall(held)
    assert scene(hand).prefer == "least-loss"
    # without prices of one's own there is no lowest
    assert "prefer-lowest-price" not in [widget.key for widget in hand.app.widgets]


def test_what_cannot_be_built_gets_no_order_words() -> None:
    hand = Hand("cable")
    found = scene(hand)
    assert found._order()
    # RG-213 is not usually sold with a jacket for the outdoors
    found.parts.toggle("outdoor")
    found.picked = "RG-213"
    assert found.chosen.cable.name == "RG-213"
    assert found._order() == ""
    # no class bends to 5 mm
    found.parts.toggle("bend")
    found.parts.sizes["bend"] = 5.0
    found.picked = ""
    assert found._order() == ""


def test_a_reader_that_is_too_strong_gets_no_order_words() -> None:
    hand = Hand("cable")
    found = scene(hand)
    found.settings = "28..33/1"
    found.power = 33.0
    assert found.chosen.buildable
    assert found._order() == ""


def test_what_is_to_be_minded_stands_in_the_window_too() -> None:
    hand = Hand("cable")
    assert hand.says("Mind: ")
    assert hand.says("from the antenna while it transmits")


SMA = ("--saw", "coupling=thread-outside", "--saw", "centre=socket", "--saw", "plastic=level", "--saw", "size=pencil")
PORTS = {
    "Look again, reader port": ("--saw", "coupling=thread-outside"),
    "it may also be": ("--setting", "bench", "--saw", "coupling=lugs", "--saw", "centre=socket", "--no-high-voltage"),
    "look once more before you order": (*SMA, "--measured", "coupling-diameter=6.3", "--measured", "nut-width=20"),
    "port may carry kilovolts": ("--saw", "coupling=lugs", "--saw", "centre=socket", "--high-voltage"),
    "It may carry high voltage, or nobody knows": (*SMA, "--measured", "coupling-diameter=6.3", "--high-voltage"),
    "It is energised": (*SMA, "--look-only"),
    "Worn or not made to standard": (*SMA, "--measured", "coupling-diameter=6.7"),
}
"""What is told of a saved port, and what was answered of it: invented, as a person might."""


@pytest.mark.parametrize("port", PORTS)
def test_what_is_told_of_a_port_is_told_in_the_words_of_the_terminal(
    port: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    saved = tmp_path / "port.json"
    assert main(["identify", *PORTS[port], "--save", str(saved), "--json"]) == 0
    capsys.readouterr()
    main(["cable", str(saved), "n-50-jack", "--length", "8m", "--gain", "8.5dBi", "--want-dbm", "24", "--json"])
    told = json.loads(capsys.readouterr().out)
    of_port = [words for words in told["cautions"] if "reader port" in words]
    hand = Hand("cable")
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(saved)))
    spoken = [hand.desk.spoken(words) for words in (*told["look_again"], *of_port)]
    assert any(port in words for words in spoken)
    for words in spoken:
        assert hand.says(words), words


@pytest.mark.parametrize("port", PORTS)
def test_what_is_to_be_done_first_about_a_port_is_the_main_button(port: str, tmp_path: Path) -> None:
    """Nothing is ordered before the look again; nobody is sent to look again at what may carry kilovolts."""
    saved = tmp_path / "port.json"
    assert main(["identify", *PORTS[port], "--save", str(saved), "--json"]) == 0
    hand = Hand("cable")
    hand.post(pygame.event.Event(pygame.DROPFILE, file=str(saved)))
    action = next(w for w in hand.app.widgets if isinstance(w, Button) and w.kind == "action")
    # an open name takes one order; the others are not settled, or their answers clash
    assert action.key == ("copy" if port == "it may also be" else "look-again")
    assert hand.says("Say what is on it: name the port") is (port == "port may carry kilovolts")
    if port == "port may carry kilovolts":
        assert not hand.says("Look again")
        assert not hand.says("look once more")


def test_a_port_named_here_tells_the_same_when_it_is_carried_over() -> None:
    hand = Hand("name")
    naming = hand.app.scene
    assert isinstance(naming, NamePort)
    for feature, value in ((Feature.COUPLING, "thread-outside"), (Feature.CENTRE, "pin"), (Feature.PLASTIC, "tube")):
        naming.inquiry.saw(feature, value)
    naming.inquiry.hold(Term.LOOK_ONLY, True)
    naming.early = True
    hand.app.arrange()
    hand.choose("to-cable")
    told = "Said of the {} port when it was named: It is energised"
    assert hand.says(told.format("reader"))
    hand.choose("swap")
    assert hand.says(told.format("antenna"))
    later = Hand("cable")
    scene(later).recall(json.loads(json.dumps(scene(hand).remembered())))
    later.app.arrange()
    assert later.says(told.format("antenna"))


SAID = {Term.LOOK_ONLY: "It is energised", Term.HIGH_VOLTAGE: "It may carry high voltage, or nobody knows"}


@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("size", [(1024, 600), (1366, 768)], ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("term", SAID)
def test_what_is_on_a_settled_port_is_seen_first_and_copied(term: Term, size: tuple[int, int], text: int) -> None:
    """However large the text; who has not said what is on it is asked before the order, as where it was named."""
    hand = Hand("name", size, Settings(motion=False, text=text))
    naming = hand.app.scene
    assert isinstance(naming, NamePort)
    for feature, value in ((Feature.COUPLING, "thread-outside"), (Feature.CENTRE, "pin"), (Feature.PLASTIC, "tube")):
        naming.inquiry.saw(feature, value)
    naming.inquiry.hold(term, True)
    naming.early = True
    hand.app.arrange()
    assert naming.inquiry.found.settled
    hand.app.focus("to-cable")
    hand.enter()
    assert scene(hand).ports.settled == (True, True)
    warned = hand.widget("doubt-0").box.moved(0, -hand.app.offset)
    assert hand.app.page.y <= warned.y
    assert warned.bottom <= hand.app.page.bottom
    assert f"Said of the reader port when it was named: {SAID[term]}" in " ".join(hand.words().split())
    unsaid = term is Term.HIGH_VOLTAGE
    action = next(w for w in hand.app.widgets if isinstance(w, Button) and w.kind == "action")
    assert action.key == ("look-again" if unsaid else "copy")
    assert hand.says("Say what is on it: name the port") is unsaid
    if unsaid:
        assert hand.app.focused_key == "look-again"
    hand.choose("copy")
    assert "RP-TNC plug" in hand.desk.copied
    assert f"reader port when it was named: {SAID[term]}" in hand.desk.copied


LOOKS = {
    "bayonet": {Feature.COUPLING: "lugs", Feature.CENTRE: "socket"},
    "thread": {Feature.COUPLING: "thread-outside", Feature.CENTRE: "pin", Feature.PLASTIC: "tube"},
}


@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("looks", LOOKS)
def test_what_is_on_a_port_is_said_where_cable_leads_to(looks: str, text: int) -> None:
    """Not round and round between the cable and the name; once it is said, nothing leads back there for it."""
    hand = Hand("name", (1024, 600), Settings(motion=False, text=text))
    naming = hand.app.scene
    assert isinstance(naming, NamePort)
    for feature, value in LOOKS[looks].items():
        naming.inquiry.saw(feature, value)
    naming.inquiry.hold(Term.HIGH_VOLTAGE, True)
    naming.early = True
    hand.app.arrange()
    hand.app.focus("to-cable")
    hand.enter()
    assert hand.app.focused_key == "look-again"
    hand.enter()
    assert hand.app.scene is naming
    assert [dialog.title for dialog in hand.desk.dialogs] == ["What is at hand?"]
    # left without a word, the focus does not lie on the way back to the cable
    hand.key(pygame.K_ESCAPE)
    assert not hand.desk.dialogs
    assert hand.app.focused_key in ("say-voltage", "next-look", "at-hand")
    focused = hand.widget(hand.app.focused_key)
    box = focused.box.moved(0, -hand.app.offset if focused.scrolls else 0)
    assert box.y >= 0
    assert box.bottom <= hand.app.height
    hand.app.go("cable")
    hand.app.arrange()
    hand.click("look-again")
    hand.click("term-no-high-voltage")
    hand.click("at-hand-done")
    assert not hand.desk.dialogs
    assert naming.inquiry.state.terms == {Term.NO_HIGH_VOLTAGE}
    hand.app.focus("to-cable")
    hand.enter()
    assert not hand.says("Say what is on it")
