"""A damaged record: said what is whole, never a traceback, and the whole events written into a new one."""

from __future__ import annotations

import shlex
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from benchmarks.damaged_records import STUDY, Spoilt, Whole, faults, play
from benchmarks.study import kept
from coaxtell.cli.main import main
from coaxtell.quiz import log
from coaxtell.quiz.log import Event, Mode, Started
from coaxtell.quiz.pending import FRAME_HEAD, HEAD, torn
from coaxtell.quiz.rescue import survey
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.store import Store
from tests.mutants.trial import ROOT
from tests.quiz.test_practice import DAY_ONE, told


def events(number: int = 60) -> list[Event]:
    found: list[Event] = [Started(id="s", time=DAY_ONE, person="Žofie", mode=Mode.PRACTICE)]
    for place in range(number):
        answer = told(Skill.SIZE.value, place % 3 > 0, DAY_ONE, a="sma-plug", b=f"jack-{place}")
        found.append(log.decode(log.encode(answer).replace('"number":1', f'"number":{place + 1}')))
    return found


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("record") / "whole.db"
    with Store(str(path)) as store:
        store.fill(events())
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
    return path


def hurt(whole: Path, folder: Path, statement: str) -> Path:
    path = folder / "hurt.db"
    shutil.copyfile(whole, path)
    with sqlite3.connect(path) as connection:
        connection.execute("DROP TRIGGER events_unchanged")
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute("UPDATE sqlite_master SET sql = replace(sql, 'NOT NULL', '') WHERE name = 'events'")
    connection.close()
    with sqlite3.connect(path) as connection:
        connection.execute(statement)
    connection.close()
    return path


def test_a_whole_record_is_whole(whole: Path) -> None:
    found = survey(whole)
    assert (found.rows, found.problems, found.people) == (61, [], 2)
    assert found.whole == log.in_order(events_of(whole))


def events_of(path: Path) -> list[Event]:
    with Store(str(path), create=False) as store:
        return store.events()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE events SET person = NULL WHERE rowid = 7",
        "UPDATE events SET body = CAST(x'c3287b' AS TEXT) WHERE rowid = 7",
        "UPDATE events SET body = NULL WHERE rowid = 7",
        "UPDATE events SET digest = NULL WHERE rowid = 7",
        "UPDATE events SET id = CAST(x'ff' AS TEXT) WHERE rowid = 7",
        "UPDATE events SET body = replace(body, '\"right\"', '\"wrong\"') WHERE rowid = 7",
    ],
)
def test_a_flipped_row_is_named_and_the_rest_is_saved(
    statement: str, whole: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = hurt(whole, tmp_path, statement)
    new = tmp_path / "new.db"
    assert main(["records", "verify", "--records", str(path), "--rescue", str(new)]) == 1
    out, err = capsys.readouterr()
    assert "event" in err
    assert f"written into {new}" in out
    saved = {event.id for event in events_of(new)}
    before = {event.id for event in events_of(whole)}
    assert saved <= before
    assert len(saved) >= len(before) - 1
    assert main(["records", "verify", "--records", str(new)]) in (0, 1)


@pytest.mark.parametrize(
    "change", ["body = CAST(body AS BLOB)", "body = NULL", "person = CAST(person AS BLOB)", "person = 'Zofie'"]
)
def test_a_column_that_is_no_text_is_a_fault_everywhere_and_joins_no_other_record(
    change: str, whole: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, other = hurt(whole, tmp_path, f"UPDATE events SET {change} WHERE rowid = 7"), tmp_path / "other.db"
    assert main(["records", "verify", "--records", str(path)]) == 1
    assert main(["progress", "--team", "--records", str(path)]) in (0, 2)
    assert main(["records", "merge", str(path), "--records", str(other)]) == 2
    assert "1 events are damaged" in capsys.readouterr().err
    with Store(str(path), write=False) as store:
        assert len(store.verify()[1]) >= 1
        assert store.damaged() == change.startswith("body")
    with Store(str(other)) as store:
        assert store.events() == []


@pytest.mark.parametrize("statement", ["DELETE FROM schema_version", "UPDATE schema_version SET number = number + 16"])
def test_a_version_that_cannot_be_is_damage_and_not_a_newer_program(
    statement: str, whole: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A page laid over another was told as a newer coaxtell's (by the study of damaged records)."""
    path, new = hurt(whole, tmp_path, statement), tmp_path / "new.db"
    assert main(["records", "verify", "--records", str(path), "--rescue", str(new)]) == 1
    assert "what it says of its version is damaged" in capsys.readouterr().err
    assert events_of(new) == events_of(whole)


@pytest.mark.parametrize("seed", range(16))
def test_any_damage_to_the_file_is_survived(
    seed: int, whole: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Bytes flipped at chance, the file cut, a stretch zeroed: sentences, and nothing saved that was never there."""
    rng = Random(seed)
    raw = bytearray(whole.read_bytes())
    kind = seed % 4
    if kind == 0:
        for _ in range(rng.randrange(1, 40)):
            raw[rng.randrange(len(raw))] = rng.randrange(256)
    elif kind == 1:
        del raw[rng.randrange(len(raw)) :]
    elif kind == 2:
        start = rng.randrange(len(raw))
        raw[start : start + 4096] = bytes(len(raw[start : start + 4096]))
    else:
        raw[: rng.randrange(100, 5000)] = rng.randbytes(100)
    path, new = tmp_path / "hurt.db", tmp_path / "new.db"
    path.write_bytes(bytes(raw))
    status = main(["records", "verify", "--records", str(path), "--rescue", str(new)])
    assert status in (0, 1)
    assert path.read_bytes() == bytes(raw)
    known = {event.id: event for event in survey(whole).whole}
    for event in events_of(new):
        assert known[event.id] == event
    assert "Traceback" not in capsys.readouterr().err


def test_what_stands_in_the_file_is_found_without_its_first_page(whole: Path, tmp_path: Path) -> None:
    path = tmp_path / "headless.db"
    raw = whole.read_bytes()
    path.write_bytes(bytes(4096) + raw[4096:])
    found = survey(path)
    assert found.problems
    assert len(found.whole) >= 55


def test_an_old_file_is_never_written_over(whole: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = whole.read_bytes()
    assert main(["records", "verify", "--records", str(whole), "--rescue", str(whole)]) == 2
    assert "exists already" in capsys.readouterr().err
    assert whole.read_bytes() == before


@pytest.mark.parametrize(
    ("stands", "torn"), [(b"CREATE TABLE events", b"CRE\xbfTE TABLE events"), (b"tableevents", b"tableev\xf5nts")]
)
@pytest.mark.parametrize("words", [["progress", "--team"], ["records", "export", "-o", "x.csv"], ["records", "verify"]])
def test_a_file_whose_own_description_is_torn_gets_a_sentence(
    words: list[str], stands: bytes, torn: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """SQLite quotes the description in what it says of it, and then says what is no text (found by the study fuzz)."""
    monkeypatch.chdir(tmp_path)
    whole = (ROOT / "tests/quiz/records/version-0.1.0.db").read_bytes()
    (tmp_path / "whole.db").write_bytes(whole)
    (tmp_path / "r.db").write_bytes(whole.replace(stands, torn, 1))
    status = main([*words, "--records", "r.db"])
    err = capsys.readouterr().err
    assert status == (1 if "verify" in words else 2)
    assert "says of itself is torn" in err
    assert "codec" not in err
    if status == 2:
        assert err.count("\n") == 1
    # every event stands in the file still
    main(["records", "verify", "--records", "r.db", "--rescue", "new.db"])
    with Store("new.db") as saved, Store("whole.db", create=False) as old:
        assert len(saved.events()) == len(old.events())


@pytest.fixture(scope="module")
def under_way(tmp_path_factory: pytest.TempPathFactory) -> Whole:
    """A record as a machine leaves it that goes off: the last twenty answers stand in the file beside it alone."""
    path = tmp_path_factory.mktemp("under way") / "r.db"
    given = events()
    with Store(str(path)) as store:
        store.fill(given[:41])
    with Store(str(path)) as store:
        for event in given[41:]:
            store.add(event)
        beside = path.with_name("r.db-wal").read_bytes()
        return Whole(path.read_bytes(), beside, {event.id: event for event in given})


FRAME = FRAME_HEAD + 4096


def test_answers_beside_the_file_are_whole_as_they_lie(under_way: Whole, tmp_path: Path) -> None:
    assert not torn(under_way.beside)
    assert len(under_way.beside) > 40 * FRAME
    assert faults(under_way, Spoilt("not at all", under_way.file, under_way.beside), tmp_path)[::3] == (0, [])


@pytest.mark.parametrize(
    "place", [3, 9, 17, 30, HEAD + 5, HEAD + 10, HEAD + 21, HEAD + 3000, HEAD + 12 * FRAME + 10, -3]
)
def test_one_bit_beside_the_file_is_told_and_what_stands_is_saved(
    place: int, under_way: Whole, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """SQLite itself passes over all that comes behind it: status 0 was told, the answers gone (by the study)."""
    beside = bytearray(under_way.beside)
    beside[place] ^= 4
    assert torn(bytes(beside))
    status, _, saved, wrong = faults(under_way, Spoilt("a bit", under_way.file, bytes(beside)), tmp_path)
    assert (status, wrong) == (1, [])
    assert saved >= 60
    path = tmp_path / "r.db"
    path.write_bytes(under_way.file)
    path.with_name("r.db-wal").write_bytes(bytes(beside))
    assert main(["records", "verify", "--records", str(path)]) == 1
    assert "r.db-wal beside it: part of it cannot be read" in capsys.readouterr().err


@pytest.mark.parametrize("length", [5, HEAD + 7, HEAD + FRAME_HEAD + 9, HEAD + 4 * FRAME + 2000])
def test_a_file_beside_it_that_is_cut_is_told(length: int, under_way: Whole, tmp_path: Path) -> None:
    assert torn(under_way.beside[:length])
    status, _, _, wrong = faults(under_way, Spoilt("cut", under_way.file, under_way.beside[:length]), tmp_path)
    assert (status, wrong) == (1, [])


def test_answers_that_look_left_over_beside_the_file_are_found_all_the_same(under_way: Whole, tmp_path: Path) -> None:
    """The salt of every frame spoilt alike: neither SQLite nor the check sums complain, and twenty answers are gone."""
    beside = bytearray(under_way.beside)
    for at in range(HEAD, len(beside), FRAME):
        beside[at + 8] ^= 4
    assert not torn(bytes(beside))
    status, _, saved, wrong = faults(under_way, Spoilt("salts", under_way.file, bytes(beside)), tmp_path)
    assert (status, saved, wrong) == (1, 61, [])


def test_what_is_left_over_beside_a_file_from_an_earlier_round_is_no_damage(tmp_path: Path) -> None:
    """Once all of it stands in the file SQLite begins it anew from the front, and what comes behind is old."""
    path = tmp_path / "r.db"
    given = events()
    with Store(str(path)) as store:
        for event in given[:40]:
            store.add(event)
        with closing(sqlite3.connect(path)) as connection:
            connection.execute("PRAGMA wal_checkpoint(RESTART)")
        store.add(given[40])
        beside = path.with_name("r.db-wal").read_bytes()
        assert beside[HEAD + 8 : HEAD + 16] != beside[-FRAME + 8 : -FRAME + 16]
        assert not torn(beside)
        assert survey(path).problems == []


def test_a_thousand_spoilt_records() -> None:
    held = kept("damaged_records")
    assert held is not None
    assert held["n"] == 1000
    assert held["figures"]["fault"]["total"] == 0
    assert (
        held["figures"]["answers saved, of those given"]["total"]
        >= held["figures"]["answers that stand, of those given"]["total"]
        > 0
    )
    assert {"flipped: fault", "cut: fault", "cut beside: fault", "one bit flipped beside: fault"} <= set(
        held["figures"]
    )
    assert play(STUDY.blocks, STUDY.sample)["fault"].total == 0


def test_a_file_of_which_no_row_is_reached_is_told_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It had been "rows behind number -1"."""
    path = tmp_path / "empty.db"
    path.write_bytes(b"")
    assert main(["records", "verify", "--records", str(path)]) == 1
    out, err = capsys.readouterr()
    assert "none of its rows can be reached (no such table: events)" in err
    assert "0 events of 0 people, 2 faults." in out
    assert path.read_bytes() == b""


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE events SET body = CAST(x'7bff' || body AS TEXT) WHERE rowid = 9",
        "UPDATE events SET body = 'x' || body WHERE rowid = 9",
        "",
    ],
)
def test_merging_a_damaged_record_says_how_it_is_rescued(
    statement: str, whole: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = hurt(whole, tmp_path, statement or "SELECT 1")
    if not statement:
        other.write_bytes(b"no record at all" * 300)
    assert main(["records", "merge", str(other), "--records", str(tmp_path / "own.db")]) == 2
    err = capsys.readouterr().err
    assert f"`coaxtell records verify --records {other} --rescue NEW.db` writes what is whole" in err
    assert err.count("\n") == 1
    if statement:
        assert main(["records", "verify", "--records", str(other), "--rescue", str(tmp_path / "new.db")]) == 1
        capsys.readouterr()
        assert main(["records", "merge", str(tmp_path / "new.db"), "--records", str(tmp_path / "own.db")]) == 0
        assert int(capsys.readouterr().out.split()[0]) >= 60, "all but the damaged one"


def test_a_command_to_copy_has_the_whole_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A name over eighty letters had been cut in it as well, and a blank in one took it apart."""
    monkeypatch.chdir(tmp_path)
    other = tmp_path / f"{'long ' * 20}name.db"
    other.write_bytes(b"no record at all" * 300)
    assert main(["records", "merge", str(other), "--records", str(tmp_path / "own.db")]) == 2
    err = capsys.readouterr().err
    told, command, _ = err.split("`")
    assert str(other) not in told, "beside it the beginning and the end say enough"
    assert shlex.split(command) == ["coaxtell", "records", "verify", "--records", str(other), "--rescue", "NEW.db"]
    typed = f"`coaxtell {'y' * 5000}`"
    assert main(["mate", typed, "sma-jack"]) == 2
    assert len(capsys.readouterr().err) < 1000, "what was typed is no advice"
