"""What holds a pair together, as the bench says it: a thread by its turns, a bayonet or a snap by its state."""

from __future__ import annotations

from coaxtell.models.half import Half
from coaxtell.models.mating.coupling import Coupling

AT_HOME = 0.05
"""A ring this near its groove has snapped in [mm]."""


def turning_part(a: Half, b: Half) -> str:
    """What can be turned on this pair, `nut` or `sleeve`; empty where nothing turns."""
    nuts = [half.nut for half in (a, b) if half.nut is not None and not half.nut.slides]
    if not nuts:
        return ""
    return "nut" if any(nut.thread is not None for nut in nuts) else "sleeve"


def caught(coupling: Coupling, a: Half, b: Half, distance: float) -> tuple[str, str]:
    """What the coupling does with the reference planes `distance` apart [mm]: its words and its state."""
    if coupling.lock is not None:
        home = distance <= coupling.lock + AT_HOME
        slides = any(half.nut is not None and half.nut.slides for half in (a, b))
        return ("locking sleeve", "locked") if home and slides else ("snap", "home" if home else "open")
    if coupling.ramps is not None:
        return "bayonet", "locked" if coupling.turns(distance) else "open"
    if not coupling.fits and not turning_part(a, b):
        return "held by", "nothing"
    return "turns caught", f"{coupling.turns(distance):.1f}" if coupling.fits else "0.0"
