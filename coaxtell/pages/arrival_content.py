"""What the pages of a delivery say, in sections that every kind of file shows alike."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coaxtell.cables.arrival import report
from coaxtell.cables.arrival.judging import Arrival, Verdict
from coaxtell.cables.reasons import because
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.catalogue import Reason
from coaxtell.models.drawings.drawing import Drawing
from coaxtell.pages.arrival_figure import figure
from coaxtell.pages.table import Table


class Delivery(NamedTuple):
    """What came: cables judged by name, what could not be read, and cables of the plan without a sweep."""

    judged: Sequence[tuple[str, Arrival]]
    unread: Sequence[str] = ()
    missing: Sequence[str] = ()


class Sheet(NamedTuple):
    """What a page says of one cable."""

    name: str
    ordered: str
    verdict: str
    good: bool
    against: tuple[str, ...]
    table: Table
    notes: tuple[str, ...]
    figure: Drawing


class Pages(NamedTuple):
    """What the file says of a delivery: what to do first, all cables in a table, and a sheet for each."""

    title: str
    first: str
    summary: str
    unread: tuple[str, ...]
    missing: tuple[str, ...]
    overview: Table
    sheets: tuple[Sheet, ...]


def counted(delivery: Delivery) -> Reason:
    """How many cables came to which verdict."""
    verdicts = [arrival.verdict for _, arrival in delivery.judged]
    return because(
        "arrival.batch",
        good=verdicts.count(Verdict.AS_ORDERED),
        look=verdicts.count(Verdict.LOOK_AGAIN),
        wrong=verdicts.count(Verdict.NOT_AS_ORDERED),
        unread=len(delivery.unread),
        all=len(delivery.judged) + len(delivery.unread),
    )


def pages(title: str, delivery: Delivery, tables: CableTables) -> Pages:
    """The sections of a delivery's file."""
    rows = tuple(
        (
            name,
            f"class {arrival.ordered.cable.name}, {arrival.ordered.length_m:.4g} m",
            say(report.verdict(arrival)),
            "; ".join(map(say, arrival.reasons)),
        )
        for name, arrival in delivery.judged
    )
    return Pages(
        title=title,
        first=" ".join(map(say, report.FIRST)),
        summary=say(counted(delivery)),
        unread=tuple(delivery.unread),
        missing=tuple(delivery.missing),
        overview=Table(("Cable", "Ordered", "Verdict", "Why"), (40.0, 32.0, 30.0, 84.0), rows, frozenset()),
        sheets=tuple(_sheet(name, arrival, tables) for name, arrival in delivery.judged),
    )


def _sheet(name: str, arrival: Arrival, tables: CableTables) -> Sheet:
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
