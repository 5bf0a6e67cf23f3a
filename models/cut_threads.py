"""Threads as they are cut on a body, and how one lies in another: crest in root."""

from __future__ import annotations

import math

from coaxtell.models.catalogue import piece
from coaxtell.models.half import Half, Thread, Tolerance, Turned
from coaxtell.models.helix import End, Helix, helix
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.surfaces import Surface, surfaces


def _ends(steps: list[Surface], index: int, crest: float, side: int) -> tuple[End, End]:
    """Front and rear end of a thread: chamfered where the neighbour is lower, run out at a shoulder."""
    before = steps[index - 1].r_back if index else None
    after = steps[index + 1].r_front if index + 1 < len(steps) else None
    front: End = "chamfer" if before is None or side * before < side * crest else "fade"
    rear: End = "chamfer" if after is None or side * after < side * crest else "fade"
    return front, rear


def cut_thread(found: list[Surface], index: int, thread: Thread, inside: bool) -> Helix:
    """The thread cut on one of the surfaces of a side of a body."""
    s = found[index]
    return helix(thread, s.z_front, s.z_back, inside, _ends(found, index, s.r_front, -1 if inside else 1))


def body_threads(body: Turned, thread: Thread, inside: bool) -> list[Helix]:
    """The threads cut on one side of a body."""
    found = surfaces(body, body.inside if inside else body.outside, thread, inside)
    return [cut_thread(found, i, thread, inside) for i, s in enumerate(found) if s.thread]


def meshing_turn(half: Half, mate: Half, distance: float) -> float:
    """Turn of a half's nut [rad] at which its thread lies in that of the mate at a distance [mm].

    Zero where there is no nut, no thread to lie in, or the pitches differ.
    """
    if half.nut is None or half.nut.thread is None or mate.thread is None:
        return 0.0
    inner = body_threads(half.nut.body, half.nut.thread, inside=True)[0]
    outer = body_threads(mate.shell, mate.thread, inside=False)[0]
    if not math.isclose(inner.pitch, outer.pitch):
        return 0.0
    # a crest of the nut stands half a pitch from a crest of the mate, whose axis runs the other way
    shift = distance - outer.start + inner.pitch / 2 - inner.start
    return math.tau * (shift % inner.pitch) / inner.pitch * inner.turn * -1


def bushing_thread(outer: float, pitch: float, inside: bool = False) -> Thread:
    """A right-hand thread of a bushing, or inside its nut, by its basic major diameter and pitch [mm]."""

    def plain(value: float) -> Measure:
        return Measure(mm=value, grade=Grade.DERIVED, source=["geometry"])

    tolerance: Tolerance = "drawn-inside" if inside else "drawn-outside"
    return Thread(size=piece("panel_bushing"), major=plain(outer), tolerance=tolerance, pitch=plain(pitch))


def nut_front(thread: Thread, front: float, rear: float, wanted: float) -> float:
    """Front plane of a nut [z, mm] at or behind `wanted` where its thread lies in that of the bushing."""
    outside = helix(thread, front, rear, False, ("chamfer", "chamfer"))
    inside = helix(thread, wanted, wanted - 2 * thread.pitch_mm, True, ("chamfer", "chamfer"))
    # a crest of the nut stands half a pitch from a crest of the bushing
    return wanted - (inside.start - outside.start - thread.pitch_mm / 2) % thread.pitch_mm
