"""What a number of a table may be at all: its unit, and by it the bounds, so that no slip of the pen counts in another
unit or fills the memory or the screen.

The bounds lie far outside what coaxial ports have; they hold for tables of one's own.
"""

from __future__ import annotations

from coaxtell.models.catalogue import Reason, Value
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Half, Step, Thread, Turned
from coaxtell.models.numbers import Path, named, walk

BOUNDS: dict[str, tuple[float, float]] = {
    "mm": (-300.0, 300.0),
    "ohm": (1.0, 1000.0),
    "GHz": (0.001, 2000.0),
    "N m": (0.001, 500.0),
    "relative": (1.0, 100.0),
    "per inch": (2.0, 300.0),
    "deg": (0.1, 720.0),
}
"""Least and largest value of each unit."""
UNITS = {
    "impedance": "ohm", "top_ghz": "GHz", "torque_nm": "N m", "er": "relative", "tpi": "per inch", "turn": "deg",
    "slots": "slots",
}  # fmt: skip
"""The unit of each number that is no length."""
COUNTS = {"lugs": "lugs", "ramps": "slots", "teeth": "teeth", "notches": "notches"}
"""What is counted, by what it is a `count` of."""
WAYS = frozenset({"bead", "spring", "lip", "floor", "give", "slot_length"})
"""Lengths that are no places on the axis, and so never below zero, as diameters are not."""
FINEST, COARSEST = 0.08, 12.0
"""Pitches of a thread [mm]."""
LEAST_LENGTH = 0.0001
"""No length, and no range of one, is smaller unless it is 0 [mm]: a tenth of a micrometre, far below what any gauge of
a port is made to (common practice, no source)."""
MOST_TURNS = 150.0
"""Turns of a thread on one part."""
MOST_STEPS = 40
"""Steps of one side of a turned part, and rings of an insulator."""


def unit(path: Path) -> str:
    """The unit in which the number at a path counts."""
    return COUNTS[str(path[-2])] if path[-1] == "count" else UNITS.get(str(path[-1]), "mm")


def check(half: Half, where: str) -> None:
    """Raise InputError where a number of the half has another unit than it counts in or is none that a coaxial port
    has, or a part has too many steps."""

    def refuse(code: str, limits: Reason, **values: Value) -> RefusedError:
        what = Reason(f"refused.{code}", values)
        return RefusedError("models.beyond", file=where, id=half.id, what=what, limits=limits)

    def at_most(most: float) -> Reason:
        return Reason("refused.at_most", {"most": most})

    def between(least: float, most: float, unit: str) -> Reason:
        return Reason("refused.from_to", {"least": least, "most": most, "unit": unit})

    for path, measure in walk(half):
        if measure.unit != unit(path):
            number, wanted = named(half, path), unit(path)
            raise RefusedError("models.unit", file=where, id=half.id, number=number, given=measure.unit, unit=wanted)
        least, most = BOUNDS.get(measure.unit, (0.0, 1e4))
        least = 0.0 if path[-1] in WAYS else least
        for value in (measure.nominal, measure.low, measure.high):
            if not least <= value <= most:
                limits = between(least, most, measure.unit)
                raise refuse("number", limits, number=named(half, path), value=value, unit=measure.unit)
        if measure.unit == "mm":
            for code, mm in (("number", measure.nominal), ("range", measure.high - measure.low)):
                if 0 < abs(mm) < LEAST_LENGTH:
                    limits = Reason("refused.nought_or", {"least": LEAST_LENGTH})
                    raise refuse(code, limits, number=named(half, path), value=mm, unit=measure.unit)
    for body, thread, name in _bodies(half):
        for steps in (body.inside, body.outside):
            if len(steps) > MOST_STEPS:
                raise refuse("steps", at_most(MOST_STEPS), part=name, count=len(steps))
        if thread is not None:
            if not FINEST <= thread.pitch_mm <= COARSEST:
                raise refuse("pitch", between(FINEST, COARSEST, "mm"), part=name, pitch_mm=thread.pitch_mm)
            turns = max(_threaded(body, body.inside), _threaded(body, body.outside)) / thread.pitch_mm
            if turns > MOST_TURNS:
                raise refuse("turns", at_most(MOST_TURNS), part=name, turns=turns)
    if len(half.insulator) > MOST_STEPS:
        raise refuse("rings", at_most(MOST_STEPS), count=len(half.insulator))


def _bodies(half: Half) -> list[tuple[Turned, Thread | None, str]]:
    found: list[tuple[Turned, Thread | None, str]] = [(half.shell, half.thread, "shell")]
    if half.nut is not None:
        found.append((half.nut.body, half.nut.thread, "nut"))
    if half.housing is not None:
        found.append((half.housing, None, "housing"))
    return found


def _threaded(body: Turned, steps: list[Step]) -> float:
    """Length of the threaded steps of one side [mm]."""
    fronts = [body.rim.nominal, *(step.to.nominal for step in steps)]
    return sum(front - step.to.nominal for front, step in zip(fronts, steps, strict=False) if step.thread)
