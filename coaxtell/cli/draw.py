"""`coaxtell draw`: the dimensioned drawing of a half, or of two halves where they stop."""

from __future__ import annotations

import argparse
from pathlib import Path

from coaxtell import files
from coaxtell.models import quantity, tables
from coaxtell.models.catalogue import word
from coaxtell.models.drawings.drawing import Drawing
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half

NAME = "draw"
HELP = "draw one half with its dimensions, or two halves where they stop"

KINDS = (".svg", ".pdf", ".png")
DOTS_PER_INCH = 200
SMALLEST, LARGEST = 0.1, 100.0
"""Of a scale; at the largest a 0.3 mm pin is as wide as a hand is."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("ids", nargs="+", metavar="ID", help="one half with its dimensions, or two halves as they meet")
    parser.add_argument(
        "--scale", metavar="N", help="mm on paper for 1 mm of the part, such as 10, 1 or 1:2 (largest that fits A4)"
    )
    parser.add_argument(
        "-o", dest="output", type=Path, metavar="FILE", help="where to write: .svg, .pdf or .png (ID.pdf)"
    )


def run(args: argparse.Namespace) -> int:
    """Write the drawing and say where it is and at what scale.

    Raises InputError where a half is not known or the file's kind is not one of these.
    """
    if len(args.ids) > 2:
        raise InputError(f"{len(args.ids)} halves are too many for one drawing; give one, or two that meet.")
    scale = None if args.scale is None else parsed_scale(args.scale)
    known = tables.load(args.tables)
    halves = [known.half(half_id) for half_id in args.ids]
    output = args.output if args.output is not None else Path("-".join(args.ids) + ".pdf")
    files.kind(output, "a drawing is .svg, .pdf or .png", *KINDS)
    drawing, said = drawn(halves, scale)
    write(drawing, output)
    ratio = f"{drawing.scale:g} : 1" if drawing.scale >= 1 else f"1 : {1 / drawing.scale:g}"
    print(f"Drawing: {output}, scale {ratio}, sheet {drawing.width_mm:g} x {drawing.height_mm:g} mm{said}")
    return 0


def drawn(halves: list[Half], scale: float | None) -> tuple[Drawing, str]:
    """The drawing of one half or of a pair, and for a pair its verdict in words."""
    if len(halves) == 1:
        from coaxtell.models.drawings.detail_drawing import detail

        return detail(halves[0], scale), ""
    from coaxtell.models.drawings import pair
    from coaxtell.models.mating.mate import mate

    a, b = halves
    mating = mate(a, b)
    return pair.drawn(a, b, mating, scale), f"; {word(mating.verdict)}"


def write(drawing: Drawing, output: Path) -> None:
    """Write a drawing as SVG, PDF or PNG by the name of the file."""
    kind = output.suffix.lower()
    if kind == ".svg":
        files.write_text(output, drawing.svg())
    elif kind == ".png":
        files.write(output, lambda aside: drawing.png(aside, DOTS_PER_INCH))
    else:
        from coaxtell.pages import drawing_pdf

        files.write(output, lambda aside: drawing_pdf.write(drawing, aside))


def parsed_scale(text: str) -> float:
    """A scale from `5`, `5:1` or `1:2`; raises InputError for anything else."""
    paper, colon, part = text.partition(":")
    like = "5, 5:1 or 1:2"
    scale = quantity.within(paper, "--scale", like, 0.001, 1000)
    if colon:
        scale /= quantity.within(part, "--scale", like, 0.001, 1000)
    if not SMALLEST <= scale <= LARGEST:
        raise InputError(f"--scale {text!r} is no scale from 1:10 to {LARGEST:g}:1; write it like {like}.")
    return scale
