"""Practice: cards replayed from answers, three days traced, and fewer items to mastery than in random order."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from random import Random

import fsrs
import msgspec
import numpy as np
import pytest

from coaxtell.quiz import items
from coaxtell.quiz.item import Task
from coaxtell.quiz.log import Answered
from coaxtell.quiz.practice import ENOUGH, Practice, Shelf, shelf
from coaxtell.quiz.schedule import Schedule, card_id, rating, replayed
from coaxtell.quiz.skills import PAIR, Skill
from coaxtell.quiz.stock import Stock
from tests.halves import all_halves, half
from tests.quiz.people import Knower

DAY_ONE = datetime(2025, 3, 3, 8, tzinfo=UTC)
OPTIONS = 4
ITEM_S = 25
SITTING = 24
"""Items of a ten-minute sitting at 25 s each (assumed)."""


def told(skill: str, correct: bool, when: datetime, sure: float = 0.9, a: str = "x", b: str = "y") -> Answered:
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
    )


SHELF = Shelf({skill.value: [[[Task("mates", skill.value, str(n)) for n in range(12)]]] for skill in Skill})
"""Ten skills with a dozen tasks each."""


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
    assert replayed(answers).held(times[-1]) == replayed(answers).held(times[-1])
    assert card_id("impedance") == card_id("impedance") != card_id("family by size")


def test_a_pair_gets_a_card_once_it_was_confused() -> None:
    state = Schedule().tell(told(Skill.SIZE, True, DAY_ONE, a="sma-plug", b="3.5-plug"))
    assert [one.name for one in state.held(DAY_ONE)] == [Skill.SIZE]
    state = state.tell(told(Skill.SIZE, False, DAY_ONE, a="sma-plug", b="3.5-plug"))
    assert PAIR + "3.5-plug|sma-plug" in {one.name for one in state.held(DAY_ONE)}


def test_the_ports_of_a_cable_are_no_confused_pair() -> None:
    answer = msgspec.structs.replace(told(Skill.CABLE, False, DAY_ONE, a="sma-jack", b="tnc-jack"), kind="cable")
    assert [one.name for one in Schedule().tell(answer).held(DAY_ONE)] == [Skill.CABLE]
    found = shelf(Stock(all_halves())).tasks
    pairs = [group for name in found if name.startswith(PAIR) for stage in found[name] for group in stage]
    assert "cable" not in {task.kind for group in pairs for task in group}


TRACE = [
    # day, skill, right or wrong, next with the schedule, next by weakness alone
    (1, "gender by thread", True, "polarity by pin", "polarity by pin"),
    (1, "polarity by pin", False, "family by size", "family by size"),
    (1, "family by size", True, "the three rules", "the three rules"),
    (1, "the three rules", True, "polarity by pin", "impedance"),
    (1, "impedance", True, "polarity by pin", "look-alike pairs"),
    (1, "polarity by pin", True, "look-alike pairs", "look-alike pairs"),
    (2, "impedance", False, "polarity by pin", "look-alike pairs"),
    (2, "polarity by pin", True, "gender by thread", "look-alike pairs"),
    (2, "gender by thread", True, "impedance", "look-alike pairs"),
    (2, "impedance", True, "family by size", "look-alike pairs"),
    (3, "family by size", True, "impedance", "look-alike pairs"),
]
"""Three recorded days. A wrong skill is due after a minute, that is three items later; the next day what was
right once is due as well, since the library's second learning step is ten minutes."""


def test_three_days_with_and_without_the_schedule() -> None:
    practices = [Practice(SHELF, scheduled=scheduled) for scheduled in (True, False)]
    found = []
    for place, (day, skill, correct, _, _) in enumerate(TRACE):
        when = DAY_ONE + timedelta(days=day - 1, seconds=ITEM_S * place)
        answer = told(skill, correct, when, a=skill, b=str(place))
        practices = [practice.tell(answer) for practice in practices]
        nexts = [practice.ask(when + timedelta(seconds=ITEM_S), Random(1))[0] for practice in practices]
        found.append((day, skill, correct, *nexts))
    assert found == TRACE
    assert sum(scheduled != weak for *_, scheduled, weak in TRACE) >= 5


def mastery(seed: int, chosen: bool) -> int:
    """Items until a person knows all ten skills; four known at the start, one sitting a day."""
    rng = Random(seed)
    names = [skill.value for skill in Skill]
    person = Knower(names, rng.sample(names, 4), rng)
    practice = Practice(SHELF)
    now = DAY_ONE
    for count in range(1, 3000):
        name = practice.ask(now, rng)[0] if chosen else rng.choice(names)
        correct = person.answers(name, OPTIONS)
        practice = practice.tell(told(name, correct, now, sure=0.9 if name in person.known else 0.3, a=name))
        person.is_taught(name)
        if person.master:
            return count
        now += timedelta(seconds=ITEM_S)
        if count % SITTING == 0:
            before = now
            now = DAY_ONE + timedelta(days=count // SITTING)
            person.sleeps(forgetting(practice, before, now))
    raise AssertionError("never mastered")


def forgetting(practice: Practice, before: datetime, now: datetime) -> Callable[[str], float]:
    """The chance to hold each skill over the night, by the library's own curve of forgetting."""
    was = {one.name: one.recall for one in practice.schedule.held(before)}
    holds = {one.name: one.recall / was[one.name] for one in practice.schedule.held(now)}
    return lambda skill: holds.get(skill, 1.0)


def test_fewer_items_to_mastery_than_in_random_order(capsys: pytest.CaptureFixture[str]) -> None:
    seeds = range(60)
    chosen = np.array([mastery(seed, True) for seed in seeds])
    random = np.array([mastery(seed, False) for seed in seeds])
    saved = 1 - chosen.mean() / random.mean()
    with capsys.disabled():
        print(
            f"\nitems to mastery: chosen {chosen.mean():.0f} (95th {np.percentile(chosen, 95):.0f}), "
            f"random {random.mean():.0f} (95th {np.percentile(random, 95):.0f}), saved {saved:.0%}"
        )
    assert saved >= 0.30


def test_tasks_of_the_shelf_practise_what_they_stand_under() -> None:
    stock = Stock(all_halves())
    found = shelf(stock)
    for name, stages in found.tasks.items():
        for task in (task for groups in stages for group in groups for task in group[:3]):
            if name.startswith(PAIR):
                assert name == PAIR + "|".join(sorted((task.a, task.b)))
            else:
                assert Skill(name) in items.skills_of(stock, task)
    only = shelf(stock, ports=["rp-tnc-jack"])
    for groups in (groups for stages in only.tasks.values() for groups in stages):
        assert all("rp-tnc-jack" in (task.a, task.b) for group in groups for task in group)


EVERYDAY = {"SMA", "RP-SMA", "TNC", "RP-TNC", "N", "BNC"}
"""What hangs on readers and antennas of UHF identification (common practice, no source)."""


def everyday(task: Task) -> bool:
    return all(half(one).family in EVERYDAY and half(one).impedance_ohm == 50 for one in (task.a, task.b))


def asked(rate: float, number: int, seed: int, ports: Sequence[str] | None = None) -> list[tuple[str, Task, bool]]:
    """The skills and tasks that a new person gets who is right with that chance, half a minute apart, and whether
    they were right."""
    stock = Stock(all_halves())
    practice, rng, now, found = Practice(shelf(stock, ports=ports)), Random(seed), DAY_ONE, []
    for place in range(number):
        name, task = practice.ask(now, rng)
        answer = told(Skill.SIZE, rng.random() < rate, now, a=task.a, b=task.b)
        found.append((name, task, answer.correct))
        skills = list(items.skills_of(stock, task))
        practice = practice.tell(msgspec.structs.replace(answer, kind=task.kind, skills=skills, number=place + 1))
        now += timedelta(seconds=30) if place % 20 != 19 else timedelta(days=1)
    return found


@pytest.mark.parametrize("seed", range(4))
def test_a_new_person_meets_everyday_ports_first_and_rare_ones_in_time(seed: int) -> None:
    found = asked(0.85, 200, seed)
    late = {Skill.IMPEDANCE, Skill.SNAP_ON}  # 75 ohm and snap-on wording have rare ports alone
    first = next(place for place, (name, _, _) in enumerate(found) if name in late)
    assert sum(correct for _, _, correct in found[:first]) >= ENOUGH
    assert late <= {name for name, _, _ in found}
    assert all(everyday(task) for name, task, _ in found[:8])
    rare = [place for place, (_, task, _) in enumerate(found) if not everyday(task)]
    assert 10 <= len(rare) <= 140


def stages_met(right: int) -> set[int]:
    """The stages of a skill's tasks that come to a person with so many right answers to it."""
    stages = [[[Task("mates", f"stage {number}", str(n)) for n in range(12)]] for number in range(3)]
    practice = Practice(Shelf({Skill.SIZE.value: stages}))
    for place in range(right):
        practice = practice.tell(told(Skill.SIZE, True, DAY_ONE + timedelta(minutes=place), a="x", b=str(place)))
    found = [practice.ask(DAY_ONE + timedelta(hours=1), Random(seed))[1] for seed in range(60)]
    return {int(task.a.removeprefix("stage ")) for task in found}


@pytest.mark.parametrize(
    ("right", "stages"), [(0, {0}), (2, {0}), (3, {0, 1}), (5, {0, 1}), (6, {0, 1, 2})]
)  # fmt: skip
def test_the_next_stage_comes_after_three_right_answers(right: int, stages: set[int]) -> None:
    """Assumed: three."""
    assert stages_met(right) == stages


@pytest.mark.parametrize(("right", "met"), [(23, False), (24, True)])
def test_rare_skills_come_after_twenty_four_right_answers(right: int, met: bool) -> None:
    """Assumed: more than one sitting."""
    tasks = {
        skill.value: [[[Task("mates", skill.value, str(n)) for n in range(12)]]]
        for skill in (Skill.SIZE, Skill.SNAP_ON)
    }
    practice, now = Practice(Shelf(tasks, frozenset({Skill.SNAP_ON.value}))), DAY_ONE
    for place in range(right):
        practice = practice.tell(told(Skill.SIZE, True, now, a="x", b=str(place)))
        now += timedelta(seconds=1)
    name, _ = practice.ask(now, Random(1))
    assert (name == Skill.SNAP_ON.value) == met


def test_a_skill_is_first_met_alone() -> None:
    stock = Stock(all_halves())
    for name, task, _ in asked(1.0, 6, 1):
        assert len(items.skills_of(stock, task)) <= 2, (name, task)


def test_the_ports_of_a_site_are_everyday_there() -> None:
    found = asked(0.9, 60, 2, ports=["f-jack", "bnc-75-jack"])
    assert all({"f-jack", "bnc-75-jack"} & {task.a, task.b} for _, task, _ in found)


def test_a_confused_pair_waits_for_one_item() -> None:
    found = asked(0.3, 80, 5)
    for (_, before, _), (name, _, _) in pairwise(found):
        assert name != PAIR + "|".join(sorted((before.a, before.b)))


def test_the_same_pair_does_not_come_again_at_once() -> None:
    practice, rng, now = Practice(shelf(Stock(all_halves()))), Random(3), DAY_ONE
    shown: list[str] = []
    for _ in range(60):
        _, task = practice.ask(now, rng)
        assert task.key not in shown[-5:]
        shown.append(task.key)
        answer = told(Skill.SIZE, True, now, a=task.a, b=task.b)
        practice = practice.tell(msgspec.structs.replace(answer, kind=task.kind))
        now += timedelta(seconds=20)
