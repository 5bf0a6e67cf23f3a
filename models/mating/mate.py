"""Two halves brought together: what fits, what touches first, where they stop, what connects, and the verdict.

Everything is read from the two profiles; nothing here knows a connector by name. The two halves face each other
on one axis; `distance` is that between their reference planes [mm], zero when seated.
"""

from __future__ import annotations

from functools import cache

import msgspec

from coaxtell.models import statements, tables
from coaxtell.models.catalogue import Reason, called
from coaxtell.models.half import Half
from coaxtell.models.mating.beware import beware
from coaxtell.models.mating.confidence import Book, Confidence, word
from coaxtell.models.mating.coupling import couple
from coaxtell.models.mating.doubt_reasons import beside, beside_firm, deciding, doubts, measurement
from coaxtell.models.mating.doubts import listed
from coaxtell.models.mating.outcome import JOINED, Outcome, Verdict, judge
from coaxtell.models.mating.profiles import profile_of
from coaxtell.models.mating.reasons import cautions, losses, reasons
from coaxtell.models.mating.rules import Rule, rules
from coaxtell.models.measure import Grade
from coaxtell.models.numbers import walk

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
    `overlap_mm` is how deep the pin stands in the socket, and `return_loss_db` that of the step in a pair that joins.
    `geometry` is the verdict at nominal numbers; `verdict` is the same or `not known`, by `confidence`, which is none
    for a shipped pair that holds in 99 of 100 draws and more. `depends_on` names the numbers that decide where it
    holds in fewer, and `measure` the one measurement that may be made and would settle most, or why none may.
    `by_practice`: told to mate because common practice says so, with no source. A pair with measured
    numbers is told to mate as it is stated, `against` those numbers where they come to something else.
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
    measure: list[Reason]
    cautions: list[Reason]
    rules: list[Rule]
    geometry: Verdict
    confidence: Confidence | None
    by_practice: bool = False

    @property
    def against(self) -> bool:
        """Whether it is told to mate as stated, though the numbers in use come to something else."""
        return self.verdict in JOINED and self.geometry not in JOINED

    @property
    def may_harm(self) -> bool:
        """Whether harm comes of it in more draws than may be passed over, where they were worked out."""
        return self.confidence is not None and self.confidence.may_harm


@cache
def book() -> Book:
    """The draws of the tables that ship, kept for the run."""
    return Book(tables.load())


def couplings_fit(a: Half, b: Half) -> bool:
    """Whether the moving part of either half holds on the other."""
    return couple(profile_of(a), profile_of(b)).fits


def mate(a: Half, b: Half, doubt: bool = True, confidence: Confidence | None = None) -> Mating:
    """The outcome of bringing two halves together; (b, a) gives the same verdict.

    `confidence` is how sure the verdict is, where that was worked out already; of shipped halves the committed list
    says it. Without `doubt`, halves that do not ship are taken as their tables say, which is quicker.
    """
    if confidence is None:
        known = tables.load().halves
        if known.get(a.id) is a and known.get(b.id) is b:
            return shipped(a.id, b.id)
    lost = losses(a, b)
    found = judge(profile_of(a), profile_of(b), lost)
    if confidence is None and doubt:
        confidence = book().confidence(a, b, found.verdict)
    return _told(a, b, found, lost, confidence)


@cache
def shipped(a: str, b: str) -> Mating:
    """The mating of two halves that ship, by id, worked out once: who names a port or asks items goes through them all.

    Raises KeyError for an id that does not ship.
    """
    known = tables.load().halves
    lost = losses(known[a], known[b])
    found = judge(profile_of(known[a]), profile_of(known[b]), lost)
    return _told(known[a], known[b], found, lost, listed().get(frozenset((a, b))))


def measured(half: Half) -> bool:
    """Whether a number of the half was measured by who uses it."""
    return any(number.grade is Grade.MEASURED for _, number in walk(half))


def _told(a: Half, b: Half, found: Outcome, lost: list[Reason], sure: Confidence | None) -> Mating:
    """The outcome of two halves with how sure it is."""
    said = statements.shipped().fit(a, b)
    # what is stated rests on more than a few parts, and the number of the other half may be the one that is off
    against = said is not None and found.verdict not in JOINED and (measured(a) or measured(b))
    told = found.verdict
    if against:
        told = Verdict.LIMITS if lost else Verdict.MATES
        sure = None if sure is None else sure.of(told)
    known = sure is None or sure.known
    verdict = told if known else Verdict.NOT_KNOWN
    why = reasons(a, b, found)
    if told is Verdict.LIMITS:
        why += lost
    first = found.stop if found.blocked_nut is None else found.blocked_nut
    stops = None if first is None else first.distance
    if found.coupling.lock is not None and found.verdict is not Verdict.DAMAGES and found.blocked_nut is None:
        stops = found.distance
    if sure is not None and not (against and sure.draws):
        why += doubts(sure)
    if against and said is not None:
        why = [Reason("doubt.stated_against", {"ground": said.ground, "verdict": called(found.verdict)}), *why]
    if not known and sure is not None and sure.probably is not word(found.verdict):
        # what follows is the story of the numbers as they stand, which is not the likeliest one
        why = [Reason("doubt.as_drawn", {"verdict": called(found.verdict)}), *why]
    step = next((loss.values["db"] for loss in lost if loss.code == "loss.match" and verdict in JOINED), None)
    measure = [] if sure is None else measurement(a, b, sure)
    harm = sure.outcomes[Verdict.DAMAGES] if sure is not None and sure.may_harm else 0.0
    return Mating(
        a=a.id,
        b=b.id,
        verdict=verdict,
        reasons=why + measure,
        first_touch=None if first is None else Touch(first.a.name, first.b.name, round(first.distance, 4)),
        stops_at_mm=None if stops is None else round(stops, 4),
        turns_caught=round(found.turns, 3),
        overlap_mm=round(found.contact.overlap, 4) if found.coupling.fits else 0.0,
        gap_mm=None if stops is None else round(max(0.0, stops), 4),
        return_loss_db=round(step, 3) if isinstance(step, float) else None,
        depends_on=[] if sure is None else deciding(a, b, sure),
        measure=measure,
        cautions=[*beware(a, b, found, lost), *cautions(verdict, harm)],
        rules=rules(a, b, verdict),
        geometry=found.verdict,
        confidence=sure,
        by_practice=said is not None and not said.sourced and verdict in JOINED,
    )


def grounds(a: Half, b: Half, found: Mating) -> list[Reason]:
    """What stands beside a mating: what is stated of the pair and how often the numbers alone show it, else how sure
    its verdict is. A pair on no list of doubts holds in 99 of 100 ways and more."""
    if found.confidence is not None:
        return beside(a, b, found.confidence)
    return beside_firm(a, b, *book().stated(a, b))
