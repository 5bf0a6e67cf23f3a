"""Two halves brought together, worked out and drawn: cut open where they stop, with the verdict and its main reason."""

from __future__ import annotations

from coaxtell.models.catalogue import word
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
    if mating.verdict is Verdict.NOT_KNOWN:
        return said(reason for reason in mating.reasons if reason.code in UNKNOWN)[0]
    decided = said(reason for reason in mating.reasons if not reason.code.startswith("doubt."))
    if mating.verdict in (Verdict.DAMAGES, Verdict.MATES) and len(decided) > 1:
        return decided[1]
    if mating.verdict is Verdict.LIMITS:
        lost = said(reason for reason in mating.reasons if reason.code.startswith("loss."))[-2:]
        return " ".join(lost) if len(" ".join(lost)) <= ONE_LINE else lost[-1]
    return decided[-1]


def drawn(a: Half, b: Half, mating: Mating | None = None, scale: float | None = None) -> Drawing:
    """The pair where it stops; its mating is worked out where it is not given.

    `scale`: paper millimetres for one of the parts; without it the largest that fits the usual sheet.
    """
    mating = mating or mate(a, b)
    stop = mating.stops_at_mm if mating.stops_at_mm is not None else 0.0
    mark, colour = MARKS[mating.verdict]
    coupled = couplings_fit(a, b)
    said = section.Said(f"{mark} {word(mating.verdict)}", colour, main_reason(mating, coupled))
    return section.facing(
        a, b, stop, deciding(a, b, mating.verdict is not Verdict.NOT_KNOWN), coupled=coupled, scale=scale, said=said
    )
