"""Progress as one HTML file that needs nothing beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from html import escape

from coaxtell.models.drawings.drawing import Drawing
from coaxtell.models.palette import BENCH, GRID_FINE, INK, PAPER, QUIET
from coaxtell.pages.content import Table
from coaxtell.quiz.log import Answered
from coaxtell.quiz.overview import Confusion, PersonState
from coaxtell.quiz_pages import charts, progress_tables

_STYLE = f"""
:root {{ color-scheme: light; }}
body {{ font: 15px/1.5 "DejaVu Sans", Verdana, sans-serif; color: {INK}; background: {PAPER};
  max-width: 1100px; margin: 32px auto; padding: 0 24px; }}
h1 {{ font-size: 28px; margin: 0 0 8px; }}
h2 {{ font-size: 19px; margin: 40px 0 8px; break-after: avoid; }}
p.quiet {{ color: {QUIET}; font-size: 13px; }}
.wide {{ overflow-x: auto; }}
table {{ border-collapse: collapse; width: 100%; font-size: 13px; }}
th {{ background: {BENCH}; text-align: left; }}
th, td {{ padding: 6px 8px; border-bottom: 1px solid {GRID_FINE}; vertical-align: top; }}
.n {{ text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }}
figure {{ margin: 16px 0; break-inside: avoid; }}
figure svg {{ max-width: 100%; height: auto; }}
@media print {{ body {{ margin: 0; max-width: none; padding: 0; }} }}
"""


def person(state: PersonState, given: Sequence[Answered], now: datetime) -> str:
    """The page of one person."""
    parts = [f"<h1>Progress of {escape(state.name)}</h1>", *_person(state, given, now), *_notes(now)]
    return _page(f"Progress of {state.name}", parts)


def team(
    people: Sequence[PersonState],
    given: Mapping[str, Sequence[Answered]],
    confusions: Sequence[Confusion],
    verdicts: Sequence[Confusion],
    now: datetime,
) -> str:
    """The page of everyone, for the lead."""
    parts = ["<h1>Progress of the team</h1>", _table(progress_tables.team(people, now))]
    parts += ["<h2>Skills: rate and 95 % interval</h2>", _table(progress_tables.team_skills(people))]
    parts += ["<h2>Which half is taken for which</h2>", _table(progress_tables.confused(confusions))]
    parts += [
        "<h2>Which verdict is taken for which</h2>",
        _table(progress_tables.confused(verdicts, "The verdict was", "Taken for")),
    ]
    for state in people:
        parts += [f"<h2>{escape(state.name)}</h2>", *_person(state, given.get(state.name, ()), now)]
    return _page("Progress of the team", [*parts, *_notes(now)])


def _person(state: PersonState, given: Sequence[Answered], now: datetime) -> list[str]:
    parts = [f"<p>{escape(progress_tables.headline(state))}</p>"]
    parts += [f"<p>{escape(sentence)}</p>" for sentence in progress_tables.sits(state, now)]
    drawn = (charts.skills(state), charts.course(state.name, given), charts.honesty(state.name, given))
    parts += [f"<figure>{_inline(one)}</figure>" for one in drawn]
    parts.append(_table(progress_tables.skills(state, now)))
    parts.append("<h3>Assessments</h3>")
    parts.append(_table(progress_tables.tries(state.tries)))
    return parts


def _notes(now: datetime) -> list[str]:
    lines = (*progress_tables.NOTES, f"As of {now:%Y-%m-%d %H:%M} UTC.")
    return [f'<p class="quiet">{escape(line)}</p>' for line in lines]


def _inline(drawn: Drawing) -> str:
    return drawn.svg().split("?>", 1)[1].strip()


def _table(table: Table) -> str:
    if not table.rows:
        return '<p class="quiet">None.</p>'
    marks = ['class="n"' if column in table.numbers else "" for column in range(len(table.headings))]
    head = "".join(f"<th {mark}>{escape(text)}</th>" for mark, text in zip(marks, table.headings, strict=True))
    body = "".join(
        "<tr>" + "".join(f"<td {mark}>{escape(text)}</td>" for mark, text in zip(marks, row, strict=True)) + "</tr>"
        for row in table.rows
    )
    return f'<div class="wide"><table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>'


def _page(title: str, parts: Sequence[str]) -> str:
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title><style>{_STYLE}</style></head><body>\n"
        + "\n".join(parts)
        + "\n</body></html>\n"
    )
