"""Practise and assess: one item fills the bench, the answers stand in the column, how sure is a bar."""

from __future__ import annotations

import contextlib
from datetime import UTC, datetime
from typing import Any, Literal

import msgspec
import pygame

from coaxtell.models.errors import InputError
from coaxtell.quiz.assessment import SUPPORTS
from coaxtell.quiz.blueprint import Part
from coaxtell.quiz.item import KIND_WORDS, Item
from coaxtell.quiz.log import Answered
from coaxtell.quiz.overview import PersonState
from coaxtell.quiz.readiness import CLAIM, PRIOR_WORDS
from coaxtell.quiz.score import points, steps, why_honest
from coaxtell.quiz.sequential import Decision
from coaxtell.window.bench import THIN
from coaxtell.window.fields import Edit
from coaxtell.window.geometry import Box
from coaxtell.window.item_view import draw_item, draw_pair
from coaxtell.window.motion import Glide
from coaxtell.window.pen import Pen
from coaxtell.window.scene import Room, Scene
from coaxtell.window.sitting import AssessmentSitting, Course, PracticeSitting, Record, Sitting, course_of, user_name
from coaxtell.window.stack import Choice, Stack
from coaxtell.window.theme import LARGE, SMALL
from coaxtell.window.widgets import RoleName, Stage

Phase = Literal["start", "terms", "item", "told", "result"]
DECISIONS: dict[Decision, RoleName] = {
    Decision.READY: "fits", Decision.NOT_YET: "harm", Decision.UNDECIDED: "text",
}  # fmt: skip


class Practise(Scene):
    """Who sits here, what is asked, what was answered."""

    name = "practise"
    word = "Practise and assess"
    help = "Items on what is due or weak, each explained; or the assessment before site work."

    def __init__(self, desk: Any) -> None:
        """Nothing asked yet."""
        super().__init__(desk)
        self.person = Edit(desk.settings.person or user_name())
        self.phase: Phase = "start"
        self.course: Course | None = None
        self.record: Record | None = None
        self.sitting: Sitting | None = None
        self.state: PersonState | None = None
        self.chosen = ""
        self.sure = 0.0
        self.item: Item | None = None
        self.given: Answered | None = None
        self.slide = Glide(0.0)
        self.trouble = ""
        self._preparing = False
        self._held_item: Item | None = None
        self._held_choice: tuple[str, str, float] | None = None

    # -- getting ready -------------------------------------------------------------------------------------------

    def enter(self) -> None:
        """Work out the tasks beside the window, and look into the record."""
        self._prepare()

    def leave(self) -> None:
        """Let go of the record; every answer given is in it."""
        if self.record is not None and self.phase == "start":
            self.record.close()
            self.record = None

    def _prepare(self) -> None:
        if self.course is None and not self._preparing:
            self._preparing = True
            halves = self.desk.tables.halves
            self.desk.later(lambda: course_of(halves), self._prepared, self._failed)
        elif self.course is not None:
            self._look_up()

    def _prepared(self, course: Course) -> None:
        self.course, self._preparing = course, False
        self._look_up()

    def _failed(self, why: str) -> None:
        self._preparing, self.trouble = False, why

    def _look_up(self) -> None:
        """The record of the person named; where it cannot be used its sentence stands in the column."""
        if self.record is not None:
            self.record.close()
            self.record = None
        self.state, self.trouble = None, ""
        if not self.person.text.strip():
            return
        try:
            self.record = Record(self.desk.records, self.person.text)
            self.state = self.record.state()
        except InputError as error:
            self.trouble = str(error)

    def _named(self) -> None:
        self.desk.settings.person = self.person.text.strip()
        self._look_up()

    # -- arranging -----------------------------------------------------------------------------------------------

    def arrange(self, room: Room) -> None:
        """What the phase calls for."""
        room.on_bench(Stage("bench", room.bench, self._draw))
        column = room.column
        if self.phase == "start":
            self._start(column)
        elif self.phase == "terms":
            self._terms(column)
        elif self.phase == "item":
            self._asked(column)
        elif self.phase == "told":
            self._told(column)
        else:
            self._result(column)

    def _start(self, column: Stack) -> None:
        column.title("Who sits here?")
        column.field("person", "Name, as it stands in the record", self.person, lambda: None, self._named)
        if self.trouble:
            column.check(self.trouble, False, key="trouble")
        if self.course is None:
            column.progress("preparing", 0.5, "Working out the items from the tables\N{HORIZONTAL ELLIPSIS}")
            return
        column.button("practise", "Practise", self._begin_practice, "action")
        column.button("assess", "Take the assessment", self._open_terms)
        state = self.state
        if state is not None:
            self._record(column, state)
        column.part("For the lead")
        column.button("progress", "Open the progress page of the team", self._open_progress)
        column.say(SUPPORTS, SMALL, "quiet")

    def _record(self, column: Stack, state: PersonState) -> None:
        now = datetime.now(UTC)
        column.part("The record")
        if not state.answers:
            column.say("No answers yet.", key="record")
        else:
            column.say(f"{state.answers} answers, {state.right} right, {state.points:+.0f} points.", key="record")
        for one in state.skills:
            if one.rate is None:
                continue
            word = one.word(now)
            column.check(f"{one.skill.value}: {word}, {one.right} of {one.right + one.wrong} right",
                         True if word == "sits" else None, key=f"skill-{one.skill.name.lower()}")  # fmt: skip
        for tried in state.tries[-3:]:
            when = f"{tried.start.time:%Y-%m-%d}"
            column.say(f"Assessment {tried.number}, {when}: {tried.verdict.value} after {tried.items} items.")

    def _terms(self, column: Stack) -> None:
        sitting = self.sitting
        assert isinstance(sitting, AssessmentSitting)
        again = sitting.start is not None
        number = len(sitting.earlier) + (0 if again else 1)
        column.title(f"Assessment, try {number}")
        if again:
            column.check("It goes on where it was paused; the answers so far count.", None, key="resumed")
        column.button("begin", "Go on" if again else "Begin", self._begin_assessment, "action")
        column.button("not-now", "Not now", self._to_start)
        column.say("Nothing is told of an answer until the end. You may pause at any time.")
        column.part("What it draws from and how often it errs")
        assert self.course is not None
        for line in self.course.terms:
            column.say(line, SMALL, after=0.75)
        column.say(SUPPORTS, SMALL)

    def _asked(self, column: Stack) -> None:
        item, sitting = self.item, self.sitting
        assert item is not None
        assert sitting is not None
        kind = KIND_WORDS[item.task.kind]
        column.say(f"Item {sitting.number + 1}: {kind}" + (f", {sitting.why}" if sitting.why else ""), SMALL, "quiet",
                   key="item-kind")  # fmt: skip
        if item.in_words and self.desk.pictures.why:
            column.say(item.in_words)
        column.say(item.question, key="question", bold=True)
        column.cards(
            [Choice(f"option-{o.id}", o.words, self._choosing(o.id), chosen=o.id == self.chosen) for o in item.options],
            columns=1, numbers=not self.chosen,
        )  # fmt: skip
        if self.chosen:
            offered = steps(len(item.options))
            right, wrong = points(True, self.sure), points(False, self.sure)
            column.slider("sure", "How sure? Keys 1 to 9, and 0 for certain", self.sure, (offered[0], 1.0), 0.1,
                          self._set_sure, f"{self.sure:.0%}")  # fmt: skip
            column.say(f"Right: {right:+.0f} points. Wrong: {wrong:+.0f} points.", SMALL, "quiet", key="stake")
            column.button("answer", "Answer", self._answer, "action")
        column.button("pause", "Pause: everything answered is kept", self._to_start)

    def _told(self, column: Stack) -> None:
        item, given, sitting = self.item, self.given, self.sitting
        assert item is not None
        assert given is not None
        assert sitting is not None
        column.verdict("right" if given.correct else "wrong", "fits" if given.correct else "harm")
        column.check(item.option(item.right).words, True, key="right-option")
        if not given.correct:
            column.check(f"You said: {item.option(given.chosen).words}", False, key="your-option")
        column.button("next", "Next item", self._next, "action")
        column.button("pause", "That is enough for now", self._to_start)
        column.say(why_honest(given.correct, given.sure), key="honesty")
        column.part("Why")
        for reason in item.explanation.reasons:
            column.say(reason, after=0.75)
        column.part("What tells")
        column.say(item.explanation.look, key="look")
        column.say(f"This sitting: {sitting.number} items, {sitting.right} right, {sitting.points:+.0f} points.", SMALL,
                   "quiet", key="tally")  # fmt: skip

    def _result(self, column: Stack) -> None:
        sitting = self.sitting
        assert isinstance(sitting, AssessmentSitting)
        found = sitting.result()
        column.verdict(found.verdict.value, DECISIONS[found.verdict])
        for part in Part:
            count, decision = found.counts[part], found.decisions[part]
            good = {Decision.READY: True, Decision.NOT_YET: False, Decision.UNDECIDED: None}[decision]
            column.check(
                f"{part.value.capitalize()} items: {count.right} right, {count.wrong} wrong: {decision.value}. "
                f"P(true rate > {CLAIM:.2f}) = {found.above[part]:.1%}.", good, key=f"part-{part.value}",
            )  # fmt: skip
        column.button("practise", "Practise what was weak", self._begin_practice, "action")
        column.button("back", "Back to the record", self._to_start)
        column.say(f"For P, {PRIOR_WORDS}; it is stated apart and decides nothing.", SMALL, "quiet")
        column.say(SUPPORTS, SMALL)

    # -- the way through -----------------------------------------------------------------------------------------

    def _ready(self) -> tuple[Course, Record]:
        if self.record is None:
            self._look_up()
        if self.record is None:
            raise InputError(self.trouble or "Type your name first; answers are kept under it.")
        assert self.course is not None
        return self.course, self.record

    def _begin_practice(self) -> None:
        course, record = self._ready()
        self.sitting = PracticeSitting(course, record, self._held_item)
        self._held_item = None
        self._ask()

    def _open_terms(self) -> None:
        course, record = self._ready()
        self.sitting = AssessmentSitting(course, record)
        self.phase = "terms"

    def _begin_assessment(self) -> None:
        assert isinstance(self.sitting, AssessmentSitting)
        self.sitting.begin()
        self._ask()

    def _ask(self) -> None:
        assert self.sitting is not None
        self.given, self.chosen = None, ""
        self.item = self.sitting.item()
        self.phase = "item" if self.item is not None else "result"
        held, self._held_choice = self._held_choice, None
        if self.item is None or held is None or held[0] != self.item.question:
            return
        if held[1] in [option.id for option in self.item.options]:
            self.chosen = held[1]
            self._set_sure(held[2])

    def _choosing(self, option_id: str) -> Any:
        def act() -> None:
            if not self.chosen and self.item is not None:
                self.sure = steps(len(self.item.options))[0]
            self.chosen = option_id
            self.desk.wanted_focus = "answer"

        return act

    def _set_sure(self, sure: float) -> None:
        if self.item is not None:
            offered = steps(len(self.item.options))
            self.sure = min(offered, key=lambda step: abs(step - sure))

    def _answer(self) -> None:
        assert self.sitting is not None
        self.given = self.sitting.answer(self.chosen, self.sure)
        if isinstance(self.sitting, AssessmentSitting):
            self._ask()
            self.desk.say("Noted.")
            return
        self.phase = "told"
        told = self.item.explanation if self.item is not None else None
        if told is not None and told.pair is not None:
            one, two = (self.desk.art.extent(self.desk.half(i)) for i in told.pair)
            self.slide.set(one.front + two.front + 6.0)
            self.slide.to(told.stop_mm, self.desk.clock(), self.desk.motion_s)
        self.desk.wanted_focus = "next"

    def _next(self) -> None:
        self._ask()

    def _to_start(self) -> None:
        if isinstance(self.sitting, PracticeSitting) and self.phase == "item":
            self._held_item = self.item
        if self.item is not None and self.phase == "item" and self.chosen:
            self._held_choice = (self.item.question, self.chosen, self.sure)
        self.phase, self.sitting, self.item, self.chosen = "start", None, None, ""
        self._look_up()

    def _open_progress(self) -> None:
        from coaxtell.window.progress_page import open_page

        _, record = self._ready()
        open_page(self.desk, record)

    # -- bench, keys, keeping ------------------------------------------------------------------------------------

    def _draw(self, pen: Pen, box: Box) -> None:
        item = self.item
        if self.phase == "told" and item is not None and item.explanation.pair is not None:
            draw_pair(pen, box, self.desk, item.explanation, self.slide.value)
        elif item is not None and item.picture is not None and self.phase in ("item", "told"):
            draw_item(pen, box, self.desk, item.picture)
        else:
            pen.grid(Box(0, 0, box.w, box.bottom), 6.0, (box.x, box.y))
            self._tally(pen, box)

    def _tally(self, pen: Pen, box: Box) -> None:
        """The skills that sit and those that are due, as a quiet picture of the record."""
        state = self.state
        if self.phase == "result" or state is None or not state.answers:
            line = pen.type.line(LARGE)
            words = "One item at a time, at your own pace."
            words = pen.type.shortened(words, LARGE, box.w - 48)
            pen.words(words, (box.x + box.w / 2, box.y + (box.h - line) / 2), LARGE, pen.palette.quiet, False, "middle")
            return
        small = pen.type.line(SMALL)
        seen = [one for one in state.skills if one.rate is not None]
        tall = min(56.0, (box.h - 48) / max(1, len(seen)))
        for i, one in enumerate(seen):
            top = box.y + 24 + i * tall
            assert one.rate is not None
            words = pen.type.shortened(f"{one.skill.value}: {one.rate:.0%} right lately", SMALL, box.w - 64)
            pen.words(words, (box.x + 32, top), SMALL, pen.palette.text)
            bar = Box(box.x + 32, top + small + 2, box.w - 64, 8)
            if tall >= small + 14:
                pen.fill(bar, pen.palette.panel, 4)
                # the likely range of the true rate, then the rate itself
                low, high = bar.x + bar.w * one.low, bar.x + bar.w * one.high
                pen.fill(Box(low, bar.y, high - low, 8), pen.palette.edge, 4)
                pen.ring((bar.x + bar.w * one.rate, bar.y + 4), 6, pen.palette.action)

    def key(self, event: pygame.event.Event) -> bool:
        """Number keys say how sure, once an answer is chosen."""
        typed = event.unicode
        if self.phase == "item" and self.chosen and len(typed) == 1 and typed in "0123456789":
            self._set_sure(1.0 if typed == "0" else int(typed) / 10)
            self.desk.wanted_focus = "answer"
            return True
        return False

    def back(self) -> bool:
        """Esc takes the choice back, then pauses."""
        if self.phase == "item" and self.chosen:
            self.chosen = ""
            return True
        if self.phase != "start":
            self._to_start()
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

    def held(self) -> dict[str, Any]:
        """The item on the bench and what was chosen but not yet given; answers given are in the record."""
        held: dict[str, Any] = {}
        item = self.item if isinstance(self.sitting, PracticeSitting) and self.phase == "item" else self._held_item
        if item is not None:
            held["item"] = msgspec.to_builtins(item)
        choice = self._held_choice
        if self.item is not None and self.chosen and self.phase == "item":
            choice = (self.item.question, self.chosen, self.sure)
        if choice is not None:
            held["choice"] = list(choice)
        return held

    def recall(self, held: dict[str, Any]) -> None:
        """The item that was on the bench comes first again."""
        with contextlib.suppress(msgspec.ValidationError, ValueError, TypeError):
            if "item" in held:
                item = msgspec.convert(held["item"], Item)
                if all(half_id in self.desk.tables.halves for half_id in (item.task.a, item.task.b)):
                    self._held_item = item
            if "choice" in held:
                question, chosen, sure = held["choice"]
                self._held_choice = (str(question), str(chosen), float(sure))
