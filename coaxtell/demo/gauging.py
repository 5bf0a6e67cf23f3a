"""Invented readings of invented parts, kept as `coaxtell gauge` keeps real ones."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from random import Random

from coaxtell.gauge_bench import Bench, Measuring
from coaxtell.models.gauging.asking import asked
from coaxtell.models.gauging.doubts import doubts
from coaxtell.models.half import Half

NUMBERS, PARTS, READINGS = 3, 3, 2
"""Numbers of a half that are read, parts of each, and readings of each part."""
SPREAD_MM = 0.01
"""How far parts and readings scatter about the number of the table (invented)."""
PLUS_MINUS_MM = 0.02


def read(half: Half, halves: Mapping[str, Half], folder: Path, date: str, rng: Random) -> None:
    """Put readings of what is asked first of a half into the folder; raises InputError where it cannot be written."""
    bench = Bench(folder, "calliper", PLUS_MINUS_MM, "Tobin (invented)", date)
    for k, one in enumerate(asked(half, doubts(half, halves.values()))[:NUMBERS]):
        number = Measuring(half, one, bench, f"{date}T09:{k:02}")
        for _ in range(PARTS):
            size = one.place.reading(number.table.nominal) + rng.gauss(0, SPREAD_MM)
            number.take(" ".join(f"{size + rng.gauss(0, SPREAD_MM / 2):.2f}" for _ in range(READINGS)))
