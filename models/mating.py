"""Two halves brought together: what fits, what touches first, where they stop, what connects, and the verdict.

Everything is read from the two profiles; this module knows no connector by name. The two halves face each other
on one axis; `distance` is that between their reference planes [mm], zero when seated.
"""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

import msgspec

from coaxtell.models.contacts import Contact, contact, ends, pin_enters
from coaxtell.models.coupling import Coupling, couple
from coaxtell.models.half import Half
from coaxtell.models.impedance import return_loss_db
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import SHAPELESS, Path, label, replaced, walk
from coaxtell.models.profile import FRAGILE, Face, Profile, profile

SEAT_PLAY = 0.01
"""Seats and stops nearer than this come together [mm]: springs and insulator give that much (assumed)."""


LOCK_PLAY = 0.15
"""How far short of its groove's middle a bead still snaps in [mm] (assumed)."""


class Verdict(StrEnum):
    """What becomes of two halves that someone tries to join."""

    MATES = "mates"
    LIMITS = "mates with limits"
    NO_CONTACT = "joins, no contact"
    DAMAGES = "damages"
    NO_JOIN = "does not join"


JOINED = frozenset({Verdict.MATES, Verdict.LIMITS})
"""Verdicts with which a signal passes and nothing is hurt."""


class Touch(msgspec.Struct, frozen=True):
    """What meets first: the part of either half and the distance of the reference planes then [mm]."""

    a: str
    b: str
    distance_mm: float


class Mating(msgspec.Struct, frozen=True):
    """The whole outcome for two halves, with its reasons in sentences that quote the millimetres.

    `stops_at_mm` is the distance of the reference planes where the halves stop (below zero: past each other; where
    the couplings do not fit, with the nut at its foremost place) and `gap_mm` what then stays open between them.
    `overlap_mm` is how deep the pin stands in the socket, and `depends_on` names the memory or assumed numbers
    whose range moves the verdict.
    """

    a: str
    b: str
    verdict: Verdict
    reasons: list[str]
    first_touch: Touch | None
    stops_at_mm: float | None
    turns_caught: float
    overlap_mm: float
    gap_mm: float | None
    return_loss_db: float | None
    depends_on: list[str]
    cautions: list[str]


class Meeting(NamedTuple):
    """Two faces that meet, and the distance of the reference planes then [mm]."""

    distance: float
    a: Face
    b: Face


class _Outcome(NamedTuple):
    verdict: Verdict
    coupling: Coupling
    stop: Meeting | None
    distance: float
    turns: float
    contact: Contact
    blocked_nut: Meeting | None
    """Where the moving part stops it short; with couplings that do not fit, the first stop of all."""


def _shared(one: Face, two: Face) -> float | None:
    """Distance [mm] at which two faces touch over the radii they share; none where they share none."""
    low = one.r0 if one.r0 > two.r0 else two.r0
    high = one.r1 if one.r1 < two.r1 else two.r1
    if high - low <= 1e-9:
        return None
    if one.z0 == one.z1 and two.z0 == two.z1:
        return one.z0 + two.z0
    return max(_z(one, low) + _z(two, low), _z(one, high) + _z(two, high))


def _z(face: Face, r: float) -> float:
    if face.z0 == face.z1:
        return face.z0
    return face.z0 + (face.z1 - face.z0) * (r - face.r0) / (face.r1 - face.r0)


def _collides(a: Profile, b: Profile, one: Face, two: Face) -> float | None:
    """Distance at which two fixed faces collide [mm]; a pin in the socket that takes it is a joint."""
    if one.role == "pin" and two.role == "socket" and one.name == "pin" and two.name == "socket":
        pair = ends(a, b)
        assert pair is not None
        pin, socket = pair
        return None if pin_enters(pin, socket) else pin.tip + socket.tip
    return _shared(one, two)


def _first(a: Profile, b: Profile) -> Meeting | None:
    """The first collision of the fixed parts; the seat of the outer contacts wins a tie within SEAT_PLAY."""
    best: Meeting | None = None
    seat: Meeting | None = None
    for one in a.fixed:
        for two in b.fixed:
            if one.role == "socket" and two.role == "pin":
                distance = _collides(b, a, two, one)
            else:
                distance = _collides(a, b, one, two)
            if distance is None:
                continue
            if one.reference and two.reference:
                seat = Meeting(distance, one, two)
            if best is None or distance > best.distance:
                best = Meeting(distance, one, two)
    if best is not None and seat is not None and best.distance - seat.distance <= SEAT_PLAY:
        return seat
    return best


def _nut_meeting(a: Profile, b: Profile, fits: bool) -> Meeting | None:
    """Where a moving part at its foremost place first meets the other half, faces in the order (a, b)."""
    best: Meeting | None = None
    pairs = [(one, two) for one in a.moving for two in b.fixed]
    if not (a.own_thread is not None and b.own_thread is not None and a.moving and b.moving):
        # where both halves bring thread and nut, one nut is drawn back
        pairs += [(one, two) for one in (*a.fixed, *a.moving) for two in b.moving]
    for one, two in pairs:
        joint = fits and (one.role == two.role == "thread" or "lug" in (one.role, two.role))
        distance = None if joint else _shared(one, two)
        if distance is not None and (best is None or distance > best.distance):
            best = Meeting(distance, one, two)
    return best


def _judge(a: Profile, b: Profile, ohms: tuple[float | None, float | None], limited: bool) -> _Outcome:
    coupling = couple(a, b)
    stop = _first(a, b)
    distance = stop.distance if stop is not None else 0.0
    made = contact(a, b, distance)
    nut = _nut_meeting(a, b, coupling.fits)
    if not coupling.fits:
        first = nut if nut is not None and (stop is None or nut.distance > stop.distance) else stop
        return _Outcome(Verdict.NO_JOIN, coupling, stop, distance, 0.0, made, first)
    blocked = nut if nut is not None and nut.distance > distance + SEAT_PLAY else None
    seated = stop is not None and stop.a.reference and stop.b.reference
    if coupling.lock is not None:
        seated = stop is None or stop.distance <= coupling.lock + LOCK_PLAY
        if seated:
            distance = coupling.lock
            made = contact(a, b, distance)
            blocked = nut if nut is not None and nut.distance > distance + LOCK_PLAY else None
    turns = coupling.turns(distance)
    if not seated:
        fragile = stop is not None and (stop.a.role in FRAGILE or stop.b.role in FRAGILE)
        verdict = Verdict.DAMAGES if fragile else Verdict.NO_JOIN
        return _Outcome(verdict, coupling, stop, distance, turns, made, None)
    if turns < coupling.needed_turns - 1e-9:
        return _Outcome(Verdict.NO_JOIN, coupling, stop, distance, turns, made, None)
    if not made.makes or blocked is not None:
        return _Outcome(Verdict.NO_CONTACT, coupling, stop, distance, turns, made, blocked)
    mismatch = ohms[0] is not None and ohms[1] is not None and ohms[0] != ohms[1]
    verdict = Verdict.LIMITS if mismatch or limited else Verdict.MATES
    return _Outcome(verdict, coupling, stop, distance, turns, made, None)


def _limits(a: Half, b: Half) -> list[str]:
    """Named losses of two halves that do connect: match, frequency, torque."""
    found: list[str] = []
    if a.impedance_ohm is not None and b.impedance_ohm is not None:
        loss = return_loss_db(a.impedance_ohm, b.impedance_ohm)
        if loss is not None:
            found.append(
                f"{a.impedance_ohm:g} ohm meets {b.impedance_ohm:g} ohm: the step reflects, return loss "
                f"{loss:.1f} dB at best."
            )
    if a.top_ghz is not None and b.top_ghz is not None and a.top_ghz.nominal != b.top_ghz.nominal:
        low, high = sorted((a.top_ghz.nominal, b.top_ghz.nominal))
        found.append(f"The pair is rated only to the lower {low:g} GHz, not to {high:g} GHz.")
    if a.torque_nm is not None and b.torque_nm is not None:
        gentle, firm = sorted((a.torque_nm, b.torque_nm), key=lambda t: t.nominal)
        if gentle.high < firm.low:
            found.append(
                f"Tighten to the gentler half: {gentle.nominal:g} N m, not {firm.nominal:g} N m."
            )
    return found


def _touching(meeting: Meeting, a: Half, b: Half) -> str:
    return f"the {meeting.a.name} of {a.id} meets the {meeting.b.name} of {b.id}"


def _seat_words(found: _Outcome) -> str:
    if found.coupling.lock is not None:
        return f"It snaps home with the reference planes {found.distance:.2f} mm apart."
    if found.coupling.ramps is not None:
        return f"The outer contacts seat at {found.distance:.2f} mm and the bayonet locks."
    return f"The outer contacts seat at {found.distance:.2f} mm with {found.turns:.1f} turns caught."


def _away(distance: float) -> str:
    """Where two reference planes stand, in words."""
    if distance >= 0:
        return f"with {distance:.2f} mm still to go"
    return f"with the reference planes {-distance:.2f} mm past each other"


def _reasons(a: Half, b: Half, found: _Outcome) -> list[str]:
    reasons = [found.coupling.sentence]
    stop = found.stop
    if not found.coupling.fits:
        if found.blocked_nut is not None:
            reasons.append(f"It goes no further than where {_touching(found.blocked_nut, a, b)}.")
        return reasons
    if found.verdict is Verdict.DAMAGES:
        assert stop is not None
        reasons.append(f"Before the halves seat, {_touching(stop, a, b)} {_away(found.distance)}.")
        if found.turns > 0:
            reasons.append(
                f"By then {found.turns:.1f} turns of the coupling have caught, so turning on forces the parts "
                f"into each other."
            )
        else:
            reasons.append("No turn of the coupling has caught by then; pushing is what does the harm.")
        if not found.contact.makes:
            reasons.append(found.contact.sentence)
        return reasons
    if found.verdict is Verdict.NO_JOIN:
        if stop is None:
            reasons.append("Nothing stops the halves and nothing seats.")
        elif stop.a.reference and stop.b.reference:
            reasons.append(
                f"The halves seat, but only {found.turns:.1f} turns of the coupling have caught: it does not hold."
            )
        else:
            reasons.append(f"Solid metal stops them: {_touching(stop, a, b)} {_away(found.distance)}.")
        return reasons
    reasons.append(_seat_words(found))
    if found.blocked_nut is not None:
        reasons.append(
            f"The nut runs out of way: {_touching(found.blocked_nut, a, b)} "
            f"{_away(found.blocked_nut.distance)}, so the outer contacts stay apart."
        )
    reasons.append(found.contact.sentence)
    return reasons


LIVE = "Switch the transmitter off and take DC off the coax before joining or parting."
FORCE = "Do not force it: a bent pin or spread socket passes the damage on to the next part it meets."
OPEN = "It screws on and feels right; the open end reflects all power back into the transmitter."
RULES = "At height, near lightning protection or on a live site, local codes and licensed practice decide."


def _cautions(verdict: Verdict) -> list[str]:
    if verdict is Verdict.DAMAGES:
        return [FORCE, LIVE]
    if verdict is Verdict.NO_CONTACT:
        return [OPEN, LIVE]
    if verdict is Verdict.NO_JOIN:
        return [FORCE]
    return [LIVE, RULES]




class Variant(NamedTuple):
    """A half with one soft number at one end of its range, and whether that moves its coupling."""

    name: str
    profile: Profile
    recouples: bool


def _moved(half: Half, path: Path, measure: Measure, end: float) -> Profile | None:
    """The profile with one number moved to `end`, or as far towards it as its neighbours in the half allow."""
    for share in (1.0, 0.75, 0.5, 0.25):
        value = measure.nominal + share * (end - measure.nominal)
        try:
            return profile(replaced(half, path, measure.at(value)))
        except ValueError:
            continue  # two uncertain neighbours would pass each other
    return None


class _Cache:
    """Profiles and variants of halves, by identity: halves are frozen and outlive one run of the matrix."""

    def __init__(self) -> None:
        self._held: dict[int, tuple[Half, Profile, list[Variant] | None]] = {}

    def profile(self, half: Half) -> Profile:
        held = self._held.get(id(half))
        if held is None:
            held = self._held[id(half)] = (half, profile(half), None)
        return held[1]

    def variants(self, half: Half) -> list[Variant]:
        base = self.profile(half)
        held = self._held[id(half)]
        if held[2] is not None:
            return held[2]
        found: list[Variant] = []
        for path, measure in walk(half):
            if not measure.soft or path[0] in SHAPELESS:
                continue
            assert measure.min is not None
            assert measure.max is not None
            for end in (measure.min, measure.max):
                varied = _moved(half, path, measure, end)
                if varied is not None and varied != base:
                    recouples = varied.coupling != base.coupling
                    found.append(Variant(label(half, path), varied, recouples))
        self._held[id(half)] = (half, base, found)
        return found


_cache = _Cache()


def _depends_on(a: Half, b: Half, verdict: Verdict, fits: bool, limited: bool) -> list[str]:
    """Names of the soft numbers that move the verdict; where the couplings do not fit, only theirs can."""
    pa, pb = _cache.profile(a), _cache.profile(b)
    ohms = (a.impedance_ohm, b.impedance_ohm)
    moved: list[str] = []
    for half, other in ((a, pb), (b, pa)):
        for variant in _cache.variants(half):
            if not fits and not variant.recouples:
                continue
            one, two = (variant.profile, other) if half is a else (other, variant.profile)
            name = f"{half.id}: {variant.name}"
            if name not in moved and _judge(one, two, ohms, limited).verdict is not verdict:
                moved.append(name)
    return moved


def first_meeting(a: Half, b: Half) -> Meeting | None:
    """The faces that meet first when two halves are brought together, in the order (a, b)."""
    found = _judge(_cache.profile(a), _cache.profile(b), (a.impedance_ohm, b.impedance_ohm), False)
    return found.stop if found.blocked_nut is None else found.blocked_nut


def couplings_fit(a: Half, b: Half) -> bool:
    """Whether the moving part of either half holds on the other."""
    return couple(_cache.profile(a), _cache.profile(b)).fits


def mate(a: Half, b: Half, sweep: bool = True) -> Mating:
    """The outcome of bringing two halves together; (b, a) gives the same verdict.

    With `sweep`, every memory or assumed number is run to both ends of its range, one at a time, and those that
    move the verdict are named in `depends_on`.
    """
    pa, pb = _cache.profile(a), _cache.profile(b)
    losses = _limits(a, b)
    ohms = (a.impedance_ohm, b.impedance_ohm)
    found = _judge(pa, pb, ohms, bool(losses))
    reasons = _reasons(a, b, found)
    if found.verdict is Verdict.LIMITS:
        reasons += losses
    first = found.stop if found.blocked_nut is None else found.blocked_nut
    stops = None if first is None else first.distance
    if found.coupling.lock is not None and found.verdict is not Verdict.DAMAGES and found.blocked_nut is None:
        stops = found.distance
    loss = None
    if a.impedance_ohm is not None and b.impedance_ohm is not None:
        loss = return_loss_db(a.impedance_ohm, b.impedance_ohm)
    depends = _depends_on(a, b, found.verdict, found.coupling.fits, bool(losses)) if sweep else []
    if depends:
        reasons.append(
            "This verdict rests on numbers from memory or assumption and changes within their range: "
            + "; ".join(depends)
            + "."
        )
    return Mating(
        a=a.id,
        b=b.id,
        verdict=found.verdict,
        reasons=reasons,
        first_touch=None if first is None else Touch(first.a.name, first.b.name, round(first.distance, 4)),
        stops_at_mm=None if stops is None else round(stops, 4),
        turns_caught=round(found.turns, 3),
        overlap_mm=round(found.contact.overlap, 4) if found.coupling.fits else 0.0,
        gap_mm=None if stops is None else round(max(0.0, stops), 4),
        return_loss_db=None if loss is None else round(loss, 3),
        depends_on=depends,
        cautions=_cautions(found.verdict),
    )
