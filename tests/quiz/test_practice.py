"""Practice: cards replayed from answers, drawn as the assessment draws, the better held the less often."""

from __future__ import annotations

import uuid
from collections import Counter
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from functools import cache
from random import Random

import fsrs
import msgspec
import pytest

from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Task
from coaxtell.quiz.log import Answered
from coaxtell.quiz.practice import FIRST, LEAST, Practice
from coaxtell.quiz.schedule import Schedule, card_id, rating, replayed
from coaxtell.quiz.skills import PAIR, Skill
from coaxtell.quiz.stock import Stock
from tests.halves import all_halves

DAY_ONE = datetime(2025, 3, 3, 8, tzinfo=UTC)


def told(
    skill: str, correct: bool, when: datetime, sure: float = 0.9, a: str = "x", b: str = "y", cell: str = ""
) -> Answered:
    return Answered(
        id=str(uuid.uuid4()),
        time=when,
        person="Ana",
        sitting="s",
        number=1,
        kind="mates",
        a=a,
        b=b,
        question="?",
        options=["right", "wrong"],
        right="right",
        chosen="right" if correct else "wrong",
        sure=sure,
        skills=[Skill(skill)],
        cell=cell,
    )


class Tasks:
    """Ten facts, the first met as often as all others together."""

    def draw(self, rng: Random, last: Sequence[str] = ()) -> Task:
        number = rng.choice([0] * 9 + list(range(1, 10)))
        return Task("mates", f"a{number}", f"b{rng.randrange(40)}")

    def cell(self, task: Task) -> str:
        return task.a


def test_rating_follows_answer_and_sureness() -> None:
    assert rating(told(Skill.SIZE, False, DAY_ONE, 0.9)) is fsrs.Rating.Again
    assert rating(told(Skill.SIZE, True, DAY_ONE, 0.6)) is fsrs.Rating.Hard
    assert rating(told(Skill.SIZE, True, DAY_ONE, 0.7)) is fsrs.Rating.Good


def test_cards_equal_the_librarys_own_and_do_not_depend_on_the_hour_of_replay() -> None:
    times = [DAY_ONE, DAY_ONE + timedelta(minutes=12), DAY_ONE + timedelta(days=3)]
    answers = [told(Skill.SIZE, correct, when) for correct, when in zip((False, True, True), times, strict=True)]
    scheduler, card = fsrs.Scheduler(enable_fuzzing=False), fsrs.Card(card_id=1, due=DAY_ONE)
    for answer, verdict in zip(answers, (fsrs.Rating.Again, fsrs.Rating.Good, fsrs.Rating.Good), strict=True):
        card, _ = scheduler.review_card(card, verdict, answer.time)
    held = {one.name: one for one in replayed(reversed(answers)).held(times[-1] + timedelta(days=2))}
    assert held[Skill.SIZE].due == card.due
    assert held[Skill.SIZE].recall == scheduler.get_card_retrievability(card, times[-1] + timedelta(days=2))
    assert (held[Skill.SIZE].right, held[Skill.SIZE].wrong) == (2, 1)
    assert card_id("impedance") == card_id("impedance") != card_id("family by size")


def test_a_pair_gets_a_card_once_it_was_confused() -> None:
    state = Schedule().tell(told(Skill.SIZE, True, DAY_ONE, a="sma-plug", b="3.5-plug"))
    assert [one.name for one in state.held(DAY_ONE)] == [Skill.SIZE]
    state = state.tell(told(Skill.SIZE, False, DAY_ONE, a="sma-plug", b="3.5-plug"))
    assert PAIR + "3.5-plug|sma-plug" in {one.name for one in state.held(DAY_ONE)}


def test_the_ports_of_a_cable_are_no_confused_pair() -> None:
    answer = msgspec.structs.replace(told(Skill.CABLE, False, DAY_ONE, a="sma-jack", b="tnc-jack"), kind="cable")
    assert [one.name for one in Schedule().tell(answer).held(DAY_ONE)] == [Skill.CABLE]


def test_a_new_person_is_asked_as_the_assessment_asks() -> None:
    practice, rng = Practice(Tasks()), Random(1)
    drawn = Counter(practice.ask(DAY_ONE, rng)[0].a for _ in range(2000))
    assert 0.46 < drawn["a0"] / 2000 < 0.54


def test_what_was_just_right_comes_less_often_and_never_stops() -> None:
    practice, rng = Practice(Tasks()), Random(2)
    practice = practice.tell(told(Skill.SIZE, True, DAY_ONE, a="a0", cell="a0"), Task("mates", "a0", "b"))
    drawn = Counter(practice.ask(DAY_ONE + timedelta(hours=1), rng)[0].a for _ in range(4000))
    # one half of all draws, kept with the least chance, beside the other half kept whole
    assert abs(drawn["a0"] / 4000 - LEAST / (1 + LEAST)) < 0.02


def test_the_first_while_is_that_of_the_fsrs_library() -> None:
    """After it one in ten is forgotten, by the library's default parameters, of a card that was once good."""
    scheduler = fsrs.Scheduler(enable_fuzzing=False)
    card, _ = scheduler.review_card(fsrs.Card(card_id=1, due=DAY_ONE), fsrs.Rating.Good, DAY_ONE)
    recall = scheduler.get_card_retrievability(card, DAY_ONE + timedelta(days=FIRST))
    assert recall == pytest.approx(0.9, abs=0.02)


def held_over(*days: float) -> Practice:
    """A fact that was right on these days."""
    practice = Practice(Two())
    for day in days:
        answer = told(Skill.SIZE, True, DAY_ONE + timedelta(days=day), a="held", cell="held")
        practice = practice.tell(answer, Task("mates", "held", "b"))
    return practice


@pytest.mark.parametrize(
    ("days", "trusted"),
    [((0.0,), 2.3), ((0.0, 1.0), 2.3), ((0.0, 10.0), 20.0), ((0.0, 10.0, 11.0), 20.0), ((0.0, 3.0, 10.0), 14.0)],
)
def test_a_fact_is_trusted_for_twice_the_longest_time_over_which_it_was_right(
    days: tuple[float, ...], trusted: float
) -> None:
    """Assumed: twice; and as far as that time has not run out, it is rather not kept."""
    halfway = DAY_ONE + timedelta(days=days[-1] + trusted / 2)
    assert held_over(*days).ask(halfway, Fixed(0.49))[0].a == "held"
    assert held_over(*days).ask(halfway, Fixed(0.51))[0].a == "other"


def test_a_wrong_answer_ends_the_trust() -> None:
    practice = held_over(0.0, 10.0)
    wrong = told(Skill.SIZE, False, DAY_ONE + timedelta(days=11), a="held", cell="held")
    practice = practice.tell(wrong, Task("mates", "held", "b"))
    assert practice.schedule.fact("held") is None
    right = told(Skill.SIZE, True, DAY_ONE + timedelta(days=11.5), a="held", cell="held")
    fact = practice.tell(right, Task("mates", "held", "b")).schedule.fact("held")
    assert fact is not None
    assert fact.over == pytest.approx(0.5)


def test_what_was_missed_comes_again_four_items_later() -> None:
    practice, rng = Practice(Tasks()), Random(3)
    missed = Task("mates", "rare", "b1")  # never drawn by itself
    practice = practice.tell(told(Skill.SIZE, False, DAY_ONE, a="rare", b="b1", cell="rare"), missed)
    places = []
    for place in range(1, 12):
        task, again = practice.ask(DAY_ONE, rng)
        if again:
            places.append(place)
            assert task == missed
        practice = practice.tell(told(Skill.SIZE, True, DAY_ONE, a=task.a, b=task.b, cell=task.a), task)
    assert places == [4]


@cache
def plan() -> Blueprint:
    return Blueprint(Stock(all_halves()))


def test_a_rare_port_comes_no_more_often_than_it_is_met() -> None:
    rng, stock = Random(4), plan().stock
    asked = [Practice(plan()).ask(DAY_ONE, rng)[0] for _ in range(300)]
    everyday = ("SMA", "RP-SMA", "TNC", "RP-TNC", "N", "BNC", "RP-BNC", "RP-N")
    often = sum(stock.half(task.a).family in everyday for task in asked if task.kind in ("name", "order"))
    named = sum(task.kind in ("name", "order") for task in asked)
    assert often / named > 0.7


def test_the_same_pair_does_not_come_again_at_once() -> None:
    practice, rng, now = Practice(plan()), Random(3), DAY_ONE
    shown: list[str] = []
    for _ in range(40):
        task, again = practice.ask(now, rng)
        assert again or task.key not in shown[-1:]
        shown.append(task.key)
        answer = told(Skill.SIZE, True, now, a=task.a, b=task.b, cell=plan().cell(task))
        practice = practice.tell(msgspec.structs.replace(answer, kind=task.kind), task)
        now += timedelta(seconds=20)


class Asked(Tasks):
    """Keeps what practice says of the last ones."""

    def __init__(self) -> None:
        self.last: list[str] = []

    def draw(self, rng: Random, last: Sequence[str] = ()) -> Task:
        self.last = list(last)
        return super().draw(rng, last)


def test_what_is_drawn_knows_the_last_five_tasks() -> None:
    """Assumed: five; where others serve as well none of them comes again."""
    asked = Asked()
    practice, tasks = Practice(asked), [Task("mates", f"a{n}", "b") for n in range(7)]
    for task in tasks:
        practice = practice.tell(told(Skill.SIZE, True, DAY_ONE, a=task.a, cell=task.a), task)
    practice.ask(DAY_ONE, Fixed(0.0))
    assert asked.last == [task.key for task in tasks[-5:]]


class Fixed(Random):
    """Chance that always gives one number."""

    def __init__(self, number: float) -> None:
        super().__init__(0)
        self.number = number

    def random(self) -> float:
        return self.number


class Two:
    """A fact that is held, and when that is not kept, another that is not."""

    def __init__(self) -> None:
        self.names = iter(("held", "other"))

    def draw(self, rng: Random, last: Sequence[str] = ()) -> Task:
        return Task("mates", next(self.names), "b")

    def cell(self, task: Task) -> str:
        return task.a
