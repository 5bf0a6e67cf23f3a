"""The place that decides a verdict, for pictures: where it is on the two halves and what to say there."""

from __future__ import annotations

from typing import Literal, NamedTuple

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.meeting import Meeting
from coaxtell.models.mating.outcome import JOINED, Outcome, Verdict, judge
from coaxtell.models.mating.profiles import profile_of
from coaxtell.models.profile import ButtEnd, PinEnd, Profile, SocketEnd

Kind = Literal["harm", "stop", "open", "holds"]
"""Something gives way; solid parts or couplings keep the halves apart; a contact stays open; the contact is made."""


class Place(NamedTuple):
    """Where a verdict is decided: words, kind, and from where to where along the axis and away from it [mm].

    z in the axes of the first half with both halves where they stop; equal ends for faces that touch.
    """

    what: Reason
    kind: Kind
    z: tuple[float, float]
    r: tuple[float, float]


def deciding(a: Half, b: Half, verdict: Verdict | None = None) -> Place:
    """The place that decides what becomes of two halves; sides in the order (a, b).

    Where the `verdict` that is told is `not known`, or that the pair mates although its numbers come to something else,
    it is the place by the numbers as drawn, never told as harm or contact.
    """
    place = _decided(a, b)
    if verdict is Verdict.NOT_KNOWN:
        code = "deciding.as_drawn"
    elif verdict in JOINED and place.kind != "holds":
        code = "deciding.against"
    else:
        return place
    kind: Kind = "stop" if place.kind in ("harm", "stop") else "open"
    return place._replace(what=Reason(code, {"what": place.what}), kind=kind)


def _decided(a: Half, b: Half) -> Place:
    pa, pb = profile_of(a), profile_of(b)
    found = judge(pa, pb)
    if not found.coupling.fits:
        return _unheld(a, b, found)
    stop = found.blocked_nut or found.stop
    if found.verdict in (Verdict.DAMAGES, Verdict.NO_JOIN) or found.blocked_nut is not None:
        kind: Kind = "harm" if found.verdict is Verdict.DAMAGES else "stop"
        if stop is None:
            return Place(Reason("deciding.nothing", {"one": a.name, "two": b.name}), kind, (0.0, 0.0), (0.0, 0.0))
        return Place(_meets(a, b, stop), kind, *_at(stop))
    return _centre(a, b, found)


def _meets(a: Half, b: Half, meeting: Meeting) -> Reason:
    away = "stop.to_go" if meeting.distance >= 0 else "stop.past"
    values: dict[str, float | str | Reason | list[Reason]] = {
        "one_face": meeting.a.name, "one": a.name, "two_face": meeting.b.name, "two": b.name,
        "away": Reason(away, {"distance": abs(meeting.distance)}),
    }  # fmt: skip
    return Reason("deciding.meets", values)


def _at(meeting: Meeting) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where two faces touch; housings with other keys share no radii, then the first face's own count."""
    one, two = meeting.a, meeting.b
    low, high = max(one.r0, two.r0), min(one.r1, two.r1)
    return (one.z1, one.z1), ((low, high) if high > low else (one.r0, one.r1))


def _unheld(a: Half, b: Half, found: Outcome) -> Place:
    """Couplings that do not fit: at the nut's thread where two threads differ, else where the halves first meet."""
    pa, pb = profile_of(a), profile_of(b)
    first = found.blocked_nut or found.stop
    moving_first = pa.snap is not None if pa.snap is not None or pb.snap is not None else pa.has_nut
    moving, fixed = (a, b) if moving_first else (b, a)
    names = {"one": a.name, "two": b.name, "moving": moving.name, "fixed": fixed.name}
    what = Reason(found.coupling.why.code.replace("coupling.", "deciding."), {**found.coupling.why.values, **names})
    distance = 0.0 if first is None else first.distance
    nut, screw = (pa.thread, pb.own_thread) if moving_first else (pb.thread, pa.own_thread)
    if nut is not None and screw is not None and moving.nut is not None:
        z = nut.front if moving_first else distance - nut.front
        r = nut.thread.major.nominal / 2
        return Place(what, "stop", (z, z), (r, r))
    return Place(what, "stop", (0.0, 0.0), (0.0, 0.0)) if first is None else Place(what, "stop", *_at(first))


def _centre(a: Half, b: Half, found: Outcome) -> Place:
    """Halves that come home: what their centre contacts do."""
    pa, pb = profile_of(a), profile_of(b)
    pin_first = isinstance(pa.contact, PinEnd)
    pin, socket = (a, b) if pin_first else (b, a)
    names = {"one": a.name, "two": b.name, "pin_half": pin.name, "socket_half": socket.name}
    code = found.contact.why.code.replace("contact.", "deciding.")
    ends = pa.contact.tip, found.distance - pb.contact.tip
    kind: Kind = "holds" if found.contact.makes else "open"
    reach = min(_radius(pa), _radius(pb))
    what = Reason(code, {**found.contact.why.values, **names})
    return Place(what, kind, (min(ends), max(ends)), (0.0, reach))


def _radius(profile: Profile) -> float:
    """How thick the end of a contact is, as far as mating knows it [mm]."""
    end = profile.contact
    if isinstance(end, PinEnd):
        return end.d / 2
    if isinstance(end, SocketEnd):
        return end.takes_max / 2
    assert isinstance(end, ButtEnd)
    return 0.0
