"""`coaxtell show`: a picture of one half, or of several at one common scale."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Literal

from coaxtell import files
from coaxtell.cli import body_args
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half

NAME = "show"
HELP = "picture one half, or several at one common scale"

VIEWS = ("three-quarter", "face", "side", "cut")


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("ids", nargs="+", metavar="ID", help="the halves, by id, left to right")
    parser.add_argument(
        "--view", choices=VIEWS, default="three-quarter", help="from where; cut: a quarter cut away (three-quarter)"
    )
    parser.add_argument("--size", default="1280x800", metavar="WxH", help="width x height in pixels (1280x800)")
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE.png", help="where to write the picture")
    body_args.add(parser)


def run(args: argparse.Namespace) -> int:
    """Write the picture and say where it is.

    Raises InputError where a half is not known or no picture can be drawn.
    """
    from coaxtell.models.solids import bench

    width, height = size(args.size)
    bench.check(len(args.ids), width, height)
    known = tables.load(args.tables)
    halves = body_args.dressed([known.half(half_id) for half_id in args.ids], args)
    output = args.output if args.output is not None else default_name(args.ids, args.view)
    files.kind(output, "a picture is a .png file", ".png")
    instead = write(halves, output, args.view, (width, height))
    if instead:
        print(instead)
    print(f"Picture: {output}")
    for note in body_args.told(halves):
        print(f"- {note}")
    return 0


def size(text: str) -> tuple[int, int]:
    """Width and height [px] from `1280x800`; raises InputError for anything else."""
    sides = text.lower().split("x")
    if len(sides) != 2 or not all(side.isascii() and side.isdigit() and len(side) < 6 for side in sides):
        raise InputError(f"Size {text!r} is not width x height in pixels; write it like 1280x800.")
    return int(sides[0]), int(sides[1])


def default_name(ids: list[str], view: str) -> Path:
    """The file in the current folder that a picture goes to when none is named."""
    words = [*ids[:3], *(["and-more"] if len(ids) > 3 else []), *([view] if view != "three-quarter" else [])]
    return Path("-".join(words) + ".png")


View = Literal["three-quarter", "face", "side", "cut"]


def write(
    halves: list[Half], output: Path, view: View = "three-quarter", size_px: tuple[int, int] = (1280, 800)
) -> str:
    """Write the picture of several halves at one scale; returns what stands in its place where none can be rendered,
    in a sentence. Raises InputError where the file cannot be written."""
    instead: list[str] = []
    files.write(output, lambda aside: instead.append(_draw(halves, view, *size_px, aside)))
    return instead[0]


def _draw(halves: list[Half], view: View, width: int, height: int, target: Path) -> str:
    from coaxtell import painter  # it brings along all that processes need: too much for `identify`, which seldom draws

    try:
        painter.shared().draw(_picture, halves, view, width, height, target)
    except RuntimeError as error:
        from coaxtell.models.drawings import section

        drawing = section.side_by_side(halves, "face" if view == "face" else "section")
        drawing.png(target, dpi=25.4 * width / drawing.width_mm)
        return f"No picture can be rendered on this machine ({error}); the drawing stands in its place."
    return ""


def _picture(halves: list[Half], view: View, width: int, height: int, target: Path) -> None:
    """Draw in the painter's process."""
    from coaxtell.models.solids import picture

    picture.picture(halves, view, width, height).save(target, "PNG")
