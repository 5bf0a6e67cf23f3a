"""The thread of a panel bushing, and where its nut stands so that crest meets root."""

from __future__ import annotations

from coaxtell.models.half import Thread, Tolerance
from coaxtell.models.helix import helix
from coaxtell.models.measure import Grade, Measure


def bushing_thread(outer: float, pitch: float, inside: bool = False) -> Thread:
    """A right-hand thread of a bushing, or inside its nut, by its basic major diameter and pitch [mm]."""

    def plain(value: float) -> Measure:
        return Measure(mm=value, grade=Grade.DERIVED, source=["geometry"])

    tolerance: Tolerance = "drawn inside" if inside else "drawn outside"
    return Thread(size="panel bushing", major=plain(outer), tolerance=tolerance, pitch=plain(pitch))


def nut_front(thread: Thread, front: float, rear: float, wanted: float) -> float:
    """Front plane of a nut [z, mm] at or behind `wanted` where its thread lies in that of the bushing."""
    outside = helix(thread, front, rear, False, ("chamfer", "chamfer"))
    inside = helix(thread, wanted, wanted - 2 * thread.pitch_mm, True, ("chamfer", "chamfer"))
    # a crest of the nut stands half a pitch from a crest of the bushing
    return wanted - (inside.start - outside.start - thread.pitch_mm / 2) % thread.pitch_mm
