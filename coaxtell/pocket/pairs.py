"""Every pair of halves for the page: verdict, reasons as data, the three rules, where they stop and what decides."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable
from itertools import combinations_with_replacement
from typing import Any

from coaxtell.models.catalogue import Reason
from coaxtell.models.cut_threads import meshing_turn
from coaxtell.models.drawings.outlines import body_outline
from coaxtell.models.half import Half
from coaxtell.models.mating.deciding import deciding
from coaxtell.models.mating.mate import Mating, Verdict, grounds, mate
from coaxtell.pocket.sections import points

DECIMALS = 4
"""Of every number that a reason quotes: a tenth of what any text shows."""


class _Once:
    """A list in which equal things stand once; gives each its place."""

    def __init__(self) -> None:
        self.items: list[Any] = []
        self._places: dict[Hashable, int] = {}

    def place(self, key: Hashable, item: Any) -> int:
        if key not in self._places:
            self._places[key] = len(self.items)
            self.items.append(item)
        return self._places[key]


def told(reason: Reason) -> list[Any]:
    """A reason as `[code, {name: value}]`, its numbers rounded."""
    return [reason.code, {name: _value(value) for name, value in reason.values.items()}]


def _value(value: Any) -> Any:
    if isinstance(value, Reason):
        return told(value)
    if isinstance(value, list):
        return {"list": [told(one) for one in value]}
    return round(value, DECIMALS) if isinstance(value, float) else value


def pairs(halves: list[Half], going: Callable[[int], None] = lambda done: None) -> dict[str, Any]:
    """All pairs in the order of `combinations_with_replacement`, soft numbers run to both ends of their range.

    `going` is told how many are done. Reasons and nut outlines that occur again stand once.
    """
    reasons, outlines = _Once(), _Once()
    rows: list[list[Any]] = []
    for done, (a, b) in enumerate(combinations_with_replacement(halves, 2), start=1):
        found = mate(a, b)
        rows.append(_row(a, b, found, reasons, outlines))
        going(done)
    return {"verdicts": [v.value for v in Verdict], "reasons": reasons.items, "nuts": outlines.items, "pairs": rows}


def _row(a: Half, b: Half, found: Mating, reasons: _Once, outlines: _Once) -> list[Any]:
    """Verdict, stop [mm], reasons, cautions, rules (1 kept, 0 broken, -1 neither), why, what decides, nuts, likely,
    how sure."""

    def placed(told_of: list[Reason]) -> list[int]:
        return [reasons.place(repr(one), one) for one in map(told, told_of)]

    stop = found.stops_at_mm or 0.0
    return [
        list(Verdict).index(found.verdict),
        round(stop, DECIMALS),
        placed(found.reasons),
        placed(found.cautions),
        [-1 if rule.kept is None else int(rule.kept) for rule in found.rules],
        placed([rule.why for rule in found.rules]),
        _decides(a, b, placed),
        [_rotated(a, meshing_turn(a, b, stop), outlines), _rotated(b, meshing_turn(b, a, stop), outlines)],
        -1 if found.verdict is not Verdict.NOT_KNOWN else list(Verdict).index(_probably(found)),
        placed(grounds(a, b, found)),
    ]


def _probably(found: Mating) -> Verdict:
    """What a verdict that is not known most likely is."""
    return found.geometry if found.confidence is None else found.confidence.probably


def _decides(a: Half, b: Half, placed: Callable[[list[Reason]], list[int]]) -> list[Any]:
    """What decides the verdict: its words, its kind, and from where to where it lies [mm], in A's axes."""
    place = deciding(a, b)
    return [*placed([place.what]), place.kind, *(round(n, DECIMALS) for n in (*place.z, *place.r))]


def _rotated(half: Half, turn: float, outlines: _Once) -> int:
    """The place of a nut's outlines above and below the axis where it is turned [rad], else -1."""
    if not turn:
        return -1
    nut = half.nut
    assert nut is not None
    key = (half.id, round(turn, 6))
    return outlines.place(key, [points(body_outline(nut.body, nut.thread, angle - turn)) for angle in (0.0, math.pi)])
