"""What this machine has seen of assessments, kept in the user's own folder beside the secret of their items.

A file for each person, under a name that only this machine's secret makes. A record that is put back to an earlier
state, or copied, is held against it; see `quiz/machine.py` for what that is good for.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from coaxtell import files
from coaxtell.folders import HOME, folder
from coaxtell.models.errors import InputError

if TYPE_CHECKING:
    from coaxtell.quiz.log import Event
    from coaxtell.quiz.machine import Machine, Seen
    from coaxtell.quiz.store import Store

KEPT = timedelta(days=400)
"""How long what was seen is kept: over a year, which is longer than anything of it counts."""
WAIT_S = 10
"""How long a process waits for another that writes [s]."""


class _Line(msgspec.Struct, frozen=True):
    """An event as its record keeps it, and that record's place."""

    place: str
    body: str


class _File(msgspec.Struct, frozen=True):
    """What is kept of a person: events by id, and for each sitting the chance of the item asked now, with how many
    answers came before it."""

    events: dict[str, _Line] = {}
    asked: dict[str, tuple[int, str]] = {}


def machine(store: Store, person: str, secret: bytes) -> Machine:
    """What this machine knows of a person's assessments, for a sitting at a record."""
    from coaxtell.quiz.log import Answered, Started, encode
    from coaxtell.quiz.machine import Machine

    path, place = _path(person, secret), _place(store)

    def note(event: Event) -> None:
        with suppress(InputError), _open(path) as kept:  # what cannot be kept is refused before the next item
            lines, asked = kept.events, dict(kept.asked)
            if isinstance(event, Answered):
                asked.pop(event.sitting, None)
            elif isinstance(event, Started):
                lines = {name: line for name, line in lines.items() if _counts(line, event.time - KEPT)}
            _write(path, _File({**lines, event.id: _Line(place, encode(event))}, asked))

    def draw(sitting: str, told: int) -> str:
        with _open(path) as kept:
            number, chance = kept.asked.get(sitting, (-1, ""))
            if number != told:
                chance = secrets.token_hex(16)
                _write(path, _File(kept.events, {**kept.asked, sitting: (told, chance)}))
            return chance

    return Machine(True, lambda: seen(store, person, secret), note, draw)


def seen(store: Store, person: str, secret: bytes) -> Seen:
    """The events of a person's assessments that this machine has seen, without those that were deleted."""
    from coaxtell.quiz.machine import Seen

    kept, place = _read(_path(person, secret)), _place(store)
    gone = store.forgotten() if kept.events else set()
    lines = [line for event_id, line in kept.events.items() if event_id not in gone]
    found = [(line.place == place, event) for line in lines if (event := _event(line)) is not None]
    return Seen(tuple(event for here, event in found if here), tuple(event for here, event in found if not here))


def _event(line: _Line) -> Event | None:
    """The event of a line; none where this program cannot read it, as of a later one."""
    from coaxtell.quiz.log import decode

    with suppress(ValueError):
        return decode(line.body)
    return None


def _counts(line: _Line, since: datetime) -> bool:
    """Whether a line is kept: one that cannot be read is, for the program that wrote it."""
    event = _event(line)
    return event is None or event.time > since


def forget(person: str, secret: bytes) -> None:
    """Delete what was seen of a person. Raises InputError where it cannot be deleted."""
    path = _path(person, secret)
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise InputError(f"{path} cannot be deleted ({error.strerror}); delete it yourself.") from None


def _path(person: str, secret: bytes) -> Path:
    name = hashlib.blake2b(person.casefold().encode(), key=secret[:64], digest_size=16).hexdigest()
    return folder("data") / "assessments" / f"{name}.json"


def _place(store: Store) -> str:
    return store.name if "://" in store.name else str(Path(store.name).resolve())


def _read(path: Path) -> _File:
    # a file that cannot be read says nothing: a try goes on as on another machine, and that is noted
    with suppress(OSError, msgspec.MsgspecError):
        return msgspec.json.decode(path.read_bytes(), type=_File)
    return _File()


@contextmanager
def _open(path: Path) -> Iterator[_File]:
    """What is kept, while no other process writes; raises InputError where the folder cannot be made."""
    from coaxtell.quiz.turns import turn

    files.make_folder(path.parent, f"set {HOME} to a folder of yours")
    with turn(path.with_suffix(".turn"), WAIT_S):
        yield _read(path)


def _write(path: Path, kept: _File) -> None:
    files.write(path, lambda aside: files.void(aside.write_bytes(msgspec.json.encode(kept))))
