"""What a number of a table may be at all, by its unit, so that no slip of the pen fills the memory or the screen.

The bounds lie far outside what coaxial ports have; they hold for tables of one's own.
"""

from __future__ import annotations

from coaxtell.models.errors import InputError
from coaxtell.models.half import Half, Step, Thread, Turned
from coaxtell.models.numbers import walk
from coaxtell.models.words import label

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
FINEST, COARSEST = 0.08, 12.0
"""Pitches of a thread [mm]."""
MOST_TURNS = 150.0
"""Turns of a thread on one part."""
MOST_STEPS = 40
"""Steps of one side of a turned part, and rings of an insulator."""


def check(half: Half, where: str) -> None:
    """Raise InputError where a number of the half is none that a coaxial port has, or a part has too many steps."""

    def refuse(what: str, limits: str) -> InputError:
        return InputError(f"{where}: {half.id}: {what}; no coaxial port has that: give {limits}.")

    for path, measure in walk(half):
        least, most = BOUNDS.get(measure.unit, (0.0, 1e4))
        for value in (measure.nominal, measure.low, measure.high):
            if not least <= value <= most:
                raise refuse(f"{label(half, path)} is {value:g} {measure.unit}", f"{least:g} to {most:g}")
    for body, thread, name in _bodies(half):
        for steps in (body.inside, body.outside):
            if len(steps) > MOST_STEPS:
                raise refuse(f"its {name} has {len(steps)} steps", f"at most {MOST_STEPS}")
        if thread is not None:
            if not FINEST <= thread.pitch_mm <= COARSEST:
                limits = f"{FINEST:g} to {COARSEST:g} mm"
                raise refuse(f"its {name}'s thread has a pitch of {thread.pitch_mm:.4g} mm", limits)
            turns = max(_threaded(body, body.inside), _threaded(body, body.outside)) / thread.pitch_mm
            if turns > MOST_TURNS:
                raise refuse(f"its {name}'s thread makes {turns:.0f} turns", f"at most {MOST_TURNS:.0f}")
    if len(half.insulator) > MOST_STEPS:
        raise refuse(f"its insulator has {len(half.insulator)} rings", f"at most {MOST_STEPS}")


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
