"""`coaxtell guide`: numbered questions on paper that lead to every half without the program."""

from __future__ import annotations

import argparse
from pathlib import Path

from coaxtell import files
from coaxtell.cli.lifesize import PAPERS, add_address, add_choice, address, chosen
from coaxtell.cli.progress_line import Progress
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.words import counted
from coaxtell.pages.guide import Listed

NAME = "guide"
HELP = "questions on paper that lead to every half without the program"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    add_choice(parser)
    parser.add_argument("--paper", choices=PAPERS, default="a4", help="paper of the PDF (a4)")
    add_address(parser)
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE.pdf", help="where to write (guide.pdf)")


def run(args: argparse.Namespace) -> int:
    """Write the guide and say where it is.

    Raises InputError where the file's kind is not one of these.
    """
    output = args.output if args.output is not None else Path("guide.pdf")
    files.kind(output, "a guide is .pdf (for a phone there is `coaxtell pocket`)", ".pdf")
    page = address(args)
    known = tables.load(args.tables)
    asked = chosen(known, args.family, args.ports)
    halves = asked.halves
    if len(halves) < 2:
        raise InputError("One half alone needs no guide; choose more families or ports.")
    from coaxtell.identifier import guide

    with Progress("Finding the shortest way to every half") as told:
        told.begun()
        found = guide.guide(halves)
    questions = sum(1 for _ in found.questions())
    from coaxtell.pages import guide_pdf

    listed = Listed(asked.title, asked.notes) if args.family or args.ports else None
    with Progress("Questions drawn") as told:
        files.write(output, lambda aside: guide_pdf.write(found, known, aside, args.paper, told, page, listed))
    print(
        f"Guide: {output}, {counted(len(halves), 'half', 'halves')}, {counted(questions, 'question')}, "
        f"at most {found.longest} on the way to one, {found.seconds:.0f} s to be expected"
    )
    return 0
