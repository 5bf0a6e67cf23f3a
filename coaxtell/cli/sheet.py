"""`coaxtell sheet`: a page on each half: pictures, life size, what to measure, what mates, what to beware of."""

from __future__ import annotations

import argparse
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from coaxtell import files, folders, kept, painter
from coaxtell.cli import body_args
from coaxtell.cli.lifesize import PAPERS, Chosen, add_address, address, chosen
from coaxtell.cli.progress_line import Progress
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.tables import Tables
from coaxtell.models.words import counted

if TYPE_CHECKING:
    from coaxtell.models.solids.studio import Studio
    from coaxtell.pages.one_half_pdf import View

NAME = "sheet"
HELP = "a page on each half: pictures, life size, what to measure, what mates, what to beware of"

SIZE = (1050, 651)
"""Pictures [px]: 300 dots per inch on the page."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("ids", nargs="*", metavar="ID", help="the halves, by id")
    parser.add_argument("--family", action="append", default=[], metavar="NAME", help="all halves of a family")
    parser.add_argument("--ports", type=Path, metavar="FILE", help="the ports of a site, from its port list")
    parser.add_argument("--paper", choices=PAPERS, default="a4", help="paper (a4)")
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE.pdf", help="where to write (ID.pdf, sheets.pdf)")
    add_address(parser)
    body_args.add(parser)


def run(args: argparse.Namespace) -> int:
    """Write the sheets and say where they are.

    Raises InputError where a half, a port list or the file's kind cannot be used.
    """
    if bool(args.ids) + bool(args.family) + (args.ports is not None) != 1:
        raise InputError("Name the halves by id, by --family or by --ports, one of the three.")
    page = address(args)
    known = tables.load(args.tables)
    asked = _asked(known, args)
    first = asked.halves[0].id
    output = args.output if args.output is not None else Path(
        f"sheet-{first}.pdf" if len(asked.halves) == 1 else "sheets.pdf"
    )  # fmt: skip
    files.kind(output, "a sheet is .pdf, which keeps its scale", ".pdf")
    from coaxtell.identifier.belief import shortlist_of
    from coaxtell.pages import one_half, one_half_pdf

    shortlist = shortlist_of(known.halves, "any")
    halves = body_args.dressed(asked.halves, args)
    sheets = [one_half.told(shortlist, half, known.unmeasured.values()) for half in halves]
    with Progress("Sheets drawn") as told, Photographer({half.id: half for half in halves}) as pictured:
        files.write(
            output, lambda aside: one_half_pdf.write(sheets, aside, args.paper, asked.title, pictured, told, page)
        )
    print(f"Sheet: {output}, {counted(len(sheets), 'half', 'halves')}, {args.paper}, to be printed at 100 %")
    if pictured.why:
        print(f"No picture can be rendered on this machine ({pictured.why}); drawings stand in their place.")
    return 0


def _asked(known: Tables, args: argparse.Namespace) -> Chosen:
    """The halves asked for and the title of their sheets."""
    if args.ids:
        halves = list({half_id: known.half(half_id) for half_id in args.ids}.values())
        return Chosen(halves, halves[0].name if len(halves) == 1 else "Coaxial ports", {})
    found = chosen(known, args.family, args.ports)
    return found._replace(title=f"{found.title}, life size")


class Photographer:
    """Pictures of halves as files, made once and kept; used as a context."""

    def __init__(self, halves: dict[str, Half], folder: Path | None = None) -> None:
        self._folder = folder or folders.folder("cache") / "sheets"
        self._marks = kept.marks_of(halves)
        self.why = ""
        """Why no picture can be made here, where that is so."""

    def __enter__(self) -> Photographer:
        return self

    def __exit__(self, *_: object) -> None:
        kept.prune(self._folder)

    def __call__(self, half: Half, view: View) -> Path | None:
        """The file with a half's picture; none where this machine draws none."""
        path = kept.named(self._folder, self._marks[half.id], f"{view} {SIZE}")
        if path.is_file():
            return path
        if self.why:
            return None
        try:
            painter.shared().draw(_keep, half, view, path)
        except RuntimeError as error:
            self.why = str(error)
            return None
        return path if path.is_file() else None


def _keep(half: Half, view: View, path: Path) -> None:
    """Draw in the painter's process and keep the picture."""
    from coaxtell.models.solids import picture

    kept.keep(path, picture.picture([half], view, *SIZE, studio=_studio(), names=False))


@cache
def _studio() -> Studio:
    """One window for all sheets, since opening it takes longest."""
    from coaxtell.models.solids import studio

    return studio.Studio()
