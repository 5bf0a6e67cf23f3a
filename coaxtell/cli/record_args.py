"""Where the record lies and who sits at it: arguments that the quiz commands share."""

from __future__ import annotations

import argparse
import getpass
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from coaxtell.folders import folder
from coaxtell.models.errors import InputError
from coaxtell.quiz.log import person_name
from coaxtell.records import VARIABLE

if TYPE_CHECKING:
    from coaxtell.quiz.store import Store


def add_records(parser: argparse.ArgumentParser) -> None:
    """Add --records."""
    parser.add_argument(
        "--records",
        metavar="PLACE",
        default=None,
        help=f"the record: a file, or a URL such as postgresql://user@host/name (else {VARIABLE}, else your own)",
    )


def add_person(parser: argparse.ArgumentParser) -> None:
    """Add --person."""
    parser.add_argument("--person", metavar="NAME", default=None, help="who answers (else your user name)")


def place(args: argparse.Namespace) -> str:
    """Where the record lies: as asked, else by the environment, else in the user's own data folder."""
    named: str | None = args.records or os.environ.get(VARIABLE)
    return named if named else str(folder("data") / "records.db")


def open_record(args: argparse.Namespace, create: bool, write: bool = True) -> Store:
    """Open the record, to read it only where `write` is off.

    Raises InputError where it cannot be used, or is not there and shall not be made.
    """
    from coaxtell.quiz.store import Store

    where = place(args)
    if create and not args.records and not os.environ.get(VARIABLE):
        try:
            Path(where).parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise InputError(f"{where} cannot be made ({error.strerror}); name a place with --records.") from None
    return Store(where, create=create, write=write)


def warn_of_damage(store: Store) -> None:
    """Say on standard error if what was read is not all as it was written."""
    number = store.damaged()
    if number:
        print(f"coaxtell: damaged events: {number}; `coaxtell records verify` lists them.", file=sys.stderr)


def person(args: argparse.Namespace) -> str:
    """Who answers; raises InputError where no name can be had."""
    if args.person is not None:
        return person_name(args.person)
    try:
        return person_name(getpass.getuser())
    except (OSError, KeyError, ImportError):
        raise InputError("Your user name cannot be found; give a name with --person.") from None
