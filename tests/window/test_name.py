"""A port named through real events: by keys only, by mouse only; answers changed, contradicted, kept, carried on."""

import json
from pathlib import Path
from random import Random

import pygame
import pytest

from coaxtell.identifier import words
from coaxtell.identifier.answers import State, Term
from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import LIKENED, MEASURED, PRINTED, SEEN, Feature, seen_values
from coaxtell.window.desk.inquiry import Inquiry, feature_words
from coaxtell.window.desk.pictures import Pictures
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.cards import Card
from coaxtell.window.kit.fields import TextField
from coaxtell.window.kit.pen import Fill, Picture, Shape
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.theme import MOTION_S
from coaxtell.window.kit.widgets import Button
from coaxtell.window.scenes.name_port import NamePort
from coaxtell.window.views.round import REST_S
from coaxtell.window.views.viewpoints import SIDES, USUAL
from tests.window.driving import Hand


def scene(hand: Hand) -> NamePort:
    found = hand.app.scene
    assert isinstance(found, NamePort)
    return found


def measuring(hand: Hand) -> None:
    """The coupling's diameter is asked for, of a port without high voltage."""
    scene(hand).inquiry.no_high_voltage()
    scene(hand).looking_at(Feature.COUPLING_DIAMETER)()


RP_TNC_JACK = {
    # what a person sees on a reverse-polarity TNC jack: common practice, no source
    Feature.COUPLING: "thread-outside",
    Feature.CENTRE: "pin",
    Feature.PLASTIC: "tube",
    Feature.SIZE: "aaa-cell",
    Feature.TOUCH: "stands",
    Feature.RIM: "plain",
}
READINGS = {Feature.COUPLING_DIAMETER: "11.0", Feature.THREADS: "28tpi"}


def answer_by_keys(hand: Hand) -> None:
    """Answer whatever is asked, with number keys and typing only."""
    for _ in range(25):
        feature = scene(hand).feature
        if feature is None:
            return
        if feature in RP_TNC_JACK:
            widget = hand.widget(f"value-{RP_TNC_JACK[feature]}")
            if widget.number:
                hand.key(pygame.K_0 + int(widget.number), widget.number)
            else:
                hand.choose(widget.key)
        elif feature in READINGS:
            hand.tab_to("size")
            hand.type(READINGS[feature])
            hand.enter()
        else:
            hand.choose("not-sure")
    raise AssertionError("it does not stop asking")


def test_a_port_is_named_by_keys_only() -> None:
    hand = Hand("name")
    answer_by_keys(hand)
    assert scene(hand).inquiry.found.candidates[0].id == "rp-tnc-jack"
    assert hand.says("RP-TNC jack")
    hand.choose("copy")
    assert "RP-TNC plug, reverse polarity" in hand.desk.copied
    for caution in words.cautions(scene(hand).inquiry.found):
        assert hand.says(caution)
    # a screen without a clipboard shows the words selected
    field = hand.widget("by-hand")
    assert isinstance(field, TextField)
    assert field.edit.selection == " ".join(hand.desk.copied.split())
    hand.key(pygame.K_ESCAPE)
    hand.choose("bring")
    assert hand.app.scene.name == "together"
    assert hand.says("RP-TNC jack")
    assert hand.desk.named[0].half_id == "rp-tnc-jack"


def test_a_port_is_named_by_mouse_only() -> None:
    hand = Hand("name", (1024, 640))
    for _ in range(25):
        feature = scene(hand).feature
        if feature is None:
            break
        if feature in RP_TNC_JACK:
            hand.click(f"value-{RP_TNC_JACK[feature]}", down=0.3)
        else:
            hand.click("not-sure")
    assert scene(hand).inquiry.found.candidates[0].id == "rp-tnc-jack"
    hand.click("to-cable")
    assert hand.app.scene.name == "cable"
    assert hand.says("Reader: RP-TNC jack")


def test_the_shortlist_thins_and_stands_at_one_scale() -> None:
    hand = Hand("name")

    def shown() -> list[Shape]:
        return [c for c in hand.calls() if isinstance(c, Shape) and c.name in hand.desk.tables.halves]

    before = shown()
    hand.click("value-thread-inside", down=0.3)
    after = shown()
    assert 0 < len(after) < len(before)
    for found in (before, after):
        assert len({round(call.per_mm, 9) for call in found}) == 1
    # what is likelier stands out: the strongest drawn is the likeliest half
    strongest = max(after, key=lambda call: call.alpha)
    assert strongest.alpha == 1.0
    assert strongest.name == scene(hand).inquiry.found.candidates[0].id


def test_an_answer_is_changed_in_place_and_taken_back() -> None:
    hand = Hand("name")
    hand.click("value-thread-outside", down=0.3)
    first = scene(hand).inquiry.found.candidates[0].id
    hand.click("said-coupling")
    assert scene(hand).feature is Feature.COUPLING
    hand.click("value-lugs", down=0.3)
    assert scene(hand).inquiry.found.candidates[0].id != first
    hand.click("said-coupling")
    hand.click("take-back")
    assert scene(hand).inquiry.state.answers == {}


def test_a_contradiction_is_shown_where_it_is() -> None:
    hand = Hand("name")
    scene(hand).inquiry.saw(Feature.COUPLING, "lugs")
    scene(hand).inquiry.saw(Feature.SIZE, "m2-screw")
    hand.app.arrange()
    clash = scene(hand).inquiry.found.contradiction
    assert clash is not None
    assert hand.says("coupling: small studs on a smooth collar, for a bayonet; size: the thread of an M2 screw")
    assert hand.says(scene(hand).inquiry.clash)
    assert hand.says("look again")
    # and it is not said once more among the cautions
    scene(hand).name_now()
    said = words.clash(clash, scene(hand).inquiry.state.answers)
    assert said in words.cautions(scene(hand).inquiry.found)
    assert said not in scene(hand).inquiry.cautions


def test_where_the_port_is_can_be_changed_and_changes_what_comes_first() -> None:
    hand = Hand("name")
    assert hand.says("where: readers and antennas of UHF RFID")
    first = scene(hand).inquiry.ranked[0][0].id
    hand.choose("setting")
    hand.choose("setting-video")
    assert scene(hand).inquiry.state.setting == "video"
    assert hand.says(f"where: {scene(hand).inquiry.looks.settings['video'].words}")
    assert scene(hand).inquiry.ranked[0][0].id != first


def test_what_is_at_hand_and_what_holds_there_is_said_and_obeyed() -> None:
    """Only eyes: nothing is measured; energised: nothing is touched; the mate still on: it comes off first."""
    hand = Hand("name")
    assert hand.says("at hand: a calliper")
    hand.choose("at-hand")
    hand.choose("with-none")
    hand.choose("term-look-only")
    hand.choose("at-hand-done")
    assert hand.says("at hand: only my eyes, look only")
    inquiry = scene(hand).inquiry
    asked = []
    while (following := inquiry.found.next) is not None:
        asked.append(following.feature)
        inquiry.not_sure(following.feature, following.again)
    assert not {*MEASURED, Feature.TOUCH, Feature.OFF} & set(asked)
    scene(hand).over()
    assert scene(hand).inquiry.state == State("uhf-reader", "none", terms=frozenset({Term.LOOK_ONLY}))
    hand.app.arrange()
    hand.choose("at-hand")
    hand.choose("term-look-only")
    hand.choose("term-mated")
    hand.choose("term-high-voltage")
    hand.choose("term-no-high-voltage")
    assert scene(hand).inquiry.state.terms == {Term.MATED, Term.NO_HIGH_VOLTAGE}
    hand.choose("at-hand-done")
    assert scene(hand).feature is Feature.OFF
    assert hand.says("How does the mate that is still on it come off?")
    assert hand.says("the face is seen after that")


@pytest.mark.parametrize("terms", [("term-high-voltage",), ("with-none", "term-look-only")])
def test_nobody_is_led_to_what_must_not_be_done(terms: tuple[str, ...]) -> None:
    """A bayonet that may carry kilovolts, and an energised port with only eyes: no way on leads to a touch."""
    hand = Hand("name")
    hand.choose("at-hand")
    for key in terms:
        hand.choose(key)
    hand.choose("at-hand-done")
    inquiry = scene(hand).inquiry
    inquiry.saw(Feature.COUPLING, "lugs" if "term-high-voltage" in terms else "thread-outside")
    while (following := inquiry.found.next) is not None:
        inquiry.not_sure(following.feature, following.again)
    hand.app.arrange()
    keys = [widget.key for widget in hand.app.widgets]
    forbidden = {Feature.TOUCH, Feature.OFF, *MEASURED}
    assert not {f"look-{feature}" for feature in forbidden} & set(keys)
    if "term-high-voltage" in terms:
        assert hand.says("may carry kilovolts")
        assert "next-look" not in keys
    elif "next-look" in keys:
        hand.choose("next-look")
        assert scene(hand).feature not in forbidden
    kept = scene(hand).inquiry.state.terms
    scene(hand).over()
    assert (scene(hand).inquiry.state.answers, scene(hand).inquiry.state.terms) == ({}, kept)
    scene(hand).another()
    assert scene(hand).inquiry.state.terms == ({Term.LOOK_ONLY} if "term-look-only" in terms else set())


FORBIDDEN = {Feature.TOUCH, Feature.OFF, *MEASURED}
"""What is done to a port by hand or instrument, or takes its mate off: said here once more, apart from the program."""


def at_random(inquiry: Inquiry, rng: Random) -> None:
    """Any answers, clashing ones among them, then that it is energised or may carry high voltage."""
    for feature in rng.sample(list(Feature), rng.randint(1, 6)):
        if feature in MEASURED:
            inquiry.measured(feature, rng.choice(["2.4", "4.9", "6.3", "9.0", "12"]))
        else:
            inquiry.saw(feature, rng.choice(inquiry.values(feature))[0])
    for term in rng.sample(list(Term), 2):
        inquiry.hold(term, True)
    inquiry.hold(rng.choice([Term.LOOK_ONLY, Term.HIGH_VOLTAGE]), True)


@pytest.mark.parametrize("seed", range(3))
def test_nothing_that_can_be_pressed_leads_to_a_look_that_must_not_be_taken(seed: int) -> None:
    hand, rng = Hand("name"), Random(seed)
    pressed, barred = 0, 0
    for _ in range(5):
        scene(hand).over()
        scene(hand).inquiry = scene(hand).inquiry.another()
        scene(hand).looking_at(rng.choice([Feature.TOUCH, Feature.COUPLING_DIAMETER]))()
        at_random(scene(hand).inquiry, rng)
        state = scene(hand).inquiry.state
        assert scene(hand).feature not in FORBIDDEN  # the question in force is dropped
        scene(hand).name_now()
        hand.app.arrange()
        ways = ("look-", "said-", "next-look", "ask-on")
        for widget in [w for w in hand.app.widgets if w.focusable and w.key.startswith(ways)]:
            assert isinstance(widget, Button)
            widget.action()
            hand.app.arrange()
            assert scene(hand).feature not in FORBIDDEN, (widget.key, state)
            if hand.desk.dialogs:
                assert {"withdraw", "leave-it"} <= {w.key for w in hand.app.widgets}
                hand.desk.close_dialog()
                barred += 1
            pressed += 1
            scene(hand).name_now()
    assert pressed > 20
    assert barred > 3


def test_the_question_in_force_is_dropped_when_it_may_not_be_asked_any_more() -> None:
    hand = Hand("name")
    scene(hand).inquiry.saw(Feature.COUPLING, "thread-outside")
    scene(hand).name_now()
    hand.app.arrange()
    hand.choose("look-touch")
    assert hand.says("wooden toothpick")
    hand.choose("value-stands")
    scene(hand).looking_at(Feature.TOUCH)()
    hand.app.arrange()
    hand.choose("at-hand")
    hand.choose("term-look-only")
    hand.choose("at-hand-done")
    assert scene(hand).feature not in FORBIDDEN
    assert not hand.says("wooden toothpick")
    # the answer given before stays, and may be taken back
    hand.choose("said-touch")
    assert hand.says("It is energised")
    hand.choose("withdraw")
    assert Feature.TOUCH not in scene(hand).inquiry.state.answers


def test_a_clash_does_not_lead_to_measuring_what_is_energised() -> None:
    """A smooth sleeve measured at 12 mm and a nut of 6.3 mm across its flats; then it is energised."""
    hand = Hand("name")
    inquiry = scene(hand).inquiry
    inquiry.saw(Feature.COUPLING, "sleeve")
    inquiry.saw(Feature.CENTRE, "socket")
    inquiry.measured(Feature.COUPLING_DIAMETER, "12")
    assert inquiry.found.contradiction is not None
    assert inquiry.found.contradiction.misread is Feature.COUPLING_DIAMETER
    assert inquiry.clash.endswith("Look at the coupling diameter again.")
    inquiry.hold(Term.LOOK_ONLY, True)
    scene(hand).name_now()
    hand.app.arrange()
    assert inquiry.clash.endswith("nothing of it is touched or measured.")
    assert hand.says("It is energised")
    if inquiry.onward is not None:
        hand.choose("next-look")
        assert scene(hand).feature not in FORBIDDEN


def test_to_start_over_keeps_what_was_said_of_the_port_and_another_port_what_is_of_the_place() -> None:
    hand = Hand("name")
    inquiry = scene(hand).inquiry
    inquiry.use("laboratory" if "laboratory" in inquiry.looks.settings else "any", "ruler")
    for term in (Term.HIGH_VOLTAGE, Term.LOOK_ONLY, Term.NO_REACH, Term.MATED):
        inquiry.hold(term, True)
    inquiry.saw(Feature.COUPLING, "thread-inside")
    before = inquiry.state
    hand.app.arrange()
    hand.choose("over")
    assert scene(hand).inquiry.state == State(before.setting, "ruler", terms=before.terms)
    scene(hand).inquiry.saw(Feature.COUPLING, "thread-inside")
    scene(hand).name_now()
    hand.app.arrange()
    hand.choose("over-now")
    kept = frozenset({Term.LOOK_ONLY, Term.NO_REACH})
    assert scene(hand).inquiry.state == State(before.setting, "ruler", terms=kept)


@pytest.mark.parametrize("size", [(1366, 768, 100), (1366, 768, 200), (1024, 600, 200)])
def test_high_voltage_on_a_port_that_is_no_bayonet_is_answered_before_anything_is_ordered(
    size: tuple[int, int, int],
) -> None:
    hand = Hand("name", size[:2], Settings(motion=False, text=size[2]))
    inquiry = scene(hand).inquiry
    for feature in (Feature.COUPLING, Feature.CENTRE, Feature.PLASTIC, Feature.SIZE):
        inquiry.saw(feature, RP_TNC_JACK[feature])
    inquiry.hold(Term.HIGH_VOLTAGE, True)
    scene(hand).name_now()
    hand.app.arrange()
    assert inquiry.found.settled
    assert hand.says("It may carry high voltage, or nobody knows: that was said")
    assert hand.says("ask who answers for the equipment")
    actions = [w.key for w in hand.app.widgets if isinstance(w, Button) and w.kind == "action"]
    assert actions == ["say-voltage"]
    assert hand.app.focused_key == "say-voltage"
    told = hand.widget("on-it-0").box
    assert told.y < hand.app.page.bottom
    scene(hand).copy()
    assert "ask who answers for the equipment" in hand.desk.copied
    hand.desk.close_dialog()
    hand.app.arrange()
    hand.choose("say-voltage")
    hand.choose("term-no-high-voltage")
    hand.choose("at-hand-done")
    assert not hand.says("It may carry high voltage, or nobody knows:")


@pytest.mark.parametrize("term", [Term.LOOK_ONLY, Term.HIGH_VOLTAGE])
def test_with_large_text_what_is_on_a_port_is_read_before_its_order_is_copied(term: Term) -> None:
    hand = Hand("name", (1024, 600), Settings(motion=False, text=200))
    for feature in (Feature.COUPLING, Feature.CENTRE, Feature.PLASTIC, Feature.SIZE):
        scene(hand).inquiry.saw(feature, RP_TNC_JACK[feature])
    scene(hand).inquiry.hold(term, True)
    scene(hand).name_now()
    hand.app.arrange()
    assert scene(hand).inquiry.found.settled
    assert hand.app.offset == 0
    assert hand.widget("on-it-0").box.bottom <= hand.app.page.bottom


def test_a_centre_that_was_seen_once_is_not_called_unseen() -> None:
    hand = Hand("name")
    inquiry = scene(hand).inquiry
    inquiry.saw(Feature.COUPLING, "sleeve")
    inquiry.saw(Feature.CENTRE, "socket")
    inquiry.not_sure(Feature.CENTRE, again=True)
    while (following := inquiry.found.next) is not None:
        inquiry.not_sure(following.feature, following.again)
    scene(hand).name_now()
    hand.app.arrange()
    assert not inquiry.found.centre_told
    assert hand.says("was told once and could not be told again")
    assert not hand.says("Nobody has seen")


@pytest.mark.parametrize("term", [Term.LOOK_ONLY, Term.HIGH_VOLTAGE])
def test_a_named_port_whose_mate_stays_on_says_so(term: Term) -> None:
    hand = Hand("name")
    inquiry = scene(hand).inquiry
    for one in (Term.MATED, term):
        inquiry.hold(one, True)
    inquiry.saw(Feature.COUPLING, "thread-inside")
    while (following := inquiry.found.next) is not None:
        inquiry.not_sure(following.feature, following.again)
    hand.app.arrange()
    assert scene(hand).feature is None
    assert hand.says("mate stays on")
    assert not hand.says("Look into it with a light")


@pytest.mark.parametrize(
    ("also", "why"),
    [
        (Term.LOOK_ONLY, "energised: its mate stays on"),
        (Term.HIGH_VOLTAGE, "kilovolts: its mate stays on"),
        (None, "the mate stays on"),
    ],
)
def test_of_a_mate_that_stays_on_it_is_said_why_before_what_cannot_be_seen_is_asked(
    also: Term | None, why: str
) -> None:
    hand = Hand("name")
    hand.choose("at-hand")
    for term in (Term.MATED, also):
        if term is not None:
            hand.choose(f"term-{term}")
    hand.choose("at-hand-done")
    assert scene(hand).feature is not Feature.OFF
    assert hand.says(why)
    assert hand.says("of the rest say that you cannot tell")
    # it stands over the answers, in the first look
    assert hand.app.offset == 0
    assert hand.widget("mate-on").box.bottom <= next(w.box.y for w in hand.app.widgets if w.number == "1")


def test_a_look_that_has_one_hold_something_says_that_nothing_is_held_by_what_is_energised() -> None:
    hand = Hand("name")
    inquiry = scene(hand).inquiry
    for feature, value in ((Feature.COUPLING, "thread-outside"), (Feature.CENTRE, "socket")):
        inquiry.saw(feature, value)
    scene(hand).asked = Feature.SIZE
    hand.app.arrange()
    assert hand.says("Hold the thing beside it")
    assert not hand.says("hold nothing near it")
    inquiry.hold(Term.LOOK_ONLY, True)
    hand.app.arrange()
    assert hand.says("It is energised: judge from a distance")
    assert hand.says("hold nothing near it")


def test_a_mate_stays_on_until_somebody_knows_of_no_high_voltage() -> None:
    hand = Hand("name")
    scene(hand).inquiry.hold(Term.MATED, True)
    hand.app.arrange()
    assert hand.says("the mate stays on until somebody knows")
    hand.choose("no-high-voltage")
    assert scene(hand).feature is Feature.OFF


def test_answers_that_clash_lead_to_the_look_again_and_are_copied_with_the_order() -> None:
    """Thread outside, pin, plastic sunk, as wide as an AAA cell and 11.0 mm: settled, and no connector shows it."""
    hand = Hand("name")
    inquiry = scene(hand).inquiry
    seen = {"coupling": "thread-outside", "centre": "pin", "plastic": "sunk", "size": "aaa-cell"}
    for feature, value in seen.items():
        inquiry.saw(Feature(feature), value)
    inquiry.measured(Feature.COUPLING_DIAMETER, "11.0")
    scene(hand).name_now()
    hand.app.arrange()
    assert inquiry.found.contradiction is not None
    kinds = {widget.key: widget.kind for widget in hand.app.widgets if isinstance(widget, Button)}
    assert (kinds["next-look"], kinds["copy"]) == ("action", "plain")
    scene(hand).copy()
    assert "No connector in the tables shows this" in hand.desk.copied


@pytest.mark.parametrize("feature", list(Feature))
def test_any_feature_of_the_identifier_is_asked_in_words_and_with_pictures(feature: Feature) -> None:
    hand = Hand("name")
    for term in (Term.NO_HIGH_VOLTAGE, Term.MATED):
        scene(hand).inquiry.hold(term, True)
    scene(hand).looking_at(feature)()
    hand.app.arrange()
    asked = scene(hand).inquiry.question(feature)
    assert hand.says(asked.ask)
    assert not hand.app.faults
    if feature not in SEEN:
        hand.tab_to("size")
        return
    pictured = {h.id: h for h, _ in scene(hand).inquiry.ranked}
    for value, told in scene(hand).inquiry.values(feature):
        card = hand.widget(f"value-{value}")
        assert hand.says(told)
        if feature in LIKENED:
            continue
        shown = [h for h in pictured.values() if value in seen_values(h, feature, Nominal())[:1]]
        assert isinstance(card, Card)
        assert (card.art is not None) == (bool(shown) and feature not in PRINTED), value
    hand.choose("not-sure")
    assert feature in scene(hand).inquiry.state.answers
    assert hand.says(f"{feature_words(feature)}: not sure")


def test_the_named_port_and_its_company_stand_at_one_scale_from_one_side() -> None:
    for view in SIDES:
        hand = Hand("name")
        answer_by_keys(hand)
        hand.choose(f"view-{view}")
        drawn = [c for c in hand.calls() if isinstance(c, Shape)]
        assert len(drawn) >= 3
        assert len({round(c.per_mm, 9) for c in drawn}) == 1


@pytest.mark.parametrize("typed", ["abc", "0", "-4", "1/0in", "999mm", ""])
def test_bad_readings_are_told_in_one_sentence_and_change_nothing(typed: str) -> None:
    hand = Hand("name")
    measuring(hand)
    hand.app.arrange()
    hand.tab_to("size")
    hand.type(typed)
    hand.enter()
    assert hand.desk.notice.endswith(".")
    assert hand.says(hand.desk.notice)
    assert scene(hand).inquiry.state.answers == {}


def test_an_inch_reading_with_a_ruler_counts_as_the_engine_says() -> None:
    hand = Hand("name")
    measuring(hand)
    hand.app.arrange()
    hand.choose("with-ruler")
    hand.tab_to("size")
    hand.type("1/4in")
    hand.enter()
    answer = scene(hand).inquiry.state.answers[Feature.COUPLING_DIAMETER]
    assert getattr(answer, "value", 0) == pytest.approx(6.35)  # 25.4 mm / 4
    assert getattr(answer, "plus_minus", 0) == pytest.approx(0.5)


def test_closing_anywhere_loses_no_answer() -> None:
    hand = Hand("name")
    hand.key(pygame.K_1, "1")
    hand.key(pygame.K_2, "2")
    told = dict(scene(hand).inquiry.state.answers)
    assert len(told) == 2
    # no farewell at all: what the settings hold after the last key is all there is
    again = Hand("name", settings=hand.settings)
    assert dict(scene(again).inquiry.state.answers) == told


def test_sheet_and_file_are_saved_and_the_file_is_taken_up(tmp_path: Path) -> None:
    from pypdf import PdfReader

    hand = Hand("name", sheets=tmp_path)
    answer_by_keys(hand)
    hand.choose("sheet")
    (sheet,) = tmp_path.glob("*.pdf")
    text = PdfReader(sheet).pages[0].extract_text()
    assert "RP-TNC jack" in text
    assert "To order" in text
    (kept,) = tmp_path.glob("*.json")
    assert json.loads(kept.read_text(encoding="utf-8"))["candidates"][0]["id"] == "rp-tnc-jack"
    other = Hand("name")
    other.post(pygame.event.Event(pygame.DROPFILE, file=str(kept)))
    assert scene(other).inquiry.state == scene(hand).inquiry.state


@pytest.mark.parametrize(
    ("coupling", "term", "told"),
    [
        ("thread-outside", Term.HIGH_VOLTAGE, "It may carry high voltage, or nobody knows: that was said"),
        ("thread-outside", Term.LOOK_ONLY, "It is energised: judge from a distance. Touch nothing, hold nothing near"),
        ("lugs", Term.HIGH_VOLTAGE, "It may carry kilovolts (MHV and SHV look like it): touch and join nothing"),
    ],
)
def test_what_is_on_a_port_stands_on_its_page_on_its_sheet_and_in_what_is_copied(
    coupling: str, term: Term, told: str, tmp_path: Path
) -> None:
    from pypdf import PdfReader

    hand = Hand("name", sheets=tmp_path)
    inquiry = scene(hand).inquiry
    inquiry.saw(Feature.COUPLING, coupling)
    inquiry.saw(Feature.CENTRE, "pin")
    inquiry.hold(term, True)
    scene(hand).name_now()
    hand.app.arrange()
    assert hand.says(told)
    kilovolts = told.startswith("It may carry kilovolts")
    if kilovolts:
        assert not hand.says("look again")
    scene(hand).copy()
    assert ("kilovolts" if kilovolts else told) in hand.desk.copied
    hand.desk.close_dialog()
    scene(hand).save()
    (sheet,) = tmp_path.glob("*.pdf")
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(sheet).pages).split())
    assert told in text
    assert not (kilovolts and "look again" in text)


def test_a_wrong_file_is_refused_in_a_sentence(tmp_path: Path) -> None:
    hand = Hand("name")
    for name, text in (("a.json", "{"), ("b.json", '{"candidates": 3}'), ("c.txt", "x")):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        hand.post(pygame.event.Event(pygame.DROPFILE, file=str(path)))
        assert name in hand.desk.notice


class Recorder(Pictures):
    """Pictures that are at hand at once, and remember what was asked for."""

    why = ""

    def __init__(self) -> None:
        self.jobs: list[Job] = []
        self.surface = pygame.Surface((32, 32), pygame.SRCALPHA)
        self._newest: dict[Job, tuple[Job, pygame.Surface]] = {}

    def want(self, job: Job, first: bool = False) -> pygame.Surface | None:
        self.jobs.append(job)
        return self.surface

    def ready(self, job: Job) -> pygame.Surface | None:
        return None

    def turn(self, job: Job) -> None:
        self.jobs.append(job)
        self._newest[job.subject] = (job, self.surface)

    def newest(self, job: Job) -> tuple[Job, pygame.Surface] | None:
        return self._newest.get(job.subject)


def test_a_drag_turns_the_camera_quick_first_and_in_full_when_it_rests() -> None:
    pictures = Recorder()
    hand = Hand("name", pictures=pictures)
    hand.choose("name-now")
    hand.calls()
    assert {job.azimuth for job in pictures.jobs} == {USUAL.azimuth}
    pictures.jobs.clear()
    hand.drag("bench", 60, 20)
    quick = [job for job in pictures.jobs if job.quick]
    assert quick
    units = 60 / hand.app.type.scale
    # half a degree for each unit of the mouse; the part follows the hand, so the camera goes the other way
    assert quick[-1].azimuth == pytest.approx(USUAL.azimuth - units / 2, abs=0.11)
    hand.calls()
    drawn = [c.name for c in hand.calls() if isinstance(c, Picture)]
    assert any(f"at {quick[-1].azimuth:.0f}" in name for name in drawn)
    assert not [job for job in pictures.jobs if not job.quick and job.azimuth != USUAL.azimuth]
    hand.now += REST_S + 0.01
    hand.app.tick()
    hand.calls()
    settled = [job for job in pictures.jobs if not job.quick and job.azimuth == quick[-1].azimuth]
    assert settled
    assert settled[-1].side > quick[-1].side


def test_without_graphics_drawings_take_their_place_and_a_line_says_so() -> None:
    hand = Hand("name")
    hand.choose("name-now")
    assert hand.says("Drawings take the place of pictures")
    assert any(isinstance(c, Shape) and c.name.endswith("section") for c in hand.calls())


def test_probability_shows_as_a_bar_too() -> None:
    hand = Hand("name")
    bars = [c for c in hand.calls() if isinstance(c, Fill) and c.colour == hand.desk.palette.action and c.box.h == 4]
    assert len(bars) > 5


def test_motion_and_tone_are_kept() -> None:
    hand = Hand("name", settings=Settings(motion=True))
    hand.key(pygame.K_ESCAPE)
    hand.choose("tone-light")
    hand.choose("motion-off")
    assert (hand.settings.tone, hand.settings.motion) == ("light", False)


def test_the_shortlist_thins_in_a_short_movement_that_can_be_off() -> None:
    def places(hand: Hand) -> dict[str, tuple[float, float]]:
        shapes = [c for c in hand.calls() if isinstance(c, Shape) and c.name in hand.desk.tables.halves]
        return {c.name: (c.origin[0], c.alpha) for c in shapes}

    hand = Hand("name", settings=Settings(motion=True))
    before = places(hand)
    hand.key(pygame.K_1, "1")
    hand.now += MOTION_S / 2
    hand.app.tick()
    midway = places(hand)
    hand.now += MOTION_S
    hand.app.tick()
    after = places(hand)
    assert set(after) < set(before)
    # what goes is still there midway, paler; what stays is between its places
    gone = set(before) - set(after)
    assert gone <= set(midway)
    assert all(midway[i][1] <= before[i][1] for i in gone)
    for i in after:
        assert min(before[i][0], after[i][0]) - 1e-6 <= midway[i][0] <= max(before[i][0], after[i][0]) + 1e-6
    still = Hand("name", settings=Settings(motion=False))
    still.key(pygame.K_1, "1")
    assert places(still) == after


def test_a_size_is_clicked_together_from_digits() -> None:
    hand = Hand("name")
    measuring(hand)
    hand.app.arrange()
    hand.click("digits")
    for sign in ("1", "1", ".", "7"):
        hand.click(f"digit-{sign}")
    hand.click("digit-back")
    hand.click("digit-0")
    hand.click("digits-take")
    assert scene(hand).inquiry.said(Feature.COUPLING_DIAMETER) == "11 mm"
    assert not hand.desk.dialogs


def test_answers_kept_under_other_tables_say_what_they_name_now() -> None:
    hand = Hand("name")
    hand.choose("value-lugs")
    held = json.loads(json.dumps(hand.app.scene.remembered()))
    held |= {"tables": "0000", "candidates": [{"id": "sma-plug", "probability": 0.9}]}
    later = Hand("name")
    later.app.scene.recall(held)
    assert "the last session: saved under other tables and worked out anew" in later.desk.notice
    assert "it named SMA plug" in later.desk.notice
    same = Hand("name")
    same.app.scene.recall(hand.app.scene.remembered())
    assert not same.desk.notice
