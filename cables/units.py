"""Quantities as a technician writes them, always with their unit: 12m, 40ft, 30dBm, 8.5dBic, 915MHz, 40C."""

from __future__ import annotations

import math
from collections.abc import Mapping
from enum import StrEnum

import msgspec

from coaxtell.cables.power import PowerRange
from coaxtell.models import quantity
from coaxtell.models.errors import InputError, RefusedError
from coaxtell.models.measure import Measure
from coaxtell.models.quantity import FOOT_MM, LENGTHS, quoted

FEET_M = FOOT_MM / 1000
"""One foot [m]."""
SHORTEST_M, LONGEST_M = 0.001, 10_000.0
"""What a run or a bend may be [m]."""
LOWEST_DBM, HIGHEST_DBM = -60.0, 90.0
"""What a level may be [dBm]: no reader has another."""
LOWEST_C, HIGHEST_C = -60.0, 150.0
"""What a cable's jacket may stand [C]: no such cable works beyond."""
FREEZING_F, F_PER_C = 32.0, 1.8
"""Nought degrees Celsius [F], and degrees Fahrenheit to one of Celsius."""


class GainUnit(StrEnum):
    """What an antenna's gain is stated over."""

    DBI = "dBi"
    DBD = "dBd"
    DBIC = "dBic"


class Gain(msgspec.Struct, frozen=True):
    """An antenna's gain as its label states it [dB] and what it is stated over."""

    value: float
    unit: GainUnit

    def __str__(self) -> str:
        return f"{self.value:g} {self.unit.value}"


def counted_in(of: str, table: msgspec.Struct, units: Mapping[str, str]) -> None:
    """Raise InputError where a number of a table has another unit than it counts in; `of` names the table in errors."""
    for field, unit in units.items():
        measure: Measure | None = getattr(table, field)
        if measure is not None and measure.unit != unit:
            raise RefusedError("cables.unit", of=of, field=field, given=measure.unit, unit=unit)


def _split(text: str, what: str, like: str) -> tuple[float, str]:
    found = quantity.read(text, what, like)
    if found.off is not None:
        raise RefusedError("cables.no_plus_minus", what=what, text=quoted(text), example=quantity.example(like))
    return found.value, found.unit.replace("°", "")


def _scaled(text: str, what: str, like: str, scale: dict[str, float]) -> float:
    value, unit = _split(text, what, like)
    if not unit:
        raise RefusedError("cables.no_unit", what=what, text=quoted(text), example=quantity.example(like))
    factor = scale.get(unit.lower())
    if factor is None:
        known, example = "mm, cm, m, in, ft" if scale is LENGTHS else ", ".join(scale), quantity.example(like)
        raise RefusedError("cables.unknown_unit", what=what, text=quoted(text), known=known, example=example)
    return quantity.counted(value, factor)


_LENGTH_LIKE = {"bend": "bend", "size": "antenna", "antenna-size": "antenna"}


def length_m(text: str, what: str = "length") -> float:
    """A length [m] from text such as 12m, 40ft, 250mm, 10in; `what` it is, a run, a bend or a size, gives the example.

    Raises InputError where it is not a number with a unit of length, or shorter than 1 mm or longer than 10 km.
    """
    length = _scaled(text, what, _LENGTH_LIKE.get(what, "length"), LENGTHS) / 1000
    if length <= 0:
        raise RefusedError("cables.zero", what=what, text=quoted(text))
    if length < SHORTEST_M:
        raise RefusedError("cables.short", what=what, text=quoted(text))
    if length > LONGEST_M:
        raise RefusedError("cables.long", what=what, text=quoted(text))
    return length


def frequency_mhz(text: str, what: str = "frequency") -> float:
    """A frequency above zero [MHz] from text such as 915MHz or 0.915GHz.

    Raises InputError where it is not a number with a unit of frequency or not above zero.
    """
    found = _scaled(text, what, "915MHz", {"mhz": 1.0, "ghz": 1000.0, "khz": 0.001, "hz": 1e-6})
    if found <= 0:
        raise RefusedError("cables.zero_like", what=what, text=quoted(text), example="915MHz")
    return found


def watts_to_dbm(watts: float) -> float:
    """Power over one milliwatt [dBm] of a power [W]."""
    return 10 * math.log10(watts * 1000)


def dbm_to_watts(dbm: float) -> float:
    """Power [W] of a level over one milliwatt [dBm]."""
    return float(10 ** (dbm / 10) / 1000)


def power_dbm(text: str, what: str = "power") -> float:
    """A power [dBm] from text such as 30dBm, 1W or 500mW.

    Raises InputError where it is not a number with a unit of power, or no transmitter has such a power.
    """
    value, unit = _split(text, what, "power")
    if not unit:
        raise RefusedError("cables.no_unit", what=what, text=quoted(text), example=quantity.example("power"))
    if unit.lower() == "dbm":
        dbm = value
    else:
        watts = _scaled(text, what, "power", {"dbm": 0.0, "w": 1.0, "mw": 0.001, "kw": 1000.0})
        if watts <= 0:
            raise RefusedError("cables.zero_like", what=what, text=quoted(text), example=quantity.example("power"))
        dbm = watts_to_dbm(watts)
    if not LOWEST_DBM <= dbm <= HIGHEST_DBM:
        raise RefusedError("cables.no_power", what=what, text=quoted(text))
    return dbm


def level_dbm(text: str, what: str) -> float:
    """A wanted level [dBm]; here alone a bare number counts as dBm, as the option's name says.

    Raises InputError as `power_dbm` does.
    """
    bare = not _split(text, what, "power")[1]
    return power_dbm(f"{text}dBm" if bare else text, what)


def gain(text: str, what: str = "gain") -> Gain:
    """An antenna's gain from text such as 8.5dBi, 6dBd or 8.5dBic; a bare number is refused.

    Raises InputError where the unit is missing, since 6 dBd are 8.15 dBi, and dBic is 3 dB apart again.
    """
    value, unit = _split(text, what, "gain")
    by_name = {unit_.value.lower(): unit_ for unit_ in GainUnit}
    if unit.lower() not in by_name:
        code = "cables.bare_gain" if unit in ("", "dB") else "cables.gain_unit"
        raise RefusedError(code, what=what, text=quoted(text), unit=quoted(unit))
    if not -40 <= value <= 40:
        raise RefusedError("cables.no_gain", what=what, text=quoted(text))
    return Gain(value, by_name[unit.lower()])


def temperature_c(text: str, what: str = "temperature") -> float:
    """A temperature [C] from text such as 40C or 104F, within what a cable's jacket stands.

    Raises InputError where the unit is missing or it lies outside -60 to +150 C.
    """
    value, unit = _split(text, what, "temperature")
    if unit.lower() not in ("c", "f"):
        raise RefusedError("cables.no_degree", what=what, text=quoted(text))
    celsius = value if unit.lower() == "c" else (value - FREEZING_F) / F_PER_C
    if not LOWEST_C <= celsius <= HIGHEST_C:
        raise RefusedError("cables.degrees", what=what, text=quoted(text))
    return celsius


def power_range(text: str, what: str = "reader") -> PowerRange:
    """What a reader can be set to, from text such as 10..31.5/0.25: lowest and highest [dBm], step [dB].

    Raises InputError where it is not of that form, or highest and lowest are no whole number of steps apart.
    """
    ends, slash, step = text.strip().partition("/")
    low, dots, high = ends.partition("..")
    if not (slash and dots):
        raise RefusedError("cables.no_settings", what=what, text=quoted(text), example=quantity.example("settings"))
    try:
        stated = level_dbm(low, what), level_dbm(high, what), _step_db(step)
    except InputError as error:
        raise RefusedError("cables.told", what=what, text=quoted(text), error=str(error)) from None
    try:
        return PowerRange(*stated)
    except InputError as error:
        like = quantity.example("settings")
        raise RefusedError("cables.told_like", what=what, text=quoted(text), error=str(error), example=like) from None


def never_above(reader: PowerRange, text: str, what: str = "power") -> PowerRange:
    """The same reader that is never set above a power as one types it, such as 30dBm.

    Raises InputError where that is no power, or even its lowest setting is above that.
    """
    most = power_dbm(text, what)
    try:
        return reader.up_to(most)
    except RefusedError as error:
        raise RefusedError("cables.never_above", what=what, text=text, error=str(error)) from None


def _step_db(text: str) -> float:
    value, unit = _split(text, "step", "0.25dB")
    if unit.lower() not in ("", "db") or not 0 < value <= 10:
        raise RefusedError("cables.step", text=quoted(text))
    return value


def loss_db(text: str, what: str = "budget") -> float:
    """A loss above zero [dB] from text such as 3dB.

    Raises InputError where the unit is missing, or it is not above zero and up to 100 dB.
    """
    value, unit = _split(text, what, "3dB")
    if unit.lower() != "db" or not 0 < value <= 100:
        raise RefusedError("cables.loss", what=what, text=quoted(text))
    return value
