"""What the log says of people, counted by hand."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import msgspec
import pytest

from coaxtell.quiz import overview, terms, tries
from coaxtell.quiz.log import Event, Mode, Noted, Remark
from coaxtell.quiz.overview import SkillState, Standing
from coaxtell.quiz.rates import interval
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.skills import Skill
from coaxtell.quiz_pages import progress
from tests.quiz.kill import START, answer, started


@pytest.mark.outside(
    "Intervals of a rate",
    "tables of the Beta distribution; scipy",
    "0.0001 of the rate",
)
def test_rates_intervals_and_dues() -> None:
    given: list[Event] = [started("s"), *(answer("s", n, right=n != 3) for n in range(1, 5))]
    now = START + timedelta(days=20)
    state = overview.person("Ana", given, now)
    polarity = next(skill for skill in state.skills if skill.skill is Skill.POLARITY)
    assert (polarity.right, polarity.wrong, polarity.rate) == (3, 1, 0.75)
    # Beta(4, 2): the middle 95 % run from 0.2836 to 0.9473 (tables of the Beta distribution; scipy gives the same)
    assert polarity.low == pytest.approx(0.2836, abs=1e-4)
    assert polarity.high == pytest.approx(0.9473, abs=1e-4)
    assert polarity.standing(now) is Standing.FEW
    size = next(skill for skill in state.skills if skill.skill is Skill.SIZE)
    assert size.standing(now) is Standing.UNSEEN
    assert state.pairs_due == ["rp-sma-jack|sma-plug"]
    # 0.8 sure: 96 points if right, 64 lost if wrong
    assert state.points == pytest.approx(3 * 96 - 64)


def test_what_the_table_calls_due_is_due_in_the_sentence_too() -> None:
    given: list[Event] = [started("s"), *(answer("s", n, right=n != 3) for n in range(1, 5))]
    seen = set()
    for hours in (0, 1, 30, 60, 100, 500):
        now = START + timedelta(hours=hours)
        state = overview.person("Ana", given, now)
        *_, said = progress.sits(state, now)
        due, _, soon = said.partition(" Due within a day: ")
        for skill, *_, when, _ in progress.skills(state, now).rows:
            assert (when == "now") == (skill in due), (hours, said)
            assert (when == "within a day") == (skill in soon), (hours, said)
            seen.add(when)
        assert all(f"the pair {pair.replace('|', ' and ')}" in due for pair in state.pairs_due)
    assert {"now", "within a day"} <= seen


def test_only_the_latest_forty_answers_judge_a_skill() -> None:
    given: list[Event] = [started("s"), *(answer("s", n, right=n > 60) for n in range(1, 101))]
    state = overview.person("Ana", given, START + timedelta(days=1))
    polarity = next(skill for skill in state.skills if skill.skill is Skill.POLARITY)
    assert (polarity.right, polarity.wrong) == (40, 0)
    assert polarity.standing(START + timedelta(hours=1)) is Standing.SITS


def test_every_start_is_a_try_with_its_verdict() -> None:
    given: list[Event] = [started("one", mode=Mode.ASSESSMENT), started("two", mode=Mode.ASSESSMENT), started("three")]
    ordinary = [msgspec.structs.replace(answer("one", n), harmful=False) for n in range(1, 28)]
    harmful = [answer("one", n) for n in range(28, 60)]
    found = tries.of([*given, *ordinary, *harmful, *(answer("two", n, right=False) for n in range(1, 4))])
    # 27 ordinary and 32 harmful answers right in a row are the fewest that pass (see test_assessment)
    assert [(one.number, one.items, one.verdict) for one in found] == [
        (1, 59, Decision.READY),
        (2, 3, Decision.NOT_YET),
    ]
    assert tries.of([*given, *ordinary])[0].verdict is Decision.UNDECIDED


def test_whatever_was_remarked_of_a_try_the_team_has_its_table() -> None:
    """It was lost for everyone once one person had paused a try and practised."""
    start = started("s", mode=Mode.ASSESSMENT)
    said = [Noted(f"n{k}", START, "Ana", "s", what, 3) for k, what in enumerate(Remark)]
    (one,) = overview.team([start, *said, answer("s", 1)], START + timedelta(days=1))
    assert {what for what, _ in one.tries[0].remarks} == set(Remark)
    assert progress.team([one], START + timedelta(days=1)).rows[0][6].count(";") == len(Remark) - 1
    assert len(terms.taken(one.tries[0])) == len(Remark)


def test_confusions_count_halves_and_verdicts_apart() -> None:
    named = [
        msgspec.structs.replace(
            answer("s", n), kind="name", options=["sma-plug", "rp-sma-plug"], right="sma-plug", chosen="rp-sma-plug"
        )
        for n in range(1, 4)
    ]
    given: list[Event] = [started("s"), *named, answer("s", 4, right=False), answer("s", 5)]
    halves = overview.confusions(given, {"sma-plug", "rp-sma-plug"}.__contains__)
    assert halves == [overview.Confusion("sma-plug", "rp-sma-plug", 3)]
    assert overview.wrong_verdicts(given) == [overview.Confusion("damages", "mates", 1)]


@pytest.mark.parametrize(("right", "wrong", "stands"), [(32, 8, Standing.SITS), (31, 9, Standing.NOT_YET)])
def test_a_skill_sits_from_four_right_answers_in_five(right: int, wrong: int, stands: Standing) -> None:
    """Assumed: 0.80."""
    low, high = interval(right, wrong)
    state = SkillState(Skill.SIZE, right=right, wrong=wrong, low=low, high=high, recall=None, due=None)
    assert state.standing(datetime(2026, 1, 1, tzinfo=UTC)) is stands
