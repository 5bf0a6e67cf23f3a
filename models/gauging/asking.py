"""What is asked of a half, what settles most doubt a minute first, and how it is said."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from coaxtell.models.catalogue import Reason
from coaxtell.models.gauging.places import Place, Tool, places
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import Path, named, walk


class Doubt(NamedTuple):
    """A verdict in doubt: with which half, how far from sure it is, and what part of that each number explains."""

    other: str
    doubt: float
    tells: dict[Path, float]
    known: bool = False
    """Whether the verdict may be told all the same."""


class Asked(NamedTuple):
    """A number to measure: its place, what doubt it may settle in sum over the verdicts, and with which halves."""

    place: Place
    settles: float
    others: tuple[str, ...]


LEAST = 0.02
"""A verdict whose doubt a number explains by less than this is not named with it."""


def asked(half: Half, doubts: Iterable[Doubt]) -> list[Asked]:
    """What may be measured here, the most doubt a second first; where no doubt hangs on it, the weakest numbers first.

    What a document backs and no verdict needs is not asked.
    """
    known = list(doubts)
    measures = dict(walk(half))
    found = []
    for place in places(half)[0]:
        parts = [(one.other, one.doubt * one.tells.get(place.path, 0.0)) for one in known]
        settles = sum(part for _, part in parts)
        if settles > 0 or measures[place.path].soft:
            others = tuple(other for other, part in sorted(parts, key=lambda p: -p[1]) if part >= LEAST)
            found.append(Asked(place, settles, others))
    return sorted(found, key=lambda one: (-one.settles / one.place.seconds, -width(measures[one.place.path])))


def width(measure: Measure) -> float:
    """How wide the range of a number is, as a share of it."""
    return (measure.high - measure.low) / max(abs(measure.nominal), 1.0)


def question(half: Half, place: Place) -> Reason:
    """What to measure with what, and from where."""
    number = named(half, place.path)
    tool = Reason(f"gauge.{place.tool.value}")
    if place.origin is not None:
        origin = Reason(f"gauge.from_{'shell' if place.path[0] == 'insulator' else place.path[0]}")
        return Reason("gauge.ask_z", {"number": number, "tool": tool, "from": origin})
    if place.tool is Tool.DEPTH:
        return Reason("gauge.rim_depth", {"number": number, "tool": tool})
    where = Reason("gauge.within" if place.tool is Tool.INSIDE else "gauge.across")
    return Reason("gauge.ask_d", {"number": number, "tool": tool, "where": where})
