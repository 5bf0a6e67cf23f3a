"""The schema of the record, step by step: each version of the program applies the steps a record lacks.

A step that has once been released never changes; what is to be different comes as the next step.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from coaxtell.quiz.link import Talk

Step = Callable[[Talk], None]

TABLES = (
    "CREATE TABLE events (id VARCHAR(64) NOT NULL, person VARCHAR(200) NOT NULL, sitting VARCHAR(64) NOT NULL, "
    "body TEXT NOT NULL, digest VARCHAR(64) NOT NULL, PRIMARY KEY (id))",
    "CREATE INDEX ix_events_person ON events (person)",
    "CREATE INDEX ix_events_sitting ON events (sitting)",
    "CREATE TABLE forgotten (id VARCHAR(64) NOT NULL, PRIMARY KEY (id))",
)
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
GUARDS = {"sqlite": SQLITE_GUARDS, "postgresql": POSTGRES_GUARDS}


def first(talk: Talk) -> None:
    """Version 1: the events, and the bare ids of those that were deleted with a person."""
    for statement in (*TABLES, *GUARDS.get(talk.dialect, ())):
        talk.do(statement)


def second(talk: Talk) -> None:
    """Version 2: answers say what they were for; programs of version 1 could not read them. The tables stay."""


def third(talk: Talk) -> None:
    """Version 3: remarks on sittings; programs of version 2 could not read them. The tables stay."""


STEPS: tuple[Step, ...] = (first, second, third)
SAME_TABLES = 1
"""The first version whose tables are those of today: a record of it can be read without a change."""


def version(talk: Talk) -> int:
    """The number of steps a record has; 0 where it is new."""
    if not talk.has_table("schema_version"):
        return 0
    ((number,),) = talk.rows("SELECT MAX(number) FROM schema_version")
    return int(number or 0)


def bring_up(talk: Talk, steps: Sequence[Step] = STEPS) -> int:
    """Apply the steps that are missing, inside the caller's transaction; returns how many there were."""
    done = version(talk)
    if done == 0 and not talk.has_table("schema_version"):
        talk.do("CREATE TABLE schema_version (number INTEGER NOT NULL, PRIMARY KEY (number))")
    for number, step in enumerate(steps, start=1):
        if number > done:
            step(talk)
            talk.do("INSERT INTO schema_version (number) VALUES (:number)", [{"number": number}])
    return max(0, len(steps) - done)
