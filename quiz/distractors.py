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


def look_alikes(stock: Stock, half: Half, picture: Picture) -> list[str]:
    """The other halves in the order of the identifier's belief after the looks that the picture shows: the likeliest
    mistake first, also where the picture does not tell it apart."""
    return list(_alike(stock, half.id, tuple(visible.shown(stock, half, picture))))


@lru_cache(maxsize=4096)
def _alike(stock: Stock, half_id: str, told: tuple[Feature, ...]) -> tuple[str, ...]:
    """Look-alikes by looks whose value is beyond doubt."""
    shortlist, half = stock.shortlist, stock.half(half_id)
    belief = shortlist.belief({feature: visible.answer(stock, half, feature) for feature in told})
    order = np.argsort(-belief, kind="stable")
    return tuple(one for one in (shortlist.halves[int(i)].id for i in order) if one != half_id)


def cost(stock: Stock, mating_of: str, port: str) -> int:
    """How much a wrong mate costs: 2 a contact, 1 a joint that stays open, 0 a part that does not join."""
    return {Verdict.DAMAGES: 2, Verdict.NO_CONTACT: 1}.get(stock.verdict(port, mating_of), 0)


def joined(stock: Stock, port: str, end: str) -> bool:
    """True where an end connects to a port, with or without limits."""
    return stock.verdict(port, end) in (Verdict.MATES, Verdict.LIMITS)
