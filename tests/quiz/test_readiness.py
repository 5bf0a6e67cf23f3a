"""The readiness model: against another fit, people who know and who guess, forgetting, and the kept study."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from random import Random

import msgspec
import numpy as np
import pytest
from scipy import optimize, stats

from coaxtell.quiz import readiness, team
from coaxtell.quiz.outlook import said
from coaxtell.quiz.readiness import Cell, Forecast, Model, Told, gap, shipped
from coaxtell.quiz.skills import Skill
from tests.quiz.kill import answer
from tests.quiz.test_attackers import plan

STUDY = Path(__file__).parents[2] / "benchmarks" / "results" / "quiz_readiness.json"


@cache
def cells() -> list[Cell]:
    return readiness.cells(plan(True))


def answered(rate: float, days: Sequence[int], each: int, seed: int = 1) -> list[Told]:
    """Answers on some days, right with one chance, to facts as the blueprint draws them."""
    rng = Random(seed)
    drawn = rng.choices(cells(), [cell.share for cell in cells()], k=len(days) * each)
    return [
        Told(day + 0.001 * place, drawn[n * each + place].names, rng.random() < rate)
        for n, day in enumerate(days)
        for place in range(each)
    ]


def test_the_facts_of_a_blueprint_share_everything_that_is_asked() -> None:
    assert sum(cell.share for cell in cells()) == pytest.approx(1)
    assert all(len(cell.names) == readiness.LEVELS for cell in cells())


def test_with_too_few_answers_nothing_is_said() -> None:
    found = shipped().forecast(answered(1.0, [0], 7), cells(), 1.0)
    assert found == Forecast(7)
    assert "too few answers (7)" in said(found)[0]


def test_who_knows_stands_above_who_guesses_and_both_forget() -> None:
    knows = shipped().forecast(answered(0.98, range(0, 40, 2), 10), cells(), 40)
    guesses = shipped().forecast(answered(0.25, range(0, 40, 2), 10), cells(), 40)
    assert knows.rate is not None
    assert guesses.rate is not None
    assert knows.rate > 0.85
    assert guesses.rate < 0.5
    late = shipped().forecast(answered(0.98, range(0, 40, 2), 10), cells(), 200)
    assert late.rate is not None
    assert knows.ahead is not None
    assert late.rate < knows.ahead < knows.rate
    low, high = knows.band
    assert low < knows.rate < high


def test_a_chance_is_stated_only_after_ten_people_for_whom_chances_held() -> None:
    people = {str(n): answered(0.5 + 0.05 * n, range(0, 20, 2), 28, seed=n) for n in range(team.TEAM)}
    ten, nine = team.fitted(shipped(), people), team.fitted(shipped(), {n: people[n] for n in list(people)[:9]})
    assert ten.proven
    assert not nine.proven
    # of the same ten a hundred answers each are too few to bring the error, which counts chance too, to 0.08
    early = {name: given[:100] for name, given in people.items()}
    assert team.error(shipped(), {name: readiness.rows(given) for name, given in early.items()}) > team.CLOSE
    assert not team.fitted(shipped(), early).proven
    given = answered(0.9, range(0, 20, 2), 10, seed=99)
    assert nine.forecast(given, cells(), 20).chance is None
    assert ten.forecast(given[:20], cells(), 20).chance is None  # a band, and no more
    chance = ten.forecast(given, cells(), 20).chance
    assert chance is not None
    assert 0 < chance < 1
    assert len(said(ten.forecast(given, cells(), 20))) == len(said(nine.forecast(given, cells(), 20))) + 1


def test_people_who_answer_by_whim_prove_nothing() -> None:
    # right in all or nothing by a coin, sitting by sitting: no chance that follows from answers before can hold
    rng = Random(5)
    people = {
        str(n): [
            one._replace(right=right)
            for day in range(10)
            for right in [rng.random() < 0.5]
            for one in answered(0.5, [3 * day], 10, seed=100 * n + day)
        ]
        for n in range(12)
    }
    assert not team.fitted(shipped(), people).proven


def test_what_is_stated_of_a_block_follows_from_its_chances() -> None:
    """Twenty answers of one chance, the rate not off at all: the binomial tail, by scipy; spread, towards one half."""
    logit = float(np.log(0.93 / 0.07))
    block = team.Block(30, np.full(team.BLOCK, logit), np.ones(team.BLOCK))
    told = team._stated([block], [1e-9] * 3)
    assert told == pytest.approx([stats.binom.sf(18, 20, 0.93)])
    assert team.ABOVE == 19
    wide = team._stated([block], [1.0] * 3)
    off = stats.norm.ppf(np.arange(1, 4000) / 4000)
    by_hand = np.mean(stats.binom.sf(18, 20, 1 / (1 + np.exp(-(logit + off)))))
    assert wide == pytest.approx([by_hand], abs=0.01)


def test_nine_people_or_an_error_above_0_08_give_a_band_and_no_chance(monkeypatch: pytest.MonkeyPatch) -> None:
    people = {str(n): answered(0.5 + 0.05 * n, range(0, 20, 2), 10, seed=n) for n in range(team.TEAM)}
    for error, proven in ((0.0799, True), (0.0801, False)):
        monkeypatch.setattr(team, "error", lambda model, parts, error=error: error)
        assert team.fitted(shipped(), people).proven is proven


def test_the_fit_is_that_of_a_general_optimiser() -> None:
    rng = np.random.default_rng(3)
    rows = rng.normal(size=(400, 4))
    came = (rng.random(400) < 1 / (1 + np.exp(-(rows @ [0.5, -1, 0, 2])))).astype(float)
    held, firm = np.array([0.1, 0.0, -0.2, 0.5]), np.array([1.0, 2.0, 30.0, 0.5])

    def cost(weights: np.ndarray) -> float:
        logits = rows @ weights
        return float(np.sum(np.logaddexp(0, logits) - came * logits) + 0.5 * np.sum(firm * (weights - held) ** 2))

    best = optimize.minimize(cost, np.zeros(4), tol=1e-10).x
    assert readiness.fit(rows, came, held, firm) == pytest.approx(best, abs=1e-4)


def test_the_gap_on_paper() -> None:
    # three said 0.95 of which two came, two said 0.15 of which none came: (|2.85 - 2| + |0.3 - 0|) / 5
    assert gap(np.array([0.95, 0.95, 0.95, 0.15, 0.15]), np.array([1.0, 1, 0, 0, 0])) == pytest.approx(0.23)


def test_the_kept_study_beats_the_mean_by_two_fifths() -> None:
    """From 25 answers, on learners of a model that was left out; calibration errors stand in the study, by learner."""
    rows = json.loads(STUDY.read_text(encoding="utf-8"))["rows"]
    for weights in ("unseen", "ten of a team"):
        later = [row for row in rows if row["weights"] == weights and row["answers"] in ("25 to 59", "60 and more")]
        looks = [row["looks"] for row in later]
        share = np.average([row["share above"] for row in later], weights=looks)
        brier = np.average([row["brier"] for row in later], weights=looks)
        assert brier <= 0.6 * share * (1 - share), weights
    assert len({row["learner"] for row in rows}) == 6


def test_the_model_is_no_other_than_its_weights() -> None:
    assert len(shipped().weights.curve) == readiness.WIDTH
    assert Model(shipped().weights).forecast(answered(0.9, [0, 1, 2], 10), cells(), 5) == shipped().forecast(
        answered(0.9, [0, 1, 2], 10), cells(), 5
    )


def test_an_answer_that_names_no_fact_with_its_lines_is_left_out() -> None:
    own = msgspec.structs.replace(answer("s", 1), skills=[Skill.RULES], cell="mates/mates/7/16/7/16")
    assert readiness.told([own])[0].names[1] == "lines 7/16/7/16"
    assert readiness.told([msgspec.structs.replace(own, cell=cell) for cell in ("", "x", "a/b")]) == []


def test_the_page_tells_how_it_was_before_sixty_answers_and_in_the_band() -> None:
    rows = json.loads(STUDY.read_text(encoding="utf-8"))["rows"]
    unseen = [row for row in rows if row["weights"] == "unseen"]
    between = {row["learner"][0]: row for row in unseen if row["answers"] == "25 to 59"}
    page = " ".join((Path(__file__).parents[2] / "docs" / "training.md").read_text(encoding="utf-8").split())
    base = [row["base"] for row in between.values()]
    off = {name: round(row["calibration error"], 3) for name, row in between.items()}
    assert f"(base {min(base):.3f} to {max(base):.3f})" in page
    least = ", ".join(name for name, one in off.items() if one == min(off.values()))
    assert f"there is {min(off.values()):.3f} ({least}) to {off['C']:.3f} (C)." in page
    assert off["C"] == max(off.values())
    held = [100 * row["in band"] for row in unseen]
    assert f"held the rate of {min(held):.0f} to {max(held):.0f} % of unseen" in page
