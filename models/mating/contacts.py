"""Does the centre contact make: pin in socket, pin on pin, socket to socket."""

from __future__ import annotations

import msgspec

from coaxtell.models.profile import ButtEnd, PinEnd, Profile, SocketEnd

LEAST_ENGAGEMENT = 0.5
"""Least engagement of a pin in its socket, in pin diameters (assumed)."""


class Contact(msgspec.Struct, frozen=True):
    """The centre contact at one distance: whether it makes, how deep the pin stands in the socket [mm], why."""

    makes: bool
    overlap: float
    sentence: str


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
        return Contact(False, 0.0, "One half has a flat spring contact and the other has not.")
    gap = distance - one.tip - two.tip
    if gap > 0:
        return Contact(False, 0.0, f"The flat spring contacts stay {gap:.2f} mm apart.")
    return Contact(True, 0.0, f"The flat spring contacts butt, pressed back {-gap:.2f} mm together.")


def contact(a: Profile, b: Profile, distance: float) -> Contact:
    """The centre contact with the reference planes `distance` apart [mm]."""
    pair = ends(a, b)
    if isinstance(a.contact, ButtEnd) or isinstance(b.contact, ButtEnd):
        return _butt(a.contact, b.contact, distance)
    if pair is None:
        if isinstance(a.contact, PinEnd):
            return Contact(False, 0.0, "Both halves carry a pin, and no socket takes either.")
        gap = distance - a.contact.tip - b.contact.tip
        return Contact(
            False,
            0.0,
            f"Both halves carry a socket; with no pin between them the centre stays open, "
            f"{max(gap, 0):.2f} mm between the sockets.",
        )
    pin, socket = pair
    depth = pin.tip + socket.tip - distance
    overlap = max(0.0, depth)
    if not pin_enters(pin, socket):
        return Contact(
            False,
            0.0,
            f"The pin, {pin.d:.2f} mm, is too thick for the socket, which takes {socket.takes_min:.2f} to "
            f"{socket.takes_max:.2f} mm.",
        )
    if pin.d < socket.takes_min:
        play = (socket.takes_max - pin.d) / 2
        return Contact(
            False,
            overlap,
            f"The pin, {pin.d:.2f} mm, is too thin for the socket, which grips {socket.takes_min:.2f} to "
            f"{socket.takes_max:.2f} mm: about {play:.2f} mm of play all round and no reliable contact.",
        )
    if depth < LEAST_ENGAGEMENT * pin.d:
        if depth < 0:
            return Contact(False, 0.0, f"The pin ends {-depth:.2f} mm short of the socket.")
        return Contact(False, overlap, f"The pin stands only {overlap:.2f} mm in the socket, too short to count on.")
    return Contact(True, overlap, f"The pin, {pin.d:.2f} mm, stands {overlap:.2f} mm deep in the socket.")
