"""The column of practice and assessment, phase by phase."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any, Protocol

from coaxtell.models.words import counted
from coaxtell.quiz import words
from coaxtell.quiz.item import Item
from coaxtell.quiz.log import Answered
from coaxtell.quiz.overview import PersonState, Standing
from coaxtell.quiz.score import points, steps
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.sitting import Assessing, Practising, Wrong
from coaxtell.quiz.terms import came_to, lost, supports, taken
from coaxtell.quiz.trial import Part
from coaxtell.quiz.words import word
from coaxtell.window.kit.cards import Card
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.stack import Choice, Stack
from coaxtell.window.kit.theme import BODY, SMALL, STEP, TARGET
from coaxtell.window.kit.widgets import RoleName
from coaxtell.window.sitting import Course


class Sits(Protocol):
    """Who sits there: what the column shows of the person, and what its controls do."""

    name: Edit
    trouble: str
    refused: str
    course: Course | None
    state: PersonState | None

    def take_name(self) -> None: ...
    def all_ports(self) -> None: ...
    def open_progress(self) -> None: ...


class Seat(Protocol):
    """What the column shows of a sitting, and what its controls do."""

    desk: Any
    sitting: Practising | Assessing | None
    item: Item | None
    given: Answered | None
    chosen: str
    sure: float
    stated: list[str]
    taught: str

    @property
    def sitter(self) -> Sits: ...
    @property
    def waiting(self) -> bool: ...

    def begin_practice(self) -> None: ...
    def open_terms(self) -> None: ...
    def open_anew(self) -> None: ...
    def begin_assessment(self) -> None: ...
    def find_ports(self) -> None: ...
    def to_start(self) -> None: ...
    def choosing(self, option_id: str) -> Any: ...
    def set_sure(self, sure: float) -> None: ...
    def give(self) -> None: ...
    def go_on(self) -> None: ...


NEXT = "Next item"
DECISIONS: dict[Decision, RoleName] = {
    Decision.READY: "fits", Decision.NOT_YET: "harm", Decision.UNDECIDED: "text",
}  # fmt: skip


def start(scene: Seat, column: Stack) -> None:
    """Who sits here, and where that person stands."""
    sitter = scene.sitter
    column.title("Who sits here?")
    column.field("person", "Name, as it stands in the record", sitter.name, lambda: None, sitter.take_name)
    if sitter.trouble:
        column.check(sitter.trouble, False, key="trouble")
    if sitter.course is None:
        column.progress("preparing", None, "Working out the items from the tables\N{HORIZONTAL ELLIPSIS}")
        return
    column.button("practise", "Practise", scene.begin_practice, "action")
    column.button("assess", "Take the assessment", scene.open_terms)
    if sitter.refused:
        column.check(sitter.refused, False, key="refused")
        column.button("anew", "Begin a new assessment", scene.open_anew)
    if sitter.course.site:
        column.check(f"They draw from the ports of {sitter.course.site}.", True, key="site")
        column.button("all-ports", "Draw from all ports", sitter.all_ports)
    else:
        column.say("Drop a site's ports.toml here, and both draw from its ports.", SMALL, "quiet")
        column.button("find-ports", "Choose a port list from its folder", scene.find_ports)
    state = sitter.state
    if state is not None:
        record(scene, column, state)
    column.part("For the lead")
    column.button("progress", "Open the progress page of the team", sitter.open_progress)
    column.say(supports(), SMALL, "quiet")


def record(scene: Seat, column: Stack, state: PersonState) -> None:
    """What the record holds of the person."""
    now = datetime.now(UTC)
    column.part("The record")
    if not state.answers:
        column.say("No answers yet.", key="record")
    else:
        column.say(_tally(counted(state.answers, "answer"), state.right, state.points), key="record")
    for one in state.skills:
        if one.rate is None:
            continue
        standing = one.standing(now)
        column.check(f"{word(one.skill)}: {word(standing)}, {one.right} of {one.right + one.wrong} right",
                     True if standing is Standing.SITS else None, key=f"skill-{one.skill.name.lower()}")  # fmt: skip
    for tried in state.tries[-3:]:
        when = f"{tried.start.time:%Y-%m-%d}"
        how = "".join(f" {said[0].upper()}{said[1:]}." for said in taken(tried))
        column.say(
            f"Assessment {tried.number}, {when}: {word(tried.verdict)} after {counted(tried.items, 'item')}.{how}"
        )


def terms(scene: Seat, column: Stack) -> None:
    """What the assessment draws from and how often it errs, before it starts."""
    sitting = scene.sitting
    assert isinstance(sitting, Assessing)
    again = sitting.start is not None
    column.title(f"Assessment, try {sitting.try_number}")
    if again:
        column.check("It goes on where it was paused; the answers so far count.", None, key="resumed")
    column.button("begin", "Go on" if again else "Begin", scene.begin_assessment, "action")
    column.button("not-now", "Not now", scene.to_start)
    column.say("Nothing is told of an answer until the end. You may pause at any time.")
    column.part("What it draws from and how often it errs")
    for line in scene.stated:
        column.say(scene.desk.spoken(line), SMALL, after=0.75)
    column.say(supports(), SMALL)


def first_answer(scene: Seat, column: Stack) -> float:
    """How high the question and the first of its answers stand at the top of a low column [units]."""
    assert scene.item is not None
    said = words.of(scene.item)
    question = column.height_of(scene.desk.spoken(said.question), BODY, column.width, True)
    first = next(iter(said.options.values()))
    return question + STEP + max(TARGET, Card.height(column.type, first, "", column.width, None, not scene.chosen))


def sitting_tall(scene: Seat, column: Stack) -> float:
    """How high that stands which a sitting says of itself before the question [units]."""
    assert scene.sitting is not None
    lesson = _lesson(scene.sitting)
    tall = column.height_of(f"Item {scene.sitting.number}", SMALL, column.width) + STEP
    return tall + (column.height_of(lesson, SMALL, column.width) + STEP if lesson else 0.0)


def asked_low(scene: Seat, column: Stack) -> None:
    """The same where there is little room: question and answers first, what the sitting says of itself after them."""
    _question(scene, column)
    _answers(scene, column)
    _sitting(scene, column)


def asked(scene: Seat, column: Stack) -> None:
    """The item with its answers and how sure."""
    _sitting(scene, column)
    _question(scene, column)
    _answers(scene, column)


def _sitting(scene: Seat, column: Stack) -> None:
    sitting = scene.sitting
    assert sitting is not None
    column.say(f"Item {sitting.number}", SMALL, "quiet", key="item-number")
    column.say(_lesson(sitting), SMALL, key="lesson")


def _lesson(sitting: Practising | Assessing) -> str:
    return words.introduced(sitting.number) if isinstance(sitting, Practising) and sitting.teaches else ""


def _question(scene: Seat, column: Stack) -> None:
    assert scene.item is not None
    said = words.of(scene.item)
    unseen = bool(scene.desk.pictures.why)
    if said.in_words and unseen:
        column.say(scene.desk.spoken(said.in_words))
    column.say(scene.desk.spoken(said.unseen if unseen else said.question), key="question", bold=True)


def _answers(scene: Seat, column: Stack) -> None:
    item = scene.item
    assert item is not None
    said = words.of(item)
    if scene.waiting:
        column.progress("waiting", None, "The picture is being drawn; the answers come with it.")
        column.button("pause", "Pause: everything answered is kept", scene.to_start)
        return
    column.cards(
        [Choice(f"option-{id_}", option, scene.choosing(id_), chosen=id_ == scene.chosen)
         for id_, option in said.options.items()],
        columns=1, numbers=not scene.chosen,
    )  # fmt: skip
    # the first answer does not come into sight before the question's start is
    question = next(widget.box.y for widget in column.widgets if widget.key == "question")
    first = column.widgets[-len(said.options)]
    first.above = first.box.y - question
    if scene.chosen:
        offered = steps(len(item.options))
        right, wrong = points(True, scene.sure), points(False, scene.sure)
        top = column.y
        column.slider("sure", "How sure?", scene.sure, (offered[0], 1.0), 0.1,
                      scene.set_sure, f"{scene.sure:.0%}")  # fmt: skip
        stake = f"Right: {right:+.0f} points. Wrong: {wrong:+.0f} points. Keys 1 to 9 say 10 to 90 %, 0 certain."
        column.say(scene.desk.spoken(stake), SMALL, "quiet", key="stake")
        column.button("answer", "Answer", scene.give, "action")
        # how sure is seen where it is given
        column.widgets[-1].above = column.widgets[-1].box.y - top
    column.button("pause", "Pause: everything answered is kept", scene.to_start)


def told_first(scene: Seat, column: Stack) -> float:
    """How high the first line of a low column is after an answer [units]."""
    assert scene.given is not None
    return column.led_height(_came(scene.given)[0], NEXT)


def told_low(scene: Seat, column: Stack) -> None:
    """The same under a bench that needs the room: the way on stands beside the word."""
    assert scene.given is not None
    column.led("verdict", *_came(scene.given), "next", NEXT, scene.go_on)
    _answered(scene, column)
    _why(scene, column)


def told(scene: Seat, column: Stack) -> None:
    """Right or wrong, the points, the reasons, the look that tells, the cautions."""
    assert scene.given is not None
    column.verdict(*_came(scene.given))
    _answered(scene, column)
    column.button("next", NEXT, scene.go_on, "action")
    _why(scene, column)


def _came(given: Answered) -> tuple[str, RoleName]:
    return ("right", "fits") if given.correct else ("wrong", "harm")


def _answered(scene: Seat, column: Stack) -> None:
    """The right answer, and the one that was given where that is another."""
    assert scene.item is not None
    assert scene.given is not None
    options = words.of(scene.item).options
    column.check(options[scene.item.right], True, key="right-option")
    if not scene.given.correct:
        column.check(f"You said: {options[scene.given.chosen]}", False, key="your-option")


def _why(scene: Seat, column: Stack) -> None:
    """What the answer was worth, the reasons, the look that tells, the cautions."""
    item, given, sitting = scene.item, scene.given, scene.sitting
    assert item is not None
    assert given is not None
    assert sitting is not None
    said = words.of(item)
    column.button("pause", "That is enough for now", scene.to_start)
    column.say(scene.desk.spoken(words.honest(given.correct, given.sure)), key="honesty")
    if scene.taught:
        column.say(scene.taught, key="lesson", bold=True)
    column.say(words.asked(item), SMALL, "quiet", key="item-kind")
    _explained(scene, column, said, "look")
    count = f"This sitting: {counted(sitting.tally.given, 'item')}"
    column.say(_tally(count, sitting.tally.right, sitting.tally.points), SMALL, "quiet", key="tally")


def _explained(scene: Seat, column: Stack, said: words.Words, key: str) -> None:
    """The reasons of an item, the look that tells, the cautions."""
    column.part("Why")
    for reason in said.reasons:
        column.say(scene.desk.spoken(reason), after=0.75)
    column.part("What tells")
    column.say(scene.desk.spoken(said.look), key=key)
    if said.cautions:
        column.part("Caution")
        for caution in said.cautions:
            column.say(scene.desk.spoken(caution), after=0.75)


def _tally(count: str, right: int, points: float) -> str:
    return f"{count}, {right} right, {points:+.0f} points.".replace("-", "\N{MINUS SIGN}")


def result(scene: Seat, column: Stack) -> None:
    """Where the assessment stands."""
    sitting = scene.sitting
    assert isinstance(sitting, Assessing)
    found = sitting.result()
    column.verdict(word(found.verdict), DECISIONS[found.verdict])
    for part in Part:
        good = {Decision.READY: True, Decision.NOT_YET: False, Decision.UNDECIDED: None}[found.decisions[part]]
        column.check(came_to(found, part), good, key=f"part-{part.value}")
    column.button("practise", "Practise what was weak", scene.begin_practice, "action")
    column.button("back", "Back to the record", scene.to_start)
    if found.lost:
        column.say(lost(found), SMALL)
    column.say(supports(), SMALL)
    if found.verdict is not Decision.UNDECIDED:
        _review(scene, column, sitting.wrong)


def _review(scene: Seat, column: Stack, wrong: Sequence[Wrong]) -> None:
    """The items that were answered wrong in this sitting, each with what was said and what is so."""
    for number, (item, chosen) in enumerate(wrong, 1):
        said = words.of(item)
        column.gap(2)
        column.title(f"Wrong, {number} of {len(wrong)}: {words.kind(item.task.kind)}")
        column.say(scene.desk.spoken(f"{item.task.a}, {item.task.b}"), SMALL, "quiet")
        column.check(f"You said: {said.options[chosen]}", False, key=f"wrong-{number}")
        column.check(said.options[item.right], True, key=f"right-{number}")
        _explained(scene, column, said, f"tells-{number}")
