"""Does the moving part of one half hold on the fixed part of the other: threads, and lugs in ramped slots.

Only geometry decides: hand, pitch, crest, root and flank of threads; count, width and bore of a bayonet.
"""

from __future__ import annotations

import math

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Key, Thread
from coaxtell.models.physics import Physics, nominal
from coaxtell.models.profile import GrooveZone, LugZone, Profile, RampZone, SnapZone, ThreadZone
from coaxtell.models.threads import depth, limits

PITCH_PLAY = 1e-4
"""Pitches nearer than this are one pitch [mm]: far below the pitch error of a class 2 thread."""


class Coupling(msgspec.Struct, frozen=True):
    """Whether two couplings fit, why, and where on the axis they catch."""

    fits: bool
    why: Reason
    nut: ThreadZone | None = None
    screw: ThreadZone | None = None
    ramps: RampZone | None = None
    lugs: LugZone | None = None
    slides: bool = False
    """The nut passes over the thread, so that thread on thread stops nothing."""
    barred: bool = False
    """A keyed housing keeps the halves apart before anything else touches."""
    lock: float | None = None
    """Distance of the reference planes at which a bead rests in its groove [mm]; none for what is screwed home."""
    spring: float = 0.0
    """How far a bayonet's spring lets the lugs stand short of their locked place [mm]."""

    def turns(self, distance: float) -> float:
        """Turns caught with the reference planes `distance` apart [mm, turns]; a locked bayonet counts its turn."""
        if self.nut is not None and self.screw is not None:
            front = min(self.nut.front, distance - self.screw.rear)
            rear = max(self.nut.rear, distance - self.screw.front)
            return max(0.0, front - rear) / self.nut.thread.pitch_mm
        if self.ramps is not None and self.lugs is not None:
            locked = distance - self.lugs.centre <= self.ramps.lock + self.spring
            return self.ramps.turn / 360 if locked else 0.0
        return 0.0

    @property
    def needed_turns(self) -> float:
        """Fewest turns that hold: one of a thread, the whole lock of a bayonet, none of a snap."""
        if self.lock is not None:
            return 0.0
        return 1.0 if self.ramps is None else self.ramps.turn / 360


def _why(code: str, **values: float | str | Reason | list[Reason]) -> Reason:
    return Reason(f"coupling.{code}", values)


def _no(code: str, **values: float | str | Reason) -> Coupling:
    return Coupling(False, _why(code, **values), slides=code == "slides_over")


def _thread(thread: Thread) -> Reason:
    return _why("thread", size=thread.size, pitch=thread.pitch_mm, hand=Reason(f"hand.{thread.hand}"))


def _threads(nut: ThreadZone, screw: ThreadZone, flank_share: float) -> Coupling:
    inner, outer = limits(nut.thread), limits(screw.thread)
    ours, theirs = nut.thread, screw.thread
    if outer.major_max > inner.major_max:
        return _no("thread_too_wide", crest=outer.major_max, root=inner.major_min)
    flank = (outer.major_min - inner.minor_max) / 2
    needed = flank_share * depth(min(ours.pitch_mm, theirs.pitch_mm))
    if flank < needed:
        return _no("slides_over", open=inner.minor_max, crest=outer.major_min, needed=needed, flank=max(flank, 0))
    if ours.hand != theirs.hand:
        return _no("hands_differ", inside=Reason(f"hand.{ours.hand}"), outside=Reason(f"hand.{theirs.hand}"))
    difference = abs(ours.pitch_mm - theirs.pitch_mm)
    if difference > PITCH_PLAY:
        mean_gap = (inner.pitch_min + inner.pitch_max - outer.pitch_min - outer.pitch_max) / 2
        play = max(0.0, mean_gap) * math.tan(math.radians(30))
        return _no("pitches_differ", inside=ours.pitch_mm, outside=theirs.pitch_mm, turns=play / difference)
    if outer.pitch_max > inner.pitch_max:
        return _no("thread_too_thick", outside=outer.pitch_max, inside=inner.pitch_max)
    if ours.size == theirs.size:
        return Coupling(True, _why("thread_fits", nut=_thread(ours)), nut=nut, screw=screw)
    return Coupling(True, _why("threads_fit", nut=_thread(ours), screw=_thread(theirs)), nut=nut, screw=screw)


def _bayonet(ramps: RampZone, lugs: LugZone, spring: float) -> Coupling:
    if ramps.number != lugs.number:
        return _no("lugs_differ", slots=ramps.number, lugs=lugs.number)
    if lugs.stud >= ramps.width:
        return _no("lug_too_wide", lug=lugs.stud, slot=ramps.width)
    if lugs.collar >= ramps.bore:
        return _no("collar_too_wide", bore=ramps.bore, collar=lugs.collar)
    if lugs.over <= ramps.bore:
        return _no("lugs_too_low", bore=ramps.bore, over=lugs.over)
    why = _why("bayonet_fits", lugs=lugs.number, lug=lugs.stud, slot=ramps.width, turn=ramps.turn)
    return Coupling(True, why, ramps=ramps, lugs=lugs, spring=spring)


def _snap(snap: SnapZone, groove: GrooveZone) -> Coupling:
    if snap.over != groove.outside:
        return _no("ring_looks_in" if snap.over else "ring_looks_out")
    ride = (groove.lip - snap.bead if snap.over else snap.bead - groove.lip) / 2
    if ride <= 0:
        return _no("ring_passes", bead=snap.bead, lip=groove.lip)
    if ride > snap.spring:
        return _no("ring_too_stiff", bead=snap.bead, ride=ride, lip=groove.lip, spring=snap.spring)
    held = _why("by_friction") if groove.friction else _why("in_groove", floor=groove.floor)
    grip = [_why("grip", grip=groove.grip)] if groove.grip else []
    why = _why("snap_fits", bead=snap.bead, ride=ride, lip=groove.lip, held=held, grip=grip)
    return Coupling(True, why, lock=snap.z + groove.z)


def _barred(a: Key | None, b: Key | None) -> Reason | None:
    """Why two housings keep each other out; none where they do not."""
    if a is None and b is None:
        return None
    if a is None or b is None:
        return _why("keyed")
    if a.kind != b.kind:
        return _why("key_kinds", a=a.kind, b=b.kind)
    if a.code != b.code and not (a.neutral or b.neutral):
        return _why("key_codes", a=a.code, a_colour=a.colour, b=b.code, b_colour=b.colour)
    return None


def teeth_enter(a: Profile, b: Profile) -> bool:
    """Whether the index teeth of one half drop into the notches of the other: by number, width and depth."""
    teeth, notches = (a.teeth, b.notches) if a.teeth is not None else (b.teeth, a.notches)
    if teeth is None or notches is None:
        return False
    even = notches.number % teeth.number == 0
    return even and teeth.width <= 2 * notches.r and teeth.height <= notches.r


def couple(a: Profile, b: Profile, physics: Physics | None = None) -> Coupling:
    """Whether the moving or springing part of either half holds on the other; the same for (b, a)."""
    physics = physics or nominal()
    barred = _barred(a.key, b.key)
    if barred is not None:
        return Coupling(False, barred, barred=True)
    for one, two in ((a, b), (b, a)):
        if one.snap is not None and two.groove is not None:
            return _snap(one.snap, two.groove)
    if a.has_nut and b.has_nut and a.own_thread is not None and b.own_thread is not None:
        assert a.thread is not None
        return _threads(a.thread, b.own_thread, physics.flank_share)
    if a.has_nut and b.has_nut:
        return _no("two_nuts")
    if a.snap is not None or b.snap is not None:
        return _no("no_groove")
    if not a.has_nut and not b.has_nut:
        return _no("nothing_holds")
    moving, fixed = (a, b) if a.has_nut else (b, a)
    if moving.thread is not None:
        if fixed.thread is not None:
            return _threads(moving.thread, fixed.thread, physics.flank_share)
        return _no("no_thread") if fixed.lugs is None else _no("thread_on_lugs", collar=fixed.lugs.collar)
    if moving.ramps is None:
        return _no("no_lock")
    if fixed.lugs is not None:
        return _bayonet(moving.ramps, fixed.lugs, physics.lug_spring)
    if fixed.thread is not None:
        crest = limits(fixed.thread.thread).major_max
        return _no("sleeve_on_thread", bore=moving.ramps.bore, crest=crest)
    return _no("no_lugs")
