"""Progress as one HTML file that needs nothing beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from coaxtell.pages import html
from coaxtell.pages.content import Table
from coaxtell.quiz.log import Answered
from coaxtell.quiz.overview import Confusion, PersonState
from coaxtell.quiz_pages import charts, progress_tables


def person(state: PersonState, given: Sequence[Answered], now: datetime) -> str:
    """The page of one person."""
    return _page(f"Progress of {state.name}", [], [_person(state, given, now)], now)


def team(
    people: Sequence[PersonState],
    given: Mapping[str, Sequence[Answered]],
    confusions: Sequence[Confusion],
    verdicts: Sequence[Confusion],
    now: datetime,
) -> str:
    """The page of everyone, for the lead."""
    tables = progress_tables.of_team(people, confusions, verdicts, now)
    told = [_person(state, given.get(state.name, ()), now) for state in people]
    return _page("Progress of the team", tables, told, now)


def _person(state: PersonState, given: Sequence[Answered], now: datetime) -> dict[str, object]:
    return {
        "state": state,
        "said": (progress_tables.headline(state), *progress_tables.sits(state, now)),
        "charts": (charts.skills(state), charts.course(state.name, given), charts.honesty(state.name, given)),
        "skills": progress_tables.skills(state, now),
        "tries": progress_tables.tries(state.tries),
    }


def _page(title: str, tables: Sequence[tuple[str, Table]], people: Sequence[dict[str, object]], now: datetime) -> str:
    notes = (*progress_tables.notes(), f"As of {now:%Y-%m-%d %H:%M} UTC.")
    return html.page("progress", title=title, tables=tables, people=people, notes=notes)
