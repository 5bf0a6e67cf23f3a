"""Practise and assess: one item fills the bench, the answers stand in the column, how sure is a bar."""

from __future__ import annotations

import contextlib
from typing import Any, Literal

import msgspec
import pygame

from coaxtell.identifier.features import Feature
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.quiz import words
from coaxtell.quiz.class_loss import Losses, losses
from coaxtell.quiz.item import Item, Picture
from coaxtell.quiz.log import Answered
from coaxtell.quiz.score import nearest_step, steps
from coaxtell.quiz.sitting import Assessing, ChangedError, Practising
from coaxtell.quiz.terms import changed, terms
from coaxtell.window import sitting_columns
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.motion import Glide
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.widgets import Stage
from coaxtell.window.scenes.all_differences import offer_rest
from coaxtell.window.scenes.file_list import FileList
from coaxtell.window.scenes.sitter import Sitter
from coaxtell.window.views import class_loss
from coaxtell.window.views.beside import draw_differences
from coaxtell.window.views.differences import differences
from coaxtell.window.views.item import draw_item, draw_usual, waiting
from coaxtell.window.views.scales import THIN
from coaxtell.window.views.told_pair import draw_pair

FIRST_LINES = 88.0
"""So much of the column is in sight under the bench in any case [units]: its title and what comes first."""
LOOK = "look"
"""The kind of item whose answer is a look."""
Phase = Literal["start", "terms", "item", "told", "result"]


def _picture(item: Item) -> Picture:
    """What is shown of an item: one without a picture of its own names both its halves."""
    return item.picture or Picture((item.task.a, item.task.b), 25.0, 18.0)


class Practise(Scene):
    """Who sits here, what is asked, what was answered."""

    desk: Desk
    name = "practise"
    word = "Practise and assess"
    short = "Practise"
    help = "Items on what is due or weak, each explained; or the assessment before site work."
    serves = ("practise", "assess", "progress")
    takes = "a site's port list"
    least_bench = 200.0

    def __init__(self, desk: Desk) -> None:
        """Nothing asked yet."""
        super().__init__(desk)
        self.sitter = Sitter(desk)
        self.phase: Phase = "start"
        self.sitting: Practising | Assessing | None = None
        self.chosen = ""
        self.sure = 0.0
        self.item: Item | None = None
        self.given: Answered | None = None
        self._waits = False
        self.slide = Glide(0.0)
        self.taught = ""
        """The principle of the first lesson that the last answer stood for."""
        self.stated: list[str] = []
        """What the assessment draws from and how often it errs, in sentences."""
        self._held_choice: tuple[str, str, float] | None = None

    # -- arranging -----------------------------------------------------------------------------------------------

    def enter(self) -> None:
        """Work out the tasks beside the window, and look into the record."""
        self.sitter.prepare()

    def leave(self) -> None:
        """Let go of the record; every answer given is in it."""
        if self.phase == "start":
            self.sitter.let_go()

    def bench_for(self, width: float, height: float) -> float:
        """After an answer the bench takes all but the line with the way on: what was wrong is seen there."""
        return (self.led_bench if self.phase == "told" else super().bench_for)(width, height)

    @property
    def column_beside(self) -> bool:
        """Halves of unlike sizes at one scale, and a port over a cable's way, need a high bench: what is asked of them
        stands beside it, and no scrolling to the answers takes it out of sight."""
        if self.phase != "item" or self.item is None:
            return False
        shown = _picture(self.item)
        return len(set(shown.halves)) > 1 or bool(shown.legs)

    def arrange(self, room: Room) -> None:
        """What the phase calls for."""
        low = self._lower(room)
        item = self.item if self.phase == "item" and not self.chosen else None
        room.on_bench(Stage("bench", room.bench, self._draw))
        if self._apart:
            offer_rest(room, self.desk, self._apart, differences(self._apart, self.desk.looks), self._own)
        waited = self._waits
        self._waits = item is not None and waiting(room.bench, room.type, self.desk, _picture(item))
        if item is not None and waited and not self._waits:
            # the focus lay on what could be pressed meanwhile
            self.desk.wanted_focus = f"option-{next(iter(words.of(item).options))}"
        columns = {
            "start": sitting_columns.start, "terms": sitting_columns.terms,
            "item": sitting_columns.asked_low if low else sitting_columns.asked,
            "told": sitting_columns.told if room.wide else sitting_columns.told_low, "result": sitting_columns.result,
        }  # fmt: skip
        columns[self.phase](self, room.column)

    def _lower(self, room: Room) -> bool:
        """Lower the bench for what must be in sight under it; whether what a sitting says of itself stands last."""
        if self.phase != "item":
            told = self.phase == "told"
            room.keep_in_sight(sitting_columns.told_first(self, room.column) if told else FIRST_LINES)
            return False
        tall = sitting_columns.first_answer(self, room.column)
        low = room.column.y + sitting_columns.sitting_tall(self, room.column) + tall > room.height
        if low:
            room.keep_in_sight(tall)
        return low

    # -- the way through -----------------------------------------------------------------------------------------

    def begin_practice(self) -> None:
        course, record = self.sitter.ready()
        self.sitting = record.practising(course)
        self._ask()

    def open_terms(self) -> None:
        """State what the assessment draws from; one that cannot go on is refused with its reason."""
        try:
            self._state_terms(anew=False)
        except ChangedError:
            self.sitter.refused = changed("begin a new one below. What was answered stays in the record.")

    def open_anew(self) -> None:
        """Leave the undecided assessment as it is and state the terms of another."""
        self._state_terms(anew=True)

    def _state_terms(self, anew: bool) -> None:
        course, record = self.sitter.ready()
        self.sitting = record.assessing(course, anew)
        self.stated = [*self.sitting.noticed, *terms(self.sitting.plan, self.sitting.terms)]
        self.phase, self.desk.wanted_top = "terms", True

    def begin_assessment(self) -> None:
        assert isinstance(self.sitting, Assessing)
        self.sitting.begin()
        self._ask()

    def _ask(self) -> None:
        assert self.sitting is not None
        self.given, self.chosen = None, ""
        self.item, self.desk.wanted_top = self.sitting.item(), True
        self.phase = "item" if self.item is not None else "result"
        if isinstance(self.sitting, Assessing) and self.item is not None and self.desk.pictures.why:
            self.sitting.without_pictures()
        held, self._held_choice = self._held_choice, None
        if self.item is None or held is None or held[0] != self.item.task.key:
            return
        if held[1] in [option.id for option in self.item.options]:
            self.chosen = held[1]
            self.set_sure(held[2])

    def choosing(self, option_id: str) -> Any:
        def act() -> None:
            if not self.chosen and self.item is not None:
                self.sure = steps(len(self.item.options))[0]
            self.chosen = option_id
            self.desk.wanted_focus = "answer"

        return act

    def set_sure(self, sure: float) -> None:
        if self.item is not None:
            self.sure = nearest_step(sure, len(self.item.options))

    def give(self) -> None:
        assert self.sitting is not None
        teaches = isinstance(self.sitting, Practising) and self.sitting.teaches
        self.taught = words.taught(self.item) if teaches and self.item is not None else ""
        self.given = self.sitting.answer(self.chosen, self.sure)
        if isinstance(self.sitting, Assessing):
            self._ask()
            self.desk.say("Noted.")
            return
        self.phase, self.desk.wanted_top = "told", True
        assert self.item is not None
        self.item = self.sitting.told(self.item, self.chosen)
        told = self.item.explanation
        if told.pair is not None:
            one, two = (self.desk.art.extent(self.desk.half(i)) for i in told.pair)
            self.slide.set(one.front + two.front + 6.0)
            self.slide.to(told.stop_mm, self.desk.clock(), self.desk.motion_s)
        self.desk.wanted_focus = "next"

    def go_on(self) -> None:
        self._ask()

    def to_start(self) -> None:
        if self.item is not None and self.phase == "item" and self.chosen:
            self._held_choice = (self.item.task.key, self.chosen, self.sure)
        self.phase, self.sitting, self.item, self.chosen = "start", None, None, ""
        self.desk.wanted_top = True
        self.sitter.look_up()

    def dropped(self, path: str) -> bool:
        """A site's port list: practice and assessment draw from it, unless an assessment is under way.

        Raises InputError where it is none, or comes while items are worked out or an assessment runs.
        """
        if isinstance(self.sitting, Assessing) and self.phase == "item":
            raise InputError("An assessment is under way; pause it before another port list counts.")
        self.sitter.draw_from(path)
        self.to_start()
        return True

    def find_ports(self) -> None:
        """Choose a site's port list from its folder."""

        def taken(path: str) -> None:
            self.dropped(path)

        FileList(self.desk, "Which port list?", (".toml",), taken).open()

    @property
    def _apart(self) -> list[Half]:
        """The halves whose differences are shown after an answer: those of an item for which no pair was tried."""
        item = self.item
        if self.phase != "told" or item is None or item.explanation.pair is not None:
            return []
        shown = _picture(item).halves
        if len(shown) == 1 and self.chosen in self.desk.tables.halves:
            shown = (*shown, self.chosen)  # what it was taken for
        halves = [self.desk.half(half_id) for half_id in shown]
        return halves if len(set(shown)) > 1 else []

    @property
    def _own(self) -> Feature | None:
        """The look that an item asked for; none where it asked for something else."""
        item = self.item
        return Feature(item.right) if item is not None and item.task.kind == LOOK else None

    @property
    def _losses(self) -> Losses | None:
        """What is shown after an answer whose end was right and whose class of cable was not."""
        course = self.sitter.course
        if self.phase != "told" or self.item is None or course is None:
            return None
        return losses(course.stock, self.item, self.chosen)

    # -- bench, keys, keeping ------------------------------------------------------------------------------------

    def _draw(self, pen: Pen, box: Box) -> None:
        item = self.item
        lost = self._losses
        if lost is not None:
            class_loss.draw(pen, box, lost)
        elif self.phase == "told" and item is not None and item.explanation.pair is not None:
            draw_pair(pen, box, self.desk, item.explanation, self.slide.value)
        elif self._apart:
            draw_differences(pen, box, self.desk, self._apart, differences(self._apart, self.desk.looks), self._own)
        elif item is not None and self.phase in ("item", "told"):
            labelled = self.phase == "told" and bool(self.taught)
            draw_item(pen, box, self.desk, msgspec.structs.replace(_picture(item), labelled=labelled))
        else:
            draw_usual(pen, box, self.desk)

    @property
    def waiting(self) -> bool:
        """An item waits for its picture, so that it is as hard on a slow machine as on a fast one."""
        return self._waits

    def key(self, event: pygame.event.Event) -> bool:
        """Number keys say how sure, once an answer is chosen."""
        typed = event.unicode
        if self.phase == "item" and self.chosen and len(typed) == 1 and typed in "0123456789":
            self.set_sure(1.0 if typed == "0" else int(typed) / 10)
            self.desk.wanted_focus = "answer"
            return True
        return False

    def back(self) -> bool:
        """Esc takes the choice back, then pauses."""
        if self.phase == "item" and self.chosen:
            self.chosen = ""
            return True
        if self.phase != "start":
            self.to_start()
            return True
        return False

    def tick(self, now: float) -> bool:
        """The pair slides together."""
        return self.slide.tick(now)

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        return [
            ("1 to 9", "choose an answer; then how sure, 10 to 90" + THIN + "%"),
            ("0", "certain"),
            ("Enter", "answer, next"),
            ("Esc", "take the choice back; pause"),
        ]

    def remembered(self) -> dict[str, Any]:
        """What was chosen but not yet given; the item is kept beside the record, answers given in it."""
        held: dict[str, Any] = {}
        choice = self._held_choice
        if self.item is not None and self.chosen and self.phase == "item":
            choice = (self.item.task.key, self.chosen, self.sure)
        if choice is not None:
            held["choice"] = list(choice)
        if self.sitter.ports:
            held["ports"] = self.sitter.ports
        return held

    def recall(self, held: dict[str, Any]) -> None:
        """What was chosen stands again when its item comes."""
        self.sitter.ports = str(held.get("ports", ""))
        with contextlib.suppress(ValueError, TypeError):
            if "choice" in held:
                question, chosen, sure = held["choice"]
                self._held_choice = (str(question), str(chosen), float(sure))
