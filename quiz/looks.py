"""The look that tells: what a person sees or measures on two halves that decides between them."""

from __future__ import annotations

from coaxtell.models.half import Half
from coaxtell.models.words import contact_words, coupling_words


def coupling_mm(half: Half) -> float:
    """Diameter of the coupling [mm]: over the thread's crests, over the lug tips, else over the shell's front."""
    thread = half.coupling_thread
    if thread is not None:
        return thread.major.nominal
    if half.lugs is not None:
        return half.lugs.over.nominal
    if half.nut is not None:
        first = half.nut.body.inside[0]
        assert first.d is not None
        return first.d.nominal
    first = half.shell.outside[0]
    assert first.d is not None
    return first.d.nominal


def contact_mm(half: Half) -> float:
    """Diameter of the pin, or of the hole of the socket [mm]."""
    if half.centre.pin is not None:
        return half.centre.pin.d.nominal
    assert half.centre.socket is not None
    return half.centre.socket.hole.nominal


def for_mating(a: Half, b: Half) -> str:
    """One sentence: what to look at before these two are brought together."""
    if coupling_words(a) == coupling_words(b):
        return f"Look at the coupling: both show the same, {coupling_words(a)}, so neither takes the other."
    one, two = coupling_mm(a), coupling_mm(b)
    if abs(one - two) > 0.5:
        return f"Look at the size of the coupling: {a.id} measures {one:.1f} mm, {b.id} {two:.1f} mm."
    if (a.coupling_thread is None) != (b.coupling_thread is None):
        return f"Look at the coupling: {a.id} has {coupling_words(a)}, {b.id} {coupling_words(b)}."
    if contact_words(a) == contact_words(b):
        return f"Look into the centre: both carry a {contact_words(a)}, so no contact can be made."
    pin, socket = (a, b) if a.centre.pin is not None else (b, a)
    if abs(contact_mm(pin) - contact_mm(socket)) > 0.15:
        return (
            f"Measure the centre: the pin of {pin.id} is {contact_mm(pin):.2f} mm thick, "
            f"the hole of {socket.id} {contact_mm(socket):.2f} mm wide."
        )
    if a.family != b.family:
        return f"Look inside the coupling: {a.id} is {a.name}, {b.id} is {b.name}; only the inside differs."
    return f"Look at coupling and centre together: {contact_words(pin)} into {contact_words(socket)}, one size."
