"""A pair brought together through real events; what the screen says is the mating's own number."""

import itertools
import math
import re
from itertools import combinations_with_replacement, pairwise
from pathlib import Path

import numpy as np
import pygame
import pytest

from coaxtell.models import gauged, tables
from coaxtell.models.catalogue import MODELS
from coaxtell.models.mating.mate import JOINED, Verdict, grounds, mate
from coaxtell.models.mating.reasons import losses
from coaxtell.models.parts import Sitting
from coaxtell.models.solids.solid import solid
from coaxtell.models.words import said
from coaxtell.window.desk.pairing import Pairing
from coaxtell.window.kit.lists import ListBox
from coaxtell.window.kit.pen import Line, Pen, Picture, Shape, Words
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.theme import DARK, LIGHT, MOTION_S
from coaxtell.window.kit.widgets import Checked, Mood
from coaxtell.window.scenes.bring_together import BringTogether, joined_words
from coaxtell.window.views import limits
from coaxtell.window.views.scales import THIN
from coaxtell.window.views.viewpoints import Beam
from tests.window.driving import Hand
from tests.window.test_name import Recorder

HALVES = tables.load().halves


def scene(hand: Hand) -> BringTogether:
    found = hand.app.scene
    assert isinstance(found, BringTogether)
    return found


def shown_distance(hand: Hand) -> float:
    """The distance of the reference planes as the screen says it [mm]."""
    found = re.search(r"reference planes (\N{MINUS SIGN}?[\d.]+)\s?mm apart", hand.words())
    assert found is not None
    return float(found[1].replace("\N{MINUS SIGN}", "-"))


def part_x(hand: Hand, half_id: str) -> float:
    """Where a half's drawing lies [units]."""
    return next(call.box.x for call in hand.calls() if isinstance(call, Shape) and call.name == half_id)


def pick(hand: Hand, side: str, words: str) -> None:
    hand.choose(side)
    hand.type(words)
    hand.enter()


def test_a_pair_is_chosen_and_brought_together_by_keys() -> None:
    hand = Hand("together")
    pick(hand, "choose-a", "tnc plug")
    pick(hand, "choose-b", "rp-tnc jack")
    assert (scene(hand).a, scene(hand).b) in {("tnc-plug", "rp-tnc-jack"), ("rp-tnc-plug", "rp-tnc-jack")}
    a, b = scene(hand).a, scene(hand).b
    mating = mate(HALVES[a], HALVES[b])
    assert hand.says(mating.verdict.value)
    before = shown_distance(hand)
    hand.choose("together")
    assert mating.stops_at_mm is not None
    assert shown_distance(hand) == pytest.approx(round(mating.stops_at_mm, 2), abs=1e-9)
    assert before > shown_distance(hand)
    assert any(isinstance(call, Shape) and call.name == "arrow" for call in hand.calls())


@pytest.mark.parametrize(
    ("a", "b"),
    [("qma-plug", "qma-jack"), ("sma-plug", "sma-jack"), ("rp-n-plug", "n-50-jack"), ("n-50-plug", "uhf-jack")],
)  # fmt: skip
def test_what_is_stated_of_a_pair_and_how_often_the_numbers_show_it_is_told(a: str, b: str) -> None:
    """As `mate` tells it: the ground of a stated pair, what is stated beside, else how sure the verdict is."""
    hand = Hand("together")
    scene(hand).bring(a, b)
    hand.app.arrange()
    beside = said(grounds(HALVES[a], HALVES[b], mate(HALVES[a], HALVES[b])))
    assert beside
    for told in beside:
        assert hand.says(hand.desk.spoken(told))
    assert hand.says("Common practice says that they mate; no source was found.") is (a == "qma-plug")
    stated = hand.says("Stated to mate: a signal passes. Our numbers alone do not show it for sure.")
    assert stated is (a == "sma-plug")


def test_no_pair_that_mates_is_told_surer_than_what_stands_under_it() -> None:
    """Every pair that mates by a source: "nothing is hurt" only where the numbers show it and nothing limits it."""
    hand, told = Hand("together"), set()
    for a, b in combinations_with_replacement(HALVES, 2):
        mating = mate(HALVES[a], HALVES[b])
        if mating.verdict not in JOINED or mating.by_practice:
            continue
        words = joined_words(Pairing(hand.desk, HALVES[a], HALVES[b]))
        beside = " ".join(said(grounds(HALVES[a], HALVES[b], mating)))
        shown = re.search(r"alone show it in (\d+) of 100", beside)
        if mating.verdict is Verdict.LIMITS:
            assert "limits" in words
        elif shown is not None and int(shown[1]) < 95:
            assert words == "Stated to mate: a signal passes. Our numbers alone do not show it for sure."
        if "nothing is hurt" in words:
            assert mating.verdict is Verdict.MATES
            assert shown is None or int(shown[1]) >= 95
            cautions = " ".join(said(mating.cautions))
            assert "spreads or breaks" not in cautions
            assert "too much for the other" not in cautions
        if shown is not None and int(shown[1]) < 95:
            assert words.startswith("Stated to mate")
        told.add(words)
    assert len(told) >= 2


def test_a_pair_stated_to_mate_against_its_measured_numbers_has_no_tick(tmp_path: Path) -> None:
    rows = Sitting("calliper", 0.02, "Ana", "2026-01-01", [[10.70], [10.70], [10.70]])
    book = gauged.Book().plus("qma-jack", "groove.lip", [rows])
    (tmp_path / gauged.FILE).write_text(gauged.encode(book), encoding="utf-8")
    hand = Hand("together", extra=tmp_path)
    scene(hand).bring("qma-plug", "qma-jack")
    hand.app.arrange()
    assert scene(hand).pairing.found.against
    assert hand.says("Stated to mate, but by the numbers in use they do not: measure again before you join them.")
    assert not hand.says("Common practice says that they mate")
    assert not hand.says("Not known")
    mark = hand.widget("verdict-mark")
    assert isinstance(mark, Checked)
    assert mark.good is None


@pytest.mark.parametrize(
    ("a", "b"),
    [("sma-plug", "sma-jack"), ("sma-plug", "rp-sma-jack"), ("n-50-plug", "n-75-jack"), ("bnc-50-plug", "bnc-75-jack"),
     ("rp-sma-plug", "sma-jack"), ("n-50-plug", "uhf-jack"), ("f-plug", "f-jack")],
)  # fmt: skip
def test_a_slide_by_mouse_ends_at_the_stop_of_the_mating(a: str, b: str) -> None:
    hand = Hand("together")
    scene(hand).bring(a, b)
    hand.app.arrange()
    mating = mate(HALVES[a], HALVES[b])
    assert mating.stops_at_mm is not None
    before = shown_distance(hand)
    left = part_x(hand, b)
    hand.drag("bench", 40, 0)
    assert shown_distance(hand) < before
    assert part_x(hand, b) < left
    for _ in range(12):
        hand.drag("bench", 380, 0)
    assert shown_distance(hand) == pytest.approx(mating.stops_at_mm, abs=0.0051)
    for sentence in said((*mating.reasons[:2], *mating.cautions)):
        assert hand.says(hand.desk.spoken(sentence))


def test_arrow_keys_move_by_a_tenth_and_by_a_millimetre() -> None:
    hand = Hand("together")
    hand.tab_to("bench")
    start = shown_distance(hand)
    hand.key(pygame.K_RIGHT)
    assert shown_distance(hand) == pytest.approx(start - 0.1, abs=0.006)
    hand.key(pygame.K_RIGHT, mod=pygame.KMOD_SHIFT)
    assert shown_distance(hand) == pytest.approx(start - 1.1, abs=0.006)
    hand.key(pygame.K_HOME)
    assert shown_distance(hand) == pytest.approx(start, abs=0.006)
    hand.key(pygame.K_END)
    stop = mate(HALVES["sma-plug"], HALVES["rp-sma-jack"]).stops_at_mm
    assert stop is not None
    assert shown_distance(hand) == pytest.approx(stop, abs=0.006)


def test_a_caught_nut_draws_the_halves_together_by_its_pitch() -> None:
    hand = Hand("together")
    scene(hand).bring("sma-plug", "sma-jack")
    scene(hand).pairing.move_to(2.0)
    assert scene(hand).pairing.turns > 0
    hand.app.arrange()
    before = scene(hand).pairing.distance
    for _ in range(4):
        hand.key(pygame.K_t, "t")
    # 1/4-36 UNS: 36 turns to the inch, so one turn is 25.4 / 36 mm
    assert before - scene(hand).pairing.distance == pytest.approx(25.4 / 36, abs=1e-6)


def test_a_free_nut_turns_without_drawing_anything() -> None:
    hand = Hand("together")
    before = scene(hand).pairing.distance
    hand.key(pygame.K_t, "t")
    assert scene(hand).pairing.distance == before
    assert scene(hand).pairing.nut_turn(scene(hand).pairing.one, scene(hand).pairing.two) == pytest.approx(0.25)


def test_rules_are_ticks_and_crosses_with_words() -> None:
    hand = Hand("together")
    words = hand.words()
    assert "Same family: SMA." in words
    assert "Not one polarity: standard and reverse." in words
    assert "Opposite gender: plug and jack." in words


def test_every_verdict_has_its_word_and_a_mark() -> None:
    seen = set()
    hand = Hand("together")
    for a, b in (("sma-plug", "sma-jack"), ("bnc-50-plug", "bnc-75-jack"), ("rp-sma-plug", "sma-jack"),
                 ("sma-plug", "rp-sma-jack"), ("sma-plug", "n-50-jack"),
                 ("smp-plug", "mmcx-jack")):  # fmt: skip
        scene(hand).bring(a, b)
        hand.app.arrange()
        assert hand.says(scene(hand).pairing.found.verdict.value)
        hand.widget("verdict-mark")
        seen.add(scene(hand).pairing.found.verdict)
    assert seen == set(Verdict)


@pytest.mark.parametrize(
    ("a", "b", "way"),
    [("rp-tnc-plug", "tnc-jack", "no single measurement"), ("micro-3-plug", "micro-4-jack", "named below is measured")],
)
def test_what_is_not_known_says_so_wherever_it_is_shown(a: str, b: str, way: str) -> None:
    hand = Hand("together", (1024, 600), Settings(motion=False, text=200), Recorder())
    scene(hand).bring(a, b)
    hand.key(pygame.K_END)
    found = scene(hand).pairing.found
    assert found.verdict is Verdict.NOT_KNOWN
    assert found.confidence is not None
    assert hand.says(f"Probably {found.confidence.probably.value}, but not sure enough")
    assert hand.says(way)
    assert ("measure" in {reason.code.split(".")[1] for reason in found.measure}) == ("below" in way)
    hand.calls()
    pen = Pen(hand.desk.palette, hand.app.type)
    hand.widget("round").paint(pen, Mood())
    assert any(call.words.startswith("not known; as drawn") for call in pen.calls if isinstance(call, Words))
    hand.choose("see-flat")
    assert hand.says("not known; as drawn")


def test_motion_glides_in_under_a_quarter_second_and_can_be_off() -> None:
    hand = Hand("together", settings=Settings(motion=True))
    start = scene(hand).pairing.distance
    hand.choose("together")
    hand.now += MOTION_S / 2
    hand.app.tick()
    assert scene(hand).pairing.stop < scene(hand).pairing.distance < start
    hand.now += MOTION_S
    hand.app.tick()
    assert scene(hand).pairing.distance == scene(hand).pairing.stop
    still = Hand("together", settings=Settings(motion=False))
    still.choose("together")
    assert scene(still).pairing.distance == scene(still).pairing.stop


def test_the_pair_comes_back_with_the_next_window() -> None:
    hand = Hand("together")
    scene(hand).bring("n-50-plug", "n-75-jack")
    hand.key(pygame.K_RIGHT)
    held = hand.settings
    again = Hand("together", settings=held)
    assert (scene(again).a, scene(again).b) == ("n-50-plug", "n-75-jack")
    assert scene(again).pairing.distance == pytest.approx(scene(hand).pairing.distance)


@pytest.mark.parametrize(
    ("a", "b", "words", "turns"),
    [
        ("sma-plug", "sma-jack", "turns caught", "nut"), ("bnc-50-plug", "bnc-50-jack", "bayonet", "sleeve"),
        ("smb-plug", "smb-jack", "snap", ""), ("smp-plug", "smp-smooth-jack", "snap", ""),
        ("qma-plug", "qma-jack", "locking sleeve", ""), ("fakra-c-plug", "fakra-d-jack", "held by", ""),
        ("7-mm", "7-mm", "turns caught", "nut"),
    ],
)  # fmt: skip
def test_each_kind_of_coupling_says_what_holds_and_turns(a: str, b: str, words: str, turns: str) -> None:
    hand = Hand("together")
    scene(hand).bring(a, b)
    hand.app.arrange()
    hand.choose("together")
    assert words in hand.words()
    assert hand.says(f"Turn the {turns} on") == bool(turns)
    mating = mate(HALVES[a], HALVES[b])
    home = {"bayonet": "locked", "snap": "home", "locking sleeve": "locked", "held by": "nothing"}.get(words)
    assert (home or f"{mating.turns_caught:.1f}") in hand.words().split("\n")
    scene(hand).pairing.move_to(scene(hand).pairing.open)
    hand.app.arrange()
    assert {"bayonet": "open", "snap": "open", "locking sleeve": "open", "held by": "nothing"}.get(words, "0.0") in (
        hand.words().split("\n")
    )


def test_sexless_halves_break_no_rule() -> None:
    hand = Hand("together")
    scene(hand).bring("7-mm", "7-mm")
    hand.app.arrange()
    assert hand.says("Sexless: each half takes its own like.")
    scene(hand).bring("7-mm", "n-50-plug")
    hand.app.arrange()
    assert hand.says("Not opposite: sexless and plug.")


def test_whatever_lies_behind_the_cut_of_one_half_hides_no_cut_of_the_other() -> None:
    for a, b in (("sma-jack", "sma-plug"), ("sma-plug", "sma-jack"), ("7-mm", "7-mm")):
        hand = Hand("together")
        scene(hand).bring(a, b)
        hand.app.arrange()
        names = [c.name for c in hand.calls() if isinstance(c, Shape)]
        assert max(i for i, name in enumerate(names) if name.endswith("inside")) < names.index(a)


def test_reasons_name_halves_and_never_their_ids() -> None:
    hand = Hand("together")
    assert "sma-plug" in " ".join(said(scene(hand).pairing.found.reasons))
    assert hand.says("the pin of the SMA plug meets the pin of the RP-SMA jack")
    assert not hand.says("rp-sma-jack")


def test_the_picker_offers_what_is_usual_first_and_keeps_the_row_in_sight() -> None:
    hand = Hand("together")
    hand.choose("choose-a")
    rows = hand.widget("halves")
    assert isinstance(rows, ListBox)
    assert len(rows.rows) == len(HALVES)
    # the families met most stand first, each together
    firsts = [HALVES[row.key].family for row in rows.rows[:8]]
    assert {"SMA", "TNC", "N", "RP-TNC"} <= set(firsts)
    families = [HALVES[row.key].family for row in rows.rows]
    assert len(list(dict.fromkeys(families))) == sum(a != b for a, b in pairwise(["", *families]))
    hand.tab_to("halves")
    hand.key(pygame.K_HOME)
    for _ in range(60):
        hand.key(pygame.K_DOWN)
        rows = hand.widget("halves")
        assert isinstance(rows, ListBox)
        box = rows.row_box(rows.at).moved(0, -hand.app.offset)
        assert box.within(hand.app.page, 1)
    assert rows.at == 60
    hand.enter()
    assert scene(hand).a == rows.rows[60].key


def test_the_picker_knows_a_half_by_the_words_of_the_trade_and_its_colour() -> None:
    hand = Hand("together")
    for words in ("sma male", "fakra blue plug", "left-hand tnc jack", "n 75 plug"):
        hand.choose("choose-a")
        hand.type(words)
        rows = hand.widget("halves")
        assert isinstance(rows, ListBox)
        assert rows.rows, words
        hand.enter()
        assert scene(hand).a == rows.rows[0].key


def test_every_pair_shows_the_place_that_decides_and_names_both_halves_there() -> None:
    # all halves against those of the everyday families and against a coded housing
    hand = Hand("together")
    for a in HALVES:
        for b in ("sma-jack", "rp-sma-jack", "tnc-plug", "n-50-jack", "fakra-d-jack"):
            scene(hand).bring(a, b)
            place = scene(hand).pairing.place
            words = MODELS.say(place.what)
            assert HALVES[a].name in words, (a, b)
            assert HALVES[b].name in words, (a, b)
            low, high = scene(hand).pairing.stop - 40, 40
            assert all(low < z < high for z in place.z), (a, b, place)


def test_the_seat_of_a_pair_without_contact_is_not_in_the_colour_of_harm() -> None:
    """RP-SMA plug on SMA jack seats and leaves the centre open: the open place is marked, nothing is red there."""
    hand = Hand("together")
    scene(hand).bring("rp-sma-plug", "sma-jack")
    hand.choose("together")
    assert hand.says("open between the socket of RP-SMA plug and the socket of SMA jack")
    lines = [c for c in hand.calls() if isinstance(c, Line)]
    assert all(line.colour not in (LIGHT.harm, DARK.harm) for line in lines)


@pytest.mark.parametrize("text", [100, 150, 200])
@pytest.mark.parametrize("size", [(1024, 600), (1366, 768)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_pair_is_in_sight_in_the_round_at_every_size(size: tuple[int, int], text: int) -> None:
    hand = Hand("together", size, Settings(motion=False, text=text), Recorder())
    stage = hand.widget("round")
    assert any(isinstance(c, Picture) and "sma-plug" in c.name and c.box.overlaps(stage.box) for c in hand.calls())
    assert stage.box.bottom <= hand.app.height
    assert stage.box.h >= 130
    if "see-flat" not in [w.key for w in hand.app.widgets]:
        assert hand.widget("bench").box.h > 0  # both stand there
        return
    # the section is one click away, in sight, and its words are whole
    assert hand.widget("see-flat").box.bottom < hand.app.height
    hand.click("see-flat")
    assert "round" not in [w.key for w in hand.app.widgets]
    hand.key(pygame.K_END)
    assert hand.says("4.65 mm still to go")
    hand.choose("see-round")
    assert hand.widget("round")


@pytest.mark.parametrize(
    "pair", [("fakra-c-plug", "fakra-d-jack"), ("sma-plug", "rp-sma-jack"), ("n-50-plug", "n-50-jack")]
)
@pytest.mark.parametrize("turned", [(0.0, 0.0), (40.0, 15.0), (-80.0, 30.0)])
def test_every_corner_of_the_pair_keeps_within_its_bench(pair: tuple[str, str], turned: tuple[float, float]) -> None:
    hand = Hand("together", (1024, 600), Settings(motion=False, text=200), Recorder())
    scene(hand).bring(*pair)
    scene(hand).round.turn(*turned)
    hand.app.arrange()
    box, pen, seen = hand.widget("round").box, Pen(hand.desk.palette, hand.app.type), scene(hand).round
    stands = seen.seen(pen, box)
    per_mm = seen.side(stands) / 2 / seen.reach
    halves = [HALVES[half_id] for half_id in pair]
    # corners by the meshes themselves, which the view knows nothing of
    wide = max(float(np.abs(part.points[:, :2]).max()) for half in halves for part in solid(half))
    long = seen.wide / 2
    beam = Beam(seen.azimuth, seen.elevation)
    for x, y, z in itertools.product((-wide, wide), (-wide, wide), (-long, long)):
        if "fakra" not in pair[0]:
            x, y = x / math.sqrt(2), y / math.sqrt(2)  # round: no corner, the circle's own points
        right, down = beam.at(x, y, z)
        assert stands.holds(stands.middle[0] + right * per_mm, stands.middle[1] + down * per_mm)


@pytest.mark.parametrize("names", [("3.5-plug", "sma-jack"), ("sma-plug", "2.92-jack")])
def test_the_bars_of_torque_say_the_figure_that_the_pair_s_words_say(names: tuple[str, str]) -> None:
    """What to tighten to stands before what is borne at most, so that nobody reads the limit as the advice."""
    halves = [HALVES[one] for one in names]
    (told,) = said(loss for loss in losses(*halves) if loss.code == "loss.torque")
    (bars,) = [scale for scale in limits.scales(*halves) if "m" in scale.unit]
    advised = re.search(r"gentler half: ([\d.]+) N m", told)
    assert advised is not None
    assert bars.words.replace(THIN, " ") == f"tighten to {advised[1]} N m, {bars.stops:g} N m at most"
    assert float(advised[1]) < bars.stops
