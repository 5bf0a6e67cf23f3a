"""From what a person types to a reading with its uncertainty: millimetres, inches, fractions, threads."""

from __future__ import annotations

import re
from typing import NamedTuple

from coaxtell.identifier.features import Feature
from coaxtell.identifier.looks import Looks
from coaxtell.models.errors import InputError

INCH = 25.4
UNITS = {"": 1.0, "mm": 1.0, "cm": 10.0, "in": INCH, "inch": INCH, '"': INCH, "mil": INCH / 1000}
PER_INCH = ("tpi", "per inch")
PER_10MM = ("", "per 10mm", "per 10 mm")

SMALLEST, LARGEST = 0.1, 100.0
"""What a coaxial port may measure anywhere [mm]."""
FEWEST, MOST = 4.0, 22.0
"""Threads a coupling may have [per 10 mm]."""

_NUMBER = r"(?:\d{1,3}[- ])?\d{1,4}/\d{1,4}|\d{1,6}(?:[.,]\d{1,9})?|[.,]\d{1,9}"
_UNIT = r"[a-z\"]+(?:\s*10\s*mm|\s+inch)?"
_PATTERN = re.compile(
    rf"\s*(?P<value>{_NUMBER})\s*(?P<unit>{_UNIT})?\s*(?:(?:\+-|\+/-|±)\s*(?P<pm>{_NUMBER})\s*(?P<pm_unit>{_UNIT})?)?\s*",
    re.ASCII,
)


class Reading(NamedTuple):
    """A size and how far it may be off, in mm or threads per 10 mm."""

    value: float
    plus_minus: float


def names(looks: Looks) -> tuple[str, ...]:
    """The instruments that have a name."""
    return tuple(looks.table.instruments)


def plus_minus(instrument: str, looks: Looks) -> float:
    """How far a reading with this instrument may be off [mm].

    `instrument` is a name, or a plus-minus such as `+-0.1` or `0.004in`. Raises InputError for anything else.
    """
    known = looks.table.instruments.get(instrument)
    if known is not None:
        return known.plus_minus.nominal
    text = re.sub(r"^\s*(\+-|\+/-|±)", "", instrument)
    found = _PATTERN.fullmatch(text.lower())
    if found is None or found["pm"] is not None or (found["unit"] or "") not in UNITS:
        raise InputError(
            f"No instrument is called {instrument!r}; give {', '.join(names(looks))} or a plus-minus such as +-0.1."
        )
    off = _number(found["value"]) * UNITS[found["unit"] or ""]
    if not 0 < off <= 5:
        raise InputError(f"A plus-minus of {instrument!r} is of no use; give one above 0 and up to 5 mm.")
    return off


def _number(text: str) -> float:
    """A decimal with point or comma, a fraction, or a whole number with a fraction; 0 where it divides by 0."""
    if "/" not in text:
        return float(text.replace(",", "."))
    whole, _, fraction = text.replace(" ", "-").rpartition("-")
    above, _, below = fraction.partition("/")
    if int(below) == 0:
        return 0.0
    return (int(whole) if whole else 0) + int(above) / int(below)


def reading(feature: Feature, typed: str, instrument: str, looks: Looks) -> Reading:
    """The reading of a measured feature from what was typed.

    Without a plus-minus of its own the reading has that of the instrument. Raises InputError where the text is no
    size, or a size that no coaxial port has.
    """
    found = _PATTERN.fullmatch(typed.lower())
    if found is None:
        example = "14.2 or 36tpi" if feature is Feature.THREADS else "6.3, 6.3mm, 0.25in, 1/4in or 6.3+-0.1"
        raise InputError(f"{feature}: {typed!r} is no size; write it like {example}, or none where there is none.")
    value = _number(found["value"])
    unit = re.sub(r"\s+", " ", (found["unit"] or "").strip())
    off = _number(found["pm"]) if found["pm"] is not None else None
    off_unit = (found["pm_unit"] or unit).strip()
    if feature is Feature.THREADS:
        return _threads(typed, value, unit, off, off_unit, looks)
    for name in (unit, off_unit):
        if name not in UNITS:
            raise InputError(f"{feature}: {name!r} in {typed!r} is no unit of length; use mm or in.")
    value *= UNITS[unit]
    if not SMALLEST <= value <= LARGEST:
        raise InputError(
            f"{feature}: {typed!r} is {value:g} mm, which no coaxial port has; measure again or mind the unit."
        )
    spread = plus_minus(instrument, looks) if off is None else off * UNITS[off_unit]
    return Reading(value, _sane(feature, typed, value, spread))


def _threads(typed: str, value: float, unit: str, off: float | None, off_unit: str, looks: Looks) -> Reading:
    if not all(name in PER_INCH or name in PER_10MM for name in (unit, off_unit)):
        raise InputError(f"{Feature.THREADS}: {typed!r} is no thread; write it like 14.2 (on 10 mm) or 36tpi.")
    counting = looks.table.counting
    by_gauge = unit in PER_INCH
    value /= 2.54 if by_gauge else 1.0
    if not FEWEST <= value <= MOST:
        raise InputError(
            f"{Feature.THREADS}: {typed!r} is {value:.3g} on 10 mm, which no coupling has; count again, "
            f"or write threads per inch like 36tpi."
        )
    if off is None:
        return Reading(value, (counting.gauge if by_gauge else counting.ruler).nominal)
    spread = off / (2.54 if off_unit in PER_INCH else 1.0)
    return Reading(value, _sane(Feature.THREADS, typed, value, spread))


def _sane(feature: Feature, typed: str, value: float, spread: float) -> float:
    if not 0 < spread < value:
        raise InputError(f"{feature}: the plus-minus of {typed!r} must be above 0 and below the size itself.")
    return spread
