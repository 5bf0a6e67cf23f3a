"""One number of a table: its value, limits, unit, grade and source."""

from __future__ import annotations

import math
from enum import StrEnum
from typing import Any

import msgspec

from coaxtell.models.catalogue import MODELS, Reason, called
from coaxtell.models.errors import RefusedError


class Grade(StrEnum):
    """How well a number is known. The order is from best to worst."""

    HIGH = "high"
    MEDIUM = "medium"
    MEASURED = "measured"
    DERIVED = "derived"
    COMMON_PRACTICE = "common practice"
    MEMORY = "memory"
    MEMORY_LOW = "memory-low"
    ASSUMED = "assumed"
    NOT_FOUND = "not found"


SOFT_GRADES = frozenset({Grade.MEMORY, Grade.MEMORY_LOW, Grade.ASSUMED, Grade.NOT_FOUND})
"""Grades that no document backs: such a number must carry the range in which it may lie."""


LEAST_RANGE: dict[Grade, tuple[float, float]] = {
    Grade.MEMORY: (0.10, 0.15),
    Grade.ASSUMED: (0.10, 0.15),
    Grade.MEMORY_LOW: (0.20, 0.30),
    Grade.NOT_FOUND: (0.20, 0.30),
}
"""How far a length of a soft grade may be off at least: as a share of its value, and in mm where that is more."""


LARGEST = 1e6
"""No number of these tables is larger, in any of their units: one that is, is a slip of the pen."""

TOLD = {"against", "held", "note", "source", "why"}
"""What a table tells of a number beside it, or of a half without numbers: nothing is worked out from it."""


def worked_from(value: Any) -> Any:
    """A table, or a part of one in built-in types, without what is only told of its numbers."""
    if isinstance(value, dict):
        return {key: worked_from(one) for key, one in value.items() if key not in TOLD}
    return [worked_from(one) for one in value] if isinstance(value, list | tuple) else value


class Rival(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A value that another source gives for the same number [its unit], and why it was not taken.

    Raises InputError where number, source or reason is missing.
    """

    value: float
    source: list[str]
    why: str

    def __post_init__(self) -> None:
        if not math.isfinite(self.value) or not self.why.strip() or not self.source:
            raise RefusedError("models.rival_bare")


class Make(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Limits of another class of make than the measure's own, such as commercial parts beside gauge-room ones [mm].

    Raises InputError where the name or a source is missing, or the limits contradict each other.
    """

    name: str
    min: float
    max: float
    grade: Grade
    source: list[str]

    def __post_init__(self) -> None:
        if not self.name.strip() or not self.source or not -LARGEST < self.min <= self.max < LARGEST:
            raise RefusedError("models.make_bare")


class Measure(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One number with its limits, grade and sources.

    Written in a table as `{ mm = 4.58, max = 4.593, grade = "medium", source = ["M348-q1"] }`, or with
    `value` and `unit` in place of `mm` for anything that is not a length.

    Raises InputError where the limits contradict each other, a soft grade has no range or a source is
    missing.
    """

    grade: Grade
    source: list[str]
    mm: float | None = None
    value: float | None = None
    unit: str = "mm"
    min: float | None = None
    max: float | None = None
    note: str = ""
    narrow: str = ""
    """Why the range is narrower than the grade's least range, in words; empty where it is not held narrower."""
    against: list[Rival] = []
    """What other sources say instead, side by side and never averaged."""
    makes: list[Make] = []
    """Limits of other classes of make; a verdict holds for them too."""

    def __post_init__(self) -> None:
        for number in (self.mm, self.value, self.min, self.max):
            if number is not None and not -LARGEST <= number <= LARGEST:
                raise RefusedError("models.too_large" if math.isfinite(number) else "models.not_finite")
        if self.mm is not None and self.value is not None:
            raise RefusedError("models.mm_and_value")
        if self.mm is not None and self.unit != "mm":
            raise RefusedError("models.mm_with_unit", unit=self.unit)
        if self.mm is None and self.value is None and (self.min is None or self.max is None):
            raise RefusedError("models.no_value")
        if self.min is not None and self.max is not None and self.max < self.min:
            raise RefusedError("models.max_below_min", max=self.max, min=self.min)
        if self.min is not None and self.nominal < self.min:
            raise RefusedError("models.value_below", nominal=self.nominal, min=self.min)
        if self.max is not None and self.nominal > self.max:
            raise RefusedError("models.value_above", nominal=self.nominal, max=self.max)
        if not self.source or not all(key.strip() for key in self.source):
            raise RefusedError("models.no_source")
        if self.soft and (self.min is None or self.max is None):
            raise RefusedError("models.grade_range", value=self.grade.value)
        if self.narrow and not self.soft:
            raise RefusedError("models.grade_narrow", value=self.grade.value)

    @property
    def nominal(self) -> float:
        """The value itself, else the middle of its limits [its unit]."""
        if self.mm is not None:
            return self.mm
        if self.value is not None:
            return self.value
        assert self.min is not None
        assert self.max is not None
        return (self.min + self.max) / 2

    @property
    def whole(self) -> int:
        """The value as a count; tables refuse counts that are not whole."""
        return round(self.nominal)

    @property
    def soft(self) -> bool:
        """True where no document backs the number, so its whole range counts as possible."""
        return self.grade in SOFT_GRADES

    @property
    def swept(self) -> bool:
        """True where its whole range is run through and never taken at its worst end: no document backs the number, or
        it was measured on some parts, of which a range holds most and not all."""
        return self.soft or self.grade is Grade.MEASURED

    @property
    def low(self) -> float:
        """The lower limit where known, else the nominal [its unit]."""
        return self.nominal if self.min is None else self.min

    @property
    def high(self) -> float:
        """The upper limit where known, else the nominal [its unit]."""
        return self.nominal if self.max is None else self.max

    @property
    def span(self) -> tuple[float, float]:
        """The range in which the number may lie [its unit]: that of the table, for a length of a soft grade no
        narrower than the grade's least range unless `narrow` says why."""
        if self.unit != "mm" or not self.soft or self.narrow:
            return self.low, self.high
        share, least = LEAST_RANGE[self.grade]
        off = max(share * abs(self.nominal), least)
        return min(self.low, self.nominal - off), max(self.high, self.nominal + off)

    @property
    def sourced_low(self) -> float:
        """The lower limit if a document states it, else the nominal: other ranges are swept, not taken."""
        return self.nominal if self.swept else self.low

    @property
    def sourced_high(self) -> float:
        """The upper limit if a document states it, else the nominal [its unit]."""
        return self.nominal if self.swept else self.high

    def at(self, value: float) -> Measure:
        """The same number pinned to `value` [its unit], without limits: one point of its range."""
        kind: dict[str, Any] = {"mm": value} if self.unit == "mm" else {"value": value, "unit": self.unit}
        return Measure(grade=Grade.DERIVED, source=self.source, note=self.note, **kind)


def said(measure: Measure) -> Reason:
    """The number as a person reads it: value, unit and limits, with a mark where nothing backs it."""
    limits = {"low": measure.min, "high": measure.max}
    known = {name: limit for name, limit in limits.items() if limit is not None}
    return Reason("measure.whole", {
        "value": measure.nominal,
        "unit": measure.unit,
        "limits": Reason(f"measure.{'_'.join(known)}", known) if known else "",
        "mark": Reason("measure.mark", {"grade": called(measure.grade)}) if measure.soft else "",
    })  # fmt: skip


def text(measure: Measure) -> str:
    """The same in words."""
    return MODELS.say(said(measure))
