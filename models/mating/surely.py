"""Matings that something is ordered by or called a mate by: of halves that do not ship with how sure they are, each
worked out once."""

from __future__ import annotations

from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating, mate
from coaxtell.models.mating.outcome import JOINED, Verdict
from coaxtell.models.tables import load

_WORKED_OUT: dict[tuple[int, int], tuple[Half, Half, Mating]] = {}
"""By the two halves themselves, which stand beside their mating so that no other takes their place."""
MOST = 4096
"""Matings that are kept at hand."""


def surely(a: Half, b: Half) -> Mating:
    """The mating of two halves with how sure it is."""
    key = (id(a), id(b))
    if key not in _WORKED_OUT:
        if len(_WORKED_OUT) >= MOST:
            _WORKED_OUT.clear()
        _WORKED_OUT[key] = a, b, mate(a, b)
    return _WORKED_OUT[key][-1]


def to_order(a: Half, b: Half) -> Mating:
    """The mating of two halves as it may be ordered by: one that joins by its numbers, and not surely, is not known.

    Of halves that do not ship how sure it is is worked out only where they join, which is soon done: what does not
    join is ordered for nobody.
    """
    found = mate(a, b, doubt=False)
    ship = load().halves
    if found.verdict not in JOINED or (ship.get(a.id) is a and ship.get(b.id) is b):
        return found
    return surely(a, b)


def left_open(mating: Mating) -> bool:
    """Whether two halves join by their numbers, and it is not known that they do."""
    return mating.verdict is Verdict.NOT_KNOWN and mating.geometry in JOINED
