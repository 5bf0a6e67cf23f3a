"""Records for tests: a new SQLite file, or a new database on a PostgreSQL server of the test's own."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa

from coaxtell.quiz.server import as_url
from tests.quiz.postgres import server


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    with server() as url:
        yield url


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The place of a new record, on either kind."""
    if request.param == "sqlite":
        yield str(tmp_path / "records.db")
        return
    yield new_database(request.getfixturevalue("postgres"))


@pytest.fixture
def elsewhere(where: str, tmp_path: Path) -> str:
    """The place of a second record, of the same kind."""
    return new_database(where) if "://" in where else str(tmp_path / "other.db")


def new_database(url: str) -> str:
    name = f"t{uuid.uuid4().hex}"
    engine = sa.create_engine(as_url(url), isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(sa.text(f"CREATE DATABASE {name}"))
    engine.dispose()
    return as_url(url).set(database=name).render_as_string(hide_password=False)
