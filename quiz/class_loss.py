"""What was wrong with a class of cable ordered with the right end: its loss over the run, and its thickness."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.catalogue import Reason
from coaxtell.quiz.item import Item, Said
from coaxtell.quiz.stock import Stock

QUESTION = "cable.question"
THIN, THICK = "thin", "thick"
OWN = "own"
"""How an option of *which cable* is called: the side of its class, and `own` where its end is the port's."""


class ClassLoss(NamedTuple):
    """A class of cable in words, how thick it is [mm], and what it loses over the run [dB]; whether it was chosen."""

    cable: Said
    diameter_mm: float
    db: float
    chosen: bool


class Losses(NamedTuple):
    """What the two classes of an item lose over its run, the thinner first, and what is allowed [m, MHz, dB]."""

    length_m: float
    mhz: float
    allowed_db: float
    classes: tuple[ClassLoss, ...]


def losses(stock: Stock, item: Item, chosen: str) -> Losses | None:
    """What was wrong with the class that was chosen; none where the class was right, or the end was wrong."""
    side, _, end = chosen.partition(" ")
    if item.question.code != QUESTION or chosen == item.right or end != OWN:
        return None
    mhz, allowed = (_number(item.question, name) for name in ("mhz", "allowed_db"))
    length = 0.0 if item.picture is None else sum(item.picture.legs)
    found = []
    for place, said in zip((THIN, THICK), item.explanation.reasons, strict=False):
        assert isinstance(said, Reason)
        cable = next(value for value in said.values.values() if isinstance(value, str | Reason))
        name = cable if isinstance(cable, str) else str(cable.values["name"])
        diameter = stock.cables.classes[name].diameter.nominal
        found.append(ClassLoss(cable, diameter, _number(said, "db"), place == side))
    return Losses(length, mhz, allowed, tuple(found))


def _number(said: Reason, name: str) -> float:
    value = said.values[name]
    assert isinstance(value, int | float)
    return value
