"""The column of practice and assessment, phase by phase."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from coaxtell.models.words import counted
from coaxtell.quiz.assessment import SUPPORTS
from coaxtell.quiz.blueprint import Part
from coaxtell.quiz.item import KIND_WORDS
from coaxtell.quiz.overview import PersonState
from coaxtell.quiz.readiness import CLAIM, PRIOR_WORDS
from coaxtell.quiz.score import points, steps, why_honest
from coaxtell.quiz.sequential import Decision
from coaxtell.window.sitting import AssessmentSitting
from coaxtell.window.stack import Choice, Stack
from coaxtell.window.theme import SMALL
from coaxtell.window.widgets import RoleName

if TYPE_CHECKING:
    from coaxtell.window.scenes.practise import Practise


DECISIONS: dict[Decision, RoleName] = {
    Decision.READY: "fits", Decision.NOT_YET: "harm", Decision.UNDECIDED: "text",
}  # fmt: skip


def start(scene: Practise, column: Stack) -> None:
    """Who sits here, and where that person stands."""
    column.title("Who sits here?")
    column.field("person", "Name, as it stands in the record", scene.person, lambda: None, scene.take_name)
    if scene.trouble:
        column.check(scene.trouble, False, key="trouble")
    if scene.course is None:
        column.progress("preparing", None, "Working out the items from the tables\N{HORIZONTAL ELLIPSIS}")
        return
    column.button("practise", "Practise", scene.begin_practice, "action")
    column.button("assess", "Take the assessment", scene.open_terms)
    if scene.course.site:
        column.check(f"They draw from the ports of {scene.course.site}.", True, key="site")
        column.button("all-ports", "Draw from all ports", scene.all_ports)
    else:
        column.say("Drop a site's ports.toml here, and both draw from its ports.", SMALL, "quiet")
    state = scene.state
    if state is not None:
        record(scene, column, state)
    column.part("For the lead")
    column.button("progress", "Open the progress page of the team", scene.open_progress)
    column.say(SUPPORTS, SMALL, "quiet")


def record(scene: Practise, column: Stack, state: PersonState) -> None:
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
        word = one.word(now)
        column.check(f"{one.skill.value}: {word}, {one.right} of {one.right + one.wrong} right",
                     True if word == "sits" else None, key=f"skill-{one.skill.name.lower()}")  # fmt: skip
    for tried in state.tries[-3:]:
        when = f"{tried.start.time:%Y-%m-%d}"
        column.say(f"Assessment {tried.number}, {when}: {tried.verdict.value} after {counted(tried.items, 'item')}.")


def terms(scene: Practise, column: Stack) -> None:
    """What the assessment draws from and how often it errs, before it starts."""
    sitting = scene.sitting
    assert isinstance(sitting, AssessmentSitting)
    again = sitting.start is not None
    number = len(sitting.earlier) + (0 if again else 1)
    column.title(f"Assessment, try {number}")
    if again:
        column.check("It goes on where it was paused; the answers so far count.", None, key="resumed")
    column.button("begin", "Go on" if again else "Begin", scene.begin_assessment, "action")
    column.button("not-now", "Not now", scene.to_start)
    column.say("Nothing is told of an answer until the end. You may pause at any time.")
    column.part("What it draws from and how often it errs")
    assert scene.course is not None
    for line in scene.course.terms:
        column.say(scene.desk.spoken(line), SMALL, after=0.75)
    column.say(SUPPORTS, SMALL)


def asked(scene: Practise, column: Stack) -> None:
    """The item with its answers and how sure."""
    item, sitting = scene.item, scene.sitting
    assert item is not None
    assert sitting is not None
    kind = KIND_WORDS[item.task.kind]
    column.say(f"Item {sitting.number + 1}: {kind}" + (f", {sitting.why}" if sitting.why else ""), SMALL, "quiet",
               key="item-kind")  # fmt: skip
    if item.in_words and scene.desk.pictures.why:
        column.say(scene.desk.spoken(item.in_words))
    column.say(scene.desk.spoken(item.question), key="question", bold=True)
    column.cards(
        [Choice(f"option-{o.id}", o.words, scene.choosing(o.id), chosen=o.id == scene.chosen) for o in item.options],
        columns=1, numbers=not scene.chosen,
    )  # fmt: skip
    if scene.chosen:
        offered = steps(len(item.options))
        right, wrong = points(True, scene.sure), points(False, scene.sure)
        column.slider("sure", "How sure?", scene.sure, (offered[0], 1.0), 0.1,
                      scene.set_sure, f"{scene.sure:.0%}")  # fmt: skip
        stake = f"Right: {right:+.0f} points. Wrong: {wrong:+.0f} points. Keys 1 to 9 say 10 to 90 %, 0 certain."
        column.say(scene.desk.spoken(stake), SMALL, "quiet", key="stake")
        column.button("answer", "Answer", scene.give, "action")
    column.button("pause", "Pause: everything answered is kept", scene.to_start)


def told(scene: Practise, column: Stack) -> None:
    """Right or wrong, the points, the reasons, the look that tells."""
    item, given, sitting = scene.item, scene.given, scene.sitting
    assert item is not None
    assert given is not None
    assert sitting is not None
    column.verdict("right" if given.correct else "wrong", "fits" if given.correct else "harm")
    column.check(item.option(item.right).words, True, key="right-option")
    if not given.correct:
        column.check(f"You said: {item.option(given.chosen).words}", False, key="your-option")
    column.button("next", "Next item", scene.go_on, "action")
    column.button("pause", "That is enough for now", scene.to_start)
    column.say(scene.desk.spoken(why_honest(given.correct, given.sure)), key="honesty")
    column.part("Why")
    for reason in item.explanation.reasons:
        column.say(scene.desk.spoken(reason), after=0.75)
    column.part("What tells")
    column.say(scene.desk.spoken(item.explanation.look), key="look")
    count = f"This sitting: {counted(sitting.number, 'item')}"
    column.say(_tally(count, sitting.right, sitting.points), SMALL, "quiet", key="tally")


def _tally(count: str, right: int, points: float) -> str:
    return f"{count}, {right} right, {points:+.0f} points.".replace("-", "\N{MINUS SIGN}")


def result(scene: Practise, column: Stack) -> None:
    """Where the assessment stands."""
    sitting = scene.sitting
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
    column.button("practise", "Practise what was weak", scene.begin_practice, "action")
    column.button("back", "Back to the record", scene.to_start)
    column.say(f"For P, {PRIOR_WORDS}; it is stated apart and decides nothing.", SMALL, "quiet")
    column.say(SUPPORTS, SMALL)
