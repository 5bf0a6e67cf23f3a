"""What halves are called in questions and options, so that nobody has to guess which half a word means."""

from __future__ import annotations

from collections.abc import Iterable

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.words import contact_words
from coaxtell.quiz import skills
from coaxtell.quiz.item import Said
from coaxtell.quiz.stock import Stock


def unclear(halves: Iterable[Half]) -> bool:
    """True where plug and jack mean one half in one shop and the other in the next."""
    return any(skills.by_snap(half) for half in halves)


def called(stock: Stock, half_ids: Iterable[str]) -> dict[str, Said]:
    """Names of halves that are offered together, by id: where a word is unclear, all with what is in the centre."""
    halves = [stock.half(half_id) for half_id in half_ids]
    if not unclear(halves):
        return {half.id: half.name for half in halves}
    return {half.id: Reason("called.centre", {"half": half.name, "contact": contact_words(half)}) for half in halves}


def named(*halves: Half) -> list[Reason]:
    """Names of halves with their ids for a sentence: where a word is unclear, all with what is in the centre."""
    code = "named.centre" if unclear(halves) else "named.plain"
    return [Reason(code, {"half": half.name, "id": half.id, "contact": contact_words(half)}) for half in halves]
