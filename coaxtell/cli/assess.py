"""`coaxtell assess`: the test before site work, with its error rates stated; it can pause and go on."""

from __future__ import annotations

import argparse
import secrets
import textwrap
import uuid
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from coaxtell.cli import record_args, sitting
from coaxtell.cli.item_pictures import HELP as PICTURES_HELP
from coaxtell.cli.item_pictures import WAYS, Pictures
from coaxtell.cli.practise import read_ports
from coaxtell.models import tables
from coaxtell.quiz.assessment import SUPPORTS, Result, error_words, replayed
from coaxtell.quiz.blueprint import Blueprint, Part, blueprint, words
from coaxtell.quiz.item import Item
from coaxtell.quiz.log import Answered, Mode, Started, answered
from coaxtell.quiz.overview import Try, tries
from coaxtell.quiz.readiness import CLAIM, PRIOR_WORDS
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.stock import Stock

if TYPE_CHECKING:
    from coaxtell.quiz.store import Store

NAME = "assess"
HELP = "take the test before site work: ready, not yet, or undecided so far"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    record_args.add_records(parser)
    record_args.add_person(parser)
    parser.add_argument("--ports", type=Path, metavar="FILE", help="the site's port list; else all ports")
    parser.add_argument("--new", action="store_true", help="begin a new one even where one is still undecided")
    parser.add_argument("--pictures", choices=WAYS, default="auto", help=PICTURES_HELP)


def run(args: argparse.Namespace) -> int:
    """Begin an assessment or go on with one, until it is decided or paused."""
    person = record_args.person(args)
    stock = Stock(tables.load(args.tables).halves)
    site, ports = ("", None) if args.ports is None else read_ports(args.ports, stock)
    plan = blueprint(stock, ports)
    with record_args.open_record(args, create=True) as store, Pictures(stock.halves, args.pictures) as pictures:
        events = store.events(person)
        earlier = tries(events)
        start, told = _start(person, site, plan, earlier, store, args.new)
        _state_terms(plan, earlier, start, bool(told))
        state = replayed(plan, start, told)
        wrong: list[Item] = []
        while (item := state.item(stock)) is not None:
            ahead = state.tell(True).item(stock)
            pictures.foresee(None if ahead is None else ahead.picture)
            reply = sitting.ask(item, f"Item {state.told + 1}", pictures)
            if reply is None:
                break
            answer = answered(
                item, reply.chosen, reply.sure, event_id=str(uuid.uuid4()), time=datetime.now(UTC), person=person,
                sitting=start.id, number=state.told + 1,
            )  # fmt: skip
            store.add(answer)
            print("Noted.")
            state = state.tell(answer.correct)
            if not answer.correct:
                wrong.append(item)
        first, *others = result_words(state.result())
        print(f"\n{first}\n" + "\n".join(_indented(line) for line in others))
        if state.verdict is not Decision.UNDECIDED:
            _review(wrong)
    return 0


def _start(
    person: str, site: str, plan: Blueprint, earlier: list[Try], store: Store, new: bool
) -> tuple[Started, list[Answered]]:
    """The start to go on with, and its answers; a new start is recorded at once."""
    last = earlier[-1] if earlier else None
    if last is not None and not new and last.verdict is Decision.UNDECIDED and last.start.ports == plan.ports:
        return last.start, [event for event in store.events(sitting=last.start.id) if isinstance(event, Answered)]
    start = Started(
        id=str(uuid.uuid4()),
        time=datetime.now(UTC),
        person=person,
        mode=Mode.ASSESSMENT,
        seed=secrets.randbits(48),
        site=site,
        ports=plan.ports,
        blueprint=plan.fingerprint,
    )
    store.add(start)
    return start, []


def _state_terms(plan: Blueprint, earlier: list[Try], start: Started, resumed: bool) -> None:
    """What the assessment draws from, how often it errs, and which try this is: all before the first item."""
    again = any(one.start.id == start.id for one in earlier)
    number = len(earlier) + (0 if again else 1)
    print(f"Assessment of {start.person}" + (f", {start.site}" if start.site else "") + f": try {number}.")
    for one in earlier:
        if one.start.id != start.id:
            print(f"  Try {one.number}, {one.start.time:%Y-%m-%d}: {one.verdict.value} after {one.items} items.")
    if resumed:
        print("It goes on where it was paused; the answers so far count.")
    for line in (*words(plan), *error_words()):
        print(_indented(line))
    print(_indented(SUPPORTS))
    print(_indented(f"Nothing is told of an answer until the end. {sitting.STOP} pauses; `coaxtell assess` goes on."))


def _indented(line: str) -> str:
    return textwrap.fill(line, sitting.WIDTH, initial_indent="  ", subsequent_indent="    ")


def result_words(result: Result) -> list[str]:
    """Where an assessment stands, in sentences; before the verdict none of them tells of an answer."""
    lines = [f"After {result.items} {'item' if result.items == 1 else 'items'}: {result.verdict.value}."]
    if result.verdict is Decision.UNDECIDED:
        return [
            *lines,
            "The answers so far say neither; go on when you like, nothing is lost. What was right is told at the end.",
            SUPPORTS,
        ]
    for part in Part:
        count = result.counts[part]
        lines.append(
            f"{part.value.capitalize()} items: {count.right} right, {count.wrong} wrong: "
            f"{result.decisions[part].value}. P(true rate > {CLAIM:.2f}) = {result.above[part]:.1%}."
        )
    lines.append(f"For P, {PRIOR_WORDS}; it is stated apart and decides nothing.")
    lines.append(SUPPORTS)
    return lines


def _review(wrong: list[Item]) -> None:
    """The items answered wrong in this sitting, with their reasons."""
    if wrong:
        print("\nAnswered wrong in this sitting:")
    for item in wrong:
        print(f"\n- {item.question}\n  Right: {item.option(item.right).words}.\n  {item.explanation.reasons[0]}")
        print(f"  What tells: {item.explanation.look}")
