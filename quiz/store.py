"""The record: an append-only table of events on SQLite, or on any server that SQLAlchemy reaches.

An answer is acknowledged when `add` returns, and from then on survives the death of the process. Writers at one file
take turns. Beside its damaged files (`rescue`) this is the one module of the quiz that reads and writes.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import msgspec
import sqlalchemy as sa
from sqlalchemy import event as hooks
from sqlalchemy import exc

from coaxtell.models.catalogue import Reason, Value
from coaxtell.models.errors import RefusedError
from coaxtell.quiz import log, migrations
from coaxtell.quiz.log import Answered, Event, Started
from coaxtell.quiz.turns import turn

WAIT_S = 60
"""How long a process waits for the others that write [s]."""

LOCK = 4_150_711
"""Key of the server's advisory lock under which the schema is brought up."""

_tables = sa.MetaData()
_events = sa.Table(
    "events",
    _tables,
    sa.Column("id", sa.String(64), primary_key=True),
    sa.Column("person", sa.String(200)),
    sa.Column("sitting", sa.String(64)),
    sa.Column("body", sa.Text),
    sa.Column("digest", sa.String(64)),
)
_forgotten = sa.Table("forgotten", _tables, sa.Column("id", sa.String(64), primary_key=True))


class Merged(msgspec.Struct, frozen=True):
    """What joining another record did: events added, known already, and left out as deleted here."""

    added: int
    known: int
    forgotten: int


def as_url(where: str) -> sa.URL:
    """A record's place as a URL: a file name means SQLite.

    Raises InputError where the URL cannot be read.
    """
    if "://" not in where:
        return sa.URL.create("sqlite", database=where)
    try:
        url = sa.make_url(where)
    except exc.ArgumentError:
        raise RefusedError("quiz.no_place") from None
    return url.set(drivername="postgresql+psycopg") if url.drivername == "postgresql" else url


class Store:
    """One record, open. Use it in a `with` block, or close it."""

    def __init__(
        self,
        where: str,
        create: bool = True,
        write: bool = True,
        steps: Sequence[migrations.Step] = migrations.STEPS,
    ) -> None:
        """Open a record and bring its schema up; without `write` a file that may only be read will do.

        Raises InputError where it cannot be reached, was made by a newer program, or does not exist and shall not
        be created.
        """
        url = as_url(where)
        self.name = url.render_as_string(hide_password=True) if "://" in where else where
        self._lite = url.get_backend_name() == "sqlite"
        sealed = False
        self._turn_at: Path | None = None
        if self._lite and url.database not in (None, "", ":memory:"):
            path = Path(str(url.database))
            if path.is_dir():
                raise RefusedError("quiz.folder", path=str(path))
            if not create and not path.is_file():
                raise RefusedError("quiz.no_record", path=str(path))
            if not path.absolute().parent.is_dir():
                raise RefusedError("quiz.no_folder", path=str(path))
            sealed = not write and not _may_write(path)
            if sealed:
                url = _sealed(path)
            else:
                self._turn_at = path.with_name(f"{path.name}-turn")
        options: dict[str, Any] = {"connect_args": {"timeout": WAIT_S}} if self._lite else {"pool_pre_ping": True}
        try:
            self._engine = sa.create_engine(url, **options)
        except (ImportError, exc.NoSuchModuleError) as error:
            raise RefusedError("quiz.no_driver", name=self.name, error=str(error)) from None
        if self._lite:
            hooks.listen(self._engine, "connect", _prepare_sealed if sealed else _prepare)
            hooks.listen(self._engine, "begin", _begin)
        try:
            if sealed:
                self._check(steps)
            else:
                self._bring_up(steps)
        except BaseException:
            self._engine.dispose()
            raise

    def _bring_up(self, steps: Sequence[migrations.Step]) -> None:
        with self._writing() as connection:
            if connection.dialect.name == "postgresql":
                connection.execute(sa.text("SELECT pg_advisory_xact_lock(:key)"), {"key": LOCK})
            if migrations.version(connection) > len(steps):
                raise RefusedError("quiz.newer", name=self.name)
            migrations.bring_up(connection, steps)

    def _check(self, steps: Sequence[migrations.Step]) -> None:
        """Refuse a record that may only be read and whose schema is another."""
        with self._reading() as connection:
            if migrations.version(connection) != len(steps):
                raise RefusedError("quiz.older", name=self.name)

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Tell what a server or file refuses in one sentence."""
        try:
            yield
        except exc.DBAPIError as error:
            reason = " ".join(str(error.orig).split())
            broken = "malformed" in reason or "not a database" in reason
            advice = Reason("refused.last_copy" if broken else "refused.check_place")
            raise RefusedError("quiz.unusable", name=self.name, reason=reason, advice=advice) from None
        except UnicodeDecodeError:
            # what SQLite says of a torn file quotes the file, and may then be no text at all
            advice = Reason("refused.last_copy")
            raise RefusedError("quiz.unusable", name=self.name, reason=Reason("refused.torn"), advice=advice) from None

    @contextmanager
    def _writing(self) -> Iterator[sa.Connection]:
        with self._told(), self._my_turn(), self._engine.begin() as connection:
            yield connection

    def _my_turn(self) -> AbstractContextManager[None]:
        """Wait for the others that write to the same file; a server does that itself."""
        return nullcontext() if self._turn_at is None else turn(self._turn_at, WAIT_S)

    @contextmanager
    def _reading(self) -> Iterator[sa.Connection]:
        with self._told(), self._engine.connect() as connection:
            yield connection.execution_options(reading=True)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, value: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the record."""
        self._engine.dispose()

    def add(self, event: Event) -> None:
        """Write one event; when this returns, it stays. The same event twice is written once.

        Raises InputError where another event has its id, or the record cannot be written.
        """
        row = _row(event)
        try:
            with self._my_turn(), self._engine.begin() as connection:
                connection.execute(_events.insert(), [row])
        except exc.IntegrityError:
            with self._reading() as connection:
                held = connection.execute(sa.select(_events.c.body).where(_events.c.id == event.id)).scalar()
            if held != row["body"]:
                raise RefusedError("quiz.taken_id", name=self.name, id=event.id) from None
        except (exc.DBAPIError, UnicodeDecodeError):
            with self._told():
                raise

    def fill(self, events: Sequence[Event]) -> None:
        """Write events into a record that holds none of them, all or none.

        Raises InputError where the record cannot be written.
        """
        with self._writing() as connection:
            if events:
                connection.execute(_events.insert(), [_row(event) for event in events])

    def events(self, person: str | None = None, sitting: str | None = None) -> list[Event]:
        """The events in order of replay, those of one person or sitting where it is named.

        Raises InputError where an event cannot be read.
        """
        query = sa.select(_events.c.id, _events.c.body)
        if person is not None:
            query = query.where(_events.c.person.in_(self.spellings(person)))
        if sitting is not None:
            query = query.where(_events.c.sitting == sitting)
        found: list[Event] = []
        with self._reading() as connection:
            for event_id, body in connection.execute(query):
                try:
                    found.append(log.decode(_letters(body)))
                except ValueError:
                    raise RefusedError("quiz.damaged", name=self.name, event_id=event_id) from None
        return log.in_order(found)

    def damaged(self) -> int:
        """How many events have a text that differs from its check sum."""
        with self._reading() as connection:
            rows = connection.execute(sa.select(_events.c.body, _events.c.digest))
            return sum(not _whole(body, digest) for body, digest in rows)

    def spellings(self, person: str) -> list[str]:
        """The names in the record that differ from this one in capitals or blanks alone; else the name itself."""
        same = [name for name in self.persons() if log.one_blank(name).casefold() == log.one_blank(person).casefold()]
        return same or [person]

    def persons(self) -> list[str]:
        """Everyone who has an event, by name."""
        with self._reading() as connection:
            found = connection.execute(sa.select(_events.c.person).distinct()).scalars()
            return sorted(name for name in found if isinstance(name, str))

    def forgotten(self) -> set[str]:
        """Ids of the events that were deleted with their person."""
        with self._reading() as connection:
            return set(connection.execute(sa.select(_forgotten.c.id)).scalars())

    def verify(self) -> tuple[int, list[Reason]]:
        """How many events there are, and what is wrong with the record."""
        problems: list[Reason] = []
        found: list[Event] = []
        with self._reading() as connection:
            if self._lite:
                said = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
                problems += [Reason("fault.file", {"words": line}) for line in said if line != "ok"]
            rows = connection.execute(sa.select(_events)).all()
        for row in rows:
            if not isinstance(row.body, str):
                problems.append(Reason("fault.no_text", {"id": str(row.id)}))
                continue
            if not _whole(row.body, row.digest):
                problems.append(Reason("fault.sum", {"id": str(row.id)}))
                continue
            try:
                event = log.decode(row.body)
            except ValueError as error:
                problems.append(Reason("fault.unread", {"id": str(row.id), "error": str(error)}))
                continue
            if (event.id, event.person, event.sitting) != (row.id, row.person, row.sitting):
                problems.append(Reason("fault.columns", {"id": str(row.id)}))
            found.append(event)
        return len(rows), problems + gaps(found)

    def merge(self, other: Store) -> Merged:
        """Add the events of another record that this one lacks; what was deleted here stays deleted.

        Raises InputError, with nothing added, where the other record is damaged or contradicts this one.
        """
        with other._reading() as connection:
            rows = [dict(row._mapping) for row in connection.execute(sa.select(_events))]
        broken = [row["id"] for row in rows if not _sound(row)]
        if broken:
            raise RefusedError("quiz.damaged_other", name=other.name, count=len(broken), first=str(broken[0]))
        with self._writing() as connection:
            here = {row.id: row.digest for row in connection.execute(sa.select(_events.c.id, _events.c.digest))}
            gone = set(connection.execute(sa.select(_forgotten.c.id)).scalars())
            clash = [row["id"] for row in rows if here.get(row["id"], row["digest"]) != row["digest"]]
            if clash:
                raise RefusedError("quiz.differs", name=other.name, clash=clash[0])
            new = [row for row in rows if row["id"] not in here and row["id"] not in gone]
            if new:
                connection.execute(_events.insert(), new)
        left_out = sum(row["id"] in gone for row in rows)
        return Merged(added=len(new), known=len(rows) - len(new) - left_out, forgotten=left_out)

    def forget(self, person: str) -> int:
        """Delete every event of a person; only bare ids stay, so that a merge does not bring them back.

        Returns how many there were. On SQLite the file is rewritten, so that the name is gone from the disk's
        file too; a server's backups are its keeper's.
        """
        names = self.spellings(person)
        with self._writing() as connection:
            named = _events.c.person.in_(names)
            ids = connection.execute(sa.select(_events.c.id).where(named)).scalars().all()
            if ids:
                connection.execute(_forgotten.insert(), [{"id": event_id} for event_id in ids])
                connection.execute(_events.delete().where(named))
        if self._lite and ids:
            with self._told(), self._my_turn():
                raw = self._engine.raw_connection()
                try:
                    cursor = raw.cursor()
                    cursor.execute("VACUUM")
                    cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
                    cursor.close()
                finally:
                    raw.close()
        return len(ids)


def _prepare(connection: Any, _: Any) -> None:
    """Each SQLite connection: readers beside one writer, every commit on the disk, deleted text overwritten."""
    connection.isolation_level = None  # transactions are begun below, not by the driver
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {WAIT_S * 1000}")
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.execute("PRAGMA secure_delete = ON")
    cursor.close()


def _may_write(path: Path) -> bool:
    """True where the file may be written, and beside it the notes that SQLite keeps of what is under way."""
    return os.access(path, os.W_OK) and os.access(path.absolute().parent, os.W_OK)


def _sealed(path: Path) -> sa.URL:
    """The URL under which SQLite reads a file and nothing else; where nothing is under way, without a lock."""
    pending = path.with_name(f"{path.name}-wal")
    settled = not (pending.is_file() and pending.stat().st_size)
    options = {"mode": "ro", "uri": "true"} | ({"immutable": "1"} if settled else {})
    return sa.URL.create("sqlite", database=path.absolute().as_uri(), query=options)


def _prepare_sealed(connection: Any, _: Any) -> None:
    """Each connection to a file that may only be read."""
    connection.isolation_level = None


def _begin(connection: sa.Connection) -> None:
    # a writer takes its turn at once, since two readers that both want to write would shut each other out
    reading = connection.get_execution_options().get("reading", False)
    connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")


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
