"""What the models say: reasons as sentences, what a half and its numbers are called, the words to order it by.

The only module of the models' core and of the mating that turns data into words; every text stands in `texts`.
"""

from __future__ import annotations

from collections.abc import Iterable

from coaxtell.models.catalogue import MODELS, Reason
from coaxtell.models.half import Half
from coaxtell.models.numbers import Path, named


def said(reasons: Iterable[Reason]) -> list[str]:
    """Reasons as sentences."""
    return [MODELS.say(reason) for reason in reasons]


def counted(number: int, word: str, words: str = "") -> str:
    """A number with its word in the singular or plural; `words` is the plural where it is not the word with an s."""
    return f"{number} {word}" if number == 1 else f"{number} {words or f'{word}s'}"


def label(half: Half, path: Path) -> str:
    """The measure at `path` in words a person reads, such as `nut inside thread end (z)`."""
    return MODELS.say(named(half, path))


def coupling(half: Half) -> Reason:
    """What holds the half, as one sees it."""
    if half.nut is not None and half.thread is not None:
        return Reason("holds.thread_and_nut")
    if half.nut is not None:
        if half.nut.slides:
            return Reason("holds.sliding_sleeve")
        return Reason("holds.bayonet" if half.nut.thread is None else f"holds.nut_{half.nut.thread.hand}")
    if half.thread is not None:
        return Reason(f"holds.thread_{half.thread.hand}")
    if half.lugs is not None:
        return Reason("holds.lugs", {"count": half.lugs.count.whole})
    if half.snap is not None:
        return Reason("holds.cup" if half.snap.over else "holds.slotted_sleeve")
    if half.groove is not None:
        where = "groove_outside" if half.groove.outside else "groove_inside"
        return Reason("holds.smooth_barrel" if half.groove.friction else f"holds.{where}")
    return Reason("holds.nothing")


def contact(half: Half) -> Reason:
    """What stands in the centre."""
    if half.centre.butt is not None:
        return Reason("centre.butt")
    return Reason("centre.pin" if half.centre.pin is not None else "centre.socket")


def gender(half: Half) -> Reason:
    """Gender by the body and by the contact, since parts of the trade go by either."""
    what: dict[str, float | str | Reason | list[Reason]] = {"coupling": coupling(half), "contact": contact(half)}
    if half.gender == "sexless":
        return Reason("gender.sexless_half", what)
    return Reason(
        "gender.half",
        what
        | {
            "gender": Reason(f"gender.{half.gender}"),
            "by_body": Reason("gender.male" if half.gender == "plug" else "gender.female"),
            "by_contact": Reason("gender.male" if half.centre.pin is not None else "gender.female"),
            "note": Reason("gender.note", {"wording": half.wording}) if half.wording else "",
        },
    )


def order(half: Half) -> Reason:
    """What the half is ordered by; said alike for two halves exactly if family, gender, polarity and impedance are."""
    ohm = half.impedance_ohm
    housed = None if half.key is None else Reason("order.housed", {"family": half.family, "colour": half.key.colour})
    return Reason(
        "order.words",
        {
            "family": half.family if housed is None else housed,
            "gender": Reason(f"gender.{half.gender}"),
            "polarity": Reason(f"polarity.{half.polarity}"),
            "ohm": Reason("order.no_ohm") if ohm is None else Reason("order.ohm", {"ohm": ohm}),
            "coupling": coupling(half),
            "contact": contact(half),
        },
    )


def name(half: Half) -> Reason:
    """What the half is called, for another language than the tables'."""
    if half.gender == "sexless":
        return Reason("name.sexless", {"name": half.name})
    rest = half.name.removeprefix(f"{half.family} {half.gender}")
    return Reason("name.half", {"family": half.family, "gender": Reason(f"gender.{half.gender}"), "rest": rest})


def coupling_words(half: Half) -> str:
    """What holds the half, as one sees it."""
    return MODELS.say(coupling(half))


def contact_words(half: Half) -> str:
    """What stands in the centre."""
    return MODELS.say(contact(half))


def gender_words(half: Half) -> str:
    """Gender by the body and by the contact."""
    return MODELS.say(gender(half))


def order_words(half: Half) -> str:
    """The words to order this half by."""
    return MODELS.say(order(half))
