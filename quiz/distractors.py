"""Wrong options: what the port in the picture is likely taken for, and the mistakes that cost most."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from coaxtell.identifier.features import Feature
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.quiz import visible
from coaxtell.quiz.item import Picture
from coaxtell.quiz.stock import Stock

WRONG = 3
"""Wrong options of an item, where there are as many."""


def look_alikes(stock: Stock, half: Half, picture: Picture) -> list[str]:
    """Halves that the picture tells apart from this one, the likeliest mistake first.

    The order is that of the identifier's belief after the looks that the picture shows. A half that the picture
    does not tell apart would be a second right answer and is left out.
    """
    return list(_alike(stock, half.id, visible.features(half, picture), tuple(visible.shown(stock, half, picture))))


@lru_cache(maxsize=4096)
def _alike(stock: Stock, half_id: str, seen: tuple[Feature, ...], told: tuple[Feature, ...]) -> tuple[str, ...]:
    """Look-alikes for what is seen; `told` are the features whose value is beyond doubt."""
    shortlist, half = stock.shortlist, stock.half(half_id)
    belief = shortlist.belief({feature: visible.answer(stock, half, feature) for feature in told})
    order = np.argsort(-belief, kind="stable")
    others = (shortlist.halves[int(i)] for i in order)
    return tuple(one.id for one in others if one.id != half_id and visible.apart(stock, half, one, seen))


def cost(stock: Stock, mating_of: str, port: str) -> int:
    """How much a wrong mate costs: 2 a contact, 1 a joint that stays open, 0 a part that does not join."""
    return {Verdict.DAMAGES: 2, Verdict.NO_CONTACT: 1}.get(stock.verdict(port, mating_of), 0)


def joined(stock: Stock, port: str, end: str) -> bool:
    """True where an end connects to a port, with or without limits."""
    return stock.verdict(port, end) in (Verdict.MATES, Verdict.LIMITS)
