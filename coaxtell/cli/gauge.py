"""`coaxtell gauge`: measure parts with a calliper, so that weak numbers become your own."""

from __future__ import annotations

import argparse
import datetime
from pathlib import Path

from coaxtell import files, port_list
from coaxtell.cli.gauge_dialogue import measure, plan_lines
from coaxtell.gauge_bench import Bench, alone, changes, keep, own_book, told_against, unmeasured
from coaxtell.identifier import instruments, looks
from coaxtell.models import gauged, quantity, tables
from coaxtell.models.catalogue import MODELS
from coaxtell.models.errors import InputError
from coaxtell.models.gauged import Book
from coaxtell.models.gauging.places import places
from coaxtell.models.lines import wrapped
from coaxtell.models.tables import Tables
from coaxtell.models.words import counted, label

NAME = "gauge"
HELP = "measure parts with a calliper, so that the tables hold numbers of your own"
COARSEST = 0.2
"""A tool that is off by more is no gauge [mm] (assumed)."""

MINUTES = 20.0
JOBS: dict[str, tuple[str, ...]] = {
    "half": ("--with", "--who", "--pictures"),
    "plan": ("--minutes",),
    "merge": (),
    "export": (),
}
"""What the command can do, with the options that belong to it alone."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("half", nargs="?", metavar="HALF", help="the half whose parts lie on the bench")
    parser.add_argument(
        "--with", metavar="INSTRUMENT",
        help="calliper (default), or how far its readings may be off, such as +-0.02",
    )  # fmt: skip
    parser.add_argument("--who", metavar="NAME", default=None, help="who measures (else your user name)")
    parser.add_argument("--pictures", type=Path, metavar="DIR", help="write a picture of each place to measure there")
    parser.add_argument("--plan", type=Path, metavar="PORTS", help="list what a port list's halves want measured most")
    parser.add_argument("--minutes", metavar="N", help="time for --plan (20)")
    parser.add_argument("--export", type=Path, metavar="FILE", help="write your readings out for another shop")
    parser.add_argument("--merge", type=Path, metavar="FILE", help="add another shop's readings to yours")


def run(args: argparse.Namespace) -> int:
    """Measure, plan, or pool readings; raises InputError where something is wrong or missing."""
    wanted = [job for job in JOBS if getattr(args, job)]
    if len(wanted) > 1:
        raise InputError("HALF, --plan, --export and --merge are four jobs; give one of them.")
    if not wanted:
        raise InputError("Give the half that lies on the bench, or --plan, --export or --merge; see --help.")
    job = wanted[0]
    for other in JOBS:
        for option in JOBS[other]:
            if other != job and getattr(args, option.removeprefix("--")) is not None:
                raise InputError(f"{option} goes with {_called(other)}, not with {_called(job)}; leave it out.")
    if job == "plan":
        return _plan(args, _tables(args.tables))
    if args.tables is None:
        raise InputError("Your own numbers need a folder: give --tables DIR, which every command then reads.")
    return {"merge": _merge, "export": _export, "half": _measure}[job](args)


def _called(job: str) -> str:
    return "HALF" if job == "half" else f"--{job}"


def _tables(folder: Path | None) -> Tables:
    """The tables with those of the folder, which may still be empty or missing."""
    if folder is None or (not folder.exists() and not folder.is_symlink()):
        return tables.load()
    if folder.is_dir() and not any(folder.glob("*.toml")):
        return tables.load()
    return tables.load(folder)


def _measure(args: argparse.Namespace) -> int:
    folder: Path = args.tables
    known = _tables(folder)
    half = known.half(args.half)
    shipped = looks.load()
    instrument = getattr(args, "with") or "calliper"
    plus_minus = instruments.plus_minus(instrument, shipped)
    if plus_minus > COARSEST:
        raise InputError(f"{instrument}: off by {plus_minus:g} mm is too coarse to gauge with; take a calliper.")
    book = own_book(folder)
    bench = Bench(
        folder=folder,
        instrument=instrument if instrument in instruments.names(shipped) else "calliper",
        plus_minus=plus_minus,
        who=_who(args.who),
        date=datetime.date.today().isoformat(),
        pictures=args.pictures,
    )
    for sentence in changes(folder, book):
        print(wrapped(sentence, "", "  "))
    with alone(folder):
        keep(folder, own_book(folder))  # a folder that cannot be written is told before anything is measured
    measure(half, known, bench)
    return 0


def _who(name: str | None) -> str:
    from coaxtell.quiz.log import person_name
    from coaxtell.records import user_name

    who = user_name() if name is None else name
    if not who.strip():
        raise InputError("Say who measures: give --who NAME.")
    return person_name(who)


def _export(args: argparse.Namespace) -> int:
    book = own_book(args.tables)
    if not book.number:
        raise InputError(f"{args.tables} holds no readings yet; measure with `coaxtell gauge HALF --tables DIR` first.")
    if args.export.resolve().parent == args.tables.resolve():
        raise InputError(f"{args.export}: lies among the tables that it would be read as; give another folder.")
    if args.export.is_file() and not files.read_text(args.export, errors="replace").startswith(gauged.head()):
        raise InputError(f"{args.export}: is there already and holds no readings; give another name.")
    files.write_text(args.export, gauged.encode(book))
    print(f"Readings of {counted(len(book.number), 'number')}: {args.export}")
    return 0


def _merge(args: argparse.Namespace) -> int:
    other = gauged.decode(files.read_text(args.merge), str(args.merge))
    if not other.number:
        raise InputError(f"{args.merge} holds no readings; give the file that the other shop wrote with --export.")
    for one in other.number:
        if any(sitting.plus_minus > COARSEST for sitting in one.sittings):
            raise InputError(f"{args.merge}: {one.half} was read with a tool that is off by more than {COARSEST:g} mm.")
    plain = unmeasured(args.tables).halves
    gauged.applied(plain, other, str(args.merge))  # a half or number that these tables lack is told first
    for one in other.number:
        why = next((refusal.why for refusal in places(plain[one.half])[1] if refusal.path == one.path), None)
        if why is not None:
            number = label(plain[one.half], one.path)
            raise InputError(
                f"{args.merge}: {number} of {one.half} is not to be measured here ({MODELS.say(why)}); take it out."
            )
    with alone(args.tables):
        book = own_book(args.tables)
        both = book.merged(other)
        tables.gauged_halves(plain, both, str(args.merge))
        keep(args.tables, both)

    def rows(one: Book) -> int:
        return sum(len(sitting.parts) for number in one.number for sitting in number.sittings)

    added, numbers = counted(rows(both) - rows(book), "part"), counted(len(both.number), "number")
    print(f"Readings of {added} added, {numbers} in {args.tables}.")
    for line in told_against(args.tables, {one.half for one in other.number}):
        print(wrapped(line))
    return 0


def _plan(args: argparse.Namespace, known: Tables) -> int:
    text = args.minutes or f"{MINUTES:g}"
    minutes = quantity.within(text, "--minutes", "20 or 20min", 1, 600, quantity.MINUTES)
    _, counts = port_list.counted(args.plan, known.halves)
    for line in plan_lines([known.half(half_id) for half_id in counts], known, minutes):
        print(line)
    return 0
