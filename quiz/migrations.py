"""The schema of the record, step by step: each version of the program applies the steps a record lacks.

A step that has once been released never changes; what is to be different comes as the next step.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import sqlalchemy as sa

Step = Callable[[sa.Connection], None]

SQLITE_GUARDS = (
    "CREATE TRIGGER events_unchanged BEFORE UPDATE ON events BEGIN "
    "SELECT RAISE(ABORT, 'the record is append-only'); END",
    "CREATE TRIGGER events_kept BEFORE DELETE ON events WHEN OLD.id NOT IN (SELECT id FROM forgotten) BEGIN "
    "SELECT RAISE(ABORT, 'the record is append-only'); END",
)
POSTGRES_GUARDS = (
    "CREATE FUNCTION events_guard() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
    "IF TG_OP = 'DELETE' THEN IF OLD.id IN (SELECT id FROM forgotten) THEN RETURN OLD; END IF; END IF; "
    "RAISE EXCEPTION 'the record is append-only'; END $$",
    "CREATE TRIGGER events_guarded BEFORE UPDATE OR DELETE ON events FOR EACH ROW EXECUTE FUNCTION events_guard()",
)


def first(connection: sa.Connection) -> None:
    """Version 1: the events, and the bare ids of those that were deleted with a person."""
    tables = sa.MetaData()
    sa.Table(
        "events",
        tables,
        sa.Column("id", sa.String(64), primary_key=True),
        sa.Column("person", sa.String(200), nullable=False, index=True),
        sa.Column("sitting", sa.String(64), nullable=False, index=True),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
    )
    sa.Table("forgotten", tables, sa.Column("id", sa.String(64), primary_key=True))
    tables.create_all(connection, checkfirst=False)
    guards = {"sqlite": SQLITE_GUARDS, "postgresql": POSTGRES_GUARDS}
    for statement in guards.get(connection.dialect.name, ()):
        connection.exec_driver_sql(statement)


def second(connection: sa.Connection) -> None:
    """Version 2: answers say what they were for; programs of version 1 could not read them. The tables stay."""


def third(connection: sa.Connection) -> None:
    """Version 3: remarks on sittings; programs of version 2 could not read them. The tables stay."""


STEPS: tuple[Step, ...] = (first, second, third)


def version(connection: sa.Connection) -> int:
    """The number of steps a record has; 0 where it is new."""
    if not sa.inspect(connection).has_table("schema_version"):
        return 0
    return int(connection.execute(sa.text("SELECT MAX(number) FROM schema_version")).scalar() or 0)


def bring_up(connection: sa.Connection, steps: Sequence[Step] = STEPS) -> int:
    """Apply the steps that are missing, inside the caller's transaction; returns how many there were."""
    done = version(connection)
    if done == 0 and not sa.inspect(connection).has_table("schema_version"):
        tables = sa.MetaData()
        sa.Table("schema_version", tables, sa.Column("number", sa.Integer, primary_key=True, autoincrement=False))
        tables.create_all(connection, checkfirst=False)
    for number, step in enumerate(steps, start=1):
        if number > done:
            step(connection)
            connection.execute(sa.text("INSERT INTO schema_version (number) VALUES (:number)"), {"number": number})
    return max(0, len(steps) - done)
