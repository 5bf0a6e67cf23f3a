"""`coaxtell signoff`: the checklist of what a person does by hand, ticked by the lead, line by line."""

from __future__ import annotations

import argparse
import uuid
from datetime import UTC, datetime
from pathlib import Path

from coaxtell import kept_items, narrow
from coaxtell.cli import record_args
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.port_list import counted
from coaxtell.quiz import lead
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import Signed, person_name

NAME = "signoff"
HELP = "for the lead: tick what a person did by hand with real or printed parts"

CAUTION = (
    "Transmitters off, no DC on the coax, nothing forced. Harmful pairs with printed parts of ten times the size only "
    "(`coaxtell export A B --printable`)."
)


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("ports", type=Path, metavar="PORTS", help="the site's port list")
    parser.add_argument("--by", metavar="LEAD", help="who saw it done; without it the checklist is only shown")
    record_args.add_person(parser)
    record_args.add_records(parser)


def run(args: argparse.Namespace) -> int:
    """Show the checklist, and ask for each open line where a lead is named.

    Raises InputError where the lead is the person.
    """
    person = record_args.person(args)
    by = None if args.by is None else person_name(args.by)
    if by is not None and by.casefold() == person.casefold():
        raise InputError(f"Nobody signs off for themselves: --by names the lead who saw what {person} did.")
    stock = kept_items.stock(tables.load(args.tables).halves)
    site, ports = counted(args.ports, stock.halves)
    plan = Blueprint(stock, ports)
    with record_args.open_record(args, create=True) as store:
        done = lead.signed_off(store.events(person), plan)
        print(wrapped(CAUTION))
        for line in lead.checklist(plan):
            ticked = done.get(line.id)
            if ticked is not None:
                print(wrapped(f"{line.words} ({ticked.by}, {ticked.time:%Y-%m-%d})", "[x] ", "    "))
                continue
            print(wrapped(line.words, "[ ] ", "    "))
            if by is None:
                continue
            try:
                said = input(narrow.prompt("    Seen done? y, Enter for no, q stops: ")).strip().lower()
            except EOFError:
                said = "q"
            if said in ("q", "quit"):
                break
            if said in ("y", "yes"):
                event = Signed(str(uuid.uuid4()), datetime.now(UTC), person, by, ports, line.id, site)
                store.add(event)
                done[line.id] = event
        print(f"{len(done)} of {len(lead.checklist(plan))} lines of {person} are signed off.")
    return 0
