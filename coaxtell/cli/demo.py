"""`coaxtell demo`: an invented depot in a folder, every file written by the program's own commands, all on one page."""

from __future__ import annotations

import argparse
import contextlib
import io
import shlex
import signal
import sys
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from importlib import resources
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

from coaxtell import files, kept_items
from coaxtell.cables.plan import Plan
from coaxtell.cli import arrival, campaign, gauge, guide, identify, lifesize, mate, plan, pocket, progress, sheet
from coaxtell.cli.cable import load
from coaxtell.models.errors import InputError

if TYPE_CHECKING:
    from coaxtell.demo.steps import Step

NAME = "demo"
HELP = "an invented depot in a folder, to look round in: every job with its files, opened from one page"

SEED = 7
"""Of everything that is drawn: people's answers, readings of parts."""
DAYS = 10
"""From today to the last day of the work that the lead prepares."""
COMMANDS = {
    one.NAME: one
    for one in (arrival, campaign, gauge, guide, identify, lifesize, mate, plan, pocket, progress, sheet)
}  # fmt: skip
CUT_M, CRUSHED_SHARE = 0.9, 0.4
"""By how much the one cable was cut, and where along it the other was crushed."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("folder", type=Path, metavar="DIR", help="a folder that is new or empty")


def run(args: argparse.Namespace) -> int:
    """Make the demonstration, all of it or nothing, and say where to begin.

    Raises InputError where the folder is not empty or cannot be written.
    """
    from coaxtell.demo import page
    from coaxtell.demo.steps import STEPS

    tables: Path | None = None if args.tables is None else args.tables.resolve()
    load(tables)  # tables that cannot be used are told before anything is written
    folder: Path = args.folder
    if folder.exists() and not folder.is_dir():
        raise InputError(f"{folder} is a file; name a folder that is new or empty.")
    there = [path.name for path in folder.iterdir()] if folder.is_dir() else []
    if there and all(name.startswith(files.ASIDE) for name in there):
        raise InputError(
            f"{folder} holds nothing but the unfinished files of a demonstration that was killed or is being made now; "
            f"if it was killed, delete {folder / there[0]}, then try again."
        )
    if there:
        raise InputError(f"{folder} is not empty; name a new or empty folder, so that nothing of yours is lost.")
    with _ended_by_signals(), files.filled(folder, "choose another place", last=page.INDEX) as aside:
        make(aside, STEPS, tables, datetime.now(UTC))
    print(f"An invented depot: open {folder / page.INDEX} in any browser.")
    return 0


@contextlib.contextmanager
def _ended_by_signals() -> Iterator[None]:
    """While it holds, a signal that asks the program to end lets it clear away what it has begun."""

    def end(number: int, _: object) -> None:
        sys.exit(128 + number)

    asking = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGBREAK") if hasattr(signal, name)]
    before = [(number, signal.signal(number, end)) for number in asking]
    try:
        yield
    finally:
        for number, way in before:
            signal.signal(number, way)


def make(folder: Path, steps: Sequence[Step], tables: Path | None, now: datetime) -> None:
    """Write what was invented, run each step's command in the folder, and write the page that opens them all.

    Raises InputError where the folder cannot be written.
    """
    from coaxtell.demo import page

    for one in ("site.toml", "walk.csv"):
        given = resources.files("coaxtell.demo") / "depot" / one
        files.write_text(folder / one, given.read_text(encoding="utf-8"))
    until = f"{now + timedelta(days=DAYS):%Y-%m-%d}"
    told = []
    made: Plan | None = None
    with contextlib.chdir(folder):
        for step in steps:
            lines = [line.format(until=until) for line in step.lines]
            told.append(page.Told(step, [(line, _said(line, tables)) for line in lines]))
            for name in step.files:
                if name.endswith(".html") and name != "phone.html":
                    files.write_text(Path(name), page.marked(files.read_text(Path(name))))
            with contextlib.suppress(BrokenPipeError):  # who reads may go away: the folder is made all the same
                print(f"{step.title}: {', '.join(step.files) or 'on the page'}", flush=True)
            if made is None and "ports.toml" in step.files:
                made = plan.of_site(Path("site.toml"), *load(tables))
                _invent(made, tables, now)
        files.write_text(Path(page.INDEX), page.index("" if made is None else made.site.name, told))


def _said(line: str, tables: Path | None) -> str:
    """What a command says when it is typed so; its files lie in the folder afterwards.

    What it could not make of what was invented it says itself, as it does to anybody.
    """
    words = shlex.split(line)
    if tables is not None and "--tables" not in words:
        words += ["--tables", str(tables)]
    module = COMMANDS[words[0]]
    parser = argparse.ArgumentParser(module.NAME)
    parser.add_argument("--tables", type=Path, default=None)
    module.configure(parser)
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        module.run(parser.parse_args(words[1:]))
    return said.getvalue().strip()


def _invent(made: Plan, tables: Path | None, now: datetime) -> None:
    """Sweeps of the cables, readings of parts and a record of people, once the plan has said what they are of."""
    from coaxtell.demo import gauging, people, sweeps
    from coaxtell.port_list import counted
    from coaxtell.quiz.blueprint import Blueprint
    from coaxtell.quiz.store import Store

    files.make_folder(Path("sweeps"), "choose another place")
    cables = [named for run in made.runs for named in run.made_up]
    for number, (name, piece) in enumerate(cables):
        cut = piece.length_m - CUT_M if number == len(cables) - 2 else None
        crushed = CRUSHED_SHARE * piece.length_m if number == len(cables) - 3 else None
        files.write_text(Path("sweeps") / f"{name}.s2p", sweeps.touchstone(piece, cut, crushed))
    halves = load(tables)[1].halves
    gauging.read(halves["sma-jack"], halves, Path("measured"), f"{now:%Y-%m-%d}", Random(SEED))
    stock = kept_items.stock(halves)
    where, ports = counted(Path("ports.toml"), halves)
    plan_of_items, rng = Blueprint(stock, ports), Random(SEED)
    events = [e for one in people.PEOPLE for e in people.answered(one, plan_of_items, where, now, rng)]
    with Store("record.db", create=True) as store:
        store.fill(events)
