"""The later states of the scenes at all sizes of window and text: what the first look at a scene does not show."""

import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random

import numpy as np
import pygame
import pytest
from PIL import Image

from benchmarks.photo_scene import scene as shot_of
from coaxtell.identifier.answers import Term
from coaxtell.identifier.features import MEASURED, Feature
from coaxtell.quiz import items
from coaxtell.window.desk.pictures import Pictures
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.copying import copy_words
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.menu import first_dialog
from coaxtell.window.kit.pen import Pen, Picture, Shape, Words
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.widgets import Mood
from coaxtell.window.scenes.beside import SideBySide
from coaxtell.window.scenes.bring_together import BringTogether
from coaxtell.window.scenes.half import HalfPage
from coaxtell.window.scenes.name_port import NamePort
from coaxtell.window.scenes.photo_marks import Marks
from coaxtell.window.scenes.photograph import Photograph
from coaxtell.window.scenes.practise import Practise
from coaxtell.window.scenes.question_column import MEASURING
from coaxtell.window.screen import FIRST
from coaxtell.window.views import measuring as measuring_view
from tests.halves import all_halves
from tests.window.driving import SIZES, Hand
from tests.window.test_layout import check, walk
from tests.window.test_name import Recorder


def named(hand: Hand) -> None:
    assert isinstance(hand.app.scene, NamePort)
    hand.app.scene.name_now()


def measuring(hand: Hand) -> None:
    assert isinstance(hand.app.scene, NamePort)
    hand.app.scene.inquiry.saw(Feature.COUPLING, "lugs")
    hand.app.scene.inquiry.saw(Feature.SIZE, "m2-screw")
    hand.app.scene.inquiry.no_high_voltage()  # of a bayonet nothing is measured before
    hand.app.scene.looking_at(Feature.COUPLING_DIAMETER)()


def where(hand: Hand) -> None:
    hand.choose("setting")


def at_hand(hand: Hand) -> None:
    hand.choose("at-hand")


def asking(feature: Feature) -> Callable[[Hand], None]:
    def reach(hand: Hand) -> None:
        assert isinstance(hand.app.scene, NamePort)
        for term in (Term.NO_HIGH_VOLTAGE, Term.MATED):
            hand.app.scene.inquiry.hold(term, True)
        hand.app.scene.looking_at(feature)()
        hand.app.arrange()

    return reach


def sprung(hand: Hand) -> None:
    assert isinstance(hand.app.scene, BringTogether)
    hand.app.scene.bring("fakra-c-plug", "fakra-d-jack")
    hand.key(pygame.K_END)


def joined(hand: Hand) -> None:
    hand.key(pygame.K_END)


def setting_screen(hand: Hand) -> None:
    hand.choose("set")


def asked(hand: Hand) -> None:
    hand.settings.person = "Ada"
    assert isinstance(hand.app.scene, Practise)
    hand.app.scene.sitter.name.set("Ada")
    hand.app.scene.sitter.take_name()
    hand.app.arrange()
    hand.choose("practise")


def unsure(hand: Hand) -> None:
    asked(hand)
    hand.key(pygame.K_1, "1")


def told(hand: Hand) -> None:
    unsure(hand)
    hand.enter()


def terms(hand: Hand) -> None:
    asked(hand)
    hand.choose("pause")
    hand.choose("assess")


def picking(hand: Hand) -> None:
    hand.choose("choose-a")


def of_a_drawing(hand: Hand) -> None:
    hand.choose("paper-drawing")


def by_hand(hand: Hand) -> None:
    copy_words(hand.desk, "A plug. " * 30, "Order words")


def first(hand: Hand) -> None:
    hand.desk.ask(first_dialog(hand.app, FIRST))


def six(hand: Hand) -> None:
    assert isinstance(hand.app.scene, SideBySide)
    hand.app.scene.halves = ["sma-plug", "n-50-plug", "tnc-plug", "rp-sma-plug", "mcx-plug", "7-16-plug"]
    hand.app.scene.only = False


def unlike(hand: Hand) -> None:
    six(hand)
    hand.key(pygame.K_v, "v")


def doubtful(hand: Hand) -> None:
    assert isinstance(hand.app.scene, NamePort)
    hand.app.scene.inquiry.use(setting="any")
    hand.app.scene.inquiry.saw(Feature.COUPLING, "thread-outside")
    named(hand)
    hand.app.arrange()
    hand.choose("to-cable")


def parts(hand: Hand) -> None:
    for key in ("outdoor", "bend", "pigtail", "arrestor", "service", "warm"):
        hand.choose(f"part-{key}")


def gauging(hand: Hand) -> None:
    hand.choose("gauge")


def of_a_delivery(hand: Hand) -> None:
    hand.choose("paper-arrival")


@cache
def marks() -> Marks:
    """A drawn photograph of a port beside a card, looked through once."""
    path = Path(tempfile.mkdtemp(prefix="shot-")) / "port.png"
    drawn = shot_of(202, 1600, 1200, np.array([11.11]), False)
    Image.fromarray(drawn.picture).save(path)
    found = Marks(path)
    # as a person has put it: here the ring proposed first is another one
    found.centre, found.radius, found.placed = drawn.centre, drawn.radius, True
    return found


def photographed(hand: Hand) -> None:
    assert isinstance(hand.app.scene, Photograph)
    hand.app.scene.show(marks())
    marks().placed = True
    hand.app.arrange()
    assert hand.app.scene.marking is not None
    hand.app.scene.marking.near()


def proposed(hand: Hand) -> None:
    photographed(hand)
    marks().placed = False
    hand.app.arrange()


def side_asked(hand: Hand) -> None:
    photographed(hand)
    hand.key(pygame.K_y, "y")


@cache
def bare_marks() -> Marks:
    """A picture of nothing, looked through once."""
    path = Path(tempfile.mkdtemp(prefix="shot-")) / "grey.png"
    Image.fromarray(np.full((400, 600, 3), 90, dtype=np.uint8)).save(path)
    return Marks(path)


def without_a_card(hand: Hand) -> None:
    assert isinstance(hand.app.scene, Photograph)
    hand.app.scene.opening.typed.set(str(Path(tempfile.gettempdir()) / "grey.png"))
    hand.app.scene.show(bare_marks())


def in_sections(hand: Hand) -> None:
    assert isinstance(hand.app.scene, BringTogether)
    hand.app.scene.flat = True
    hand.key(pygame.K_END)


def choosing_a_file(hand: Hand) -> None:
    hand.desk.folder = Path(__file__).parent
    hand.choose("choose")


def clicking_digits(hand: Hand) -> None:
    measuring(hand)
    hand.app.arrange()
    hand.choose("digits")


def not_known(hand: Hand) -> None:
    assert isinstance(hand.app.scene, BringTogether)
    hand.app.scene.bring("rp-tnc-plug", "tnc-jack")
    hand.key(pygame.K_END)


def taken_apart(hand: Hand) -> None:
    assert isinstance(hand.app.scene, HalfPage)
    hand.app.scene.in_hand.open_by(90.0)
    hand.app.scene.in_hand.take_apart(1.0)


def clashing(hand: Hand) -> None:
    assert isinstance(hand.app.scene, NamePort)
    for feature, value in ((Feature.COUPLING, "thread-outside"), (Feature.CENTRE, "pin"), (Feature.SIZE, "m2-screw")):
        hand.app.scene.inquiry.saw(feature, value)
    named(hand)


STATES: dict[str, tuple[str, Callable[[Hand], None]]] = {
    "named": ("name", named), "measuring": ("name", measuring), "joined": ("together", joined),
    "where": ("name", where), "at-hand": ("name", at_hand),
    "size": ("name", asking(Feature.SIZE)), "insulator": ("name", asking(Feature.PLASTIC)),
    "colour": ("name", asking(Feature.COLOUR)), "keyed housings": ("together", sprung),
    "picking": ("together", picking), "setting the screen": ("life-size", setting_screen),
    "asked": ("practise", asked), "unsure": ("practise", unsure), "told": ("practise", told),
    "terms": ("practise", terms), "of a drawing": ("papers", of_a_drawing), "by hand": ("name", by_hand),
    "first": ("name", first), "six": ("beside", six), "unlike": ("beside", unlike),
    "doubtful": ("name", doubtful), "parts": ("cable", parts), "of a delivery": ("papers", of_a_delivery),
    "gauging": ("half", gauging), "photographed": ("photo", photographed), "side asked": ("photo", side_asked),
    "ring proposed": ("photo", proposed),
    "without a card": ("photo", without_a_card), "in sections": ("together", in_sections),
    "choosing a file": ("photo", choosing_a_file), "clicking digits": ("name", clicking_digits),
    "clashing": ("name", clashing), "not known": ("together", not_known), "taken apart": ("half", taken_apart),
}  # fmt: skip


@pytest.mark.parametrize(("text", "tone"), [(100, "dark"), (150, "light"), (200, "dark")])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("state", STATES)
def test_later_states_fit_too(state: str, size: tuple[int, int], text: int, tone: str, tmp_path: Path) -> None:
    scene, reach = STATES[state]
    hand = Hand(scene, size, Settings(motion=False, text=text, tone=tone), records=tmp_path / "r.db")
    reach(hand)
    hand.desk.notice = ""
    hand.app.arrange()
    check(hand)


@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("state", STATES)
def test_every_control_of_later_states_is_reached_by_keys(state: str, text: int, tmp_path: Path) -> None:
    scene, reach = STATES[state]
    hand = Hand(scene, (1024, 640), Settings(motion=False, text=text), records=tmp_path / "r.db")
    reach(hand)
    hand.app.arrange()
    assert walk(hand) >= 2


def dead_end(hand: Hand) -> None:
    hand.desk.carry["half"] = ("smb-plug",)
    hand.app.scene.enter()
    hand.app.arrange()
    hand.choose("gauge")


IN_FRONT = [
    "where", "at-hand", "picking", "first", "by hand", "gauging", "choosing a file", "clicking digits",
]  # fmt: skip
"""States in which a dialog stands in front."""


@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("state", [*IN_FRONT, "nothing to measure", "a reader", "the jobs", "the keys"])
def test_every_dialog_is_left_by_the_mouse_alone(state: str, text: int) -> None:
    more: dict[str, tuple[str, Callable[[Hand], None]]] = {
        "nothing to measure": ("half", dead_end), "a reader": ("cable", lambda hand: hand.choose("reader")),
        "the jobs": ("cable", lambda hand: hand.app.show_jobs()),
        "the keys": ("cable", lambda hand: hand.app.show_keys()),
    }  # fmt: skip
    hand = at_once(*(STATES | more)[state], Ready(), text=text)
    before, scene = len(hand.desk.dialogs), hand.app.scene
    assert before
    hand.click("leave-dialog")
    assert len(hand.desk.dialogs) == before - 1
    assert hand.app.scene is scene


SMALL_SCREEN = (1024, 600)


def at_once(
    scene: str, reach: Callable[[Hand], None], pictures: Pictures | None = None,
    size: tuple[int, int] = SMALL_SCREEN, text: int = 200,
) -> Hand:  # fmt: skip
    hand = Hand(scene, size, Settings(motion=False, text=text), pictures=pictures)
    reach(hand)
    hand.desk.notice = ""
    hand.app.arrange()
    return hand


class Ready(Recorder):
    """Every picture is there."""

    def ready(self, job: Job) -> pygame.Surface | None:
        return self.surface


@pytest.mark.parametrize("text", [100, 150, 200])
@pytest.mark.parametrize("size", [(1024, 600), (1366, 768)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_first_answer_of_an_item_stands_in_sight_with_its_picture(size: tuple[int, int], text: int) -> None:
    hand = at_once("practise", asked, Ready(), size, text)
    assert hand.app.offset == 0
    bench = hand.widget("bench")
    first = next(w for w in hand.app.widgets if w.number == "1" or w.key.startswith("option-"))
    assert bench.box.h >= 80
    assert first.box.bottom <= hand.app.page.bottom


ITEMS = [
    ("mates", "mcx-75-plug", "fakra-a-jack", 120), ("look", "2.92-jack", "mini-uhf-jack", 120),
    ("mates", "sma-jack", "bnc-50-plug", 120), ("name", "rp-mcx-plug", "", 120), ("order", "rp-tnc-plug", "", 120),
    # the smallest half of all beside its other: at one scale there is no more room for it
    ("mates", "fakra-d-plug", "mmcx-plug", 100),
]  # fmt: skip
"""Items by kind and halves, and the least that a half in them has in its greater direction [px]."""


@pytest.mark.parametrize(("kind", "a", "b", "least"), ITEMS)
def test_with_large_text_a_person_sees_what_an_item_asks(kind: str, a: str, b: str, least: int) -> None:
    """Each half is large enough each way, whole on the bench, and the first answer stands in sight with it."""
    pictures = Ready()
    hand = at_once("practise", asked, pictures)
    scene = hand.app.scene
    assert isinstance(scene, Practise)
    assert scene.sitter.course is not None
    stock = scene.sitter.course.stock
    scene.item = next(
        items.make(stock, task, Random(1)) for task in items.tasks(stock)
        if task.kind == kind and (a in (task.a, task.b) and b in (task.a, task.b) if b else task.a == a)
    )  # fmt: skip
    hand.app.arrange()
    hand.app.arrange()
    bench, look, scale = hand.widget("bench").box, scene.item.picture, hand.app.type.scale
    assert look is not None
    shown = [call.box for call in hand.calls() if isinstance(call, Picture)]
    assert len(shown) == len(look.halves) == (2 if b else 1)
    for box, half_id, style in zip(shown, look.halves, look.bodies, strict=True):
        seen = hand.desk.art.seen(hand.desk.half(half_id), style, round(look.azimuth, 1), round(look.elevation, 1))
        per_mm = box.w / 2 / (max(-seen.x, seen.right, -seen.y, seen.bottom) + 0.2)
        assert max(seen.w, seen.h) * per_mm * scale >= least, half_id
        left, top = box.middle[0] + seen.x * per_mm, box.middle[1] + seen.y * per_mm
        assert bench.x <= left
        assert left + seen.w * per_mm <= bench.right
        assert bench.y <= top
        assert top + seen.h * per_mm <= bench.bottom
    first = next(w for w in hand.app.widgets if w.key.startswith("option-"))
    assert first.box.bottom <= hand.app.page.bottom


@pytest.mark.parametrize("text", [150, 200])
@pytest.mark.parametrize("size", [(1024, 600), (1366, 768)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_a_port_and_its_whole_way_stay_in_sight_while_the_answers_are_read(size: tuple[int, int], text: int) -> None:
    hand = at_once("practise", asked, Ready(), size, text)
    scene = hand.app.scene
    assert isinstance(scene, Practise)
    assert scene.sitter.course is not None
    stock = scene.sitter.course.stock
    tasks = [task for task in items.tasks(stock, ["cable"]) if task.a == "n-50-jack"]
    made = (items.make(stock, tasks[seed % len(tasks)], Random(seed)) for seed in range(60))
    scene.item = next(item for item in made if item.picture and len(item.picture.legs) == 4 and item.picture.panel)
    hand.app.arrange()
    hand.app.arrange()
    picture = scene.item.picture
    assert picture is not None
    for key in [w.key for w in hand.app.widgets if w.key.startswith("option-") or w.key == "pause"]:
        hand.app.focus(key)
        hand.app.arrange()
        calls, bench = hand.calls(), hand.widget("bench")
        up = hand.app.offset if bench.scrolls else 0.0
        assert bench.box.y - up >= hand.app.page.y
        assert bench.box.bottom - up <= hand.app.height
        said = [call for call in calls if isinstance(call, Words) and call.words.endswith("\N{THIN SPACE}m")]
        assert [call.words for call in said] == [f"{leg:g}\N{THIN SPACE}m" for leg in picture.legs]
        assert all(bench.box.y <= call.box.y and call.box.bottom <= bench.box.bottom for call in said)
        assert any(isinstance(call, Picture) for call in calls)


def test_the_drawing_of_a_measure_stands_in_sight_with_its_field() -> None:
    hand = at_once("half", gauging)
    hand.app.focus("reading")
    hand.app.arrange()
    place, field = hand.widget("place"), hand.widget("reading")
    assert place.box.h >= 100
    for widget in (place, field):
        assert widget.box.y - hand.app.offset >= hand.app.page.y
        assert widget.box.bottom - hand.app.offset <= hand.app.page.bottom


def test_the_next_question_begins_at_its_top() -> None:
    """After an answer far down the page: the first answer of the next stands in sight again."""
    hand = at_once("name", lambda hand: hand.choose("not-sure"))
    assert hand.app.offset == 0
    first = next(w for w in hand.app.widgets if w.number == "1" or w.key.startswith("value-"))
    assert first.box.bottom <= hand.app.page.bottom


def test_right_or_wrong_stands_in_sight_beside_the_way_on() -> None:
    hand = at_once("practise", told)
    for key in ("verdict", "next"):
        widget = hand.widget(key)
        assert widget.box.y - hand.app.offset >= hand.app.page.y
        assert widget.box.bottom - hand.app.offset <= hand.app.page.bottom


def in_sight(hand: Hand, *keys: str) -> bool:
    """Whether controls stand whole in sight."""
    page, boxes = hand.app.page, [hand.widget(key).box.moved(0, -hand.app.offset) for key in keys]
    return all(page.y <= box.y and box.bottom <= page.bottom for box in boxes)


@pytest.mark.parametrize(
    ("state", "keys"),
    [
        ("unsure", ("sure", "answer")),
        ("setting the screen", ("bench",)),
        ("of a delivery", ("typed-0",)),
        ("named", ("bench", "next-look", "probability")),
        ("clashing", ("bench", "contradiction", "next-look")),
    ],
)
def test_what_is_done_next_stands_in_sight_with_what_it_is_about(state: str, keys: tuple[str, ...]) -> None:
    assert in_sight(at_once(*STATES[state], Ready()), *keys)


LARGE_TEXT = [(1024, 600), (1366, 768), (1920, 1080)]
"""Windows [px] in which text of 200 % puts the column under the bench."""


@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("size", LARGE_TEXT, ids=lambda size: f"{size[0]}x{size[1]}")
def test_a_cable_for_a_port_that_is_not_settled_leads_on_to_look_again(size: tuple[int, int], text: int) -> None:
    hand = at_once(*STATES["doubtful"], Ready(), size, text)
    assert hand.app.scene.name == "cable"
    assert in_sight(hand, "look-again")
    assert hand.app.focused_key == "look-again"
    hand.enter()
    # where it leads to is what is to be done there, not the way back to the cable
    assert hand.app.scene.name == "name"
    assert hand.app.focused_key == "next-look"
    assert in_sight(hand, "next-look")


@pytest.mark.parametrize("size", LARGE_TEXT, ids=lambda size: f"{size[0]}x{size[1]}")
def test_with_large_text_a_named_port_is_seen_beside_its_main_button(size: tuple[int, int]) -> None:
    hand = at_once(*STATES["named"], Ready(), size)
    assert in_sight(hand, "bench", "next-look")
    assert hand.app.focused_key == "next-look"
    scene = hand.app.scene
    assert isinstance(scene, NamePort)
    drawn = [call for call in hand.calls() if isinstance(call, Picture)]
    (port,) = [call for call in drawn if call.name.split()[0] == scene.inquiry.found.candidates[0].id]
    assert min(port.box.w, port.box.h) >= 72
    assert scene.inquiry.found.name in hand.words()
    # nothing is left out at the usual size of text
    usual = at_once(*STATES["named"], Ready(), size, 100)
    assert len([call for call in usual.calls() if isinstance(call, Picture)]) >= len(drawn)


def test_the_list_of_papers_begins_at_its_top_again() -> None:
    hand = at_once("papers", of_a_delivery)
    hand.choose("others")
    assert hand.app.offset == 0


class Coming(Ready):
    """Pictures that come when they are let in."""

    here = False

    def ready(self, job: Job) -> pygame.Surface | None:
        return self.surface if self.here else None

    def poll(self) -> bool:
        return True


def test_an_item_waits_for_its_picture_and_its_answers_come_with_the_focus() -> None:
    """So that it is as hard on a slow machine as on a fast one, however slow: no clock decides."""
    pictures = Coming()
    hand = at_once("practise", asked, pictures)
    scene = hand.app.scene
    assert isinstance(scene, Practise)
    assert scene.item is not None
    for _ in range(3):
        hand.now += 3600.0
        hand.app.tick()
        hand.key(pygame.K_1, "1")
        assert hand.says("The picture is being drawn")
        assert not [w.key for w in hand.app.widgets if w.key.startswith("option-")]
        assert not scene.chosen
    pictures.here = True
    hand.app.tick()
    assert {w.key for w in hand.app.widgets if w.key.startswith("option-")} == {
        f"option-{option.id}" for option in scene.item.options
    }
    hand.enter()
    assert scene.chosen, "the focus lies on the first answer"


def test_an_item_opens_at_the_start_of_its_question() -> None:
    """Where its first answer has no room under that, in a window as low as it is on a small screen with large text."""
    pictures = Coming()
    hand = at_once("practise", asked, pictures, (1008, 504))
    scene = hand.app.scene
    assert isinstance(scene, Practise)
    assert scene.sitter.course is not None
    stock = scene.sitter.course.stock
    scene.item = items.make(stock, next(task for task in items.tasks(stock) if task.kind == "look"), Random(1))
    hand.app.arrange()
    pictures.here = True
    hand.app.tick()
    question = hand.widget("question").box
    first = next(w for w in hand.app.widgets if w.key.startswith("option-"))
    assert first.box.bottom > hand.app.page.bottom
    assert hand.app.focused_key == first.key
    assert question.y - hand.app.offset >= hand.app.page.y


@pytest.mark.parametrize("size", [SMALL_SCREEN, (1366, 768)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_chart_of_a_run_is_there_with_large_text(size: tuple[int, int]) -> None:
    hand = at_once("cable", lambda hand: None, size=size)
    stage, pen = hand.widget("bench"), Pen(hand.desk.palette, hand.app.type)
    stage.paint(pen, Mood())
    assert any("length of the run" in call.words for call in pen.calls if isinstance(call, Words))


def test_where_to_measure_is_drawn_whole_and_as_large_as_it_may_be() -> None:
    """The half has room for the jaws about it in its box, and fills that box across or along."""
    hand, box = Hand("name"), Box(10, 20, 400, MEASURING)
    reach = hand.desk.looks.table.jaws.reach
    drawn = 0
    for half in all_halves().values():
        for feature in (f for f in MEASURED if measuring_view.place(half, f, reach) is not None):
            pen = Pen(hand.desk.palette, hand.app.type)
            measuring_view.draw(pen, box, hand.desk, half, feature, reach)
            (shape,) = (call for call in pen.calls if isinstance(call, Shape))
            words = min(call.box.y for call in pen.calls if isinstance(call, Words))
            assert box.y < shape.box.y
            assert shape.box.bottom < words
            assert box.x < shape.box.x
            assert shape.box.right < box.right
            size = hand.desk.art.extent(half)
            over = 2.6 if feature is not Feature.SOCKET_BORE else 0.6
            share = 2 * (size.radius + over) * shape.per_mm / (words - box.y)
            assert share > 0.7 or (size.length + 8) * shape.per_mm > 0.9 * box.w, (half.id, feature)
            drawn += 1
    assert drawn > 100
