"""From what a person types to a reading with its uncertainty: millimetres, inches, fractions, threads."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from coaxtell.identifier.features import Feature
from coaxtell.identifier.looks import Looks
from coaxtell.models import quantity
from coaxtell.models.errors import InputError, RefusedError
from coaxtell.models.parts import FINEST
from coaxtell.models.quantity import LENGTHS, PER_10MM, PER_INCH, Quantity

SMALLEST, LARGEST = 0.1, 100.0
"""What a coaxial port may measure anywhere [mm]."""
FEWEST, MOST = 4.0, 22.0
"""Threads a coupling may have [per 10 mm]."""
FINEST_MM, FINEST_COUNT = FINEST, 0.001
"""No plus-minus is smaller [mm; threads per 10 mm]: half a step of a micrometer, and what that makes of the coarsest
thread counted over 10 mm (common practice, no source)."""


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
    if found.off is not None or found.bare_fraction or unit is None:
        raise RefusedError("identifier.no_instrument", instrument=instrument, names=", ".join(names(looks)))
    off = quantity.counted(found.value, unit)
    if not 0 < off <= 5:
        raise RefusedError("identifier.plus_minus", instrument=instrument)
    if off < FINEST_MM:
        raise RefusedError("identifier.too_fine", typed=instrument, least=FINEST_MM)
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
    found = quantity.read(typed, f"{feature}:", "threads" if threads else "size")
    if threads:
        return _threads(typed, found, looks)
    if found.bare_fraction:
        raise RefusedError("identifier.bare_fraction", feature=feature, typed=typed, number=typed.strip())
    factors = []
    for unit in (found.unit, found.off_unit or found.unit):
        factor = _length(unit)
        if factor is None:
            raise RefusedError("identifier.no_unit", feature=feature, unit=unit, typed=typed)
        factors.append(factor)
    value = quantity.counted(found.value, factors[0])
    if not SMALLEST <= value <= LARGEST:
        raise RefusedError("identifier.no_port_size", feature=feature, typed=typed, value=value)
    at_hand = "calliper" if instrument == NONE else instrument
    spread = plus_minus(at_hand, looks) if found.off is None else quantity.counted(found.off, factors[1])
    return Reading(value, _sane(feature, typed, value, spread))


def _threads(typed: str, found: Quantity, looks: Looks) -> Reading:
    unit, off_unit = found.unit.lower(), (found.off_unit or found.unit).lower()
    if not all(name in PER_INCH or name in ("", *PER_10MM) for name in (unit, off_unit)):
        raise RefusedError("identifier.no_thread", feature=Feature.THREADS, typed=typed)
    counting = looks.table.counting
    by_gauge = unit in PER_INCH
    value = found.value / (2.54 if by_gauge else 1.0)
    if not FEWEST <= value <= MOST:
        raise RefusedError("identifier.no_port_thread", feature=Feature.THREADS, typed=typed, value=value)
    if found.off is None:
        return Reading(value, (counting.gauge if by_gauge else counting.ruler).nominal)
    spread = found.off / (2.54 if off_unit in PER_INCH else 1.0)
    return Reading(value, _sane(Feature.THREADS, typed, value, spread))


def _sane(feature: Feature, typed: str, value: float, spread: float) -> float:
    if not 0 < spread < value:
        raise RefusedError("identifier.own_plus_minus", feature=feature, typed=typed)
    least = FINEST_COUNT if feature is Feature.THREADS else FINEST_MM
    if spread < least:
        raise RefusedError("identifier.too_fine", typed=typed, least=least)
    return spread
