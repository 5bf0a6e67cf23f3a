"""`coaxtell exam`: a test on paper with its answer key, or its items as a package for a training system."""

from __future__ import annotations

import argparse
import secrets
from pathlib import Path
from random import Random

import msgspec

from coaxtell import files, kept_items
from coaxtell.cli.item_pictures import SIZE, Pictures
from coaxtell.cli.practise import kinds
from coaxtell.models import quantity, tables
from coaxtell.port_list import counted
from coaxtell.quiz import exam, qti
from coaxtell.quiz.item import Item, Picture
from coaxtell.quiz.items import KINDS
from coaxtell.quiz.stock import Stock

NAME = "exam"
HELP = "write a test with answer key on paper (.pdf), or as a QTI 2.2 package (.zip)"

ITEMS, MOST = 20, 200

PRINTED = (420, 280)
"""Pixels of a picture on paper: few enough that the figure beside its scale bar can be read."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("-o", dest="output", type=Path, required=True, metavar="FILE", help="the .pdf or .zip to write")
    parser.add_argument("--items", default=f"{ITEMS}", metavar="N", help=f"how many items ({ITEMS})")
    parser.add_argument("--seed", metavar="N", help="the test's number: the same gives the same test")
    parser.add_argument("--kinds", metavar="KINDS", help=f"only these, with commas: {', '.join(KINDS)}")
    parser.add_argument("--ports", type=Path, metavar="FILE", help="only what touches the ports of this list")
    parser.add_argument("--title", default="Test on coaxial ports", help="its heading")
    parser.add_argument("--pictures", choices=("yes", "no"), default="yes", help="pictures, or their words instead")


def run(args: argparse.Namespace) -> int:
    """Write the test.

    Raises InputError where an argument is out of range or the file cannot be written.
    """
    output: Path = args.output
    kind = files.kind(output, "a test is .pdf, or .zip for a QTI package", ".pdf", ".zip")
    number = quantity.whole(args.items, "--items", 1, MOST)
    seed = (
        quantity.whole(args.seed, "--seed", 0, quantity.MOST_SEED)
        if args.seed is not None
        else secrets.randbelow(90_000) + 10_000
    )
    stock = kept_items.stock(tables.load(args.tables).halves)
    ports = None if args.ports is None else counted(args.ports, stock.halves)[1]
    items = exam.draw(stock, number, Random(seed), kinds(args.kinds), ports)
    pictures = _pictures(items, stock, args.pictures == "yes", PRINTED if kind == ".pdf" else SIZE)
    if kind == ".pdf":
        from coaxtell.quiz_pages import exam_pdf

        files.write(output, lambda path: exam_pdf.write(args.title, items, pictures, seed, path))
    else:
        held = {place: path.read_bytes() for place, path in enumerate(pictures) if path is not None}
        package = qti.package(args.title, items, held)
        files.write(output, lambda path: files.void(path.write_bytes(package)))
    print(f"Test {seed}, {len(items)} items: {output}")
    return 0


def _pictures(items: list[Item], stock: Stock, wanted: bool, size: tuple[int, int]) -> list[Path | None]:
    with Pictures(stock.halves, "file" if wanted else "none", size=size) as shop:
        return [None if item.picture is None else shop.file(_for_paper(item.picture)) for item in items]


def _for_paper(picture: Picture) -> Picture:
    """The picture on the light bench: a dark one drinks ink."""
    return msgspec.structs.replace(picture, light="bench") if picture.light == "dark bench" else picture
