"""The record as terminal and window use it: what names it, and what a sitting at this machine gets from outside."""

from __future__ import annotations

import getpass
import hashlib
import os
import secrets
import uuid
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from coaxtell import files, seen
from coaxtell.folders import HOME, RECORDS, folder, own_record
from coaxtell.models.errors import InputError
from coaxtell.quiz.item import Item

if TYPE_CHECKING:
    from coaxtell.quiz.log import Event
    from coaxtell.quiz.sitting import Outside
    from coaxtell.quiz.store import Store

SECRET = "assessments.key"
"""The file of this machine's secret."""
SECRET_BYTES = 32
"""Length of the secret; a shorter file was never written to its end."""


def opened(where: str, create: bool = True, write: bool = True) -> Store:
    """Open the record, to read it only where `write` is off; the user's own folder is made where it is missing.

    Raises InputError where it cannot be used, or is not there and shall not be made.
    """
    from coaxtell.quiz.store import Store

    own = own_record()
    if create and where == str(own):
        try:
            own.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise InputError(
                f"{where} cannot be made ({error.strerror}); name a place with --records or {RECORDS}."
            ) from None
    return Store(where, create=create, write=write)


def user_name() -> str:
    """The name of who sits here as the system knows it; empty where it does not."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""


def outside(store: Store, person: str, rng: Random) -> Outside:
    """What a sitting of this person gets: the record, this machine's clock and ids, and the chance handed in.

    Raises InputError where this machine's secret cannot be kept.
    """
    from coaxtell.quiz.sitting import Outside  # whoever only reads the record needs none of what sittings need

    key = _secret()
    return Outside(
        person, store.add, lambda: datetime.now(UTC), lambda: str(uuid.uuid4()), rng, key,
        machine=seen.machine(store, person, key),
    )  # fmt: skip


class Held(NamedTuple):
    """The events of a record with what this machine has seen and the record lacks; by person how many answers those
    are."""

    events: list[Event]
    missing: dict[str, int]


def held(store: Store, person: str | None = None) -> Held:
    """What a record holds, or holds of one person, and what it lacks of the assessments that this machine has seen.

    Raises InputError where the record cannot be read.
    """
    from coaxtell.quiz.log import in_order
    from coaxtell.quiz.machine import lacking

    events = store.events(person)
    missing: dict[str, int] = {}
    if not (folder("data") / SECRET).is_file():
        return Held(events, missing)
    key = _secret()
    for name in {name.casefold(): name for name in (store.persons() if person is None else [person])}.values():
        lacks = lacking(events, seen.seen(store, name, key))
        events += lacks.events
        if lacks.events:
            missing[name] = sum(lacks.answers.values())
    return Held(in_order(events), missing)


def forget(store: Store, person: str) -> int:
    """Delete every event of a person, and what this machine has seen of their assessments; how many events there were.

    Raises InputError where they cannot be deleted.
    """
    if (folder("data") / SECRET).is_file():
        seen.forget(person, _secret())
    return store.forget(person)


def going_on(store: Store, person: str, rng: Random) -> Outside:
    """As `outside`, with the item of practice that this person left unanswered, kept beside the record."""
    server = "://" in store.name
    path = folder("data") / "asked.json" if server else Path(f"{store.name}.asked")
    whose = hashlib.sha256(f"{store.name if server else ''}|{person.casefold()}".encode()).hexdigest()[:16]

    def kept() -> dict[str, Item]:
        # what cannot be read is not carried over; nothing of the record hangs on it
        with suppress(OSError, msgspec.MsgspecError):
            return msgspec.json.decode(path.read_bytes(), type=dict[str, Item])
        return {}

    def leave(item: Item | None) -> None:
        found = {name: one for name, one in kept().items() if name != whose}
        if item is not None:
            found[whose] = item
        with suppress(InputError):
            files.write(path, lambda aside: files.void(aside.write_bytes(msgspec.json.encode(found))))

    return outside(store, person, rng)._replace(left=lambda: kept().get(whose), leave=leave)


def _secret() -> bytes:
    """This machine's secret for the items of assessments, made once and kept beside the record, not in it.

    Raises InputError where it cannot be kept.
    """
    from coaxtell.quiz.turns import turn

    path = folder("data") / SECRET
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with suppress(FileNotFoundError):
            if len(kept := path.read_bytes()) >= SECRET_BYTES:
                return kept
        with turn(path.with_suffix(".turn"), seen.WAIT_S):
            # another process may have made it meanwhile; one that was stopped may have left it short
            if not path.is_file() or path.stat().st_size < SECRET_BYTES:
                aside = path.with_suffix(f".{os.getpid()}.tmp")
                with os.fdopen(os.open(aside, os.O_CREAT | os.O_TRUNC | os.O_WRONLY, 0o600), "wb") as new:
                    new.write(secrets.token_bytes(SECRET_BYTES))
                aside.replace(path)
            return path.read_bytes()
    except OSError as error:
        raise InputError(f"{path} cannot be kept ({error.strerror}); set {HOME} to a folder of yours.") from None
