"""The record: an append-only table of events in a file, or on any server that SQLAlchemy reaches.

An answer is acknowledged when `add` returns, and from then on survives the death of the process. Writers at one file
take turns. Beside its damaged files (`rescue`) this is the one module of the quiz that reads and writes.
"""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from pathlib import Path
from types import TracebackType
from typing import Self

import msgspec

from coaxtell.models.catalogue import Reason, Value
from coaxtell.models.errors import RefusedError
from coaxtell.quiz import log, migrations
from coaxtell.quiz.link import File, Link, LinkError, MovedError, Talk, pending
from coaxtell.quiz.log import Answered, Event, Started
from coaxtell.quiz.turns import turn

WAIT_S = 60
"""How long a process waits for the others that write [s]."""

LOCK = 4_150_711
"""Key of the server's advisory lock under which the schema is brought up."""

COLUMNS = ("id", "person", "sitting", "body", "digest")
ALL = f"SELECT {', '.join(COLUMNS)} FROM events"
ADD = f"INSERT INTO events ({', '.join(COLUMNS)}) VALUES ({', '.join(f':{name}' for name in COLUMNS)})"
FORGOTTEN = "SELECT id FROM forgotten"
DAMAGE = ("malformed", "not a database", "Could not decode")
"""In what SQLite says of a damaged file."""


class Merged(msgspec.Struct, frozen=True):
    """What joining another record did: events added, known already, and left out as deleted here."""

    added: int
    known: int
    forgotten: int


class Store:
    """One record, open. Use it in a `with` block, or close it."""

    def __init__(
        self,
        where: str,
        create: bool = True,
        write: bool = True,
        steps: Sequence[migrations.Step] = migrations.STEPS,
    ) -> None:
        """Open a record and bring its schema up; without `write` nothing of it is changed, and a file that may only be
        read will do.

        Raises InputError where it cannot be reached, was made by a newer program, holds no record that can be read
        without a change, or does not exist and shall not be created.
        """
        self.name = where
        self._turn_at: Path | None = None
        self._link: Link
        place: str | None = where
        if "://" in where:
            from coaxtell.quiz import server

            url = server.as_url(where)
            self.name = url.render_as_string(hide_password=True)
            place = (url.database or ":memory:") if url.get_backend_name() == "sqlite" else None
            if place is None:
                self._link = server.Server(url)
        sealed = False
        self._lite = place is not None
        if place is not None:
            sealed = place != ":memory:" and self._sealed(Path(place), create, write)
            self._link = File(place, WAIT_S, sealed, write)
        try:
            if write:
                self._bring_up(steps)
            else:
                self._check(steps)
        except BaseException:
            self._link.close()
            raise

    def _sealed(self, path: Path, create: bool, write: bool) -> bool:
        """Whether a file may be read and nothing else; raises InputError where there is none and can be none."""
        if path.is_dir():
            raise RefusedError("quiz.folder", path=str(path))
        if not path.is_file() and pending(path):
            raise RefusedError("quiz.left_behind", path=str(path), notes=shlex.quote(f"{path}-wal"))
        if not create and not path.is_file():
            raise RefusedError("quiz.no_record", path=str(path))
        if not path.absolute().parent.is_dir():
            raise RefusedError("quiz.no_folder", path=str(path))
        if not write and not _may_write(path):
            return True
        self._turn_at = path.with_name(f"{path.name}-turn")
        return False

    def _bring_up(self, steps: Sequence[migrations.Step]) -> None:
        with self._writing() as talk:
            if talk.dialect == "postgresql":
                talk.rows("SELECT pg_advisory_xact_lock(:key)", {"key": LOCK})
            if migrations.version(talk) > len(steps):
                raise RefusedError("quiz.newer", name=self.name)
            migrations.bring_up(talk, steps)

    def _check(self, steps: Sequence[migrations.Step]) -> None:
        """Refuse a record that is only to be read and whose tables are not those of today."""
        with self._reading() as talk:
            found = migrations.version(talk)
        if found > len(steps):
            raise RefusedError("quiz.newer", name=self.name)
        if found == 0:
            raise RefusedError("quiz.no_events", name=self.name)
        if found < min(migrations.SAME_TABLES, len(steps)):
            raise RefusedError("quiz.older", name=self.name)

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Tell what a server or file refuses in one sentence."""
        try:
            yield
        except MovedError as error:
            kept = Reason("refused.kept" if error.kept else "refused.not_kept", {"kept": error.kept})
            raise RefusedError("quiz.moved", name=self.name, kept=kept) from None
        except LinkError as error:
            broken = error.words is None or any(sign in error.words for sign in DAMAGE)
            advice = self._mended() if broken else Reason("refused.check_place")
            reason = error.words if error.words is not None else Reason("refused.torn")
            raise RefusedError("quiz.unusable", name=self.name, reason=reason, advice=advice) from None

    def _mended(self) -> Reason:
        """What helps a damaged record: a file can be rescued, a server's keeper has its copies."""
        if "://" in self.name:
            return Reason("refused.last_copy")
        return Reason("refused.rescue", {"name": shlex.quote(self.name)})

    @contextmanager
    def _writing(self) -> Iterator[Talk]:
        with self._told(), self._my_turn(), self._link.talk(write=True) as talk:
            yield talk

    def _my_turn(self) -> AbstractContextManager[None]:
        """Wait for the others that write to the same file; a server does that itself."""
        return nullcontext() if self._turn_at is None else turn(self._turn_at, WAIT_S)

    @contextmanager
    def _reading(self) -> Iterator[Talk]:
        with self._told(), self._link.talk(write=False) as talk:
            yield talk

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, value: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the record."""
        self._link.close()

    def add(self, event: Event) -> None:
        """Write one event; when this returns, it stays. The same event twice is written once.

        Raises InputError where another event has its id, or the record cannot be written.
        """
        row = _row(event)
        try:
            with self._my_turn(), self._link.talk(write=True) as talk:
                talk.do(ADD, [row])
        except LinkError as error:
            if not error.taken:
                with self._told():
                    raise
            with self._reading() as talk:
                held = talk.rows("SELECT body FROM events WHERE id = :id", {"id": event.id})
            if held != [(row["body"],)]:
                raise RefusedError("quiz.taken_id", name=self.name, id=event.id) from None

    def fill(self, events: Sequence[Event]) -> None:
        """Write events into a record that holds none of them, all or none.

        Raises InputError where the record cannot be written.
        """
        with self._writing() as talk:
            if events:
                talk.do(ADD, [_row(event) for event in events])

    def events(self, person: str | None = None, sitting: str | None = None) -> list[Event]:
        """The events in order of replay, those of one person or sitting where it is named.

        Raises InputError where an event cannot be read.
        """
        wanted: list[str] = []
        values: dict[str, object] = {}
        if person is not None:
            among, values = _among(self.spellings(person))
            wanted.append(f"person IN {among}")
        if sitting is not None:
            wanted.append("sitting = :sitting")
            values["sitting"] = sitting
        query = "SELECT id, body FROM events" + (f" WHERE {' AND '.join(wanted)}" if wanted else "")
        found: list[Event] = []
        with self._reading() as talk:
            for event_id, body in talk.rows(query, values):
                try:
                    found.append(log.decode(_letters(body)))
                except ValueError:
                    raise RefusedError("quiz.damaged", name=self.name, event_id=event_id) from None
        return log.in_order(found)

    def damaged(self) -> int:
        """How many events have a text that differs from its check sum."""
        with self._reading() as talk:
            return sum(not _whole(body, digest) for body, digest in talk.rows("SELECT body, digest FROM events"))

    def spellings(self, person: str) -> list[str]:
        """The names in the record that differ from this one in capitals or blanks alone; else the name itself."""
        same = [name for name in self.persons() if log.one_blank(name).casefold() == log.one_blank(person).casefold()]
        return same or [person]

    def persons(self) -> list[str]:
        """Everyone who has an event, by name."""
        with self._reading() as talk:
            found = talk.rows("SELECT DISTINCT person FROM events")
            return sorted(name for (name,) in found if isinstance(name, str))

    def forgotten(self) -> set[str]:
        """Ids of the events that were deleted with their person."""
        with self._reading() as talk:
            return {event_id for (event_id,) in talk.rows(FORGOTTEN)}

    def verify(self) -> tuple[int, list[Reason]]:
        """How many events there are, and what is wrong with the record."""
        problems: list[Reason] = []
        found: list[Event] = []
        with self._reading() as talk:
            if self._lite:
                said = [line for (line,) in talk.rows("PRAGMA integrity_check")]
                problems += [Reason("fault.file", {"words": line}) for line in said if line != "ok"]
            rows = talk.rows(ALL)
        for event_id, person, sitting, body, digest in rows:
            if not isinstance(body, str):
                problems.append(Reason("fault.no_text", {"id": str(event_id)}))
                continue
            if not _whole(body, digest):
                problems.append(Reason("fault.sum", {"id": str(event_id)}))
                continue
            try:
                event = log.decode(body)
            except ValueError as error:
                problems.append(Reason("fault.unread", {"id": str(event_id), "error": str(error)}))
                continue
            if (event.id, event.person, event.sitting) != (event_id, person, sitting):
                problems.append(Reason("fault.columns", {"id": str(event_id)}))
            found.append(event)
        return len(rows), problems + gaps(found)

    def merge(self, other: Store) -> Merged:
        """Add the events of another record that this one lacks; what was deleted here stays deleted.

        Raises InputError, with nothing added, where the other record is damaged or contradicts this one.
        """
        with other._reading() as talk:
            rows = [dict(zip(COLUMNS, row, strict=True)) for row in talk.rows(ALL)]
        broken = [row["id"] for row in rows if not _sound(row)]
        if broken:
            raise RefusedError(
                "quiz.damaged_other", name=other.name, count=len(broken), first=str(broken[0]), advice=other._mended()
            )
        with self._writing() as talk:
            here = dict(talk.rows("SELECT id, digest FROM events"))
            gone = {event_id for (event_id,) in talk.rows(FORGOTTEN)}
            clash = [row["id"] for row in rows if here.get(row["id"], row["digest"]) != row["digest"]]
            if clash:
                raise RefusedError("quiz.differs", name=other.name, clash=clash[0])
            new = [row for row in rows if row["id"] not in here and row["id"] not in gone]
            if new:
                talk.do(ADD, new)
        left_out = sum(row["id"] in gone for row in rows)
        return Merged(added=len(new), known=len(rows) - len(new) - left_out, forgotten=left_out)

    def forget(self, person: str) -> int:
        """Delete every event of a person; only bare ids stay, so that a merge does not bring them back.

        Returns how many there were. On SQLite the file is rewritten, so that the name is gone from the disk's
        file too; a server's backups are its keeper's. Raises InputError where the record cannot be written.
        """
        among, values = _among(self.spellings(person))
        with self._writing() as talk:
            ids = talk.rows(f"SELECT id FROM events WHERE person IN {among}", values)
            if ids:
                talk.do("INSERT INTO forgotten (id) VALUES (:id)", [{"id": event_id} for (event_id,) in ids])
                talk.do(f"DELETE FROM events WHERE person IN {among}", [values])
        if ids:
            with self._told(), self._my_turn():
                self._link.rewrite()
        return len(ids)


def _among(names: Sequence[str]) -> tuple[str, dict[str, object]]:
    """Names as a list in a statement, with the values that stand for them."""
    values: dict[str, object] = {f"name{place}": name for place, name in enumerate(names)}
    return f"({', '.join(f':{key}' for key in values)})", values


def _may_write(path: Path) -> bool:
    """True where the file may be written, and beside it the notes that SQLite keeps of what is under way."""
    return os.access(path, os.W_OK) and os.access(path.absolute().parent, os.W_OK)


def _row(event: Event) -> dict[str, str]:
    body = log.encode(event)
    return {
        "id": event.id,
        "person": event.person,
        "sitting": event.sitting,
        "body": body,
        "digest": log.digest(body),
    }


def _letters(body: object) -> str:
    """An event's text as its column gave it; raises ValueError where a damaged file gives bare bytes or nothing."""
    if not isinstance(body, str):
        raise ValueError(body)
    return body


def _whole(body: object, digest: object) -> bool:
    """Whether a column holds an event's text, with its check sum."""
    return isinstance(body, str) and log.digest(body) == digest


def _sound(row: Mapping[str, object]) -> bool:
    """Whether a row holds an event, whole, and its columns say what its text says."""
    body = row["body"]
    if not isinstance(body, str) or not _whole(body, row["digest"]):
        return False
    try:
        event = log.decode(body)
    except ValueError:
        return False
    return (event.id, event.person, event.sitting) == (row["id"], row["person"], row["sitting"])


def gaps(events: list[Event]) -> list[Reason]:
    """Sittings that lack their start, or answers between their first and their last.

    One that went on in two places and was joined has numbers twice; that is no fault.
    """
    problems: list[Reason] = []
    started = {event.id for event in events if isinstance(event, Started)}
    numbers: dict[str, list[int]] = {}
    for event in events:
        if isinstance(event, Answered):
            numbers.setdefault(event.sitting, []).append(event.number)
    for sitting, held in numbers.items():
        if sitting not in started:
            problems.append(Reason("fault.start", {"sitting": sitting}))
        missing = sorted(set(range(1, max(held) + 1)) - set(held))
        if missing:
            code = "fault.answer" if len(missing) == 1 else "fault.answers"
            told: dict[str, Value] = {"sitting": sitting, "missing": len(missing), "first": missing[0]}
            problems.append(Reason(code, told))
    return problems
