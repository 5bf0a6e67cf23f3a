"""One sitting with two faces: what it asks outside for, how it goes on, and records of earlier versions."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
import tomllib
from datetime import timedelta
from functools import cache
from itertools import count
from pathlib import Path
from random import Random

import pytest

from coaxtell.cli.main import main
from coaxtell.models.catalogue import MODELS, Reason
from coaxtell.models.errors import InputError
from coaxtell.quiz import items, lesson, skills, visible, words
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Item
from coaxtell.quiz.log import Answered, Event, Mode, Started
from coaxtell.quiz.sitting import Assessing, ChangedError, Outside, Practising
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.store import Store
from tests.halves import all_halves
from tests.quiz.kill import START, left_on_other_tables

ROOT = Path(__file__).parent.parent.parent
OLD = Path(__file__).parent / "records" / "version-0.1.0.db"
"""Written by the program of 0.1.0: five answers of practice and an assessment paused after two."""


@cache
def stock() -> Stock:
    return Stock(all_halves())


@cache
def plan() -> Blueprint:
    return Blueprint(stock())


def outside(kept: list[Event], seed: int = 3, place: str = "") -> Outside:
    """A record in a list, a clock that ticks a minute each time, ids in order, and a secret of the place."""
    ticks, ids = count(), count(1)
    return Outside(
        person="Ana",
        keep=kept.append,
        now=lambda: START + timedelta(minutes=next(ticks)),
        new_id=lambda: f"{place}id-{next(ids)}",
        rng=Random(seed),
        secret=f"secret {place}".encode(),
    )


def test_the_same_outside_gives_the_same_sitting() -> None:
    runs: list[list[Event]] = []
    for _ in range(2):
        kept: list[Event] = []
        practice = Practising(plan(), [], outside(kept))
        for _ in range(6):
            item = practice.item()
            assert practice.item() is item
            practice.answer(item.right, 0.8)
        runs.append(kept)
    assert runs[0] == runs[1]
    assert [event.number for event in runs[0]] == [0, 1, 2, 3, 4, 5, 6]
    assert practice.tally.right == 6


def test_an_item_left_unanswered_comes_first_and_nothing_is_written_before_an_answer() -> None:
    kept: list[Event] = []
    aside: list[Item | None] = [None]

    def world(seed: int) -> Outside:
        return outside(kept, seed)._replace(left=lambda: aside[-1], leave=aside.append)

    left = Practising(plan(), [], world(3)).item()
    practice = Practising(plan(), [], world(9))
    assert practice.item() == left
    assert kept == []
    practice.answer(left.right, 0.5)
    assert [type(event) for event in kept] == [Started, Answered]
    assert aside == [None, left, None]
    following = practice.item()
    assert aside[-1] == following
    other = Blueprint(stock(), kinds=[next(kind for kind in plan().shares if kind != following.task.kind)])
    assert Practising(other, [], world(9)).item().task.kind != following.task.kind, "it is not among what is asked"


def test_what_cannot_be_written_still_stands_to_be_answered() -> None:
    def full(event: Event) -> None:
        raise InputError("The disk is full.")

    test = Assessing(plan(), "", [], outside([])._replace(keep=full))
    with pytest.raises(InputError):
        test.begin()
    assert test.start is None
    kept: list[Event] = []
    test = Assessing(plan(), "", [], outside(kept))
    test.begin()
    item = test.item()
    assert item is not None
    test.outside = test.outside._replace(keep=full)
    with pytest.raises(InputError):
        test.answer(item.right, 0.5)
    assert test.item() == item
    assert test.number == 1


def test_an_undecided_assessment_goes_on_unless_asked_anew() -> None:
    kept: list[Event] = []
    first = Assessing(plan(), "", [], outside(kept))
    first.begin()
    for _ in range(2):
        item = first.item()
        assert item is not None
        first.answer(item.right, 0.5)
    again = Assessing(plan(), "", kept, outside([]))
    assert again.item() == first.item()
    assert (again.try_number, again.number) == (1, 3)
    with pytest.raises(
        InputError, match="undecided after 2 answers, and one that is left"
    ):  # tests/quiz/test_gaming.py has the rest
        Assessing(plan(), "", kept, outside([]), anew=True)


def test_an_assessment_of_other_tables_is_refused_at_the_terminal_and_nothing_is_lost(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    # the window's face of the same rule: tests/window/test_practise.py
    place = str(tmp_path / "r.db")
    left = left_on_other_tables("Ana")
    with pytest.raises(ChangedError):
        Assessing(plan(), "", [left], outside([]))
    with Store(place) as store:
        store.add(left)
    asked = ["assess", "--person", "Ana", "--records", place, "--pictures", "none"]
    assert main(asked) == 2
    assert "have changed since this assessment was begun" in capsys.readouterr().err
    with Store(place) as store:
        assert store.events() == [left]
    monkeypatch.setattr("sys.stdin", io.StringIO("q\n"))
    assert main([*asked, "--new"]) == 0
    assert "try 2" in capsys.readouterr().out
    with Store(place) as store:
        assert [e.id for e in store.events() if isinstance(e, Started) and e.blueprint == left.blueprint] == ["left"]


def test_a_record_of_an_earlier_version_is_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    place = tmp_path / "r.db"
    shutil.copy(OLD, place)
    with Store(str(place)) as store:
        count_, problems = store.verify()
        events = store.events("Ana")
    assert (count_, problems) == (9, [])
    assert [e.mode for e in events if isinstance(e, Started)] == [Mode.PRACTICE, Mode.ASSESSMENT]
    assert {e.kind for e in events if isinstance(e, Answered)} <= set(items.KINDS)
    assert main(["progress", "--person", "Ana", "--records", str(place)]) == 0
    assert "7 answers" in capsys.readouterr().out


def test_no_text_of_the_quiz_takes_the_place_of_one_below() -> None:
    own = tomllib.loads((ROOT / "quiz" / "texts" / "en.toml").read_text(encoding="utf-8"))
    below = MODELS.texts()
    assert [f"{subject}.{code}" for subject in own for code in own[subject] if f"{subject}.{code}" in below] == []


def test_every_kind_skill_and_verdict_has_its_words() -> None:
    texts = words.QUIZ.texts()
    assert {f"kind.{name}" for name in items.KINDS} <= set(texts)
    assert words.kind("not known here") == "not known here"


NEW_KIND = '''
"""*Which impedance*: a port by its name."""

from coaxtell.models.catalogue import Reason
from coaxtell.quiz.item import Explanation, Item, Option, Task
from coaxtell.quiz.kind import Kind
from coaxtell.quiz.skills import Skill


def shares(stock, ports):
    halves = [half for half in stock.halves.values() if half.impedance_ohm in (50, 75)]
    return {Task("ohm", half.id, half.id): 1 / len(halves) for half in halves}


def make(stock, task, rng):
    half = stock.half(task.a)
    told = Explanation((Reason("ohm.why", {"half": half.name, "ohm": half.impedance_ohm}),), Reason("tells.both"))
    options = (Option("50", "50"), Option("75", "75"))
    return Item(task, Reason("ohm.question", {"half": half.name}), options, f"{half.impedance_ohm:g}",
                (Skill.IMPEDANCE,), told)


KIND = Kind("ohm", 6, shares, make, lambda stock, task: (Skill.IMPEDANCE,), lambda stock, task: False,
            lambda stock, task: "")
'''
NEW_WORDS = """
[ohm]
question = "Which impedance has {half}?"
why = "{half} has {ohm:g} ohm."
"""


def test_a_new_kind_is_one_file_and_its_words(tmp_path: Path) -> None:
    # by the recipe of DEVELOPERS.md, in a scratch copy
    for room in ("models", "identifier", "cables", "quiz", "coaxtell"):
        shutil.copytree(ROOT / room, tmp_path / room, symlinks=True, ignore=shutil.ignore_patterns("__pycache__"))
    (tmp_path / "quiz" / "items" / "ohm.py").write_text(NEW_KIND, encoding="utf-8")
    texts = tmp_path / "quiz" / "texts" / "en.toml"
    whole = texts.read_text(encoding="utf-8") + NEW_WORDS
    texts.write_text(whole.replace("[kind]\n", '[kind]\nohm = "which impedance"\n'), encoding="utf-8")
    asked = ["practise", "--kinds", "ohm", "--person", "Ana", "--records", str(tmp_path / "r.db"), "--pictures", "none"]
    said = subprocess.run(
        [sys.executable, "-m", "coaxtell", *asked],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        input="a 60\n\nq\n",
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert "which impedance" in said
    assert " ohm." in said
    with Store(str(tmp_path / "r.db"), create=False) as store:
        assert [event.kind for event in store.events() if isinstance(event, Answered)] == ["ohm"]


def test_who_has_never_practised_is_taught_first() -> None:
    kept: list[Event] = []
    practice = Practising(plan(), [], outside(kept))
    looks = []
    while practice.teaches:
        shown = practice.item().picture
        assert shown is not None
        assert (shown.wear, shown.dirt, shown.blur, shown.finish) == (0, 0, 0, "nickel")
        assert len(shown.bodies) == 2, "a flange behind one alone would be another difference"
        assert len(set(shown.bodies)) == 1
        item = practice.item()
        looks.append(item.right)
        assert words.taught(item)
        practice.answer(item.right, 0.9)
    # comparing first, each look in turn, and no more than six that are right
    assert looks == [*lesson.LOOKS, *lesson.LOOKS[:2]]
    assert not Practising(plan(), kept, outside([])).teaches


@pytest.mark.parametrize("ports", [None, {"rp-tnc-jack": 4, "n-50-jack": 2, "sma-jack": 1}])
def test_the_pairs_of_the_lesson_differ_in_the_one_look_that_is_taught(ports: dict[str, int] | None) -> None:
    course = Blueprint(stock(), ports)
    *pairs, joint = lesson.tasks(course)
    assert joint.kind == "mates"
    assert len(pairs) >= 6
    assert len({task.key for task in pairs}) == len(pairs)
    for task in pairs:
        one, two = stock().half(task.a), stock().half(task.b)
        seen = [look for look in lesson.TAUGHT if visible.differ(stock(), one, two, look)]
        assert [look.value for look in seen] == [items.sort(stock(), task)]
    # by the tables, not by the quiz: the first pair is alike in coupling and width, and differs in the contact
    one, two = stock().half(pairs[0].a), stock().half(pairs[0].b)
    assert (one.gender, one.coupling_thread) == (two.gender, two.coupling_thread)
    assert stock().width(one.id) == stock().width(two.id)
    assert (one.centre.pin is None) is not (two.centre.pin is None)


def test_whoever_has_ports_without_a_pair_that_differs_in_one_look_is_taught_on_those_of_all_tables() -> None:
    for port in stock().halves:
        assert len(lesson.tasks(Blueprint(stock(), {port: 1}))) >= lesson.RIGHT, port
    practice = Practising(Blueprint(stock(), {"f-jack": 4}), [], outside([]))
    assert practice.teaches
    assert practice.item().task.kind == "look"
    practice.answer(practice.item().right, 0.9)
    assert not Practising(Blueprint(stock(), {"f-jack": 4}, ["mates"]), [], outside([])).teaches


def test_the_polarity_that_is_taught_holds_for_every_family() -> None:
    taught = words.say(Reason("lesson.centre"))
    usual, snap = taught.split("With SMB")
    names = {"micro" if skills.line(half).startswith("micro") else skills.line(half).split()[0]
             for half in stock().halves.values() if skills.by_snap(half)}  # fmt: skip
    assert names == {"SMB", "SMC", "SSMB", "SMP", "FAKRA", "micro"}
    assert all(name in f"SMB{snap}" for name in names)
    assert "With most families" in usual
    assert not any(name in usual for name in names)
    for name in ("SMA", "N", "TNC"):
        assert f" {name}" in usual
        halves = [half for half in stock().halves.values() if half.family == name]
        assert halves
        assert not any(skills.by_snap(half) for half in halves)


def test_the_lesson_goes_on_to_a_joint_for_who_needs_it() -> None:
    practice = Practising(plan(), [], outside([]))
    kinds = []
    while practice.teaches:
        item = practice.item()
        kinds.append(item.task.kind)
        practice.answer(next(option.id for option in item.options if option.id != item.right), 0.5)
    assert kinds == ["look"] * 8 + ["mates"]
