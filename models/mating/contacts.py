"""Does the centre contact make: pin in socket, pin on pin, socket to socket."""

from __future__ import annotations

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.physics import Physics, nominal
from coaxtell.models.profile import ButtEnd, PinEnd, Profile, SocketEnd


class Contact(msgspec.Struct, frozen=True):
    """The centre contact at one distance: whether it makes, how deep the pin stands in the socket [mm], why."""

    makes: bool
    overlap: float
    why: Reason


def pin_enters(pin: PinEnd, socket: SocketEnd) -> bool:
    """Whether the pin is thin enough for the socket."""
    return pin.d <= socket.takes_max


def ends(a: Profile, b: Profile) -> tuple[PinEnd, SocketEnd] | None:
    """The pin and the socket of a pair; none where both halves carry the same."""
    one, two = a.contact, b.contact
    if isinstance(one, PinEnd) and isinstance(two, SocketEnd):
        return one, two
    if isinstance(two, PinEnd) and isinstance(one, SocketEnd):
        return two, one
    return None


def _butt(one: PinEnd | SocketEnd | ButtEnd, two: PinEnd | SocketEnd | ButtEnd, distance: float) -> Contact:
    if not (isinstance(one, ButtEnd) and isinstance(two, ButtEnd)):
        return Contact(False, 0.0, Reason("contact.one_butt"))
    gap = distance - one.tip - two.tip
    if gap > 0:
        return Contact(False, 0.0, Reason("contact.butts_apart", {"gap": gap}))
    return Contact(True, 0.0, Reason("contact.butts_meet", {"pressed": -gap}))


def contact(a: Profile, b: Profile, distance: float, physics: Physics | None = None) -> Contact:
    """The centre contact with the reference planes `distance` apart [mm]."""
    pair = ends(a, b)
    if isinstance(a.contact, ButtEnd) or isinstance(b.contact, ButtEnd):
        return _butt(a.contact, b.contact, distance)
    if pair is None:
        if isinstance(a.contact, PinEnd):
            return Contact(False, 0.0, Reason("contact.two_pins"))
        gap = distance - a.contact.tip - b.contact.tip
        return Contact(False, 0.0, Reason("contact.two_sockets", {"gap": max(gap, 0)}))
    pin, socket = pair
    depth = pin.tip + socket.tip - distance
    overlap = max(0.0, depth)
    takes = {"pin": pin.d, "thinnest": socket.takes_min, "thickest": socket.takes_max}
    if not pin_enters(pin, socket):
        return Contact(False, 0.0, Reason("contact.pin_too_thick", takes))
    if pin.d < socket.takes_min:
        play = (socket.takes_max - pin.d) / 2
        return Contact(False, overlap, Reason("contact.pin_too_thin", {**takes, "play": play}))
    if depth < 0:
        return Contact(False, 0.0, Reason("contact.pin_short", {"gap": -depth}))
    makes = depth >= (physics or nominal()).least_engagement * pin.d
    code = "contact.made" if makes else "contact.pin_barely_in"
    return Contact(makes, overlap, Reason(code, {"pin": pin.d, "overlap": overlap}))
