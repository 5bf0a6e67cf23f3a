"""What goes with a half: what mates with it, best first, and of what that is not known."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.identifier.belief import Shortlist
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating
from coaxtell.models.mating.outcome import JOINED, Verdict
from coaxtell.models.mating.surely import left_open, to_order

Mates = list[tuple[Half, Mating]]

NOT_KNOWN, NOT_KNOWN_HARM = "caution.not_known", "caution.not_known_harm"
"""The codes of what is said of halves of which it is not known that they mate."""


class Partners(NamedTuple):
    """The halves that mate with one, best first: without limits, then of its own family, then the likelier; and those
    of which that is not known, though by their numbers they do."""

    mates: Mates
    unsure: Mates

    @property
    def fit(self) -> Half | None:
        """What to order for it, none where nothing mates with it."""
        return self.mates[0][0] if self.mates else None

    @property
    def joining(self) -> list[Reason]:
        """The cautions that go with joining it: those of what fits it, then what is not to be joined to it."""
        told = list(self.mates[0][1].cautions) if self.mates else []
        return [*told, not_known(self.unsure)] if self.unsure else told


def not_known(unsure: Mates) -> Reason:
    """That it is not known what becomes of a half with these, so that it is not joined to them."""
    others: str | Reason = unsure[0][0].name
    for other, _ in unsure[1:]:
        others = Reason("caution.or", {"first": others, "last": other.name})
    harms = any(mating.may_harm for _, mating in unsure)
    return Reason(NOT_KNOWN_HARM if harms else NOT_KNOWN, {"others": others})


def partners_of(shortlist: Shortlist, half: Half) -> Partners:
    """What mates with a half of the shortlist, and of what that is not known."""
    found: list[tuple[tuple[bool, bool, bool, float, str], Half, Mating]] = []
    unsure: Mates = []
    for i, other in enumerate(shortlist.halves):
        mating = to_order(half, other)
        if left_open(mating):
            unsure.append((other, mating))
        if mating.verdict in JOINED:
            strange = other.family != half.family
            other_ohm = other.impedance_ohm != half.impedance_ohm
            key = (mating.verdict is not Verdict.MATES, strange, other_ohm, -float(shortlist.prior[i]), other.id)
            found.append((key, other, mating))
    return Partners([(other, mating) for _, other, mating in sorted(found, key=lambda row: row[0])], unsure)
