"""What meets first when two halves come together on one axis: which faces, and how far apart the planes then are."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.mating.contacts import ends, pin_enters
from coaxtell.models.mating.coupling import teeth_enter
from coaxtell.models.profile import Annulus, Profile
from coaxtell.models.surfaces import ON_PLANE


class Meeting(NamedTuple):
    """Two faces that meet, and the distance of the reference planes then [mm]."""

    distance: float
    a: Annulus
    b: Annulus


def _shared(one: Annulus, two: Annulus) -> float | None:
    """Distance [mm] at which two faces touch over the radii they share; none where they share none."""
    low = one.r0 if one.r0 > two.r0 else two.r0
    high = one.r1 if one.r1 < two.r1 else two.r1
    if high - low <= 1e-9:
        return None
    if one.z0 == one.z1 and two.z0 == two.z1:
        return one.z0 + two.z0
    return max(_z(one, low) + _z(two, low), _z(one, high) + _z(two, high))


def _z(face: Annulus, r: float) -> float:
    if face.z0 == face.z1:
        return face.z0
    return face.z0 + (face.z1 - face.z0) * (r - face.r0) / (face.r1 - face.r0)


def _collides(a: Profile, b: Profile, one: Annulus, two: Annulus) -> float | None:
    """Distance at which two fixed faces collide [mm]; a pin in the socket that takes it is a joint, and so is an index
    tooth in a notched rim."""
    if one.role == "pin" and two.role == "socket" and one.name == "pin" and two.name == "socket":
        pair = ends(a, b)
        assert pair is not None
        pin, socket = pair
        return None if pin_enters(pin, socket) else pin.tip + socket.tip
    if one.role == "tooth" and abs(two.z1 - b.rim) < ON_PLANE and teeth_enter(a, b):
        return None
    return _shared(one, two)


def first_collision(a: Profile, b: Profile, seat_play: float) -> Meeting | None:
    """The first collision of the fixed parts; the seat of the outer conductors wins a tie within `seat_play` [mm]."""
    best: Meeting | None = None
    seat: Meeting | None = None
    for one in a.fixed:
        for two in b.fixed:
            if (one.role, two.role) == ("socket", "pin") or two.role == "tooth":
                distance = _collides(b, a, two, one)
            else:
                distance = _collides(a, b, one, two)
            if distance is None:
                continue
            if one.seats and two.seats and (seat is None or distance > seat.distance):
                seat = Meeting(distance, one, two)
            if best is None or distance > best.distance:
                best = Meeting(distance, one, two)
    if best is not None and seat is not None and best.distance - seat.distance <= seat_play:
        return seat
    return best


def housing_meeting(a: Profile, b: Profile) -> Meeting | None:
    """Where a keyed housing that keeps the other half out stops it, faces in the order (a, b)."""
    best: Meeting | None = None
    pairs = [(a.housing, two) for two in (*b.fixed, *b.moving)]
    pairs += [(b.housing, one) for one in (*a.fixed, *a.moving)]
    for front, other in pairs:
        distance = None if front is None else _shared(front, other)
        if front is None or distance is None or (best is not None and distance <= best.distance):
            continue
        best = Meeting(distance, front, other) if front is a.housing else Meeting(distance, other, front)
    return best


def nut_meeting(a: Profile, b: Profile, fits: bool, slides: bool = False) -> Meeting | None:
    """Where a moving part at its foremost place first meets the other half, faces in the order (a, b).

    Where the couplings fit, thread on thread and a lug in its slot are joints; a nut that slides over passes a thread.
    """
    best: Meeting | None = None
    pairs = [(one, two) for one in a.moving for two in b.fixed]
    if not (a.own_thread is not None and b.own_thread is not None and a.moving and b.moving):
        # where both halves bring thread and nut, one nut is drawn back
        pairs += [(one, two) for one in (*a.fixed, *a.moving) for two in b.moving]
    for one, two in pairs:
        joint = ((fits or slides) and one.role == two.role == "thread") or (fits and "lug" in (one.role, two.role))
        distance = None if joint else _shared(one, two)
        if distance is not None and (best is None or distance > best.distance):
            best = Meeting(distance, one, two)
    return best
