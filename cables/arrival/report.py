"""What there is to say of a delivery, line by line: verdict, loss, length, echoes, match, and what was not told."""

from __future__ import annotations

import msgspec

from coaxtell.cables.arrival.judging import Arrival, Verdict, place_of
from coaxtell.cables.arrival.reading import Echo
from coaxtell.cables.reasons import because
from coaxtell.cables.tables import CableTables
from coaxtell.models.acts import Act, before
from coaxtell.models.catalogue import Reason

FIRST = (*before([Act.JOIN]), Reason("arrival.first"))
"""What to do before the analyser is joined."""


class Line(msgspec.Struct, frozen=True):
    """One figure of a delivery: what it is of, what was measured, and what it is held against."""

    what: Reason
    measured: Reason
    held_to: Reason


def verdict(arrival: Arrival) -> Reason:
    """The verdict in words; a loaded far end tells of faults alone."""
    if arrival.verdict is Verdict.AS_ORDERED and arrival.loss is None:
        return Reason("arrival.no_fault")
    return Reason(f"arrival.{arrival.verdict.value}")


def ordered(arrival: Arrival) -> Reason:
    """What was ordered."""
    order = arrival.ordered
    values = {"length_m": order.length_m, "mhz": order.mhz, "celsius": order.celsius}
    return because("arrival.ordered", cable=order.cable.name, **values)


def lines(arrival: Arrival, tables: CableTables) -> list[Line]:
    """The figures of a delivery."""
    reading, limits = arrival.reading, tables.arrival
    found = []
    if arrival.loss is not None:
        loss = arrival.loss
        levels = {"expected_db": loss.expected_db, "plus_minus_db": loss.plus_minus_db, "most_db": loss.most_db}
        held = because("arrival.loss_expected", **levels)
        measured = because("arrival.db", db=loss.measured_db)
        found.append(Line(because("arrival.loss", mhz=arrival.ordered.mhz), measured, held))
    if reading.slope_m is not None and reading.time_m is not None:
        measured = because("arrival.lengths", slope_m=reading.slope_m, time_m=reading.time_m)
        share = round(limits.length_share.nominal + 100 * max(arrival.ordered.velocity_off), 1)
        floor = limits.length_floor.nominal
        held = because("arrival.length_ordered", ordered_m=arrival.ordered.length_m, share=share, floor_cm=floor)
        found.append(Line(Reason("arrival.length"), measured, held))
    echoes = (("near_end", reading.near), ("far_end", reading.far))
    for what, echo in echoes:
        if echo is not None:
            least = because("arrival.least", least_db=limits.end_match.nominal, grade=limits.end_match.grade.value)
            found.append(Line(Reason(f"arrival.{what}"), because("arrival.db", db=echo.return_loss_db), least))
    if reading.inside is not None:
        least = because("arrival.least", least_db=limits.inside_match.nominal, grade=limits.inside_match.grade.value)
        found.append(Line(Reason("arrival.worst_inside"), _inside(reading.inside), least))
    if not any(note.code == "arrival.match_hidden" for note in arrival.notes):
        least = because("arrival.least", least_db=limits.band_match.nominal, grade=limits.band_match.grade.value)
        found.append(Line(Reason("arrival.band"), because("arrival.db", db=arrival.match_db), least))
    return found


def _inside(echo: Echo) -> Reason:
    return because("arrival.db_at", db=echo.return_loss_db, place=place_of(echo))
