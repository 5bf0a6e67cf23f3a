"""How a record is reached: a file through Python's own SQLite here, a server through SQLAlchemy in `server`.

SQLAlchemy takes longer to load than all the rest of a quick command, and a record in a file needs none of it. Both
speak the same statements, with values named `:so`; what either refuses is a `LinkError`.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path
from typing import Any, Protocol

Values = Mapping[str, object]
NONE: Values = {}


class LinkError(Exception):
    """What a file or server refuses, in its own words, none where these are no text; `taken`: the id stands there."""

    def __init__(self, words: str | None, taken: bool = False) -> None:
        super().__init__(words)
        self.words = None if words is None else " ".join(words.split())
        self.taken = taken


class MovedError(LinkError):
    """The file is no longer the one that was opened; `kept`: where all that was written to it stands, empty where it
    could not be written."""

    def __init__(self, kept: str) -> None:
        super().__init__(None)
        self.kept = kept


class Talk(Protocol):
    """One transaction."""

    @property
    def dialect(self) -> str:
        """What the other side speaks: `sqlite`, `postgresql` or another."""

    def rows(self, statement: str, values: Values = NONE) -> list[tuple[Any, ...]]:
        """The rows that a statement finds."""

    def do(self, statement: str, values: Sequence[Values] = ()) -> None:
        """Carry a statement out, once for each of the values where there are some."""

    def has_table(self, name: str) -> bool:
        """Whether there is a table of that name."""


class Link(Protocol):
    """A record that can be reached."""

    def talk(self, write: bool) -> AbstractContextManager[Talk]:
        """A transaction, carried out as a whole where nothing is raised in it.

        Raises LinkError where the other side refuses something.
        """

    def rewrite(self) -> None:
        """Write a file anew, so that nothing deleted is left in it; a server's keeper sees to that."""

    def close(self) -> None:
        """Let go of it."""


class File:
    """A record in a file: readers beside one writer, every commit on the disk, deleted text overwritten."""

    def __init__(self, path: str, wait_s: float, sealed: bool = False, write: bool = True) -> None:
        """`wait_s`: how long it waits for others that write [s]; a `sealed` file may only be read, and without `write`
        nothing of another is changed."""
        self._path, self._wait_s, self._sealed = path, wait_s, sealed
        self._ways = (
            ("journal_mode = WAL", "synchronous = FULL", "secure_delete = ON") if write else ("query_only = ON",)
        )
        self._idle: list[sqlite3.Connection] = []
        self._mark: tuple[int, int] | None = None
        self._kept = ""

    def _opened(self) -> sqlite3.Connection:
        """A connection whose transactions are begun by `talk`, not by the driver."""
        if not self._there():
            raise MovedError(self._kept)
        place = _sealed(Path(self._path)) if self._sealed else self._path
        found = sqlite3.connect(
            place, timeout=self._wait_s, isolation_level=None, check_same_thread=False, uri=self._sealed
        )
        if not self._sealed:
            try:
                for line in self._ways:
                    found.execute(f"PRAGMA {line}")
            except BaseException:
                found.close()
                raise
        self._mark = self._mark or _mark(self._path)
        return found

    def _there(self) -> bool:
        """Whether the file is still the one that was opened: SQLite writes on to one that is gone."""
        return self._mark is None or _mark(self._path) == self._mark

    def _check(self, held: sqlite3.Connection) -> None:
        """Raise MovedError where the file is another than the one that was opened; what it held is kept aside, once."""
        if self._there():
            self._kept = ""
            return
        self._kept = self._kept or self._aside(held)
        raise MovedError(self._kept)

    def _aside(self, held: sqlite3.Connection) -> str:
        """Write all that was written to the file into a new one beside it; returns its name, empty if it fails."""
        path = Path(self._path)
        names = (path.with_name(f"{path.stem}-kept{number}{path.suffix}") for number in ("", *range(2, 100)))
        free = next((name for name in names if _mark(str(name)) is None), None)
        if free is None:
            return ""
        try:
            held.execute("VACUUM INTO :name", {"name": str(free)})
            if _mark(self._path) is None:
                # else what is under way of the old file would be read into whatever is laid there
                held.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
        except sqlite3.Error:
            free.unlink(missing_ok=True)
            return ""
        return str(free)

    @contextmanager
    def _connection(self) -> Iterator[sqlite3.Connection]:
        """One that nobody else uses; it stays open, since SQLite tidies up whenever the last is closed."""
        try:
            held = self._idle.pop() if self._idle else self._opened()
            try:
                yield held
            finally:
                self._idle.append(held)
        except sqlite3.Error as error:
            raise LinkError(str(error), isinstance(error, sqlite3.IntegrityError)) from error
        except UnicodeDecodeError as error:
            # what SQLite says of a torn file quotes the file, and may then be no text at all
            raise LinkError(None) from error

    @contextmanager
    def talk(self, write: bool) -> Iterator[Talk]:
        """A transaction; a writer takes its turn at once, since two readers that both want to write would shut each
        other out."""
        with self._connection() as held:
            if write:
                self._check(held)
            held.execute("BEGIN IMMEDIATE" if write else "BEGIN")
            try:
                yield _FileTalk(held)
                held.execute("COMMIT")
            except BaseException:
                with suppress(sqlite3.Error):
                    held.execute("ROLLBACK")
                raise
            if write:
                self._check(held)

    def rewrite(self) -> None:
        """Write the file anew."""
        with self._connection() as held:
            held.execute("VACUUM")
            held.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()

    def close(self) -> None:
        """Let go of the file."""
        while self._idle:
            self._idle.pop().close()


class _FileTalk:
    dialect = "sqlite"

    def __init__(self, held: sqlite3.Connection) -> None:
        self._held = held

    def rows(self, statement: str, values: Values = NONE) -> list[tuple[Any, ...]]:
        return self._held.execute(statement, dict(values)).fetchall()

    def do(self, statement: str, values: Sequence[Values] = ()) -> None:
        if values:
            self._held.executemany(statement, [dict(one) for one in values])
        else:
            self._held.execute(statement)

    def has_table(self, name: str) -> bool:
        return bool(self.rows("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = :name", {"name": name}))


def _sealed(path: Path) -> str:
    """The address under which SQLite reads a file and nothing else; where nothing is under way, without a lock."""
    settled = not pending(path)
    return f"{path.absolute().as_uri()}?mode=ro{'&immutable=1' if settled else ''}"


def _mark(path: str) -> tuple[int, int] | None:
    """What tells a file from another of its name; none where there is none."""
    try:
        found = Path(path).stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def pending(path: Path) -> bool:
    """Whether SQLite's notes of what is not yet written into a file lie beside its place; a new file there would delete
    them."""
    notes = path.with_name(f"{path.name}-wal")
    return notes.is_file() and notes.stat().st_size > 0
