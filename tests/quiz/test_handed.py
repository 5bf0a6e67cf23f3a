"""What a phone hands over joins the record where it is sound; of the rest one sentence each says why not."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import Any

import pytest

from coaxtell.cli.main import main
from coaxtell.models import tables
from coaxtell.quiz import exchange, handed, items
from coaxtell.quiz.stock import Stock

STARTED = {"type": "started", "id": "s1", "time": "2026-11-30T08:00:00Z", "person": "Kim", "mode": "practice"}
NOW = datetime(2026, 12, 1, tzinfo=UTC)
STOCK = Stock(tables.load().halves)


def answer(number: int, **other: Any) -> dict[str, Any]:
    """An answer of the sitting: an N jack named in a picture, right."""
    options = ["n-50-jack", "tnc-jack", "sma-jack", "bnc-50-jack"]
    return {
        "type": "answered", "id": f"a{number}", "time": "2026-11-30T08:01:00Z", "person": "Kim", "sitting": "s1",
        "number": number, "kind": "name", "a": "n-50-jack", "b": "tnc-jack", "question": "Which port is this?",
        "options": options, "right": "n-50-jack", "chosen": "n-50-jack", "sure": 0.9, "skills": ["family by size"],
    } | other  # fmt: skip


VERDICTS = ["mates", "mates with limits", "joins, no contact", "damages", "does not join", "look first"]
WRONG: dict[str, dict[str, Any]] = {
    "is about 'nope', which the tables here do not hold": {"a": "nope", "right": "tnc-jack"},
    "is dated 2031-01-01, later than now": {"time": "2031-01-01T00:00:00Z"},
    "was held against 'tnc-jack', and by the tables here 'n-50-jack' is right": {"right": "tnc-jack"},
    "was held against 'mates', and by the tables here 'does not join' is right": {
        "kind": "mates", "b": "rp-tnc-jack", "options": VERDICTS, "right": "mates", "chosen": "mates"},
    "was held against 'tnc-plug', and by the tables here 'n-50-plug' is right": {
        "kind": "order", "b": "tnc-plug", "options": ["n-50-plug", "tnc-plug"], "right": "tnc-plug",
        "chosen": "tnc-plug"},
    "belongs to a sitting whose start is not there": {"sitting": "s2"},
    "is of the kind 'weigh', which the program here does not know": {"kind": "weigh"},
}  # fmt: skip


def merged(events: list[dict[str, Any]], folder: Path) -> int:
    saved = folder / "answers.json"
    saved.write_text(json.dumps(events), encoding="utf-8")
    return main(["records", "merge", str(saved), "--records", str(folder / "record.db")])


@pytest.mark.parametrize("said", WRONG, ids=lambda said: said[:20])
def test_what_is_not_sound_is_left_out_with_a_sentence(
    said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    events = [STARTED, answer(1), answer(2, **WRONG[said]), answer(3)]
    assert merged(events, tmp_path) == 1
    told = capsys.readouterr()
    assert "3 events added" in told.out
    assert " ".join(told.err.split()).count(f"Answer 2 of Kim {said}: left out") == 1
    assert len(told.err.strip().splitlines()) == 1
    assert main(["records", "verify", "--records", str(tmp_path / "record.db")]) == 1, "the gap it leaves is told"
    assert "3 events of 1 person" in capsys.readouterr().out


def test_sound_answers_join_whole_and_later_ones_find_their_start(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert merged([STARTED, answer(1)], tmp_path) == 0
    assert merged([answer(1), answer(2)], tmp_path) == 0
    told = capsys.readouterr()
    assert "1 events added, 1 known already" in told.out
    assert told.err == ""


@pytest.mark.parametrize("before", [[], [STARTED, answer(1)]], ids=["with its start", "later"])
def test_an_answer_of_another_person_joins_no_ones_sitting(
    before: list[dict[str, Any]], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    if before:
        assert merged(before, tmp_path) == 0
    capsys.readouterr()
    assert merged([*([] if before else [STARTED, answer(1)]), answer(2), answer(3, person="Lee")], tmp_path) == 1
    told = capsys.readouterr()
    assert f"{1 if before else 3} events added" in told.out
    assert " ".join(told.err.split()).count("Answer 3 of Lee stands in a sitting of Kim: left out") == 1
    assert len(told.err.strip().splitlines()) == 1


def test_the_tables_tell_which_answer_of_a_look_was_right() -> None:
    look = items.tasks(STOCK, ["look"])[::25]
    assert len(look) > 3
    for task in look:
        made = items.make(STOCK, task, Random(1))
        told = answer(1, kind="look", a=task.a, b=task.b, options=[one.id for one in made.options], right=made.right)
        (event,) = exchange.from_json(json.dumps([told | {"chosen": made.right}]), "answers.json")
        assert handed.sound([event], STOCK, {"s1": "Kim"}, NOW) == ([event], [])
        wrong = next(one for one in told["options"] if one != made.right)
        (event,) = exchange.from_json(json.dumps([told | {"right": wrong, "chosen": wrong}]), "answers.json")
        assert [one.code for one in handed.sound([event], STOCK, {"s1": "Kim"}, NOW)[1]] == ["handed.right"]
