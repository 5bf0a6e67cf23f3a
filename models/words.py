"""What a half is called: gender in both the trade's ways, polarity, and the words to order it by."""

from __future__ import annotations

from coaxtell.models.half import Half

LEVEL = 0.005
"""Reference planes nearer than this count as met [mm]."""


def counted(number: int, word: str, words: str = "") -> str:
    """A number with its word in the singular or plural; `words` is the plural where it is not the word with an s."""
    return f"{number} {word}" if number == 1 else f"{number} {words or f'{word}s'}"


def planes_words(distance: float) -> str:
    """Where two reference planes stand to each other [mm]: `meet`, `stand 0.31 mm apart` or past each other."""
    if abs(distance) < LEVEL:
        return "meet"
    return f"stand {abs(distance):.2f} mm {'apart' if distance > 0 else 'past each other'}"


def coupling_words(half: Half) -> str:
    """What holds the half, as one sees it."""
    if half.nut is not None and half.thread is not None:
        return "outside thread with a nut that draws back over it"
    if half.nut is not None:
        if half.nut.slides:
            return "sliding sleeve that locks"
        thread = half.nut.thread
        if thread is None:
            return "sleeve with bayonet slots"
        return "nut with inside thread" if thread.hand == "right" else "nut with left-hand inside thread"
    if half.thread is not None:
        return "outside thread" if half.thread.hand == "right" else "left-hand outside thread"
    if half.lugs is not None:
        return f"{half.lugs.count.whole} lugs outside"
    if half.snap is not None:
        return "smooth cup that snaps over" if half.snap.over else "slotted sleeve that snaps inside"
    if half.groove is not None:
        where = "groove round the outside" if half.groove.outside else "groove inside"
        return f"smooth barrel, {'no groove' if half.groove.friction else where}"
    return "no thread and no lugs"


def contact_words(half: Half) -> str:
    """What stands in the centre."""
    if half.centre.butt is not None:
        return "flat spring contact"
    return "pin" if half.centre.pin is not None else "socket"


def gender_words(half: Half) -> str:
    """Gender by the body and by the contact, since parts of the trade go by either."""
    if half.gender == "sexless":
        return f"sexless: both halves are alike ({coupling_words(half)}, {contact_words(half)})"
    by_body = "male" if half.gender == "plug" else "female"
    by_contact = "male" if half.centre.pin is not None else "female"
    note = f"; {half.wording}" if half.wording else ""
    return (
        f"by its body a {half.gender} ({by_body}: {coupling_words(half)}), "
        f"by its contact {by_contact} ({contact_words(half)}){note}"
    )


def order_words(half: Half) -> str:
    """The words to order this half by; equal for two halves exactly if family, gender, polarity and impedance are."""
    ohm = "no constant impedance" if half.impedance_ohm is None else f"{half.impedance_ohm:g} ohm"
    family = half.family if half.key is None else f"{half.family} ({half.key.colour} housing)"
    return (
        f"{family} {half.gender}, {half.polarity} polarity, {ohm} "
        f"({coupling_words(half)}, {contact_words(half)} in the centre)"
    )
