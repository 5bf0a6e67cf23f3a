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


def seen_as(half: Half) -> str:
    """The name of a half without its impedance: no picture shows that."""
    return half.name if half.impedance_ohm is None else half.name.removesuffix(f" {half.impedance_ohm:g} ohm")


def either_impedance(stock: Stock, half: Half) -> list[Reason]:
    """That a half is made in two impedances which no picture tells apart; nothing where it is not."""
    others = [
        other
        for other in stock.halves.values()
        if (other.family, other.gender, other.polarity) == (half.family, half.gender, half.polarity)
        and other.impedance_ohm not in (None, half.impedance_ohm)
    ]
    if not others or half.impedance_ohm is None:
        return []
    return [Reason("called.either", {"half": seen_as(half), "one": half.impedance_ohm,
                                     "two": others[0].impedance_ohm or 0.0})]  # fmt: skip


def called(stock: Stock, half_ids: Iterable[str]) -> dict[str, Said]:
    """Names of halves that are offered together, by id: where a word is unclear, all with what is in the centre.

    Without their impedance, unless two are told apart by nothing else in their names.
    """
    halves = [stock.half(half_id) for half_id in half_ids]
    names = {half.id: seen_as(half) for half in halves}
    if len(set(names.values())) < len(names):
        names = {half.id: half.name for half in halves}
    if not unclear(halves):
        return dict(names)
    return {
        half.id: Reason("called.centre", {"half": names[half.id], "contact": contact_words(half)}) for half in halves
    }


def named(*halves: Half) -> list[Reason]:
    """Names of halves with their ids for a sentence: where a word is unclear, all with what is in the centre."""
    code = "named.centre" if unclear(halves) else "named.plain"
    return [Reason(code, {"half": half.name, "id": half.id, "contact": contact_words(half)}) for half in halves]
