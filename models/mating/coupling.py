"""Does the moving part of one half hold on the fixed part of the other: threads, and lugs in ramped slots.

Only geometry decides: hand, pitch, crest, root and flank of threads; count, width and bore of a bayonet.
"""

from __future__ import annotations

import math

import msgspec

from coaxtell.models.half import Key
from coaxtell.models.profile import GrooveZone, LugZone, Profile, RampZone, SnapZone, ThreadZone
from coaxtell.models.threads import depth, limits

FLANK_SHARE = 1 / 3
"""Least share of the full thread depth on which flanks still hold; less slides over (assumed)."""

PITCH_PLAY = 1e-4
"""Pitches nearer than this are one pitch [mm]: far below the pitch error of a class 2 thread."""

LUG_SPRING = 0.35
"""How far a bayonet's spring lets the lug stand short of its locked place [mm] (assumed)."""


class Coupling(msgspec.Struct, frozen=True):
    """Whether two couplings fit, said in one sentence, and where on the axis they catch."""

    fits: bool
    sentence: str
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

    def turns(self, distance: float) -> float:
        """Turns caught with the reference planes `distance` apart [mm, turns]; a locked bayonet counts its turn."""
        if self.nut is not None and self.screw is not None:
            front = min(self.nut.front, distance - self.screw.rear)
            rear = max(self.nut.rear, distance - self.screw.front)
            return max(0.0, front - rear) / self.nut.thread.pitch_mm
        if self.ramps is not None and self.lugs is not None:
            locked = distance - self.lugs.centre <= self.ramps.lock + LUG_SPRING
            return self.ramps.turn / 360 if locked else 0.0
        return 0.0

    @property
    def needed_turns(self) -> float:
        """Fewest turns that hold: one of a thread, the whole lock of a bayonet, none of a snap."""
        if self.lock is not None:
            return 0.0
        return 1.0 if self.ramps is None else self.ramps.turn / 360


def _pitch_words(zone: ThreadZone) -> str:
    return f"{zone.thread.size}, {zone.thread.pitch_mm:.3f} mm a turn, {zone.thread.hand}-hand"


def _threads(nut: ThreadZone, screw: ThreadZone) -> Coupling:
    inner, outer = limits(nut.thread), limits(screw.thread)
    ours, theirs = nut.thread, screw.thread
    if outer.major_max > inner.major_max:
        return Coupling(
            False,
            f"The nut cannot start: the thread's crests measure up to {outer.major_max:.2f} mm and the nut's "
            f"thread is only {inner.major_min:.2f} mm wide at its root.",
        )
    flank = (outer.major_min - inner.minor_max) / 2
    needed = FLANK_SHARE * depth(min(ours.pitch_mm, theirs.pitch_mm))
    if flank < needed:
        return Coupling(
            False,
            f"The nut slides over and does not hold: its crests leave {inner.minor_max:.2f} mm open, the "
            f"thread's crests measure {outer.major_min:.2f} mm, and the flanks need {needed:.2f} mm of overlap "
            f"a side and have {max(flank, 0):.2f} mm.",
            slides=True,
        )
    if ours.hand != theirs.hand:
        return Coupling(
            False, f"The threads run in opposite hands: {ours.hand}-hand in the nut, {theirs.hand}-hand outside."
        )
    difference = abs(ours.pitch_mm - theirs.pitch_mm)
    if difference > PITCH_PLAY:
        mean_gap = (inner.pitch_min + inner.pitch_max - outer.pitch_min - outer.pitch_max) / 2
        play = max(0.0, mean_gap) * math.tan(math.radians(30))
        return Coupling(
            False,
            f"The pitches differ ({ours.pitch_mm:.3f} mm in the nut, {theirs.pitch_mm:.3f} mm outside): the nut "
            f"binds after {play / difference:.1f} turns.",
        )
    if outer.pitch_max > inner.pitch_max:
        return Coupling(
            False,
            f"The thread is too thick for the nut: pitch diameter {outer.pitch_max:.2f} mm outside, at most "
            f"{inner.pitch_max:.2f} mm inside.",
        )
    same = ours.size == theirs.size
    words = _pitch_words(nut) if same else f"{_pitch_words(nut)}; outside {_pitch_words(screw)}"
    return Coupling(True, f"The thread fits: {words}.", nut=nut, screw=screw)


def _bayonet(ramps: RampZone, lugs: LugZone) -> Coupling:
    if ramps.number != lugs.number:
        return Coupling(False, f"The sleeve has {ramps.number} slots and the collar {lugs.number} lugs.")
    if lugs.stud >= ramps.width:
        return Coupling(False, f"The lugs, {lugs.stud:.2f} mm, do not enter the sleeve's slots, {ramps.width:.2f} mm.")
    if lugs.collar >= ramps.bore:
        return Coupling(
            False, f"The sleeve's bore, {ramps.bore:.2f} mm, does not pass the collar, {lugs.collar:.2f} mm."
        )
    if lugs.over <= ramps.bore:
        return Coupling(
            False,
            f"The sleeve's bore, {ramps.bore:.2f} mm, passes over the lugs, {lugs.over:.2f} mm: nothing holds.",
        )
    return Coupling(
        True,
        f"The bayonet fits: {lugs.number} lugs of {lugs.stud:.2f} mm in slots of {ramps.width:.2f} mm, "
        f"{ramps.turn:g} degrees to lock.",
        ramps=ramps,
        lugs=lugs,
    )


def _snap(snap: SnapZone, groove: GrooveZone) -> Coupling:
    if snap.over != groove.outside:
        ring = "looks inwards" if snap.over else "looks outwards"
        return Coupling(False, f"The snap ring {ring} and the groove is on the other side: they never meet.")
    ride = (groove.lip - snap.bead if snap.over else snap.bead - groove.lip) / 2
    if ride <= 0:
        return Coupling(
            False,
            f"The snap ring, {snap.bead:.2f} mm, passes the lip of {groove.lip:.2f} mm without touching it: nothing "
            "holds.",
        )
    if ride > snap.spring:
        return Coupling(
            False,
            f"The snap ring, {snap.bead:.2f} mm, would have to spring {ride:.2f} mm a side to pass the lip of "
            f"{groove.lip:.2f} mm, and it springs {snap.spring:.2f} mm.",
        )
    if groove.friction:
        held = "and is held by friction alone"
    else:
        held = f"and rests in the groove of {groove.floor:.2f} mm"
    grip = f" ({groove.grip})" if groove.grip else ""
    return Coupling(
        True,
        f"The snap ring, {snap.bead:.2f} mm, springs {ride:.2f} mm a side over the lip of {groove.lip:.2f} mm "
        f"{held}{grip}.",
        lock=snap.z + groove.z,
    )


def _keys(a: Key | None, b: Key | None) -> str:
    """Why two housings keep each other out; empty where they do not."""
    if a is None and b is None:
        return ""
    if a is None or b is None:
        return "One half sits in a keyed housing that lets only its own kind in."
    if a.kind != b.kind:
        return f"The housings are of two kinds, {a.kind} and {b.kind}."
    if a.code != b.code and not (a.neutral or b.neutral):
        return f"The housing keys differ: code {a.code} ({a.colour}) and code {b.code} ({b.colour})."
    return ""


def teeth_enter(a: Profile, b: Profile) -> bool:
    """Whether the index teeth of one half drop into the notches of the other: by number, width and depth."""
    teeth, notches = (a.teeth, b.notches) if a.teeth is not None else (b.teeth, a.notches)
    if teeth is None or notches is None:
        return False
    even = notches.number % teeth.number == 0
    return even and teeth.width <= 2 * notches.r and teeth.height <= notches.r


def couple(a: Profile, b: Profile) -> Coupling:
    """Whether the moving or springing part of either half holds on the other; the same for (b, a)."""
    barred = _keys(a.key, b.key)
    if barred:
        return Coupling(False, barred, barred=True)
    for one, two in ((a, b), (b, a)):
        if one.snap is not None and two.groove is not None:
            return _snap(one.snap, two.groove)
    if a.has_nut and b.has_nut and a.own_thread is not None and b.own_thread is not None:
        assert a.thread is not None
        return _threads(a.thread, b.own_thread)
    if a.has_nut and b.has_nut:
        return Coupling(False, "Both halves bring a nut or sleeve, and neither a thread or lugs to hold it.")
    for half in (a, b):
        if half.snap is not None:
            return Coupling(False, "The snap ring finds no groove on the other half.")
    if not a.has_nut and not b.has_nut:
        return Coupling(False, "Neither half has a nut, a sleeve or a snap ring to hold the two together.")
    moving, fixed = (a, b) if a.has_nut else (b, a)
    if moving.thread is not None:
        if fixed.thread is not None:
            return _threads(moving.thread, fixed.thread)
        if fixed.lugs is not None:
            return Coupling(
                False,
                f"The nut's thread finds no thread on the other half, only lugs on a collar of "
                f"{fixed.lugs.collar:.2f} mm: it cannot grip.",
            )
        return Coupling(False, "The nut's thread finds no thread on the other half.")
    if moving.ramps is None:
        return Coupling(False, "The locking sleeve finds nothing on the other half to lock on.")
    if fixed.lugs is not None:
        return _bayonet(moving.ramps, fixed.lugs)
    if fixed.thread is not None:
        crest = limits(fixed.thread.thread).major_max
        return Coupling(
            False,
            f"The bayonet sleeve, {moving.ramps.bore:.2f} mm inside, finds no lugs on the other half, only a "
            f"thread of {crest:.2f} mm.",
        )
    return Coupling(False, "The bayonet sleeve finds no lugs on the other half.")
