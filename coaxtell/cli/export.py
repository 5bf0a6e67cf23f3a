"""`coaxtell export`: a half, or two as they meet, as a file for other programs or for a printer."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import cast

from coaxtell import files
from coaxtell.cli import body_args
from coaxtell.models import quantity, tables
from coaxtell.models.catalogue import word
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import mate
from coaxtell.models.solids import export
from coaxtell.models.solids.part import Placed
from coaxtell.models.solids.print_layout import plate
from coaxtell.models.solids.printable import CLEARANCE, LINE_GROWTH, MOST_CLEARANCE, printable
from coaxtell.models.words import said

NAME = "export"
HELP = "write one half, or two as they meet, as .glb, .stl or .3mf; --printable for a pair to screw together"

SMALLEST, LARGEST = 0.01, 100.0
"""Largest scale: a coupling is then as large as a table."""
PRINT_SCALE = 10.0
"""Scale of a print where none is given."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("ids", nargs="+", metavar="ID", help="one half, or two as far together as they go")
    parser.add_argument(
        "-o", dest="output", type=Path, required=True, metavar="FILE", help="where to write: .glb, .stl or .3mf"
    )
    parser.add_argument("--scale", metavar="N", help="times life size (1; for a print 10)")
    parser.add_argument(
        "--printable", action="store_true", help="for a fused-filament printer: room between surfaces, parts laid flat"
    )
    parser.add_argument(
        "--clearance", metavar="MM", help=f"room between printed surfaces at the printed size ({CLEARANCE:g})"
    )
    body_args.add(parser)


def run(args: argparse.Namespace) -> int:
    """Write the file and say what is in it.

    Raises InputError where a half is not known or the arguments do not go together.
    """
    kind = args.output.suffix.lower().removeprefix(".")
    if kind not in export.KINDS:
        raise InputError(f"{args.output}: name the file .glb to look at, .stl or .3mf to print.")
    if len(args.ids) > 2:
        raise InputError(f"{len(args.ids)} halves are too many for one file; give one, or two that meet.")
    if args.clearance is not None and not args.printable:
        raise InputError("--clearance goes with --printable; add it, or leave the clearance out.")
    if args.printable and kind == "glb":
        raise InputError(f"{args.output}: a print is written as .3mf or .stl; name the file so.")
    usual = PRINT_SCALE if args.printable else 1.0
    scale = usual if args.scale is None else quantity.within(args.scale, "--scale", f"{usual:g}", SMALLEST, LARGEST)
    known = tables.load(args.tables)
    halves = body_args.dressed([known.half(half_id) for half_id in args.ids], args)
    title = " and ".join(half.name for half in halves)
    notes = body_args.told(halves)
    if args.printable:
        clearance = CLEARANCE if args.clearance is None else _clearance(args.clearance)
        placed, more = _for_print(halves, scale, clearance)
        notes += more
        title += f", printable, clearance {clearance:g} mm"
    elif len(halves) == 2:
        placed = export.mated(halves[0], halves[1], scale)
    else:
        placed = export.one(halves[0], scale)
    content = export.file(cast(export.Kind, kind), placed, title, scale)
    files.write(args.output, lambda aside: files.void(aside.write_bytes(content)))
    unit = "metres" if kind == "glb" else "millimetres"
    print(f"{args.output}: {len(placed)} bodies, scale {scale:g}, in {unit}")
    for note in notes:
        print(f"- {note}")
    return 0


def _for_print(halves: list[Half], scale: float, clearance: float) -> tuple[list[Placed], list[str]]:
    """The parts on the plate and what to know of them; for two halves, whether the printed pair mates."""
    made = [printable(half, scale, clearance) for half in halves]
    laid = plate([one.half for one in made], scale)
    notes = said([*(note for one in made for note in one.notes), *laid.notes])
    if len(halves) == 2:
        notes.append(f"As printed: {word(mate(made[0].half, made[1].half, doubt=False).verdict)}.")
        grown = [printable(half, scale, clearance, LINE_GROWTH).half for half in halves]
        verdict = word(mate(grown[0], grown[1], doubt=False).verdict)
        notes.append(f"On a printer that brings facing surfaces {LINE_GROWTH:g} mm nearer: {verdict}.")
    return laid.parts, notes


def _clearance(text: str) -> float:
    """A clearance [mm]; raises InputError for anything else."""
    like = f"{CLEARANCE:g} or {CLEARANCE:g}mm"
    return quantity.within(text, "--clearance", like, 0, MOST_CLEARANCE, {"": 1.0, **quantity.LENGTHS})
