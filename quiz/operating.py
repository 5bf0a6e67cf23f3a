"""The operating characteristics of the assessment: a table made by `benchmarks/assessment.py` and shipped with it."""

from __future__ import annotations

from functools import cache
from importlib import resources

import msgspec


class Row(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What became of simulated people of one kind: how many, share that passes with its 95 % interval, items."""

    people: int
    who: str
    facts: int
    tries: int
    passes: float
    low: float
    high: float
    mean_items: float
    p95_items: int
    at_cap: float


class Table(msgspec.Struct, frozen=True):
    """Every row, and the check sum of the rules that they stand for."""

    rules: str
    rows: list[Row]


@cache
def table() -> Table:
    """The table as it ships."""
    text = (resources.files("coaxtell.quiz") / "operating.json").read_text(encoding="utf-8")
    return msgspec.json.decode(text, type=Table)


def of(facts: int) -> list[Row]:
    """The rows for so many facts: those of the nearest number that was simulated, not fewer where there are; without
    facts, those without."""
    numbers = sorted({row.facts for row in table().rows})
    nearest = next((number for number in numbers if number >= facts), numbers[-1])
    return [row for row in table().rows if row.facts == nearest]
