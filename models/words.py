"""What a half is called: gender in both the trade's ways, polarity, and the words to order it by."""

from __future__ import annotations

from coaxtell.models.half import Half


def coupling_words(half: Half) -> str:
    """What holds the half, as one sees it."""
    if half.nut is not None:
        return "nut with inside thread" if half.nut.ramps is None else "sleeve with bayonet slots"
    if half.thread is not None:
        return "outside thread"
    if half.lugs is not None:
        return f"{half.lugs.count} lugs outside"
    return "no thread and no lugs"


def contact_words(half: Half) -> str:
    """What stands in the centre."""
    return "pin" if half.centre.pin is not None else "socket"


def gender_words(half: Half) -> str:
    """Gender by the body and by the contact, since parts of the trade go by either."""
    by_body = "male" if half.gender == "plug" else "female"
    by_contact = "male" if half.centre.pin is not None else "female"
    return (
        f"by its body a {half.gender} ({by_body}: {coupling_words(half)}), "
        f"by its contact {by_contact} ({contact_words(half)})"
    )


def order_words(half: Half) -> str:
    """The words to order this half by; equal for two halves exactly if family, gender, polarity and impedance are."""
    ohm = "no constant impedance" if half.impedance_ohm is None else f"{half.impedance_ohm:g} ohm"
    return (
        f"{half.family} {half.gender}, {half.polarity} polarity, {ohm} "
        f"({coupling_words(half)}, {contact_words(half)} in the centre)"
    )
