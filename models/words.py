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


def _text(code: str, **values: float | str) -> str:
    return MODELS.say(Reason(code, dict(values)))


def counted(number: int, word: str, words: str = "") -> str:
    """A number with its word in the singular or plural; `words` is the plural where it is not the word with an s."""
    return f"{number} {word}" if number == 1 else f"{number} {words or f'{word}s'}"


def label(half: Half, path: Path) -> str:
    """The measure at `path` in words a person reads, such as `nut inside thread end (z)`."""
    return MODELS.say(named(half, path))


def coupling_words(half: Half) -> str:
    """What holds the half, as one sees it."""
    if half.nut is not None and half.thread is not None:
        return _text("holds.thread_and_nut")
    if half.nut is not None:
        if half.nut.slides:
            return _text("holds.sliding_sleeve")
        return _text("holds.bayonet" if half.nut.thread is None else f"holds.nut_{half.nut.thread.hand}")
    if half.thread is not None:
        return _text(f"holds.thread_{half.thread.hand}")
    if half.lugs is not None:
        return _text("holds.lugs", count=half.lugs.count.whole)
    if half.snap is not None:
        return _text("holds.cup" if half.snap.over else "holds.slotted_sleeve")
    if half.groove is not None:
        where = "groove_outside" if half.groove.outside else "groove_inside"
        return _text("holds.smooth_barrel" if half.groove.friction else f"holds.{where}")
    return _text("holds.nothing")


def contact_words(half: Half) -> str:
    """What stands in the centre."""
    if half.centre.butt is not None:
        return _text("centre.butt")
    return _text("centre.pin" if half.centre.pin is not None else "centre.socket")


def gender_words(half: Half) -> str:
    """Gender by the body and by the contact, since parts of the trade go by either."""
    what = {"coupling": coupling_words(half), "contact": contact_words(half)}
    if half.gender == "sexless":
        return _text("gender.sexless_half", **what)
    return _text(
        "gender.half",
        gender=_text(f"gender.{half.gender}"),
        by_body=_text("gender.male" if half.gender == "plug" else "gender.female"),
        by_contact=_text("gender.male" if half.centre.pin is not None else "gender.female"),
        note=_text("gender.note", wording=half.wording) if half.wording else "",
        **what,
    )


def order_words(half: Half) -> str:
    """The words to order this half by; equal for two halves exactly if family, gender, polarity and impedance are."""
    ohm = half.impedance_ohm
    return _text(
        "order.words",
        family=half.family if half.key is None else _text("order.housed", family=half.family, colour=half.key.colour),
        gender=_text(f"gender.{half.gender}"),
        polarity=_text(f"polarity.{half.polarity}"),
        ohm=_text("order.no_ohm") if ohm is None else _text("order.ohm", ohm=ohm),
        coupling=coupling_words(half),
        contact=contact_words(half),
    )
