"""What a phone hands over, held against the tables, the clock and itself, before it joins the record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from coaxtell.models.catalogue import Reason
from coaxtell.quiz import items
from coaxtell.quiz.item import Task
from coaxtell.quiz.log import AHEAD, Answered, Event, Started
from coaxtell.quiz.stock import Stock


def sound(
    events: Iterable[Event], stock: Stock, begun: Mapping[str, str], now: datetime
) -> tuple[list[Event], list[Reason]]:
    """The events that can join a record that holds sittings already; of each other one, why not.

    `begun` says of each of those sittings whose it is.
    """
    found: list[Event] = []
    left_out: list[Reason] = []
    held = list(events)
    starts = {one.id: one.person for one in held if isinstance(one, Started) and one.time <= now + AHEAD}
    whose = {**starts, **begun}
    for event in held:
        why = _against(event, stock, now)
        if why is None and isinstance(event, Answered) and event.sitting not in whose:
            why = Reason("handed.start", _of(event))
        elif why is None and isinstance(event, Answered) and event.person != whose[event.sitting]:
            why = Reason("handed.person", {**_of(event), "other": whose[event.sitting]})
        if why is None:
            found.append(event)
        else:
            left_out.append(why)
    return found, left_out


def _of(event: Event) -> dict[str, str | float]:
    return {"person": event.person, "number": event.number}


def _against(event: Event, stock: Stock, now: datetime) -> Reason | None:
    """What speaks against an event by itself."""
    if event.time > now + AHEAD:
        code = "handed.ahead" if isinstance(event, Answered) else "handed.sitting_ahead"
        return Reason(code, {**_of(event), "day": event.time.date().isoformat()})
    if not isinstance(event, Answered):
        return None
    kind = items.KINDS.get(event.kind)
    if kind is None:
        return Reason("handed.kind", {**_of(event), "kind": event.kind})
    unknown = [half for half in (event.a, event.b) if half not in stock.halves]
    if unknown:
        return Reason("handed.half", {**_of(event), "half": unknown[0]})
    right = kind.right(stock, Task(event.kind, event.a, event.b, tuple(event.options)))
    if right is not None and right != event.right:
        return Reason("handed.right", {**_of(event), "told": event.right, "right": right})
    return None
