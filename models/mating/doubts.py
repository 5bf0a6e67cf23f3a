"""The verdicts of shipped pairs that hold in less than 99 of 100 draws: a committed list, so that no face needs the
draws to know which verdicts are not known."""

from __future__ import annotations

from functools import cache
from importlib import resources

import msgspec

from coaxtell.models.mating.confidence import Confidence


class Doubt(msgspec.Struct, frozen=True):
    """One pair, by id in the order of the tables, and how sure its verdict is."""

    a: str
    b: str
    confidence: Confidence


@cache
def listed() -> dict[frozenset[str], Confidence]:
    """How sure the listed verdicts are, by the ids of their pair."""
    text = (resources.files("coaxtell.models") / "doubts.json").read_text(encoding="utf-8")
    return {frozenset((one.a, one.b)): one.confidence for one in msgspec.json.decode(text, type=list[Doubt])}
