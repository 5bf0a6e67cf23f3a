"""Where the record lies and who sits at it: arguments that the quiz commands share."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from coaxtell import folders, records, streams
from coaxtell.folders import RECORDS
from coaxtell.models.errors import InputError
from coaxtell.quiz.log import person_name

if TYPE_CHECKING:
    from coaxtell.quiz.store import Store


def add_records(parser: argparse.ArgumentParser) -> None:
    """Add --records."""
    parser.add_argument(
        "--records",
        metavar="PLACE",
        default=None,
        help=f"the record: a file, or a URL such as postgresql://user@host/name (else {RECORDS}, else your own)",
    )


def add_person(parser: argparse.ArgumentParser) -> None:
    """Add --person."""
    parser.add_argument("--person", metavar="NAME", default=None, help="who answers (else your user name)")


def open_record(args: argparse.Namespace, create: bool, write: bool = True) -> Store:
    """Open the record that was named; raises InputError as `records.opened` does."""
    return records.opened(folders.record(args.records), create, write)


def warn_of_damage(store: Store) -> None:
    """Say on standard error if what was read is not all as it was written."""
    number = store.damaged()
    if number:
        streams.told(f"damaged events: {number}; `coaxtell records verify` lists them.")


def held(store: Store, name: str | None = None) -> records.Held:
    """What a record holds, or holds of one person; what it lacks that this machine has seen goes to standard error."""
    found = records.held(store, name)
    for whose, number in found.missing.items():
        streams.told(
            f"this record was put back to an earlier state: {number} answers of assessments of {whose} that "
            "this machine has seen are missing. They count here; the next `coaxtell assess` writes them again."
        )
    return found


def person(args: argparse.Namespace) -> str:
    """Who answers; raises InputError where no name can be had."""
    if args.person is not None:
        return person_name(args.person)
    name = records.user_name()
    if not name:
        raise InputError("Your user name cannot be found; give a name with --person.")
    return person_name(name)
