"""A record on a company's server, or wherever else SQLAlchemy reaches by a URL."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import sqlalchemy as sa
from sqlalchemy import exc

from coaxtell.models.errors import RefusedError
from coaxtell.quiz.link import NONE, LinkError, Talk, Values


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


class Server:
    """A record on a server."""

    def __init__(self, url: sa.URL) -> None:
        """Raises InputError where the driver that the URL names is missing."""
        try:
            self._engine = sa.create_engine(url, pool_pre_ping=True)
        except (ImportError, exc.NoSuchModuleError) as error:
            name = url.render_as_string(hide_password=True)
            raise RefusedError("quiz.no_driver", name=name, error=str(error)) from None

    @contextmanager
    def talk(self, write: bool) -> Iterator[Talk]:
        """A transaction; raises LinkError where the server refuses something."""
        try:
            with self._engine.begin() if write else self._engine.connect() as connection:
                yield _ServerTalk(connection)
        except exc.DBAPIError as error:
            raise LinkError(str(error.orig), isinstance(error, exc.IntegrityError)) from error

    def rewrite(self) -> None:
        """Nothing: what a server still holds of what was deleted is its keeper's."""

    def close(self) -> None:
        """Let go of the server."""
        self._engine.dispose()


class _ServerTalk:
    def __init__(self, connection: sa.Connection) -> None:
        self._connection = connection

    @property
    def dialect(self) -> str:
        return self._connection.dialect.name

    def rows(self, statement: str, values: Values = NONE) -> list[tuple[Any, ...]]:
        return [tuple(row) for row in self._connection.execute(sa.text(statement), dict(values))]

    def do(self, statement: str, values: Sequence[Values] = ()) -> None:
        if values:
            self._connection.execute(sa.text(statement), [dict(one) for one in values])
        else:
            self._connection.exec_driver_sql(statement)

    def has_table(self, name: str) -> bool:
        return sa.inspect(self._connection).has_table(name)
