"""A certificate as a PDF sheet."""

from __future__ import annotations

from pathlib import Path

from coaxtell.models.palette import QUIET
from coaxtell.pages.document import Document
from coaxtell.quiz.certificate import Certificate, Statement
from coaxtell.quiz.terms import of_kinds, of_look_alikes, supports
from coaxtell.quiz.tries import WINDOW
from coaxtell.quiz.words import pair_words

PREVENTS = (
    "The signature shows that the holder of this key signed these very words. It does not show who holds the key, that "
    "the person named sat the test, that nobody put back the record together with what the machine knows of it, or "
    "that the key was not lent; and it cannot call a certificate back."
)


def write(found: Certificate, path: Path) -> None:
    """Write the sheet."""
    said = found.statement
    pdf = Document(f"Certificate of {said.person}")
    pdf.heading(f"{said.person}: ready for {said.site or 'the ports below'}", 18)
    pdf.paragraph(
        f"Passed {said.passed[:10]}, holds until {said.until[:10]}. {said.items} items. Tries of the {WINDOW.days} "
        f"days before that were not passed: {said.tries - 1}.",
        11,
    )
    if said.remarks:
        pdf.heading("How it was taken")
        pdf.points(tuple(said.remarks))
    pdf.paragraph(supports(), 8, QUIET)
    pdf.heading("Ports")
    pdf.paragraph(", ".join(f"{port} ({count})" for port, count in said.ports.items()) or "all halves, as they are met")
    pdf.paragraph(f"Tables {said.tables}; program {said.program}.", 8, QUIET)
    pdf.heading("Shown")
    pdf.points(tuple(_shown(said)))
    if said.left_out:
        pdf.paragraph(f"Not asked: {'; '.join(map(pair_words, said.left_out))}.")
    if said.unsettled:
        pdf.paragraph(
            f"Not known whether they damage a contact, and so not asked: {'; '.join(map(pair_words, said.unsettled))}."
        )
    pdf.heading("How often this test errs")
    pdf.points(tuple(said.rates), 8)
    pdf.heading("Seen done by hand")
    pdf.points(tuple(said.signed_off) or ("nothing was signed off",), 8)
    if said.not_signed_off:
        pdf.paragraph("Not signed off:", 8, QUIET)
        pdf.points(tuple(said.not_signed_off), 8, box=True)
    pdf.heading("Signature")
    half = len(found.signature) // 2
    for line in (f"Signed for {found.lead}, Ed25519, key {found.key}:", found.signature[:half], found.signature[half:]):
        pdf.paragraph(line, 7)
    pdf.paragraph(f"`coaxtell records verify --certificate` checks the .json beside this sheet. {PREVENTS}", 8, QUIET)
    pdf.save(path)


def _shown(said: Statement) -> list[str]:
    """What was shown: by the whole assessment, or by a re-check that extends it, which is less."""
    facts = "; ".join(map(pair_words, said.facts)) or "none"
    if said.extends:
        return [
            f"By a re-check of {said.items} items, no whole assessment: harmful pairs in turn, none until it sat: "
            f"{facts}. Some may have been wrong.",
            f"It extends the whole assessment that was passed on {said.extends[:10]}.",
        ]
    twins = "; ".join(map(pair_words, said.twins))
    apart = "; ".join(of_look_alikes(said.strata))
    return [
        f"Harmful pairs, each until it sat: {facts}.",
        *([f"Harmless pairs that they are taken for, each until it sat: {twins}."] if twins else []),
        f"Strata, each three right in a row: {', '.join(of_kinds(said.strata))}.",
        *([f"Look-alikes told apart, each three right in a row: {apart}."] if apart else []),
    ]
