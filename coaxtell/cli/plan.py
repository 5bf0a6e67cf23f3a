"""`coaxtell plan`: a whole site's cables as order list, sheets and labels, and its port list."""

from __future__ import annotations

import argparse
from functools import cache
from pathlib import Path

import msgspec

from coaxtell import files, streams
from coaxtell.cables import ports, site
from coaxtell.cables.plan import Plan, plan
from coaxtell.cables.rows import PHOTOGRAPHED, NamedPort
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.cli.cable import UNSETTLED, load, matings, named_port
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.tables import Tables
from coaxtell.models.words import counted
from coaxtell.pages import content

NAME = "plan"
HELP = "plan a whole site: an assembly per antenna, order list, labels, port list"

PAPERS = ("a4", "letter")
KINDS = (".pdf", ".html", ".xlsx")
FAULTY = 1
"""Status where the plan was written but some rows could not be used, or cables miss what was wanted."""


EXAMPLE = """\
  [site]
  name = "North gate"
  region = "us"                  # us, eu-lower or eu-upper
  want = "24dBm"                 # power that should reach each antenna
  size = "26cm"                  # the antennas' largest size, for the distance that people keep

  [[reader]]
  id = "R1"
  port = "rp-tnc-jack"           # as `coaxtell list` names it, or a file saved by `coaxtell identify --save`
  settings = "10..31.5/0.25"     # its lowest, highest and step (dBm, dB); it is set as high as the limits allow

  [[route]]
  id = "door frame"
  length = "12m"
  bend = "60mm"                  # its tightest bend

  [[antenna]]
  id = "left"
  reader = "R1"
  port = "n-50-jack"
  route = "door frame"           # or a length of its own: length = "20ft"
  gain = "8.5dBic"               # as its label says
  outdoor = true
"""
ABOUT = f"""\
A site file, to copy and change; every quantity is a text with its unit:

{EXAMPLE}
What an antenna does not say is taken from its route (length, bend, temperature, outdoor, riser, service_loop,
drip_loop), then from [site] (gain, size, want, budget, temperature, outdoor, riser, service_loop, drip_loop). In the
place of want, budget = "3dB" is the most that may be lost. [site] may also say frequency, channels, settings, power
(set no reader higher), prefer (thinnest, least-loss, tightest-bend, fewest-parts or lowest-price) and spares (2 or
"10%"), and linear_gain = "GRANT" where that grant of the equipment counts a dBic gain by its linear component. An
antenna may be bound to a class (class = "240"), name the reader's port (reader_port = 2), and say of its run:
right_angle = "reader", "antenna" or "both"; an arrestor or a splitter so far from the reader (arrestor = "2m"); and a
pigtail inside the reader's enclosure (pigtail = "20cm").
"""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = ABOUT
    parser.add_argument("site", metavar="SITE.toml", type=Path, help="readers, antennas, routes of the site")
    parser.add_argument(
        "-o", dest="output", type=Path, required=True, metavar="FILE", help="the plan as .pdf, .html or .xlsx"
    )
    parser.add_argument(
        "--ports",
        type=Path,
        metavar="FILE",
        help="where to write the site's port list; else ports.toml beside the plan",
    )
    parser.add_argument("--paper", choices=PAPERS, default="a4", help="paper of a .pdf or .xlsx (a4)")


def run(args: argparse.Namespace) -> int:
    """Plan a site, write the plan and the port list; status 1 where rows could not be used or cables fall short of
    what was wanted, 3 where a port is open.

    Raises InputError where the site file or the plan's kind cannot be used.
    """
    output: Path = args.output
    files.kind(output, f"a plan is {', '.join(KINDS)}", *KINDS)
    found, halves = load(args.tables)
    made = of_site(args.site, found, halves)
    port_file = args.ports if args.ports is not None else output.with_name("ports.toml")
    if made.ports.ports:
        _keep_a_persons_list(port_file)
    blank = write(made, found, output, args.paper)
    if made.ports.ports:
        dated = msgspec.structs.replace(made.ports, tables=tables.version(halves))
        files.write_text(port_file, ports.text(dated, _photographed(made)))
    print(_told(made, output, port_file))
    if blank:
        print(f"The PDF's font lacks these letters and leaves them blank: {blank[:40]} (an .html plan shows them).")
    faults = [say(problem.reason) for problem in made.site.problems]
    faults += [f"{r.name} (line {r.asked.line}): {say(r.why_none)}" for r in made.without_cable if r.why_none]
    for fault in faults:
        streams.told(fault)
    for line in content.shortfalls(made):
        streams.told(line)
    for run in made.runs:
        for told in run.asked.told:
            streams.told(f"{run.name}: {say(told)}")
    for run in made.unsettled:
        streams.told(f"{run.name}: {' '.join(map(say, run.look_again))}")
    return FAULTY if faults or made.short else UNSETTLED if made.unsettled else 0


def _photographed(made: Plan) -> list[str]:
    """Of each run what was measured in a photograph: the port list says nothing else of how its ports were named."""
    return [f"{run.name}: {say(told)}" for run in made.runs for told in run.asked.told if told.code == PHOTOGRAPHED]


def of_site(path: Path, found: CableTables, halves: Tables) -> Plan:
    """The plan of a site file; raises InputError where it cannot be used."""

    @cache
    def find(name: str) -> NamedPort:
        # a saved identification is looked for beside the site file that names it
        beside = path.parent / name
        return named_port(str(beside) if beside.is_file() else name, halves)

    return plan(site.parse(files.read_text(path), path.name, found, find), matings(halves), found)


def _keep_a_persons_list(path: Path) -> None:
    """Refuse to replace a port list that a person wrote, before anything is written."""
    if path.is_file() and not files.read_text(path).startswith(ports.HEADER):
        raise InputError(
            f"{path} was not written by this program and stays as it is; --ports names the file to write the list to."
        )


def write(made: Plan, found: CableTables, output: Path, paper: str = "a4") -> str:
    """Write the plan in the kind that the file's name asks for; returns letters that a PDF's font leaves blank.

    Raises InputError where the file cannot be written.
    """
    kind = output.suffix.lower()
    if kind == ".html":
        from coaxtell.pages import plan_html

        files.write_text(output, plan_html.page(made, found))
    elif kind == ".pdf":
        from coaxtell.pages import plan_pdf

        blank: list[str] = []
        files.write(output, lambda path: blank.append(plan_pdf.write(made, found, path, paper)))
        return "".join(blank)
    else:
        from coaxtell.pages import plan_xlsx

        files.write(output, lambda path: plan_xlsx.write(made, found, path, paper))
    return ""


def _told(made: Plan, output: Path, port_file: Path) -> str:
    bad = made.site.rows - len(made.runs)
    settled = sum(run.chosen is not None and not run.look_again for run in made.runs)
    again = f", {len(made.unsettled)} to look at again before ordering" if made.unsettled else ""
    short = f", {len(made.short)} of them short of what was wanted" if made.short else ""
    lines = [
        f"{len(made.runs)} of {made.site.rows} antennas read, {settled} with a cable{short}{again}",
        f"to order: {content.ordered(made)}",
    ]
    if bad or made.site.problems:
        lines.append(
            f"{counted(len(made.site.problems), 'fault')} in the file, {counted(bad, 'antenna row')} left out by "
            "them; each is named below and in the plan"
        )
    lines.append(f"Plan: {output}")
    if made.ports.ports:
        lines.append(f"Port list: {port_file}")
    return "\n".join(lines)
