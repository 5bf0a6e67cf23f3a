"""The record: what is acknowledged stays, from many processes at once; the same tests on SQLite and PostgreSQL."""

from __future__ import annotations

import os
import re
import sqlite3
import subprocess
import sys
import uuid
from pathlib import Path
from random import Random

import pytest
import sqlalchemy as sa

from coaxtell.cli.main import main
from coaxtell.models.errors import InputError
from coaxtell.quiz import migrations
from coaxtell.quiz.link import Talk
from coaxtell.quiz.log import Answered, in_order
from coaxtell.quiz.server import as_url
from coaxtell.quiz.store import Merged, Store
from coaxtell.quiz.words import say
from tests.quiz.kill import PROCESSES, answer, killed_round, started, write

ROUNDS = 50
WRITERS = 8
EACH = 40
NAMES = ["Ana", "Zoë Ångström", "李雷", "مريم", "O'Brien; DROP TABLE events", "=HYPERLINK(1)", "👩🏽‍🔧", "x" * 200]


def execute(where: str, statement: str) -> None:
    """Change the record behind the program's back."""
    engine = sa.create_engine(as_url(where))
    try:
        with engine.begin() as connection:
            connection.execute(sa.text(statement))
    finally:
        engine.dispose()


def test_killed_writers_lose_nothing_acknowledged(where: str) -> None:
    rng = Random(4)
    told = lost = 0
    for _ in range(ROUNDS):
        safe, missing = killed_round(where, rng)
        told += safe
        lost += missing
    assert lost == 0
    assert told > ROUNDS  # most rounds were killed while writing
    with Store(where) as store:
        count, problems = store.verify()
    assert problems == []
    assert count >= told


def test_eight_processes_lose_and_double_nothing(where: str) -> None:
    pipes, writers, sittings = [], [], [str(uuid.uuid4()) for _ in range(WRITERS)]
    for sitting in sittings:
        ours, theirs = PROCESSES.Pipe(duplex=False)
        writers.append(PROCESSES.Process(target=write, args=(where, sitting, EACH, theirs)))
        writers[-1].start()
        theirs.close()
        pipes.append(ours)
    for process in writers:
        process.join(120)
        assert process.exitcode == 0
        process.close()
    for pipe in pipes:
        assert [pipe.recv() for _ in range(EACH + 1)] == list(range(EACH + 1))
        pipe.close()
    with Store(where) as store:
        held = store.events()
        assert store.verify() == (WRITERS * (EACH + 1), [])
    assert len({event.id for event in held}) == len(held) == WRITERS * (EACH + 1)
    assert {(e.sitting, e.number) for e in held} == {(s, n) for s in sittings for n in range(EACH + 1)}


@pytest.mark.parametrize("name", NAMES)
def test_any_name_is_kept(where: str, name: str) -> None:
    with Store(where) as store:
        store.add(started("s", person=name))
        store.add(answer("s", 1, person=name))
    with Store(where) as store:
        assert store.persons() == [name]
        assert [event.person for event in store.events(person=name)] == [name, name]


def test_the_same_event_twice_is_one_and_another_under_its_id_is_refused(where: str) -> None:
    one = answer("s", 1)
    with Store(where) as store:
        store.add(started("s"))
        store.add(one)
        store.add(one)
        assert store.verify() == (2, [])
        changed = Answered(**{**{f: getattr(one, f) for f in one.__struct_fields__}, "sure": 1.0})
        with pytest.raises(InputError, match="another event has the id"):
            store.add(changed)
        assert store.events(sitting="s")[1] == one


def test_answers_cannot_be_changed_or_deleted(where: str) -> None:
    with Store(where) as store:
        store.add(started("s"))
        store.add(answer("s", 1))
    for statement in ("UPDATE events SET body = 'x'", "DELETE FROM events"):
        with pytest.raises(sa.exc.DBAPIError, match="append-only"):
            execute(where, statement)
    with Store(where) as store:
        assert store.verify() == (2, [])


def test_two_laptops_join_without_doubling(where: str, elsewhere: str) -> None:
    with Store(where) as here, Store(elsewhere) as there:
        for store, sitting in ((here, "a"), (there, "b")):
            store.add(started(sitting))
            for number in range(1, 6):
                store.add(answer(sitting, number))
        shared = answer("a", 6)
        here.add(shared)
        there.add(started("a"))
        there.add(shared)
        assert here.merge(there) == Merged(added=6, known=2, forgotten=0)
        assert here.merge(there) == Merged(added=0, known=8, forgotten=0)
        there.merge(here)
        assert there.events() == here.events()
        assert len(here.events()) == 7 + 6
        assert here.verify() == (13, [])


def test_a_forgotten_person_stays_forgotten(where: str, elsewhere: str) -> None:
    with Store(where) as here, Store(elsewhere) as there:
        for person, sitting in (("Ana", "a"), ("Bo", "b")):
            here.add(started(sitting, person=person))
            here.add(answer(sitting, 1, person=person))
        there.merge(here)
        assert here.forget("Ana") == 2
        assert here.persons() == ["Bo"]
        assert here.merge(there) == Merged(added=0, known=2, forgotten=2)
        assert here.persons() == ["Bo"]
        assert here.verify() == (2, [])
        assert here.forget("Ana") == 0


def test_a_forgotten_name_is_gone_from_the_file(tmp_path: Path) -> None:
    path = tmp_path / "records.db"
    name = "Wilhelmina Quackenbush"
    with Store(str(path)) as store:
        for n in range(30):
            store.add(started(f"s{n}", person=name if n % 2 else "Bo"))
        assert any(name.encode() in file.read_bytes() for file in tmp_path.iterdir())
        store.forget(name)
        assert not any(name.encode() in file.read_bytes() for file in tmp_path.iterdir())


def test_verify_finds_a_changed_answer_and_a_missing_one(tmp_path: Path) -> None:
    path = tmp_path / "records.db"
    with Store(str(path)) as store:
        store.add(started("s"))
        for number in (1, 2, 4):
            store.add(answer("s", number))
        store.add(answer("lost", 1))
    raw = sqlite3.connect(path)
    raw.execute("DROP TRIGGER events_unchanged")
    raw.execute("UPDATE events SET body = replace(body, '0.8', '0.9') WHERE body LIKE '%\"number\":2%'")
    raw.commit()
    raw.close()
    with Store(str(path)) as store:
        count, problems = store.verify()
        assert store.damaged() == 1
    assert count == 5
    said = "\n".join(say(problem) for problem in problems)
    assert "check sum differ" in said
    assert "sitting s: 2 answers are missing, the first is number 2" in said
    assert "sitting lost: its start is missing" in said


def test_a_damaged_file_is_told_in_one_sentence(tmp_path: Path) -> None:
    path = tmp_path / "records.db"
    path.write_bytes(b"this is no database " * 400)
    with pytest.raises(InputError, match="cannot be used"):
        Store(str(path))


def test_wal_and_full_sync_are_on(tmp_path: Path) -> None:
    with Store(str(tmp_path / "r.db")) as store, store._reading() as talk:
        assert talk.rows("PRAGMA journal_mode") == [("wal",)]
        # 2 is FULL (SQLite's documentation of PRAGMA synchronous)
        assert talk.rows("PRAGMA synchronous") == [(2,)]


def test_a_file_needs_no_library_for_servers(tmp_path: Path) -> None:
    """It takes longer to load than all the rest of a quick command."""
    ask = "import sys, coaxtell.quiz.store as s; s.Store(sys.argv[1]).close(); print('sqlalchemy' in sys.modules)"
    words = [sys.executable, "-c", ask, str(tmp_path / "r.db")]
    assert subprocess.run(words, check=True, capture_output=True, text=True).stdout == "False\n"


def test_a_later_program_brings_an_old_record_up_and_keeps_it(where: str) -> None:
    with Store(where) as store:
        store.add(started("s"))

    def second(talk: Talk) -> None:
        talk.do("ALTER TABLE events ADD COLUMN note VARCHAR(10)")

    later = (*migrations.STEPS, second)
    with Store(where, steps=later) as store, store._reading() as talk:
        assert migrations.version(talk) == len(later)
        assert [event.id for event in in_order(store.events())] == ["s"]
    with pytest.raises(InputError, match="newer coaxtell"):
        Store(where)


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("nowhere/at/all/records.db", "folder does not exist"),
        ("oracle9://host/x", "driver"),
        ("postgresql://nobody@127.0.0.1:1/none", "cannot be used"),
        ("://", "file name or a URL"),
    ],
)
def test_a_place_that_cannot_be_is_told(place: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        Store(place)


def test_nothing_is_made_where_only_reading_is_asked(tmp_path: Path) -> None:
    path = tmp_path / "none.db"
    with pytest.raises(InputError, match="no record yet"):
        Store(str(path), create=False)
    assert not path.exists()


def test_a_file_that_may_only_be_read_is_read(tmp_path: Path) -> None:
    # root may write anywhere, so the two questions are asked of the store's own way of reading
    place = tmp_path / "archive.db"
    with Store(str(place)) as store:
        store.add(started("s"))
        store.add(answer("s", 1))
    held = place.read_bytes()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "access", lambda *_: False)
        with Store(str(place), create=False, write=False) as store:
            assert len(store.events()) == 2
            assert store.verify() == (2, [])
            with pytest.raises(InputError, match="may write there"):
                store.add(answer("s", 2))
    assert place.read_bytes() == held
    assert sorted(path.name for path in tmp_path.iterdir()) == ["archive.db", "archive.db-turn"]


def test_reading_writes_nothing(tmp_path: Path) -> None:
    """Not a schema into an empty file, nor into a record of an earlier version whose tables are the same."""
    empty = tmp_path / "empty.db"
    empty.write_bytes(b"")
    with pytest.raises(InputError, match="no record stands in it"):
        Store(str(empty), create=False, write=False)
    assert empty.read_bytes() == b""
    old = tmp_path / "old.db"
    with Store(str(old), steps=migrations.STEPS[:1]) as store:
        store.add(started("s"))
    before = old.read_bytes()
    with Store(str(old), create=False, write=False) as store:
        assert len(store.events()) == 1
        assert store.verify() == (1, [])
        with pytest.raises(InputError, match="readonly"):
            store.add(answer("s", 1))
    assert old.read_bytes() == before
    with pytest.raises(InputError, match="newer"):
        Store(str(old), create=False, write=False, steps=())
    assert sorted(path.name for path in tmp_path.iterdir()) == ["empty.db", "old.db", "old.db-turn"]


def test_a_folder_is_no_record(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder"):
        Store(str(tmp_path))


@pytest.mark.parametrize("how", ["moved", "deleted", "replaced"])
def test_no_answer_is_acknowledged_that_goes_into_a_file_which_is_no_longer_there(how: str, tmp_path: Path) -> None:
    """SQLite goes on writing to it: answers were explained, and gone with the next record that was begun there."""
    place = tmp_path / "record.db"
    sitting = str(uuid.uuid4())
    first, second = answer(sitting, 1), answer(sitting, 2)
    with Store(str(place)) as store:
        store.add(started(sitting))
        store.add(first)
        if how == "replaced":
            (tmp_path / "copy.db").write_bytes(place.read_bytes())
            (tmp_path / "copy.db").replace(place)
        elif how == "moved":
            place.rename(tmp_path / "away.db")
        else:
            place.unlink()
        kept = tmp_path / "record-kept.db"
        for _ in range(2):
            with pytest.raises(InputError, match="is not kept; all that was kept before stands in") as told:
                store.add(second)
            assert str(kept) in str(told.value)
    assert [path.name for path in tmp_path.glob("record-kept*.db")] == [kept.name], "once, however often it is tried"
    with Store(str(kept), create=False) as store:
        assert [event.id for event in store.events()] == [sitting, first.id]
        assert store.verify() == (2, [])
    if how == "moved":
        with Store(str(tmp_path / "away.db"), create=False) as store:
            assert store.verify() == (2, [])


def test_a_file_that_was_laid_back_is_written_on(tmp_path: Path) -> None:
    place, away = tmp_path / "record.db", tmp_path / "away.db"
    sitting = str(uuid.uuid4())
    with Store(str(place)) as store:
        store.add(started(sitting))
        place.rename(away)
        with pytest.raises(InputError, match="moved or deleted"):
            store.add(answer(sitting, 1))
        away.rename(place)
        store.add(answer(sitting, 1))
    with Store(str(place), create=False) as store:
        assert store.verify() == (2, [])


@pytest.mark.parametrize("create", [True, False])
def test_no_record_is_begun_over_answers_that_were_left_behind(create: bool, tmp_path: Path) -> None:
    """A new file would delete what SQLite has beside it, and the advice had been to begin one."""
    notes = tmp_path / "record.db-wal"
    notes.write_bytes(b"answers")
    with pytest.raises(InputError, match="holds answers; put back the file that they belong to"):
        Store(str(tmp_path / "record.db"), create=create)
    assert notes.read_bytes() == b"answers"
    assert not (tmp_path / "record.db").exists()


def test_answers_that_were_left_behind_are_saved_as_advised(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The record was deleted under a sitting that then took no more answers."""
    place, sitting = tmp_path / "record.db", str(uuid.uuid4())
    with Store(str(place)) as store:
        store.add(started(sitting))
        store.add(answer(sitting, 1))
        place.unlink()
    assert main(["records", "verify", "--records", str(place)]) == 2
    advised = re.search(r"`coaxtell (records verify --records \S+ --rescue) NEW.db`", capsys.readouterr().err)
    assert advised is not None
    main([*advised[1].split(), str(tmp_path / "new.db")])
    with Store(str(tmp_path / "new.db"), create=False) as store:
        assert store.verify() == (2, [])
