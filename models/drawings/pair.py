"""Two halves brought together, worked out and drawn: cut open where they stop, with the verdict and its main reason."""

from __future__ import annotations

import msgspec

from coaxtell.models.catalogue import MODELS, tell, word
from coaxtell.models.drawings import section
from coaxtell.models.drawings.drawing import Drawing
from coaxtell.models.half import Half
from coaxtell.models.mating.deciding import deciding
from coaxtell.models.mating.mate import Mating, Verdict, couplings_fit, mate
from coaxtell.models.palette import FITS, HARM, INK
from coaxtell.models.words import said

MARKS = {
    Verdict.MATES: ("✓", FITS),
    Verdict.LIMITS: ("✓", INK),
    Verdict.NO_CONTACT: ("–", INK),
    Verdict.NO_JOIN: ("✗", INK),
    Verdict.DAMAGES: ("✗", HARM),
    Verdict.NOT_KNOWN: ("?", INK),
}
"""Sign and colour of each verdict; the word stands beside them."""
UNKNOWN = ("doubt.no_way", "doubt.few", "doubt.not_known")
"""Reasons of a verdict that is not known."""
ONE_LINE = 118
"""Letters of a line under the parts."""


def main_reason(mating: Mating, coupled: bool = False) -> str:
    """What of a mating's reasons decides its verdict; of losses the last two where a line holds them.

    `coupled`: the couplings fit, so that something else keeps halves apart that do not join.
    """
    if mating.verdict is Verdict.NO_JOIN:
        told = said(mating.reasons)
        return told[1 if coupled and len(told) > 1 else 0]
    short = [reason for reason in mating.reasons if reason.code == "stop.nut_blocked"]
    if mating.verdict is Verdict.NO_CONTACT and short:
        return MODELS.say(short[0])
    if mating.verdict is Verdict.NOT_KNOWN:
        return said(reason for reason in mating.reasons if reason.code in UNKNOWN)[0]
    decided = said(reason for reason in mating.reasons if not reason.code.startswith("doubt."))
    if mating.verdict in (Verdict.DAMAGES, Verdict.MATES) and len(decided) > 1:
        return decided[1]
    if mating.verdict is Verdict.LIMITS:
        lost = said(reason for reason in mating.reasons if reason.code.startswith("loss."))[-2:]
        return " ".join(lost) if len(" ".join(lost)) <= ONE_LINE else lost[-1]
    return decided[-1]


def _head(mating: Mating, coupled: bool) -> section.Said:
    """The verdict with its sign, and its main reason; of a pair told to mate against its numbers what these come to."""
    mark, colour = MARKS[mating.verdict]
    told = word(mating.verdict)
    if mating.against:
        mark, colour = MARKS[Verdict.NOT_KNOWN]
        told = tell("told.against", verdict=word(mating.geometry))
        story = [reason for reason in mating.reasons if reason.code.split(".")[0] not in ("doubt", "loss")]
        mating = msgspec.structs.replace(mating, verdict=mating.geometry, reasons=story)
        return section.Said(f"{mark} {told}", colour, main_reason(mating, coupled))
    if mating.by_practice:
        told = tell("told.practice", verdict=told)
    return section.Said(f"{mark} {told}", colour, main_reason(mating, coupled))


def drawn(a: Half, b: Half, mating: Mating | None = None, scale: float | None = None) -> Drawing:
    """The pair where it stops; its mating is worked out where it is not given.

    `scale`: paper millimetres for one of the parts; without it the largest that fits the usual sheet.
    """
    mating = mating or mate(a, b)
    stop = mating.stops_at_mm if mating.stops_at_mm is not None else 0.0
    coupled = couplings_fit(a, b)
    head = _head(mating, coupled)
    return section.facing(a, b, stop, deciding(a, b, mating.verdict), coupled=coupled, scale=scale, said=head)
