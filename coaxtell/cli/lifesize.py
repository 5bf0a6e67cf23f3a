"""`coaxtell lifesize`: sheets at exactly 1 : 1 to lay a port on, and the wall chart."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import NamedTuple

from coaxtell import files, streams
from coaxtell.cables import ports
from coaxtell.cli.progress_line import Progress
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.tables import Tables
from coaxtell.models.words import counted
from coaxtell.port_list import read as read_port_list
from coaxtell.port_list import under

NAME = "lifesize"
HELP = "print ports at exactly life size, in rows of look-alikes; or the wall chart"

PAPERS = ("a4", "letter")
WALL = (*PAPERS, "a3")
"""Papers of the wall chart and of life-size sheets: what hangs is read from further off."""
LONGEST_ADDRESS = 120
"""Letters of an address: beyond, the modules of its code get too fine to read from paper (assumed)."""


def add_choice(parser: argparse.ArgumentParser) -> None:
    """Add the arguments that say which halves: what `chosen` reads."""
    parser.add_argument(
        "--family", action="append", default=[], metavar="NAME", help="only this family, such as SMA; may stand again"
    )
    parser.add_argument("--ports", type=Path, metavar="FILE", help="only the ports of a site, from its port list")


def add_address(parser: argparse.ArgumentParser) -> None:
    """Add --page, the address that sheets show."""
    parser.add_argument(
        "--page", metavar="URL", default="", help="address of the page for the pocket, shown as a QR code"
    )


def address(args: argparse.Namespace) -> str:
    """The address that sheets show, empty where none is given; raises InputError where it is none."""
    given: str = args.page
    if given and (not given.isprintable() or not given.startswith(("https://", "http://")) or " " in given):
        raise InputError(f"--page {given[:60]!r} is no address; give one such as https://ports.example/.")
    if len(given) > LONGEST_ADDRESS:
        raise InputError(f"--page is {len(given)} letters long; a phone reads up to {LONGEST_ADDRESS} from a sheet.")
    return given


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    add_choice(parser)
    parser.add_argument("--paper", choices=WALL, default="a4", help="paper (a4)")
    add_address(parser)
    parser.add_argument("--chart", action="store_true", help="the wall chart: three rules, everyday look-alikes")
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE.pdf", help="where to write (lifesize.pdf)")


def run(args: argparse.Namespace) -> int:
    """Write the sheets and say where they are.

    Raises InputError where a half, a port list or the file's kind cannot be used.
    """
    output = args.output if args.output is not None else Path("chart.pdf" if args.chart else "lifesize.pdf")
    files.kind(output, "life-size sheets are .pdf, which keeps its scale", ".pdf")
    page = address(args)
    known = tables.load(args.tables)
    if args.chart:
        if args.family or args.ports:
            raise InputError("The wall chart is of the everyday ports; leave out --family and --ports.")
        from coaxtell.pages import wallchart

        files.write(output, lambda aside: wallchart.write(known, aside, args.paper, page))
        print(f"Wall chart: {output}, {args.paper}, to be printed at 100 %")
        return 0
    asked = chosen(known, args.family, args.ports)
    from coaxtell.pages import lifesize_pdf

    with Progress("Rows drawn") as told:
        files.write(
            output,
            lambda aside: files.void(
                lifesize_pdf.write(
                    asked.halves, aside, args.paper, f"{asked.title}, life size", told, asked.notes, page
                )
            ),
        )
    shown = counted(len(asked.halves), "half", "halves")
    print(f"Life-size sheets: {output}, {shown}, {args.paper}, to be printed at 100 %")
    return 0


class Chosen(NamedTuple):
    """The halves asked for, what they are together, and what the port list says of each, by id."""

    halves: list[Half]
    title: str
    notes: dict[str, str]


def chosen(known: Tables, families: list[str], port_list: Path | None) -> Chosen:
    """The halves asked for; raises InputError where a name is unknown."""
    if port_list is not None and families:
        raise InputError("Give either --family or --ports, not both.")
    if port_list is not None:
        found, changed = under(read_port_list(port_list, known.halves), port_list.name, known)
        for sentence in changed:
            streams.told(sentence)
        notes: dict[str, str] = {}
        for port in found.ports:
            notes[port.id] = " ".join(part for part in (notes.get(port.id, ""), _on_site(known, port)) if part)
        title = f"Ports of {found.site or port_list.stem}"
        return Chosen([known.half(half_id) for half_id in notes], title, notes)
    if not families:
        return Chosen(list(known.halves.values()), "Coaxial ports", {})
    halves = [half for name in families for half in of_family(known, name)]
    return Chosen(list({half.id: half for half in halves}.values()), ", ".join(families), {})


def _on_site(known: Tables, port: ports.SitePort) -> str:
    """Where a port of the list is and what it takes, in a sentence."""
    where = f"On {', '.join(port.where)}" if port.where else ""
    count = f"{port.count} of them" if port.count > 1 else ""
    takes = f"takes {known.half(port.takes).name if port.takes in known.halves else port.takes}" if port.takes else ""
    said = "; ".join(part for part in (where, count, takes) if part)
    return f"{said[:1].upper()}{said[1:]}." if said else ""


def of_family(known: Tables, name: str) -> list[Half]:
    """All halves of a family, of its reverse polarity and of its further kinds, by name as people write it.

    FAKRA stands for all its codes, N also for its left-hand kind. Raises InputError where there is none.
    """
    wanted = name.lower().replace("_", "-").strip()

    def meant(half: Half) -> bool:
        family = half.family.lower()
        return any(one == wanted or one.startswith(f"{wanted} ") for one in (family, family.removeprefix("rp-")))

    found = [half for half in known.halves.values() if wanted and meant(half)]
    if not found:
        families = sorted({half.family for half in known.halves.values()})
        raise InputError(f"No family is called {name!r}; there are {', '.join(families)}.")
    return found
