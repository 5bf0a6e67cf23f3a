"""Answers of `identify` are kept as they are given: signals, a closed terminal and damaged files lose nothing."""

from __future__ import annotations

import contextlib
import io
import json
import os
import signal
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from coaxtell import under_way
from coaxtell.cli.main import main
from coaxtell.identifier.answers import Saw, State
from coaxtell.identifier.features import Feature
from coaxtell.under_way import UnderWay

MOMENT = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("COAXTELL_HOME", str(tmp_path))
    return tmp_path


def talk(monkeypatch: pytest.MonkeyPatch, typed: str, *words: str) -> int:
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    return main(["identify", *words])


def newest() -> Path:
    """The file that --resume goes on with."""
    own = UnderWay.newest()
    own.leave()
    return own.path


def answers(path: Path) -> dict[str, object]:
    found = json.loads(path.read_text(encoding="utf-8"))["answers"]
    assert isinstance(found, dict)
    return found


def _heeds_signals() -> None:
    """A test run in the background hands on that the keyboard's signal and a hang-up are ignored."""
    for number in (signal.SIGINT, signal.SIGHUP):
        signal.signal(number, signal.SIG_DFL)


@pytest.mark.needs("linux")
@pytest.mark.parametrize("end", [signal.SIGTERM, signal.SIGHUP, signal.SIGKILL, signal.SIGINT])
def test_a_signal_loses_no_answer(end: signal.Signals, home: Path, capfd: pytest.CaptureFixture[str]) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "coaxtell", "identify"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        preexec_fn=_heeds_signals,
    ) as process:  # fmt: skip
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write("thread-outside\n")
        process.stdin.flush()
        said = ""
        while said.count("> ") < 2:  # the prompt of the question that comes after
            said += process.stdout.read(1)
        # one that comes between prompt and reading is heeded only after the reading: a person presses again
        while process.poll() is None:
            process.send_signal(end)
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(timeout=3)
        rest = process.stdout.read()
        status = process.returncode
    assert status == (130 if end is signal.SIGINT else -end)
    assert ("--resume" in rest) == (end is signal.SIGINT)
    assert list(answers(newest())) == ["coupling"]
    assert "Traceback" not in capfd.readouterr().err


def test_a_closed_input_is_gone_on_with_until_it_is_ended(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert talk(monkeypatch, "thread-outside\n") == 0
    assert "`coaxtell identify --resume` goes on" in capsys.readouterr().out
    assert talk(monkeypatch, "", "--resume") == 0
    said = capsys.readouterr().out
    assert "> " in said
    assert "--resume` goes on" in said
    assert "coupling> " not in said, "what was answered is not asked again"
    assert len(under_way.left()) == 1, "it is the same one"
    # an end of the questions: nothing of it is offered again
    assert talk(monkeypatch, "u\n" * 60 + "\n", "--resume") == 0
    assert "--resume" not in capsys.readouterr().out
    assert under_way.left() == []
    assert list((home / "data" / "under-way").iterdir()) == [], "nor does anything of it stay"
    assert talk(monkeypatch, "", "--resume") == 2
    assert capsys.readouterr().err == (
        "coaxtell: No identification was left unfinished; `coaxtell identify` begins one.\n"
    )


@pytest.mark.parametrize(
    "name",
    [
        "copy-of-mine.json", "{own}.sync-conflict-20261130-2004.json", "20269930-093000-000000-1.json", ".x.json",
        "00010101-000000-000000-1.json.json", "99991231-235959-999999-x.json", "\u0662" * 8 + "-093000-000000-1.json",
    ],
)  # fmt: skip
def test_a_file_that_is_not_named_as_ours_is_passed_over(
    name: str, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert talk(monkeypatch, "thread-outside\n") == 0
    own = newest()
    strange = own.with_name(name.format(own=own.stem))
    strange.write_bytes(own.read_bytes())
    assert newest() == own
    assert talk(monkeypatch, "", "--resume") == 0
    assert "coupling=thread-outside" in capsys.readouterr().out
    own.unlink()
    assert under_way.left() == []
    assert talk(monkeypatch, "", "--resume") == 2
    assert "No identification was left unfinished" in capsys.readouterr().err
    assert strange.exists()
    assert not strange.with_name(f"{strange.name}.in-hand").exists()


@pytest.mark.parametrize(("zone", "day"), [("UTC+12", "00010101"), ("UTC-12", "99991231")])
def test_a_moment_that_this_place_s_clock_does_not_reach_is_passed_over(
    zone: str, day: str, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = home / "data" / "under-way"
    folder.mkdir(parents=True)
    (folder / f"{day}-{'000000' if day < '2' else '235959'}-000000-1.json").write_text("{}", encoding="utf-8")
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        assert under_way.left() == []
    finally:
        monkeypatch.undo()
        time.tzset()


def test_nothing_is_kept_before_the_first_answer(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert talk(monkeypatch, "") == 0
    assert main(["identify", "--saw", "coupling=lugs"]) == 0
    assert under_way.left() == []


@pytest.mark.parametrize(
    "damage",
    [b"", b"{", b"[1]", b"\xff\xfe", b'{"setting": "any"}', b'{"setting":"any","instrument":"x","answers":{}}'],
)
def test_a_damaged_one_gets_a_sentence_and_stays(
    damage: bytes, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    own = UnderWay.begun(MOMENT)
    own.keep(State().tell(Feature.COUPLING, Saw("lugs")))
    own.leave()
    own.path.write_bytes(damage)
    assert talk(monkeypatch, "", "--resume") == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "is damaged" in err
    assert own.path.name in err.replace("...", "") or own.path.name[-20:] in err
    assert own.path.read_bytes() == damage


def test_the_one_left_last_comes_first_and_few_are_kept(home: Path) -> None:
    for minute in range(under_way.MOST + 5):
        own = UnderWay.begun(MOMENT.replace(minute=minute))
        own.keep(State())
        own.leave()
    names = [path.name for path in under_way.left()]
    assert len(names) == under_way.MOST
    assert names[0].startswith("20260302-0924")
    assert newest().name == names[0]


def test_the_oldest_stays_while_it_is_asked(home: Path) -> None:
    oldest = UnderWay.begun(MOMENT.replace(minute=0))
    oldest.keep(State())
    for minute in range(1, under_way.MOST + 5):
        own = UnderWay.begun(MOMENT.replace(minute=minute))
        own.keep(State())
        own.leave()
    assert oldest.path.exists()
    assert len(under_way.left()) == under_way.MOST
    oldest.leave()
    UnderWay.begun(MOMENT.replace(minute=50)).keep(State())
    assert not oldest.path.exists()


def test_it_says_which_one_is_gone_on_with(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    older, newer = (UnderWay.begun(MOMENT.replace(minute=minute)) for minute in (10, 20))
    older.keep(State().tell(Feature.COUPLING, Saw("lugs")))
    older.leave()
    newer.keep(State().tell(Feature.COUPLING, Saw("thread-outside")))
    began = f"{MOMENT.replace(minute=10).astimezone():%Y-%m-%d %H:%M}"
    told = f"This goes on with the one begun on {began}, with coupling=lugs."
    elsewhere = "A newer one is being asked in another terminal."

    def said() -> str:
        return " ".join(capsys.readouterr().out.split())

    assert talk(monkeypatch, "", "--resume") == 0
    assert f"{elsewhere} {told}" in said()
    newer.end()
    assert talk(monkeypatch, "", "--resume") == 0
    found = said()
    assert told in found
    assert elsewhere not in found
    assert main(["identify", "--resume", "--json"]) == 0
    out, err = capsys.readouterr()
    assert json.loads(out)["answers"]
    assert told in " ".join(err.split())


@pytest.mark.needs("linux")
def test_one_that_is_still_asked_elsewhere_is_not_gone_on_with(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The lock is the system's: a killed process holds nothing, and what each was told stands in a file of its own."""
    older = UnderWay.begun(MOMENT)
    older.keep(State().tell(Feature.COUPLING, Saw("lugs")))
    words = [sys.executable, "-m", "coaxtell", "identify"]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write("thread-outside\n")
        process.stdin.flush()
        said = ""
        while said.count("> ") < 2:
            said += process.stdout.read(1)
        assert talk(monkeypatch, "", "--resume") == 2
        err = capsys.readouterr().err
        assert "asked in another terminal" in err
        assert err.count("\n") == 1
        older.leave()
        assert newest() == older.path, "what was left before is gone on with"
        assert under_way.left() == [older.path]
        process.kill()
        process.wait()
        own = newest()
        assert list(answers(own)) == ["coupling"]
        assert own != older.path
    assert talk(monkeypatch, "pencil\n", "--resume") == 0
    assert list(answers(own)) == ["coupling", "size"]


def test_where_nothing_can_be_kept_the_questions_go_on(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (home / "data").write_text("a file where the folder should be", encoding="utf-8")
    assert talk(monkeypatch, "thread-outside\npin\n") == 0
    out = capsys.readouterr().out
    assert out.count("are not kept") == 1
    assert "goes on with them" not in out


def test_it_says_in_one_place_only_where_to_go_on(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["identify", "--resume", "--from", "x.json"]) == 2
    assert "give one of them" in capsys.readouterr().err
    assert os.listdir(home) == []
