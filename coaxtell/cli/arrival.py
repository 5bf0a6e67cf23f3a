"""`coaxtell arrival`: whether a delivered cable is the one that was ordered, from an analyser's sweep."""

from __future__ import annotations

import argparse
import json
import re
from pathlib import Path
from typing import Any

from coaxtell import files, touchstone
from coaxtell.cables import units
from coaxtell.cables.arrival import report
from coaxtell.cables.arrival.judging import Arrival, Verdict, judge
from coaxtell.cables.arrival.reading import Ordered
from coaxtell.cables.arrival.sweep import FarEnd
from coaxtell.cables.classes import TABLE_TEMPERATURE_C
from coaxtell.cables.limits import region_of
from coaxtell.cables.site import assumed_region
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.cli.cable import load
from coaxtell.cli.plan import PAPERS, of_site
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.pages.arrival_content import Delivery, Pages, counted, pages

NAME = "arrival"
HELP = "check a delivered cable by an analyser's sweep: length, class, loss, faults"

AT_FAULT = 1
"""Status where a delivery is not as ordered, has to be looked at again, or could not be read."""
KINDS = (".pdf", ".html")
"""What the page for the file may be."""
FAR_ENDS = [far.value for far in FarEnd if far is not FarEnd.PORT]


class _Order:
    """What was ordered, by the run's name, with the band it works in [MHz]."""

    def __init__(self, ordered: dict[str, tuple[Ordered, tuple[float, float]]]) -> None:
        self.ordered = ordered

    def key(self, name: str) -> str:
        """The run that a label or a file's name means; raises InputError where none or several do."""
        wanted = _plain(name)
        found = [key for key in self.ordered if _plain(key) == wanted]
        if not found:
            found = [key for key in self.ordered if wanted and wanted in map(_plain, key.split(" to "))]
        if len(found) != 1:
            why = "several runs of the plan go" if found else "no run of the plan goes"
            raise InputError(f"{name}: {why} by this name; runs are {', '.join(self.ordered)}.")
        return found[0]


def _plain(name: str) -> str:
    """A name as labels and files both write it: letters and digits, without the `to` between two ends."""
    return "".join(part for part in re.split(r"[\W_]+", name.lower()) if part != "to")


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("order", metavar="PLAN|RUN", help="a site file, or a class and a length such as 240:12m")
    parser.add_argument("sweep", nargs="?", type=Path, metavar="FILE", help="the sweep, .s1p or .s2p")
    parser.add_argument("--run", dest="label", metavar="NAME", help="the run by its label; else by the file's name")
    parser.add_argument("--batch", type=Path, metavar="FOLDER", help="every sweep in a folder, each named as its label")
    parser.add_argument("--far-end", choices=FAR_ENDS, help="what stood at the far end of a one-port sweep")
    parser.add_argument("--frequency", help="what a class with a length works at, such as 867MHz (915MHz)")
    parser.add_argument("--temperature", help="on the bench, such as 15C (25 C)")
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE", help="a page for the file, .pdf or .html")
    parser.add_argument("--paper", choices=PAPERS, default="a4", help="paper of a .pdf (a4)")
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(args: argparse.Namespace) -> int:
    """Judge one delivery, or a whole folder of them; status 1 where one is not simply as ordered.

    Raises InputError where the order, a file or a folder cannot be used.
    """
    if (args.sweep is None) == (args.batch is None):
        raise InputError("Give one sweep, or a folder with --batch.")
    if args.label is not None and args.batch is not None:
        raise InputError("--run names one sweep's run; the sweeps of a --batch go by their files' names.")
    files.kind(args.output, f"a page for the file is {' or '.join(KINDS)}", *KINDS)
    found, orders = _orders(args)
    far = None if args.far_end is None else FarEnd(args.far_end)
    unread: list[str] = []
    judged: list[tuple[str, Arrival]] = []
    measured: set[str] = set()
    for path in [args.sweep] if args.batch is None else _sweeps(args.batch):
        try:
            named = args.label is not None or len(orders.ordered) > 1
            key = orders.key(args.label or path.stem) if named else next(iter(orders.ordered))
            ordered, band = orders.ordered[key]
            measured.add(key)
            # in a folder of both kinds the far end is said for those of one port
            one_port = args.batch is None or path.suffix.lower() == ".s1p"
            sweep = touchstone.read(path, far if one_port else None, ordered.cable.impedance.nominal)
            judged.append((path.stem, judge(sweep, ordered, band, found)))
        except InputError as error:
            if args.batch is None:
                raise
            unread.append(str(error))
    missing = [key for key in orders.ordered if args.batch is not None and key not in measured]
    delivery = Delivery(judged, unread, missing)
    blank = ""
    if args.output is not None:  # before anything is told: who reads may go away
        title = "Cables on arrival" if args.batch is not None else f"Cable on arrival: {judged[0][0]}"
        blank = write(pages(title, delivery, found), args.output, args.paper)
    if args.json:
        rows = [_as_json(name, arrival, found) for name, arrival in judged]
        told = {"deliveries": rows, "unread": unread, "not_measured": missing}
        print(json.dumps(told, indent=1, ensure_ascii=False))
    else:
        print(wrapped("\n".join(_told(delivery, args.batch is not None, found))))
        if args.output is not None:
            print(f"Page: {args.output}")
        if blank:
            print(f"The PDF's font lacks these letters and leaves them blank: {blank[:40]} (an .html shows them).")
    fine = not unread and all(arrival.verdict is Verdict.AS_ORDERED for _, arrival in judged)
    return 0 if fine else AT_FAULT


def _sweeps(folder: Path) -> list[Path]:
    if not folder.is_dir():
        raise InputError(f"{folder}: is no folder; give the one that holds the sweeps.")
    found = sorted(path for path in folder.iterdir() if path.suffix.lower() in touchstone.SUFFIXES)
    if not found:
        raise InputError(f"{folder}: holds no .s1p or .s2p file; save the sweeps there.")
    return found


def _orders(args: argparse.Namespace) -> tuple[CableTables, _Order]:
    """The tables and what was ordered: of a whole site, or the one cable that was typed."""
    celsius = TABLE_TEMPERATURE_C if args.temperature is None else units.temperature_c(args.temperature)
    path = Path(args.order)
    found, halves = load(args.tables)
    if path.suffix.lower() == ".toml":
        made = of_site(path, found, halves)
        planned = {}
        for one in made.runs:
            asked = one.asked.run
            for name, piece in one.made_up:
                made_up = Ordered(piece.cable, piece.length_m, asked.frequency_mhz, celsius)
                planned[name] = (made_up, (asked.region.band.low, asked.region.band.high))
        if not planned:
            raise InputError(f"{path}: plans no cable, so none can arrive; `coaxtell plan` says why.")
        return found, _Order(planned)
    if args.label is not None:
        raise InputError("--run names a run of a site file; a class with a length is one cable.")
    name, colon, length = args.order.partition(":")
    if not colon or name not in found.classes:
        raise InputError(
            f"{args.order}: is no site file and no class with a length such as 240:12m; "
            f"classes are {', '.join(found.classes)}."
        )
    cable = found.classes[name]
    if not cable.loss_known:
        raise InputError(f"class {name} has an unknown loss, so nothing can be expected of it.")
    usual = found.regions[assumed_region(None, found)[0]].usual.nominal
    mhz = usual if args.frequency is None else units.frequency_mhz(args.frequency)
    key = region_of(mhz, found.regions)
    band = (mhz, mhz) if key is None else (found.regions[key].band.low, found.regions[key].band.high)
    return found, _Order({args.order: (Ordered(cable, units.length_m(length), mhz, celsius), band)})


def write(made: Pages, output: Path, paper: str = "a4") -> str:
    """Write the page in the kind that the file's name asks for; returns letters that a PDF's font leaves blank.

    Raises InputError where the file cannot be written.
    """
    if output.suffix.lower() == ".html":
        from coaxtell.pages import arrival_html

        files.write_text(output, arrival_html.page(made))
        return ""
    from coaxtell.pages import arrival_pdf

    blank: list[str] = []
    files.write(output, lambda path: blank.append(arrival_pdf.write(made, path, paper)))
    return "".join(blank)


def _told(delivery: Delivery, batch: bool, found: CableTables) -> list[str]:
    told = [*map(say, report.FIRST), ""]
    for name, arrival in delivery.judged:
        told.append(f"{name}: {say(report.verdict(arrival))}")
        told += [f"  - {say(reason)}" for reason in arrival.reasons]
        if batch:
            continue
        told += ["", f"  {say(report.ordered(arrival))}"]
        for line in report.lines(arrival, found):
            told.append(f"  {say(line.what)}: {say(line.measured)}; {say(line.held_to)}")
        told += [f"  {say(note)}" for note in arrival.notes]
    told += [f"not read: {one}" for one in delivery.unread]
    told += [f"not measured: {one}" for one in delivery.missing]
    if batch:
        told += ["", say(counted(delivery))]
    return told


def _as_json(name: str, arrival: Arrival, found: CableTables) -> dict[str, Any]:
    """A delivery as plain values for JSON; lengths in metres, losses in dB."""
    reading, loss = arrival.reading, arrival.loss
    rounded = {"by_phase_m": reading.slope_m, "by_time_m": reading.time_m, "resolution_m": reading.resolution_m}
    echoes = {"near": reading.near, "far": reading.far, "inside": reading.inside}
    return {
        "name": name,
        "class": arrival.ordered.cable.name,
        "length_m": round(arrival.ordered.length_m, 4),
        "verdict": arrival.verdict.value,
        "reasons": [say(reason) for reason in arrival.reasons],
        "notes": [say(note) for note in arrival.notes],
        "measured": {key: None if value is None else round(value, 3) for key, value in rounded.items()},
        "loss_db": None if loss is None else round(loss.measured_db, 3),
        "expected_db": None if loss is None else round(loss.expected_db, 3),
        "plus_minus_db": None if loss is None else round(loss.plus_minus_db, 3),
        "seems_class": list(arrival.named_classes),
        "not_told_from": list(arrival.not_told_from),
        "echoes": {
            key: {
                "at_m": round(echo.at_m, 3),
                "from_far_m": None if echo.from_far_m is None else round(echo.from_far_m, 3),
                "plus_minus_m": round(echo.plus_minus_m, 3),
                "return_loss_db": round(echo.return_loss_db, 2),
            }
            for key, echo in echoes.items()
            if echo is not None
        },
    }
