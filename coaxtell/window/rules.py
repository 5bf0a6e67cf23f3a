"""The three rules of the trade for a pair, each with a tick, a cross, or a dash where geometry decides otherwise."""

from __future__ import annotations

from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, Mating


def _family(half: Half) -> str:
    """The family without its polarity: reverse polarity is the second rule's matter."""
    return half.family.removeprefix("RP-")


def rules(a: Half, b: Half, found: Mating) -> list[tuple[str, bool | None]]:
    """Same family, same polarity, opposite gender: each with its words and whether it holds."""
    same = _family(a) == _family(b)
    if same:
        family: tuple[str, bool | None] = (f"Same family: {_family(a)}.", True)
    elif found.verdict in JOINED:
        family = (f"{a.family} and {b.family}: two families made to fit each other.", None)
    else:
        family = (f"Not one family: {a.family} and {b.family}.", False)
    polarity = (
        (f"Same polarity: {a.polarity}.", True)
        if a.polarity == b.polarity
        else (f"Not one polarity: {a.polarity} and {b.polarity}.", False)
    )
    return [family, polarity, _gender(a, b)]


def _gender(a: Half, b: Half) -> tuple[str, bool | None]:
    if a.gender == b.gender == "sexless":
        return "Sexless: each half takes its own like.", True
    if "sexless" in (a.gender, b.gender):
        return f"Not opposite: {a.gender} and {b.gender}.", False
    if a.gender == b.gender:
        return f"Not opposite: both are {a.gender}s.", False
    return f"Opposite gender: {a.gender} and {b.gender}.", True
