"""Which verdicts of a half are in doubt, and what of that each of its numbers explains."""

from __future__ import annotations

from collections.abc import Iterable

from coaxtell.models.gauging.asking import Doubt
from coaxtell.models.half import Half
from coaxtell.models.mating.confidence import FIRM
from coaxtell.models.mating.mate import mate


def doubts(half: Half, others: Iterable[Half]) -> list[Doubt]:
    """The verdicts of a half with the others that hold in less than 99 of 100 draws; what is stated is left out."""
    found = []
    for other in others:
        sure = mate(half, other).confidence
        if sure is not None and sure.share < FIRM and sure.stated is None:
            tells = {tell.path: tell.explains for tell in sure.tells if tell.half == half.id}
            found.append(Doubt(other.id, 1 - sure.share, tells, sure.known))
    return found
