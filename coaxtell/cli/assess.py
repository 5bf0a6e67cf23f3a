"""`coaxtell assess`: the test before site work, with its error rates stated; it can pause and go on."""

from __future__ import annotations

import argparse
from pathlib import Path
from random import SystemRandom

from coaxtell import kept_items
from coaxtell.cli import record_args, sitting
from coaxtell.cli.item_pictures import HELP as PICTURES_HELP
from coaxtell.cli.item_pictures import WAYS, Pictures
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.port_list import counted
from coaxtell.quiz import words
from coaxtell.quiz.assessment import Result
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.sitting import Assessing, ChangedError, Wrong
from coaxtell.quiz.terms import came_to, changed, lost, supports, terms
from coaxtell.quiz.trial import Part
from coaxtell.quiz.words import word
from coaxtell.records import outside

NAME = "assess"
HELP = "take the test before site work: ready, not yet, or undecided so far"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    record_args.add_records(parser)
    record_args.add_person(parser)
    parser.add_argument("--ports", type=Path, metavar="FILE", help="the site's port list; else all ports")
    parser.add_argument(
        "--new",
        action="store_true",
        help="begin a new one where one is undecided, which then counts as lost if it was answered at all",
    )
    parser.add_argument("--pictures", choices=WAYS, default="auto", help=PICTURES_HELP)


def run(args: argparse.Namespace) -> int:
    """Begin an assessment or go on with one, until it is decided or paused.

    Raises InputError where the ports do not serve, or an assessment that was left cannot go on.
    """
    person = record_args.person(args)
    stock = kept_items.stock(tables.load(args.tables).halves)
    site, ports = ("", None) if args.ports is None else counted(args.ports, stock.halves)
    plan = Blueprint(stock, ports)
    with record_args.open_record(args, create=True) as store, Pictures(stock.halves, args.pictures) as pictures:
        outer = outside(store, person, SystemRandom())
        try:
            test = Assessing(plan, site, store.events(person), outer, args.new)
        except ChangedError:
            raise InputError(changed("begin a new one with --new.")) from None
        _state_terms(test, person, pictures)
        test.begin()
        while (item := test.item()) is not None:
            reply = sitting.ask(item, f"Item {test.number}", pictures)
            if pictures.in_words:
                test.without_pictures()
            if reply is None:
                break
            test.answer(reply.chosen, reply.sure)
            print("Noted.")
        first, *others = result_words(test.result())
        print(f"\n{first}\n" + "\n".join(_indented(line) for line in others))
        if test.result().verdict is not Decision.UNDECIDED:
            _review(test.wrong)
    return 0


def _state_terms(test: Assessing, person: str, pictures: Pictures) -> None:
    """What the assessment draws from, how often it errs, and which try this is: all before the first item."""
    print(f"Assessment of {person}" + (f", {test.site}" if test.site else "") + f": try {test.try_number}.")
    for one in test.earlier:
        print(f"  Try {one.number}, {one.start.time:%Y-%m-%d}: {word(one.verdict)} after {one.items} items.")
    for line in test.noticed:
        print(_indented(line))
    if pictures.in_words:
        print(_indented("Without pictures: that is noted, and stands in the progress and on the certificate."))
    if test.number > 1:
        print("It goes on where it was paused; the answers so far count.")
    for line in terms(test.plan, test.terms):
        print(_indented(line))
    print(_indented(supports()))
    print(_indented(f"Nothing is told of an answer until the end. {sitting.STOP} pauses; `coaxtell assess` goes on."))


def _indented(line: str) -> str:
    return wrapped(line, "  ", "    ")


def result_words(result: Result) -> list[str]:
    """Where an assessment stands, in sentences; before the verdict none of them tells of an answer."""
    lines = [f"After {result.items} {'item' if result.items == 1 else 'items'}: {word(result.verdict)}."]
    if result.verdict is Decision.UNDECIDED:
        return [
            *lines,
            "The answers so far say neither; go on when you like, nothing is lost. What was right is told at the end.",
            supports(),
        ]
    return [*lines, *(came_to(result, part) for part in Part), *filter(None, [lost(result)]), supports()]


def _review(wrong: list[Wrong]) -> None:
    """The items answered wrong in this sitting, with what was answered, their reasons and cautions."""
    if wrong:
        print("\nAnswered wrong in this sitting:")
    for item, chosen in wrong:
        said = words.of(item)
        print(f"\n- {words.kind(item.task.kind)}: {item.task.a}, {item.task.b}")
        print(wrapped(f"You said: {said.options[chosen]}.", "  "))
        print(wrapped(f"Right: {said.options[item.right]}.", "  "))
        for reason in said.reasons:
            print(wrapped(reason, "  "))
        print(wrapped(f"What tells: {said.look}", "  "))
        for caution in said.cautions:
            print(wrapped(f"Caution: {caution}", "  "))
