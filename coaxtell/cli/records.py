"""`coaxtell records`: check the record, write it out, join two, delete a person."""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from coaxtell import files, folders, narrow, records, streams
from coaxtell.cli import record_args
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import InputError
from coaxtell.models.words import counted
from coaxtell.quiz import exchange, tries
from coaxtell.quiz.log import Event, ahead, person_name, split
from coaxtell.quiz.terms import taken
from coaxtell.quiz.words import say

if TYPE_CHECKING:
    from coaxtell.quiz.store import Store

NAME = "records"
HELP = "check the record of answers, write it out, join two, delete a person"

FAULTY = 1
"""Status where the record has faults, or some of what a phone hands over cannot join it."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    tasks = parser.add_subparsers(dest="task", metavar="TASK", required=True, parser_class=type(parser))
    verify = tasks.add_parser("verify", help="check that nothing is damaged or missing")
    verify.add_argument("--certificate", type=Path, metavar="FILE", help="check the signature of a certificate (.json)")
    verify.add_argument("--key", metavar="HEX", help="the lead's public key that it must be signed with")
    verify.add_argument("--rescue", type=Path, metavar="FILE", help="write what is whole into a new record")
    export = tasks.add_parser("export", help="write it as .csv or .json, or as xAPI statements (.jsonl)")
    export.add_argument("-o", dest="output", type=Path, required=True, metavar="FILE", help="what to write")
    export.add_argument("--person", metavar="NAME", help="one person only")
    export.add_argument(
        "--home-page", metavar="URL", default=exchange.HOME_PAGE, help="xAPI: the system that the names are of"
    )
    merge = tasks.add_parser("merge", help="add the answers of another record that this one lacks")
    merge.add_argument("other", metavar="OTHER", help="the other record: a file or a URL, or answers.json of a phone")
    forget = tasks.add_parser("forget", help="delete every answer of a person")
    forget.add_argument("person", metavar="NAME", help="who is to be forgotten")
    forget.add_argument("--yes", action="store_true", help="do not ask back")
    for task in (verify, export, merge, forget):
        record_args.add_records(task)


def run(args: argparse.Namespace) -> int:
    """Do the task."""
    status: int = {"verify": _verify, "export": _export, "merge": _merge, "forget": _forget}[args.task](args)
    return status


def _certificate(args: argparse.Namespace) -> int:
    from coaxtell import signing
    from coaxtell.quiz import certificate

    found = certificate.read(files.read_text(args.certificate).encode(), str(args.certificate))
    said = found.statement
    if not signing.holds(found, args.key):
        streams.told(f"{args.certificate}: the signature does not hold; do not rely on it.")
        return FAULTY
    print(f"{said.person}, ready for {said.site or 'these ports'} until {said.until[:10]}; signed for {found.lead}.")
    for line in said.remarks:
        print(line)
    if said.not_signed_off:
        print(f"Not seen done by hand: {len(said.not_signed_off)} lines of the checklist.")
    print(f"The key is {found.key}; ask the lead whether it is theirs.")
    if certificate.over(said, datetime.now(UTC)):
        streams.told(f"{args.certificate}: it ended on {said.until[:10]}; nobody is ready by it now.")
        return FAULTY
    return 0


def _verify(args: argparse.Namespace) -> int:
    if args.certificate is not None:
        return _certificate(args)
    where = folders.record(args.records)
    if "://" not in where:
        return _survey(Path(where), args.rescue) or _put_back(args)
    if args.rescue is not None:
        raise InputError("--rescue is for a record in a file; on a server its keeper has the backups.")
    with record_args.open_record(args, create=False, write=False) as store:
        count, problems = store.verify()
        whole = [] if problems else store.events()
        return _found(store.name, count, whole, store.persons(), problems) or _put_back(args)


def _survey(path: Path, new: Path | None) -> int:
    """Check a record's file, whatever became of it, and write what is whole into a new one where asked."""
    from coaxtell.quiz import rescue
    from coaxtell.quiz.store import Store, gaps

    if not path.is_file():
        Store(str(path), create=False, write=False).close()  # which says what is amiss
    if new is not None and new.exists():
        raise InputError(f"{new} exists already; name a new file to write what is whole into.")
    found = rescue.survey(path)
    persons = [event.person for event in found.whole]
    status = _found(str(path), found.rows, found.whole, persons, [*found.problems, *gaps(found.whole)])
    if new is not None:
        with Store(str(new)) as store:
            store.fill(found.whole)
        print(f"{len(found.whole)} whole events are written into {new}; {path} is as it was.")
    return status


def _found(name: str, count: int, whole: Sequence[Event], people: Iterable[str], problems: list[Reason]) -> int:
    for problem in problems:
        streams.told(say(problem))
    for event in ahead(whole, datetime.now(UTC)):
        print(f"coaxtell: event {event.id} is dated {event.time:%Y-%m-%d}, later than now; it counts as of now.")
    for sitting in split(whole):
        print(f"coaxtell: sitting {sitting} went on in two places; every answer of both counts.")
    for one in tries.of(whole):
        for said in taken(one):
            print(f"coaxtell: {one.start.person}, assessment of {one.start.time:%Y-%m-%d}: {said}.")
    persons = len({person.casefold() for person in people})
    print(f"{name}: {counted(count, 'event')} of {persons} {_people(persons)}, {counted(len(problems), 'fault')}.")
    print("The check sums find damage; they do not prove that nobody rewrote the record on purpose.")
    return FAULTY if problems else 0


def _put_back(args: argparse.Namespace) -> int:
    """Whether the record lacks answers of assessments that this machine has seen; whose they are is said."""
    with record_args.open_record(args, create=False, write=False) as store:
        return FAULTY if record_args.held(store).missing else 0


def _people(number: int) -> str:
    return "person" if number == 1 else "people"


def _export(args: argparse.Namespace) -> int:
    output: Path = args.output
    kind = files.kind(output, "the record is written as .csv, .json or .jsonl (xAPI)", ".csv", ".json", ".jsonl")
    if "://" not in args.home_page:
        raise InputError(f"--home-page {args.home_page!r} is no URL; write one such as https://training.example/.")
    person = None if args.person is None else person_name(args.person)
    with record_args.open_record(args, create=False, write=False) as store:
        events = store.events(person)
        record_args.warn_of_damage(store)
    if person is not None and not events:
        raise InputError(f"The record holds nothing of {person!r}; `coaxtell progress --team` lists who is in it.")
    now = datetime.now(UTC)
    if kind == ".csv":
        # the mark at the start tells spreadsheets that the file is UTF-8
        text = "\ufeff" + exchange.as_csv(events, now)
    else:
        text = exchange.as_json(events, now) if kind == ".json" else exchange.as_xapi(events, now, args.home_page)
    files.write(output, lambda aside: files.void(aside.write_text(text, encoding="utf-8", newline="")))
    print(f"{len(events)} events in {output}.")
    return 0


def _merge(args: argparse.Namespace) -> int:
    from coaxtell.quiz.store import Store

    events = None
    if Path(args.other).suffix.lower() == ".json":
        events = exchange.from_json(files.read_text(Path(args.other)), args.other)
    left_out: list[Reason] = []
    with record_args.open_record(args, create=True) as store, tempfile.TemporaryDirectory() as aside:
        where = args.other
        if events is not None:
            # answers of a phone become a record of their own first, so that one rule joins both
            events, left_out = _sound(events, store)
            where = str(Path(aside) / "answers.db")
            with Store(where, create=True) as made:
                for event in events:
                    made.add(event)
        with Store(where, create=False, write=False) as other:
            done = store.merge(other)
    print(f"{done.added} events added, {done.known} known already.")
    if done.forgotten:
        print(f"{done.forgotten} were left out: their person was deleted here.")
    for why in left_out:
        streams.told(say(why))
    return FAULTY if left_out else 0


def _sound(events: list[Event], store: Store) -> tuple[list[Event], list[Reason]]:
    """The answers of a phone that can join the record, and why the others cannot."""
    from coaxtell.models import tables
    from coaxtell.quiz import handed
    from coaxtell.quiz.stock import Stock

    starts = {event.id for event in events}
    apart = any(event.sitting not in starts for event in events)
    begun = {event.sitting: event.person for event in reversed(store.events())} if apart else {}
    return handed.sound(events, Stock(tables.load().halves), begun, datetime.now(UTC))


def _forget(args: argparse.Namespace) -> int:
    person = person_name(args.person)
    with record_args.open_record(args, create=False) as store:
        if person not in store.persons() and store.spellings(person) == [person]:
            raise InputError(f"The record holds nothing of {person!r}; `coaxtell progress --team` lists who is in it.")
        if not args.yes:
            try:
                said = input(narrow.prompt(f"Delete everything of {person} for good? Type the name again: "))
            except EOFError:
                said = ""
            if said.strip() != person:
                print("Nothing was deleted.")
                return 0
        count = records.forget(store, person)
    print(f"{count} events of {person} are deleted.")
    print("Copies elsewhere (backups, other laptops, exports) are not; joining one of those does not bring them back.")
    return 0
