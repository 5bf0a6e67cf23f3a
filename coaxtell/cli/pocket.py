"""`coaxtell pocket`: the whole job on a phone, as a folder for a web server or as one file, without a network."""

from __future__ import annotations

import argparse
import io
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from coaxtell import files
from coaxtell.cli.item_pictures import Pictures
from coaxtell.cli.progress_line import Progress
from coaxtell.models import tables
from coaxtell.models.catalogue import ENGLISH
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.port_list import read as read_port_list

if TYPE_CHECKING:
    from coaxtell.pocket.build import Made

NAME = "pocket"
HELP = "the whole job on a phone, up the ladder and without a network: a folder for a web server, or one file"

PORTS = (1024, 65_535)
ITEM_SIZE = (720, 480)
"""Of the picture of an item [px]: twice what a phone's screen is wide, in the phone's own pixels."""
ITEM_LETTERS = 2.2
"""Its figures in the desk's, since it is shown at half its size."""
ITEM_QUALITY = 75
"""Of a WebP: ten pictures take about 0.2 MB, and no bevel is lost (looked at)."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument(
        "-o", dest="output", type=Path, metavar="FOLDER|FILE.html", default=Path("pocket.html"),
        help="a folder for any web server, or one file that opens from the phone's own storage (pocket.html)",
    )  # fmt: skip
    parser.add_argument("--ports", type=Path, metavar="FILE", help="a site's port list: its ports come first")
    parser.add_argument("--lang", default=ENGLISH, metavar="xx", help="language of the page (en)")
    parser.add_argument(
        "--pictures", choices=("yes", "no"), default="yes", help="the items' pictures, or their words instead"
    )
    parser.add_argument(
        "--serve", nargs="?", type=int, const=8080, metavar="PORT", help="show the folder on the local network (8080)"
    )


def run(args: argparse.Namespace) -> int:
    """Write the page and say where it is; with --serve show it until it is stopped.

    Raises InputError where the language has no texts, where a port list or a place cannot be used, or where something
    else stands in that place.
    """
    # loads much of the program, so only where a page is made
    from coaxtell.pocket import build
    from coaxtell.pocket.data import Wanted, languages

    output: Path = args.output
    if args.lang not in languages():
        raise InputError(f"The page has no texts in {args.lang!r}; choose one of {', '.join(languages())}.")
    if args.serve is not None and not PORTS[0] <= args.serve <= PORTS[1]:
        raise InputError(f"--serve {args.serve} is no port for this; give one from {PORTS[0]} to {PORTS[1]}.")
    one_file = output.suffix.lower() == ".html" and args.serve is None
    if output.suffix and not one_file:
        raise InputError(f"{output}: the page is a .html file, or with --serve a folder without an ending; name it so.")
    _refuse_others(output, one_file)
    known = tables.load(args.tables)
    ports = () if args.ports is None else tuple(one.id for one in read_port_list(args.ports, known.halves).ports)
    wanted = Wanted(known, date.today(), args.lang, ports)
    count = len(known.halves) * (len(known.halves) + 1) // 2
    with (
        Pictures(
            known.halves, "none" if args.pictures == "no" else "file", size=ITEM_SIZE, letters=ITEM_LETTERS
        ) as shop,
        Progress("Pairs worked out") as told,
    ):
        made = build.made(wanted, lambda done: told(done, count), draw=lambda picture: _webp(shop.file(picture)))
    page = build.single(made)
    parts = {} if one_file else build.folder(made)
    if one_file:
        _write_one(output, page)
    else:
        _write(output, parts | {build.FILE: page})
    for line in _shed(made, len(page), build.MOST_BYTES):
        print(line)
    if one_file:
        print(f"Page: {output}, {len(page) / 1e6:.2f} MB; copy it to the phone and open it there.")
        return 0
    size = sum(map(len, parts.values()))
    print(f"Folder: {output}, {size / 1e6:.2f} MB in {len(parts)} files for any web server; {build.FILE} beside it.")
    return 0 if args.serve is None else _serve(parts | {build.FILE: page}, args.serve)


def _refuse_others(output: Path, one_file: bool) -> None:
    """Raise InputError where a file would be written over that is no page, or a folder filled that holds none."""
    from coaxtell.pocket import build

    page = output if one_file else output / "index.html"
    if page.is_file() and not build.is_page(files.read_text(page, errors="replace")):
        raise InputError(f"{page}: is there already and is no page of this command; give another name.")
    if not one_file and output.is_dir() and not page.is_file() and any(output.iterdir()):
        raise InputError(f"{output}: is there already and holds other files; give a new or an empty folder.")


def _webp(path: Path | None) -> bytes | None:
    """A picture as the page holds it."""
    if path is None:
        return None
    from PIL import Image

    held = io.BytesIO()
    with Image.open(path) as image:
        image.convert("RGB").save(held, "WEBP", quality=ITEM_QUALITY, method=6)
    return held.getvalue()


def _shed(made: Made, size: int, most: int) -> list[str]:
    """What was left out of the models to keep the file small, and whether that was enough."""
    lines = []
    if made.fewer:
        lines.append(f"To keep the file small, models with fewer columns: {', '.join(made.fewer)}.")
    if made.without:
        lines.append(f"To keep the file small, no models: {', '.join(made.without)}.")
    if size > most:
        lines.append(f"It is larger than the {most / 1e6:.1f} MB that every phone opens with ease.")
    return [wrapped(line) for line in lines]


def _write(folder: Path, made: Mapping[str, bytes]) -> None:
    files.make_folder(folder, "choose another place")
    for name, content in made.items():
        _write_one(folder / name, content)


def _write_one(path: Path, content: bytes) -> None:
    files.write(path, lambda aside: files.void(aside.write_bytes(content)))


def _serve(made: Mapping[str, bytes], port: int) -> int:
    from coaxtell.pocket import build, serve

    with serve.server(made, port) as running:
        print(f"On this network: {serve.address(running)}  (Ctrl-C stops)")
        print(
            "By plain http a phone gives the page no store of its own, no camera, no clipboard and no sharing: open "
            f"{serve.address(running)}{build.FILE} and keep that file for where there is no network.",
            flush=True,
        )
        running.serve_forever()
    return 0
