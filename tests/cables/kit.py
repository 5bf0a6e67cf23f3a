"""Cable tables, matings and runs for the tests, made once."""

from __future__ import annotations

from functools import cache
from typing import Any

from coaxtell.cables import tables, units
from coaxtell.cables.assembly import Assembly, work_out
from coaxtell.cables.ends import Matings
from coaxtell.cables.power import PowerRange
from coaxtell.cables.ranking import Choice, Preference, choose
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating, mate
from tests.halves import all_halves

ENDLESS = PowerRange(-60.0, 90.0, 0.001)
"""A reader that can be set to anything, so that only the limits bind."""


@cache
def cable_tables() -> CableTables:
    return tables.load()


def quick(a: Half, b: Half) -> Mating:
    return mate(a, b, doubt=False)


@cache
def matings() -> Matings:
    return Matings(all_halves(), quick)


def run(
    reader: str = "rp-tnc-jack",
    antenna: str = "n-50-jack",
    length: str = "10m",
    region: str = "us",
    gain: str | None = "8.5dBi",
    power_dbm: float | None = None,
    **more: Any,
) -> Run:
    found = cable_tables().region(region)
    if power_dbm is not None:
        more["power"] = PowerRange(power_dbm, power_dbm, 1.0)
    more.setdefault("frequency_mhz", found.usual.nominal)
    return Run(
        reader=all_halves()[reader],
        antenna=all_halves()[antenna],
        length_m=units.length_m(length),
        region=found,
        gain=None if gain is None else units.gain(gain),
        **more,
    )


def on_class(asked: Run, name: str) -> Assembly:
    return work_out(asked, cable_tables().classes[name], matings(), cable_tables())


def choice(asked: Run, prefer: Preference = Preference.THINNEST) -> Choice:
    return choose(asked, matings(), cable_tables(), prefer)


def names(found: Choice) -> list[str]:
    return [ranked.assembly.cable.name for ranked in found.ranked]
