"""A record's file that is damaged: what of it is whole, what is not, and the whole events for a new record.

It reads a copy, so that nothing is lost that is still there, first by SQLite as far as that goes, then by looking for
events in the bare bytes; an event counts only with its check sum.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import RefusedError
from coaxtell.quiz import log
from coaxtell.quiz.log import Event
from coaxtell.quiz.pending import torn

BEGINS = '{"type":"'
"""How an event's text begins."""
DIGEST = 64
"""Letters of a check sum."""
MAGIC = b"SQLite format 3\0"
"""How SQLite's files begin (its published file format, section 1.3)."""
MOST_SKIPPED = 300
"""Places in a torn table that are passed over before it is given up."""

Row = tuple[object, object, object, object, object]


class _Letters(bytes):
    """Bytes of a column that the file calls text."""


class Survey(msgspec.Struct, frozen=True):
    """What a file holds: the whole events in order, how many rows were met, and what is wrong, a line each."""

    whole: list[Event]
    rows: int
    problems: list[Reason]

    @property
    def people(self) -> int:
        """How many people the whole events are of."""
        return len({event.person for event in self.whole})


def survey(path: Path) -> Survey:
    """What of a record's file is whole.

    Raises InputError where the file cannot be read at all, or nothing in it is of a record.
    """
    with TemporaryDirectory() as folder:
        copy = Path(folder) / "record.db"
        pending = path.with_name(f"{path.name}-wal")
        try:
            shutil.copyfile(path, copy)
            if pending.is_file():
                shutil.copyfile(pending, copy.with_name("record.db-wal"))
        except OSError as error:
            raise RefusedError("quiz.unread", path=str(path), error=error.strerror or "") from None
        raw, beside = copy.read_bytes(), pending.read_bytes() if pending.is_file() else b""
        found, problems, rows, gone = _by_sqlite(copy)
    if torn(beside):
        problems.append(Reason("fault.beside", {"name": pending.name}))
    if problems or beside:
        # what SQLite cannot reach any more may still stand in the file, and in that beside it without a word of it
        unreached = {event.id: event for event in _by_bytes(raw + beside) if event.id not in found.keys() | gone}
        if unreached:
            problems.append(Reason("fault.unreached", {"count": len(unreached)}))
        found |= unreached
    if raw and not found and not rows and not raw.startswith(MAGIC):
        raise RefusedError("quiz.no_trace", path=str(path))
    return Survey(log.in_order(found.values()), max(rows, len(found)), problems)


def _by_sqlite(copy: Path) -> tuple[dict[str, Event], list[Reason], int, set[str]]:
    """Whole events by id, what is wrong, rows met, and ids that were deleted with their person."""
    found: dict[str, Event] = {}
    problems: list[Reason] = []
    rows = 0
    gone: set[str] = set()
    with closing(sqlite3.connect(copy)) as connection:
        connection.text_factory = _Letters
        try:
            said = [str(line[0], "utf-8", "replace") for line in connection.execute("PRAGMA integrity_check")]
            problems += [Reason("fault.file", {"words": line}) for line in said if line != "ok"]
            gone = {_text(row[0]) or "" for row in connection.execute("SELECT id FROM forgotten")}
            steps = [row[0] for row in connection.execute("SELECT number FROM schema_version ORDER BY number")]
            if not steps or steps != list(range(1, len(steps) + 1)):
                problems.append(Reason("fault.version"))
        except (sqlite3.Error, UnicodeDecodeError) as error:
            problems.append(Reason("fault.file", {"words": _words(error)}))
        for row in _rows(connection, problems):
            rows += 1
            event, wrong = _event(row)
            if wrong is not None:
                problems.append(wrong)
            if event is not None:
                found[event.id] = event
    return found, problems, rows, gone


BEFORE_ALL = -1
"""No row has so low a number."""


def _rows(connection: sqlite3.Connection, problems: list[Reason]) -> Iterator[Row]:
    """Every row that can be reached, one at a time, so that a torn page costs no more than its own."""
    place, skipped = BEFORE_ALL, 0
    query = "SELECT rowid, id, person, sitting, body, digest FROM events WHERE rowid > ? ORDER BY rowid LIMIT 1"
    while skipped <= MOST_SKIPPED:
        try:
            row = connection.execute(query, (place,)).fetchone()
        except (sqlite3.Error, UnicodeDecodeError) as error:
            if skipped == 0:
                error_words = _words(error)
                first = place == BEFORE_ALL
                problems.append(
                    Reason("fault.no_rows", {"error": error_words})
                    if first
                    else Reason("fault.rows", {"place": place, "error": error_words})
                )
            if "no such table" in str(error) or "not a database" in str(error):
                return
            place, skipped = place + 1, skipped + 1
            continue
        if row is None:
            return
        if int(row[0]) <= place:
            # a torn page leads round in a circle
            place, skipped = place + 1, skipped + 1
            continue
        place, skipped = int(row[0]), 0
        yield row[1:]


def _words(error: Exception) -> Reason | str:
    """What SQLite says of a file; where that quotes what is no text, that its own description is torn."""
    return Reason("fault.torn") if isinstance(error, UnicodeDecodeError) else str(error)


def _text(value: object) -> str | None:
    """A column as text; none where it is empty or not UTF-8."""
    try:
        return value.decode() if isinstance(value, bytes) else None
    except UnicodeDecodeError:
        return None


def _event(row: Row) -> tuple[Event | None, Reason | None]:
    """The event of a row, none where it is not whole, and what is wrong with it."""
    name, person, sitting, body, digest = (_text(value) for value in row)
    called = name or ""
    if body is None:
        return None, Reason("fault.no_text", {"id": called})
    if log.digest(body) != digest:
        return None, Reason("fault.sum", {"id": called})
    try:
        event = log.decode(body)
    except ValueError as error:
        return None, Reason("fault.unread", {"id": called, "error": str(error)})
    if (event.id, event.person, event.sitting) != (name, person, sitting) or not all(
        isinstance(value, _Letters) for value in row
    ):
        return event, Reason("fault.columns", {"id": called})
    return event, None


def _by_bytes(raw: bytes) -> Iterator[Event]:
    """Events that stand whole in bare bytes, each followed by its check sum."""
    text = raw.decode("utf-8", "surrogateescape")
    decoder = json.JSONDecoder()
    at = text.find(BEGINS)
    while at >= 0:
        try:
            _, end = decoder.raw_decode(text, at)
            body = text[at:end]
            if log.digest(body) == text[end : end + DIGEST]:
                yield log.decode(body)
        except (ValueError, RecursionError):
            pass
        at = text.find(BEGINS, at + 1)
