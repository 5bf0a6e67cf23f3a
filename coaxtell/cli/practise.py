"""`coaxtell practise`: ten items a day of what an assessment asks, each explained."""

from __future__ import annotations

import argparse
import time
from datetime import UTC, datetime
from pathlib import Path
from random import Random, SystemRandom

import msgspec

from coaxtell import kept_items
from coaxtell.cli import record_args, sitting
from coaxtell.cli.item_pictures import HELP as PICTURES_HELP
from coaxtell.cli.item_pictures import WAYS, Pictures
from coaxtell.models import quantity, tables
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.port_list import counted
from coaxtell.quiz import words
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.items import KINDS
from coaxtell.quiz.practice import SITTING_ITEMS, SITTING_MINUTES
from coaxtell.quiz.sitting import Practising
from coaxtell.records import going_on, outside

NAME = "practise"
HOW = (
    "Answer with a letter and how sure you are in percent, such as b 80. "
    "Over many answers the honest figure earns most."
)

HELP = "practise ten items a day: what an assessment asks, each explained"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    record_args.add_records(parser)
    record_args.add_person(parser)
    parser.add_argument(
        "--minutes", default=f"{SITTING_MINUTES}", metavar="N", help=f"length of the sitting ({SITTING_MINUTES})"
    )
    parser.add_argument(
        "--items", default=f"{SITTING_ITEMS}", metavar="N", help=f"stop after so many items ({SITTING_ITEMS})"
    )
    parser.add_argument("--kinds", metavar="KINDS", help=f"only these, with commas: {', '.join(KINDS)}")
    parser.add_argument("--ports", type=Path, metavar="FILE", help="only what touches the ports of this list")
    parser.add_argument("--pictures", choices=WAYS, default="auto", help=PICTURES_HELP)
    parser.add_argument("--seed", metavar="N", help="draw the items by this number, to have them again")


def run(args: argparse.Namespace) -> int:
    """One sitting.

    Raises InputError where an argument is out of range or the record cannot be used.
    """
    minutes = quantity.within(args.minutes, "--minutes", "10 or 10min", 0.1, 600, quantity.MINUTES)
    items = quantity.whole(args.items, "--items", 1, 1000)
    seed = None if args.seed is None else quantity.whole(args.seed, "--seed", 0, quantity.MOST_SEED)
    person = record_args.person(args)
    stock = kept_items.stock(tables.load(args.tables).halves)
    ports = None if args.ports is None else counted(args.ports, stock.halves)[1]
    plan = Blueprint(stock, ports, kinds(args.kinds))
    with record_args.open_record(args, create=True) as store, Pictures(stock.halves, args.pictures) as pictures:
        print(f"Practice of {person}: {minutes:g} minutes, {sitting.STOP} stops.")
        print(wrapped(HOW))
        rng = SystemRandom() if seed is None else Random(seed)
        # a seed asks for the same items again, so what was left unanswered does not come between them
        world = outside(store, person, rng) if seed is not None else going_on(store, person, rng)
        practice = Practising(plan, store.events(person), world)
        end = time.monotonic() + 60 * minutes
        while True:
            item, teaches = practice.item(), practice.teaches
            if teaches and words.introduced(practice.number):
                print("\n" + wrapped(words.introduced(practice.number)))
            reply = sitting.ask(item, str(practice.number), pictures)
            if reply is None:
                break
            practice.answer(reply.chosen, reply.sure)
            sitting.tell(practice.told(item, reply.chosen), reply, pictures)
            if teaches and words.taught(item):
                print(wrapped(words.taught(item)))
                if item.picture is not None:
                    pictures.show(msgspec.structs.replace(item.picture, labelled=True))
            if practice.tally.given == items or time.monotonic() >= end:
                print("\nThat is all for this sitting.")
                break
            if not sitting.go_on():
                break
    number, tally = practice.tally.given, practice.tally
    print(f"\n{number} {'item' if number == 1 else 'items'}, {tally.right} right, {tally.points:+.0f} points.")
    if number:
        held = practice.practice.schedule.held(datetime.now(UTC))
        weak = [words.held(one.name) for one in held if one.last_wrong]
        print(wrapped(f"To work on: {', '.join(weak)}." if weak else "Each skill and pair was right when last asked."))
        print("`coaxtell progress` shows what sits and what is due.")
    return 0


def kinds(named: str | None) -> list[str] | None:
    """The kinds named with commas; raises InputError for one that is not known."""
    if named is None:
        return None
    found = [word.strip().lower() for word in named.split(",")]
    for word in found:
        if word not in KINDS:
            raise InputError(f"{word!r} is no kind of item; choose from {', '.join(KINDS)}.")
    return found
