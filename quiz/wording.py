"""What halves are called in questions and options, so that nobody has to guess which half a word means."""

from __future__ import annotations

from collections.abc import Iterable

from coaxtell.models.half import Half
from coaxtell.models.words import contact_words
from coaxtell.quiz import skills
from coaxtell.quiz.stock import Stock


def unclear(halves: Iterable[Half]) -> bool:
    """True where plug and jack mean one half in one shop and the other in the next."""
    return any(skills.by_snap(half) for half in halves)


def called(stock: Stock, half_ids: Iterable[str]) -> dict[str, str]:
    """Names of halves that are offered together, by id: where a word is unclear, all with what is in the centre."""
    halves = [stock.half(half_id) for half_id in half_ids]
    if not unclear(halves):
        return {half.id: half.name for half in halves}
    return {half.id: f"{half.name}, {contact_words(half)} in the centre" for half in halves}


def named(*halves: Half) -> list[str]:
    """Names of halves with their ids for a sentence: where a word is unclear, all with what is in the centre."""
    if not unclear(halves):
        return [f"{half.name} ({half.id})" for half in halves]
    return [f"{half.name} ({half.id}) with a {contact_words(half)} in the centre" for half in halves]
