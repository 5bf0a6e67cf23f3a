"""Reasons made, and several as one."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce

from coaxtell.models.catalogue import Reason


def because(code: str, **values: float | str | Reason | list[Reason]) -> Reason:
    """A reason with its values by name."""
    return Reason(code, values)


def chained(code: str, parts: Sequence[Reason | str]) -> Reason:
    """The parts one after the other, each two joined by the text of a code that quotes `first` and `then`."""
    whole = reduce(lambda first, then: because(code, first=first, then=then), parts)
    return whole if isinstance(whole, Reason) else because("list.one", one=whole)


def distinct(reasons: Sequence[Reason]) -> tuple[Reason, ...]:
    """The reasons without those that say the same again, in their order."""
    found: list[Reason] = []
    for reason in reasons:
        if reason not in found:
            found.append(reason)
    return tuple(found)
