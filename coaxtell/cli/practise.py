"""`coaxtell practise`: ten minutes of items on what is due or weak, each explained."""

from __future__ import annotations

import argparse
import secrets
import textwrap
import time
import uuid
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from coaxtell.cli import port_list, record_args, sitting
from coaxtell.cli.item_pictures import HELP as PICTURES_HELP
from coaxtell.cli.item_pictures import WAYS, Pictures
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.quiz import items
from coaxtell.quiz.item import Kind
from coaxtell.quiz.log import Mode, Started, answered, answers
from coaxtell.quiz.practice import SITTING_MINUTES, Practice, shelf
from coaxtell.quiz.schedule import PAIR
from coaxtell.quiz.stock import Stock

NAME = "practise"
HOW = (
    "Answer with a letter and how sure you are in percent, such as b 80. "
    "Over many answers the honest figure earns most."
)

HELP = "practise for ten minutes: items on what is due or weak, each explained"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    record_args.add_records(parser)
    record_args.add_person(parser)
    parser.add_argument(
        "--minutes", type=float, default=SITTING_MINUTES, metavar="N", help=f"length of the sitting ({SITTING_MINUTES})"
    )
    parser.add_argument("--items", type=int, metavar="N", help="stop after so many items")
    parser.add_argument("--kinds", metavar="KINDS", help=f"only these, with commas: {', '.join(Kind)}")
    parser.add_argument("--ports", type=Path, metavar="FILE", help="only what touches the ports of this list")
    parser.add_argument("--pictures", choices=WAYS, default="auto", help=PICTURES_HELP)
    parser.add_argument("--seed", type=int, metavar="N", help="draw the items by this number, to have them again")


def run(args: argparse.Namespace) -> int:
    """One sitting."""
    if not 0 < args.minutes <= 600:
        raise InputError(f"--minutes {args.minutes:g} is no length of a sitting; give one above 0.")
    if args.items is not None and args.items < 1:
        raise InputError(f"--items {args.items} asks for nothing; give 1 or more.")
    person = record_args.person(args)
    stock = Stock(tables.load(args.tables).halves)
    ports = None if args.ports is None else list(read_ports(args.ports, stock)[1])
    chosen = kinds(args.kinds)
    with record_args.open_record(args, create=True) as store, Pictures(stock.halves, args.pictures) as pictures:
        print(f"Practice of {person}: {args.minutes:g} minutes, {sitting.STOP} stops.")
        print(textwrap.fill(HOW, sitting.WIDTH))
        found = shelf(stock, chosen, ports)
        if not found.tasks:
            raise InputError("No item touches these ports and kinds; leave out --ports or --kinds.")
        rng = Random(secrets.randbits(64) if args.seed is None else args.seed)
        practice = Practice(found, answers(store.events(person)))
        start = Started(id=str(uuid.uuid4()), time=datetime.now(UTC), person=person, mode=Mode.PRACTICE)
        end = time.monotonic() + 60 * args.minutes
        points, right, number = 0.0, 0, 0
        while True:
            name, task = practice.ask(datetime.now(UTC), rng)
            item = items.make(stock, task, rng)
            why = f"pair {name.removeprefix(PAIR).replace('|', ' and ')}" if name.startswith(PAIR) else name
            reply = sitting.ask(item, f"{number + 1}. {why}", pictures)
            if reply is None:
                break
            number += 1
            if number == 1:
                store.add(start)
            answer = answered(
                item, reply.chosen, reply.sure, event_id=str(uuid.uuid4()), time=datetime.now(UTC), person=person,
                sitting=start.id, number=number,
            )  # fmt: skip
            store.add(answer)
            practice = practice.tell(answer)
            points += answer.points
            right += answer.correct
            sitting.tell(item, reply, pictures)
            if number == args.items or time.monotonic() >= end:
                print("\nThat is all for this sitting.")
                break
            if not sitting.go_on():
                break
    print(f"\n{number} {'item' if number == 1 else 'items'}, {right} right, {points:+.0f} points.")
    if number:
        now = datetime.now(UTC)
        weak = [one.name for one in practice.schedule.held(now) if one.last_wrong and not one.name.startswith(PAIR)]
        print(textwrap.fill(f"To work on: {', '.join(weak)}." if weak else "Nothing was wrong last.", sitting.WIDTH))
        print("`coaxtell progress` shows what sits and what is due.")
    return 0


def kinds(words: str | None) -> list[Kind] | None:
    """The kinds named with commas; raises InputError for one that is not known."""
    if words is None:
        return None
    found = []
    for word in words.split(","):
        try:
            found.append(Kind(word.strip().lower()))
        except ValueError:
            raise InputError(f"{word.strip()!r} is no kind of item; choose from {', '.join(Kind)}.") from None
    return found


def read_ports(path: Path, stock: Stock) -> tuple[str, dict[str, int]]:
    """The site's name and its ports with their counts, from a port list.

    Raises InputError where the file cannot be read or used.
    """
    found = port_list.read(path, stock.halves)
    counts: dict[str, int] = {}
    for port in found.ports:
        counts[port.id] = counts.get(port.id, 0) + port.count
    return found.site, counts
