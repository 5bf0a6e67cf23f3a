"""Progress as a report that terminal, HTML, PDF and CSV share."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

from coaxtell.models.drawings.drawing import Drawing
from coaxtell.pages.table import Table
from coaxtell.quiz import overview
from coaxtell.quiz.log import Answered, Event, answers
from coaxtell.quiz.overview import Confusion, PersonState, SkillState, Standing
from coaxtell.quiz.skills import PAIR
from coaxtell.quiz.terms import taken
from coaxtell.quiz.tries import Try
from coaxtell.quiz.words import held, word
from coaxtell.quiz_pages import charts

SKILLS = "Skills: rate and 95 % interval"
"""Heading of everyone's skills, a table for wide pages."""

MOST_CONFUSIONS = 15
"""Confusions that are listed one by one, the most frequent first."""


AHEAD = "not by a clock ahead"
"""In the place of a day that a clock dated later than now would give: such a try clears nobody."""

NOW, TODAY = "now", "within a day"
"""When a card is due that is due by now, or is in less than a day."""

HELD = (Standing.SITS, Standing.DUE)
"""How a skill stands that sits, to be asked again or not."""


def notes() -> tuple[str, ...]:
    """What the figures mean, below the tables."""
    return (
        "Rate: share of right answers among the latest 40 of a skill, with the interval that holds the true rate "
        "with 95 %, every rate from 0 to 100 % counting as equally likely before the first answer. Nothing is said of "
        "a skill with fewer than 8 answers.",
        "Recall: chance to still hold it today, by the review library's curve of forgetting.",
        "Practice answers count for skills; ready or not yet is said by an assessment alone. It supports supervised "
        "practice and local rules and does not replace them.",
    )


def percent(share: float | None) -> str:
    """A share as whole percent; a dash where there is none."""
    return "–" if share is None else f"{share:.0%}"


def headline(person: PersonState) -> str:
    """A person in one sentence."""
    if not person.answers:
        return f"{person.name}: no answers yet."
    rate = person.right / person.answers
    honest = person.stated - rate
    word = "close to it" if abs(honest) < 0.05 else "too sure" if honest > 0 else "too modest"
    return (
        f"{person.name}: {person.answers} answers, {rate:.0%} right, {person.points:+.0f} points. Said to be "
        f"{person.stated:.0%} sure on average: {word}."
    )


def when(due: datetime | None, now: datetime) -> str:
    """When a card is due, in days."""
    if due is None:
        return "–"
    days = (due - now).total_seconds() / 86400
    if days <= 0:
        return NOW
    return TODAY if days < 1 else f"in {days:.0f} d"


def skills(person: PersonState, now: datetime) -> Table:
    """The skills of one person."""
    rows = [_skill_row(state, now) for state in person.skills]
    headings = ("Skill", "Right", "Rate", "95 % interval", "Recall", "Due", "Standing")
    return Table(headings, (50, 18, 16, 30, 18, 18, 34), tuple(rows), frozenset({1, 2, 3, 4}))


def _skill_row(state: SkillState, now: datetime) -> tuple[str, ...]:
    total = state.right + state.wrong
    if not total:
        return (word(state.skill), "0 of 0", "–", "–", "–", "–", word(state.standing(now)))
    return (
        word(state.skill),
        f"{state.right} of {total}",
        percent(state.rate),
        f"{state.low:.0%} to {state.high:.0%}",
        percent(state.recall),
        when(state.due, now),
        word(state.standing(now)),
    )


def sits(person: PersonState, now: datetime) -> tuple[str, str, str]:
    """What sits, what does not, what is due: three sentences."""
    states = {word(state.skill): state.standing(now) for state in person.skills}

    def listed(*which: Standing) -> str:
        return ", ".join(name for name, state in states.items() if state in which) or "nothing"

    days = {word(state.skill): when(state.due, now) for state in person.skills}
    due = [name for name, day in days.items() if day == NOW]
    due += [held(PAIR + pair) for pair in person.pairs_due]  # a pair that was once confused
    today = [name for name, day in days.items() if day == TODAY]
    few, new = listed(Standing.FEW), listed(Standing.UNSEEN)
    return (
        f"Sits: {listed(*HELD)}.",
        f"Does not sit yet: {listed(Standing.NOT_YET)}. Too few answers: {few}. Not seen yet: {new}.",
        f"Due: {', '.join(due) or 'nothing'}." + (f" Due within a day: {', '.join(today)}." if today else ""),
    )


def tries(found: Sequence[Try], now: datetime) -> Table:
    """Every start of an assessment, with what to know of how it was taken."""
    rows = [
        (
            str(one.number),
            f"{one.start.time:%Y-%m-%d %H:%M}",
            one.start.site or "all ports",
            str(one.items),
            word(one.verdict),
            "–" if one.until is None else f"{one.until:%Y-%m-%d}" if one.on_time(now) else AHEAD,
            "; ".join(taken(one)) or "–",
        )
        for one in found
    ]
    headings = ("Try", "Started (UTC)", "Site", "Items", "Verdict", "Ready until", "How it was taken")
    return Table(headings, (9, 30, 30, 14, 30, 27, 46), tuple(rows), frozenset({0, 3}))


def team(people: Sequence[PersonState], now: datetime) -> Table:
    """Everyone in a line: ready until when and for what, the last try, and what is weakest."""
    rows = []
    for person in people:
        last = person.tries[-1] if person.tries else None
        ready = person.ready_until(now)
        weak = [state for state in person.skills if state.rate is not None and state.standing(now) is Standing.NOT_YET]
        worst = min(weak, key=lambda state: state.rate or 0.0, default=None)
        rows.append(
            (
                person.name,
                str(person.answers),
                percent(person.right / person.answers if person.answers else None),
                "not ready" if ready is None or ready.until is None else f"{ready.until:%Y-%m-%d}",
                "–" if ready is None else ready.start.site or ports_words(ready.start.ports),
                "none" if last is None else f"{word(last.verdict)}, {last.ended:%Y-%m-%d}{_ahead(last, now)}",
                "; ".join(dict.fromkeys(word(what) for one in person.tries for what, _ in one.remarks)) or "–",
                str(len(person.tries)),
                f"{sum(one.standing(now) in HELD for one in person.skills)} of {len(person.skills)}",
                "–"
                if worst is None
                else f"{word(worst.skill)}, {worst.rate:.0%} ({worst.low:.0%} to {worst.high:.0%})",
            )
        )
    headings = (
        "Person",
        "Answers",
        "Right",
        "Ready until",
        "For",
        "Last assessment",
        "How taken",
        "Tries",
        "Skills that sit",
        "Weakest",
    )
    return Table(headings, (28, 15, 12, 20, 25, 26, 24, 10, 16, 36), tuple(rows), frozenset({1, 2, 7, 8}))


def _ahead(one: Try, now: datetime) -> str:
    return "" if one.on_time(now) else " (by a clock ahead)"


def ports_words(ports: Mapping[str, int]) -> str:
    """A port list in a few words."""
    return ", ".join(ports) if ports else "all ports"


def team_skills(people: Sequence[PersonState]) -> Table:
    """Person by skill: rate and its interval."""
    names = [word(state.skill) for state in people[0].skills] if people else []
    rows = [
        (
            person.name,
            *(
                "–" if state.rate is None else f"{state.rate:.0%} ({100 * state.low:.0f}-{100 * state.high:.0f})"
                for state in person.skills
            ),
        )
        for person in people
    ]
    return Table(("Person", *names), (26, *(18.0 for _ in names)), tuple(rows), frozenset())


def confused(found: Sequence[Confusion], right: str = "It was") -> Table:
    """Which is taken for which."""
    rows = [(one.right, one.taken_for, str(one.times)) for one in found[:MOST_CONFUSIONS]]
    if len(found) > MOST_CONFUSIONS:
        rest = found[MOST_CONFUSIONS:]
        rows.append((f"{len(rest)} other pairs", "", str(sum(one.times for one in rest))))
    return Table((right, "Taken for", "Times"), (60, 60, 16), tuple(rows), frozenset({2}))


class Person(NamedTuple):
    """What a page says of one person."""

    name: str
    said: tuple[str, ...]
    charts: tuple[Drawing, ...]
    skills: Table
    tries: Table


class Report(NamedTuple):
    """A page of progress: what stands before its people (headings, the first one empty, with tables), and they."""

    title: str
    tables: tuple[tuple[str, Table], ...]
    people: tuple[Person, ...]
    notes: tuple[str, ...]


def of_person(events: Sequence[Event], now: datetime) -> Report:
    """The page of the one person of these events."""
    state = overview.person(events[0].person, events, now)
    return _report(f"Progress of {state.name}", (), [_person(state, answers(events), now)], now)


def of_team(events: Sequence[Event], known: Callable[[str], bool], now: datetime) -> Report:
    """The page of everyone, for the lead; `known` tells which option is a half."""
    people = overview.team(events, now)
    tables = (
        ("", team(people, now)),
        (SKILLS, team_skills(people)),
        ("Which half is taken for which", confused(overview.confusions(events, known))),
        ("Which verdict is taken for which", confused(overview.wrong_verdicts(events), "The verdict was")),
    )
    given: dict[str, list[Answered]] = {}
    for answer in answers(events):
        given.setdefault(answer.person.casefold(), []).append(answer)
    told = [_person(state, given.get(state.name.casefold(), ()), now) for state in people]
    return _report("Progress of the team", tables, told, now)


def _person(state: PersonState, given: Sequence[Answered], now: datetime) -> Person:
    return Person(
        state.name,
        (headline(state), *sits(state, now)),
        (charts.skills(state), charts.course(state.name, given), charts.honesty(state.name, given)),
        skills(state, now),
        tries(state.tries, now),
    )


def _report(title: str, tables: tuple[tuple[str, Table], ...], people: Sequence[Person], now: datetime) -> Report:
    return Report(title, tables, tuple(people), (*notes(), f"As of {now:%Y-%m-%d %H:%M} UTC."))
