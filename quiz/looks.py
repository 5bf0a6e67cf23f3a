"""The look that tells: what a person sees or measures that decides between two halves, or whether they fit."""

from __future__ import annotations

from coaxtell.identifier.draws import Draws, Nominal
from coaxtell.identifier.features import SEEN, Feature, insulator, seen_values, sizes
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, Verdict
from coaxtell.models.words import contact_words, coupling_words
from coaxtell.quiz.stock import Stock

NAMES = {
    Feature.COUPLING: "the coupling",
    Feature.CENTRE: "the centre",
    Feature.INSULATOR: "the insulator",
    Feature.SIZE: "the width of the widest part",
    Feature.GROOVE: "a groove for the mate's bead",
    Feature.HAND: "the slant of the thread",
    Feature.COLOUR: "the colour of the housing",
    Feature.LETTER: "the letter on the housing",
    Feature.MARKED: "the impedance printed beside it",
    Feature.COUPLING_DIAMETER: "the diameter of the coupling",
    Feature.PIN_DIAMETER: "the diameter of the pin",
    Feature.SOCKET_BORE: "the hole of the socket",
    Feature.BORE: "the inside of the outer conductor",
    Feature.NUT_WIDTH: "the width of the nut",
    Feature.THREADS: "the threads on 10 mm",
}


def coupling_mm(half: Half) -> float:
    """Diameter at which two couplings meet [mm]: the thread's major, the snap's bead or lip, else the bayonet's own."""
    if half.coupling_thread is not None:
        return half.coupling_thread.major.nominal
    if half.snap is not None:
        return half.snap.bead.nominal
    if half.groove is not None:
        return half.groove.lip.nominal
    first = half.nut.body.inside[0] if half.nut is not None else half.shell.outside[0]
    assert first.d is not None
    return first.d.nominal


def contact_mm(half: Half) -> float:
    """Diameter of the pin, or of the hole of the socket [mm]."""
    if half.centre.pin is not None:
        return half.centre.pin.d.nominal
    assert half.centre.socket is not None
    return half.centre.socket.hole.nominal


def shows(stock: Stock, half: Half, feature: Feature) -> str:
    """What a half shows of a feature, as a clause with its name."""
    if feature in SEEN and feature is not Feature.SIZE:
        values = stock.shortlist.looks.table.seen[feature].values
        found = dict.fromkeys(values[value] for value in seen_values(half, feature, Draws()))
        return f"{half.name} shows {' or '.join(found) or 'none'}"
    found_mm = sizes(half, feature, Nominal(), stock.shortlist.looks.table.jaws.reach)
    if found_mm is None:
        return f"{half.name} has none"
    unit = "" if feature is Feature.THREADS else " mm"
    return f"{half.name} has {float(found_mm[0]):.2f}{unit}"


def between(stock: Stock, one: Half, two: Half, feature: Feature) -> str:
    """One sentence: where to look to tell two halves apart, and what either shows there."""
    verb = "Look at" if feature in SEEN else "Measure"
    return f"{verb} {NAMES[feature]}: {shows(stock, one, feature)}, {shows(stock, two, feature)}."


def for_mating(a: Half, b: Half, verdict: Verdict) -> str:
    """One sentence: what to look at before these two are brought together."""
    one, two = coupling_words(a), coupling_words(b)
    mm = coupling_mm(a), coupling_mm(b)
    if verdict is Verdict.NO_JOIN and one == two:
        return f"Look at the coupling: both show the same, {one}, so neither takes the other."
    if (a.coupling_thread is None) != (b.coupling_thread is None):
        return f"Look at the coupling: {a.id} has {one}, {b.id} {two}."
    if verdict is Verdict.NO_JOIN and abs(mm[0] - mm[1]) > 0.5:
        return f"Look at the size of the coupling: {mm[0]:.1f} mm on {a.id}, {mm[1]:.1f} mm on {b.id}."
    if verdict is Verdict.NO_JOIN and a.key is not None and b.key is not None and a.key != b.key:
        codes = [f"code {key.code}, {key.colour}" for key in (a.key, b.key)]
        return f"Look at the housing: {codes[0]} on {a.id}, {codes[1]} on {b.id}; the letter decides, not the colour."
    if a.coupling_thread and b.coupling_thread and a.coupling_thread.hand != b.coupling_thread.hand:
        left = a if a.coupling_thread.hand == "left" else b
        return f"Look at the slope of the thread: on {left.id} it rises the other way, so that it turns on to the left."
    if verdict not in JOINED and contact_words(a) == contact_words(b):
        other = "socket takes" if a.centre.pin is not None else "pin enters"
        return f"Look into the centre: both carry a {contact_words(a)}, and no {other} either."
    pin, socket = (a, b) if a.centre.pin is not None else (b, a)
    if pin.centre.pin and socket.centre.socket and abs(contact_mm(pin) - contact_mm(socket)) > 0.15:
        return (
            f"Measure the centre: the pin of {pin.id} is {contact_mm(pin):.2f} mm thick, "
            f"the hole of {socket.id} {contact_mm(socket):.2f} mm wide."
        )
    if a.family != b.family and verdict is not Verdict.MATES:
        lies = [f"{half.id}: {' or '.join(dict.fromkeys(insulator(half, Nominal())))}" for half in (a, b)]
        return f"Look for the insulator at the plane where the outer metal stops: {lies[0]}, {lies[1]}."
    if a.impedance_ohm and b.impedance_ohm and a.impedance_ohm != b.impedance_ohm:
        return f"Look for the impedance that is marked on the part: {a.impedance_ohm:g} and {b.impedance_ohm:g} ohm."
    return "Look at coupling and centre together: one size, and a pin faces a socket."
