"""Deliveries as pages for the file: verdict, figures with their limits, and the sweep of each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coaxtell.cables.arrival import report
from coaxtell.cables.arrival.judging import Arrival
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.drawings.drawing import Drawing
from coaxtell.pages import html
from coaxtell.pages.arrival_figure import figure
from coaxtell.pages.content import Table


class Sheet(NamedTuple):
    """What a page says of one delivery."""

    name: str
    ordered: str
    verdict: str
    good: bool
    against: tuple[str, ...]
    table: Table
    notes: tuple[str, ...]
    figure: Drawing


def sheet(name: str, arrival: Arrival, tables: CableTables) -> Sheet:
    """The sheet of one delivery."""
    rows = tuple((say(one.what), say(one.measured), say(one.held_to)) for one in report.lines(arrival, tables))
    return Sheet(
        name=name,
        ordered=say(report.ordered(arrival)),
        verdict=say(report.verdict(arrival)),
        good=not arrival.reasons,
        against=tuple(map(say, arrival.reasons)),
        table=Table(("Of", "Measured", "Held to"), (50.0, 60.0, 70.0), rows, frozenset()),
        notes=tuple(map(say, arrival.notes)),
        figure=figure(arrival, name),
    )


def page(title: str, found: Sequence[tuple[str, Arrival]], unread: Sequence[str], tables: CableTables) -> str:
    """One HTML file with a sheet for each delivery, and what could not be read first."""
    sheets = [sheet(name, arrival, tables) for name, arrival in found]
    return html.page("arrival", title=title, first=say(report.FIRST), sheets=sheets, unread=tuple(unread))
