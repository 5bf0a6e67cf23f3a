"""From what a person types to a reading with its uncertainty: millimetres, inches, fractions, threads."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from coaxtell.identifier.features import Feature
from coaxtell.identifier.looks import Looks
from coaxtell.models import quantity
from coaxtell.models.errors import InputError
from coaxtell.models.quantity import LENGTHS, PER_10MM, PER_INCH, Quantity

SMALLEST, LARGEST = 0.1, 100.0
"""What a coaxial port may measure anywhere [mm]."""
FEWEST, MOST = 4.0, 22.0
"""Threads a coupling may have [per 10 mm]."""
EXAMPLE = "6.3, 6.3mm, 0.25in, 1/4in or 6.3+-0.1, or none where there is none"
THREADS_EXAMPLE = "14.2 or 36tpi, or none where there is none"


class Reading(NamedTuple):
    """A size and how far it may be off, in mm or threads per 10 mm."""

    value: float
    plus_minus: float


NONE = "none"
"""No instrument at hand, only the eyes."""


def names(looks: Looks) -> tuple[str, ...]:
    """The instruments that have a name."""
    return (*looks.table.instruments, NONE)


def plus_minus(instrument: str, looks: Looks) -> float:
    """How far a reading with this instrument may be off [mm].

    `instrument` is a name, or a plus-minus such as `+-0.1` or `0.004in`; without one no reading is any good. Raises
    InputError for anything else.
    """
    if instrument == NONE:
        return math.inf
    known = looks.table.instruments.get(instrument)
    if known is not None:
        return known.plus_minus.nominal
    text = re.sub(r"^\s*(\+-|\+/-|±)", "", instrument)
    try:
        found = quantity.read(text, "plus-minus", "+-0.1")
    except InputError:
        found = Quantity(0.0, "?")
    unit = _length(found.unit)
    if found.off is not None or unit is None:
        raise InputError(
            f"No instrument is called {instrument!r}; give {', '.join(names(looks))} or a plus-minus such as +-0.1."
        )
    off = found.value * unit
    if not 0 < off <= 5:
        raise InputError(f"A plus-minus of {instrument!r} is of no use; give one above 0 and up to 5 mm.")
    return off


def _length(unit: str) -> float | None:
    """Millimetres in one of a unit; a bare number is in mm."""
    return LENGTHS.get(unit.lower() or "mm")


def reading(feature: Feature, typed: str, instrument: str, looks: Looks) -> Reading:
    """The reading of a measured feature from what was typed.

    Without a plus-minus of its own the reading has that of the instrument. Raises InputError where the text is no
    size, or a size that no coaxial port has.
    """
    threads = feature is Feature.THREADS
    found = quantity.read(typed, f"{feature}:", THREADS_EXAMPLE if threads else EXAMPLE)
    if threads:
        return _threads(typed, found, looks)
    if found.bare_fraction:
        raise InputError(
            f"{feature}: {typed!r} is a fraction without a unit; write {typed.strip()}in where the inch is meant "
            "(7/16 as a family is a name, no size)."
        )
    factors = []
    for unit in (found.unit, found.off_unit or found.unit):
        factor = _length(unit)
        if factor is None:
            raise InputError(f"{feature}: {unit!r} in {typed!r} is no unit of length; use mm or in.")
        factors.append(factor)
    value = found.value * factors[0]
    if not SMALLEST <= value <= LARGEST:
        raise InputError(
            f"{feature}: {typed!r} is {value:g} mm, which no coaxial port has; measure again or mind the unit."
        )
    at_hand = "calliper" if instrument == NONE else instrument
    spread = plus_minus(at_hand, looks) if found.off is None else found.off * factors[1]
    return Reading(value, _sane(feature, typed, value, spread))


def _threads(typed: str, found: Quantity, looks: Looks) -> Reading:
    unit, off_unit = found.unit.lower(), (found.off_unit or found.unit).lower()
    if not all(name in PER_INCH or name in ("", *PER_10MM) for name in (unit, off_unit)):
        raise InputError(f"{Feature.THREADS}: {typed!r} is no thread; write it like 14.2 (on 10 mm) or 36tpi.")
    counting = looks.table.counting
    by_gauge = unit in PER_INCH
    value = found.value / (2.54 if by_gauge else 1.0)
    if not FEWEST <= value <= MOST:
        raise InputError(
            f"{Feature.THREADS}: {typed!r} is {value:.3g} on 10 mm, which no coupling has; count again, "
            f"or write threads per inch like 36tpi."
        )
    if found.off is None:
        return Reading(value, (counting.gauge if by_gauge else counting.ruler).nominal)
    spread = found.off / (2.54 if off_unit in PER_INCH else 1.0)
    return Reading(value, _sane(Feature.THREADS, typed, value, spread))


def _sane(feature: Feature, typed: str, value: float, spread: float) -> float:
    if not 0 < spread < value:
        raise InputError(f"{feature}: the plus-minus of {typed!r} must be above 0 and below the size itself.")
    return spread
