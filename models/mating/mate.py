"""Two halves brought together: what fits, what touches first, where they stop, what connects, and the verdict.

Everything is read from the two profiles; nothing here knows a connector by name. The two halves face each other
on one axis; `distance` is that between their reference planes [mm], zero when seated.
"""

from __future__ import annotations

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.beware import beware
from coaxtell.models.mating.coupling import couple
from coaxtell.models.mating.outcome import JOINED, Verdict, judge
from coaxtell.models.mating.reasons import cautions, losses, reasons
from coaxtell.models.mating.rules import Rule, rules
from coaxtell.models.mating.sweep import depends_on, profile_of

__all__ = ["JOINED", "Mating", "Touch", "Verdict", "couplings_fit", "mate"]


class Touch(msgspec.Struct, frozen=True):
    """What meets first: the part of either half and the distance of the reference planes then [mm]."""

    a: str
    b: str
    distance_mm: float


class Mating(msgspec.Struct, frozen=True):
    """The whole outcome for two halves as data; `words.said` makes sentences of its reasons, cautions and rules.

    `stops_at_mm` is the distance of the reference planes where the halves stop (below zero: past each other; where
    the couplings do not fit, with the nut at its foremost place) and `gap_mm` what then stays open between them.
    `overlap_mm` is how deep the pin stands in the socket, and `depends_on` names the memory or assumed numbers
    whose range moves the verdict.
    """

    a: str
    b: str
    verdict: Verdict
    reasons: list[Reason]
    first_touch: Touch | None
    stops_at_mm: float | None
    turns_caught: float
    overlap_mm: float
    gap_mm: float | None
    return_loss_db: float | None
    depends_on: list[Reason]
    cautions: list[Reason]
    rules: list[Rule]


def couplings_fit(a: Half, b: Half) -> bool:
    """Whether the moving part of either half holds on the other."""
    return couple(profile_of(a), profile_of(b)).fits


def mate(a: Half, b: Half, sweep: bool = True) -> Mating:
    """The outcome of bringing two halves together; (b, a) gives the same verdict.

    With `sweep`, every memory or assumed number is run to both ends of its range, one at a time, and those that
    move the verdict are named in `depends_on`.
    """
    pa, pb = profile_of(a), profile_of(b)
    lost = losses(a, b)
    found = judge(pa, pb, lost)
    why = reasons(a, b, found)
    if found.verdict is Verdict.LIMITS:
        why += lost
    first = found.stop if found.blocked_nut is None else found.blocked_nut
    stops = None if first is None else first.distance
    if found.coupling.lock is not None and found.verdict is not Verdict.DAMAGES and found.blocked_nut is None:
        stops = found.distance
    step = next((loss.values["db"] for loss in lost if loss.code == "loss.match"), None)
    depends = depends_on(a, b, found.verdict, found.coupling.fits, lost) if sweep else []
    if depends:
        why.append(Reason("sweep.rests", {"numbers": depends}))
    return Mating(
        a=a.id,
        b=b.id,
        verdict=found.verdict,
        reasons=why,
        first_touch=None if first is None else Touch(first.a.name, first.b.name, round(first.distance, 4)),
        stops_at_mm=None if stops is None else round(stops, 4),
        turns_caught=round(found.turns, 3),
        overlap_mm=round(found.contact.overlap, 4) if found.coupling.fits else 0.0,
        gap_mm=None if stops is None else round(max(0.0, stops), 4),
        return_loss_db=round(step, 3) if isinstance(step, float) else None,
        depends_on=depends,
        cautions=[*beware(a, b, found, lost), *cautions(found.verdict)],
        rules=rules(a, b, found.verdict),
    )
