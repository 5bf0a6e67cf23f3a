"""What the numbers in use say against pairs that are stated to mate: own readings or an own table may be off."""

from __future__ import annotations

from collections.abc import Iterable

from coaxtell.models.catalogue import Reason, called
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, mate
from coaxtell.models.statements import shipped


def untrue(half: Half, others: Iterable[Half]) -> list[Reason]:
    """The pairs of a half that a source states to mate and that by these numbers do not; none by the tables that ship.

    What mates with that half is not to be relied on then, whatever the numbers say of it.
    """
    found = []
    for other in others:
        if shipped().fit(half, other) is not None:
            verdict = mate(half, other, doubt=False).verdict
            if verdict not in JOINED:
                found.append(
                    Reason("stated.untrue", {"half": half.name, "other": other.name, "verdict": called(verdict)})
                )
    return found
