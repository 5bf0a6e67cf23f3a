"""Wald's test: its exact error rates and lengths against two independent calculations and against simulated people."""

from __future__ import annotations

import math
from random import Random

import numpy as np
import pytest
from scipy import stats

from coaxtell.quiz.assessment import OLD_BARS as BARS
from coaxtell.quiz.rates import chance_above
from coaxtell.quiz.sequential import Bar, Decision, Operating, operating
from coaxtell.quiz.trial import Part
from tests.quiz.people import Steady

ORDINARY = BARS[Part.ORDINARY]
CLAIM = 0.90
FIXED_ITEMS, FIXED_RIGHT = 76, 69
PEOPLE = {0.80: 120_000, 0.90: 8_000, 0.95: 20_000}


def walked(low: float, high: float, false_pass: float, false_fail: float, rate: float) -> tuple[float, float]:
    """Chance to pass and mean items by the random walk's own linear equations, without time steps.

    The evidence after n items with w wrong lies on (n, w); each column of equal w is solved from the last possible
    one back. The boundaries are written from Wald (1945): log((1 - b) / a) and log(b / (1 - a)).
    """
    up, down = math.log(high / low), math.log((1 - low) / (1 - high))
    top, bottom = math.log((1 - false_fail) / false_pass), math.log(false_fail / (1 - false_pass))
    most_wrong, most_right = 80, 800
    passes = np.zeros((most_wrong + 2, most_right + 2))
    items = np.zeros_like(passes)
    for wrong in range(most_wrong, -1, -1):
        for right in range(most_right, -1, -1):
            evidence = right * up - wrong * down
            if evidence >= top:
                passes[wrong, right] = 1
            elif evidence > bottom:
                passes[wrong, right] = rate * passes[wrong, right + 1] + (1 - rate) * passes[wrong + 1, right]
                items[wrong, right] = 1 + rate * items[wrong, right + 1] + (1 - rate) * items[wrong + 1, right]
    return float(passes[0, 0]), float(items[0, 0])


def wald_mean(bar: Bar, rate: float) -> float:
    """Wald's approximation of the mean number of items, overshoot left out (Wald 1945, section 4)."""
    up, down = math.log(bar.high / bar.low), math.log((1 - bar.high) / (1 - bar.low))
    passes = bar.false_pass if rate == bar.low else 1 - bar.false_fail
    return (passes * bar.pass_at + (1 - passes) * bar.fail_at) / (rate * up + (1 - rate) * down)


@pytest.mark.parametrize("bar", BARS.values(), ids=[part.value for part in BARS])
def test_exact_rates_keep_what_is_promised(bar: Bar) -> None:
    for rate in (bar.low, bar.high, 0.9):
        passes, mean = walked(bar.low, bar.high, bar.false_pass, bar.false_fail, rate)
        exact = operating(bar, rate)
        assert exact.passes == pytest.approx(passes, abs=1e-5)  # the walk is cut off at 80 wrong answers
        assert exact.mean_items == pytest.approx(mean, rel=1e-4)
        assert exact.passes + exact.fails == pytest.approx(1, abs=1e-9)
    assert operating(bar, bar.low).passes <= bar.false_pass
    assert operating(bar, bar.high).fails <= bar.false_fail


def lengths(bar: Bar, rate: float, people: int, seed: int) -> tuple[float, np.ndarray]:
    """Share that passes and the number of items of each of so many people."""
    rng = Random(seed)
    person = Steady(rate, rng)
    decided: dict[tuple[int, int], Decision] = {}
    taken = np.zeros(people)
    passed = 0
    for i in range(people):
        right = wrong = 0
        while True:
            if person.answers(""):
                right += 1
            else:
                wrong += 1
            now = decided.get((right, wrong))
            if now is None:
                now = decided[right, wrong] = bar.decide(right, wrong)
            if now is not Decision.UNDECIDED:
                break
        taken[i] = right + wrong
        passed += now is Decision.READY
    return passed / people, taken


@pytest.mark.outside(
    "Length and error rates of the assessment",
    "Wald 1945; binomial tails by scipy",
    "2 % of the mean length",
)
def test_simulated_people_beside_a_fixed_test(capsys: pytest.CaptureFixture[str]) -> None:
    # The fixed test of the same error rates: 76 items, of which 69 right (binomial tails by scipy).
    assert stats.binom.sf(FIXED_RIGHT - 1, FIXED_ITEMS, 0.80) <= 0.01
    assert stats.binom.cdf(FIXED_RIGHT - 1, FIXED_ITEMS, 0.95) <= 0.05
    found: dict[float, tuple[float, np.ndarray]] = {}
    lines = ["rate  passes  exact   mean  exact  Wald  95th  fixed test: items, passes"]
    rng = np.random.default_rng(5)
    for rate, people in PEOPLE.items():
        share, taken = found[rate] = lengths(ORDINARY, rate, people, seed=round(100 * rate))
        exact: Operating = operating(ORDINARY, rate)
        fixed = float(np.mean(rng.binomial(FIXED_ITEMS, rate, people) >= FIXED_RIGHT))
        wald = f"{wald_mean(ORDINARY, rate):5.1f}" if rate != 0.90 else "    -"
        lines.append(
            f"{rate:.2f}  {share:6.2%}  {exact.passes:6.2%}  {taken.mean():4.1f}   {exact.mean_items:4.1f} {wald}  "
            f"{np.percentile(taken, 95):4.0f}  {FIXED_ITEMS}, {fixed:.2%}"
        )
        assert taken.mean() == pytest.approx(exact.mean_items, rel=0.02)
        assert abs(share - exact.passes) <= 4 * math.sqrt(exact.passes * (1 - exact.passes) / people)
    with capsys.disabled():
        print("\n" + "\n".join(lines))
    assert found[0.80][0] <= 0.01
    assert 1 - found[0.95][0] <= 0.05
    assert found[0.80][1].mean() <= 30
    assert found[0.95][1].mean() <= 50


POPULATIONS = {"flat prior": (1.0, 1.0), "beginners": (4.0, 3.0), "old hands": (18.0, 1.5)}
"""Beta distributions from which true rates are drawn; only the first is the stated prior."""


def test_stated_chance_is_right_for_people_of_the_stated_prior(capsys: pytest.CaptureFixture[str]) -> None:
    lines = ["population   stated P(rate > 0.90)   true share"]
    gap: dict[str, float] = {}
    for name, (a, b) in POPULATIONS.items():
        rng = Random(name)
        rates = np.random.default_rng(8).beta(a, b, 6000)
        stated: list[float] = []
        for rate in rates:
            person = Steady(float(rate), rng)
            right = wrong = 0
            while ORDINARY.decide(right, wrong) is Decision.UNDECIDED:
                if person.answers(""):
                    right += 1
                else:
                    wrong += 1
            stated.append(chance_above(right, wrong, CLAIM))
        true = float(np.mean(rates > CLAIM))
        gap[name] = abs(float(np.mean(stated)) - true)
        lines.append(f"{name:<12} {np.mean(stated):>12.3f} {true:>21.3f}")
        if name == "flat prior":
            # and not only on average: among those told much or little
            for low, high in ((0.0, 0.2), (0.5, 1.0)):
                told = [(s, r > CLAIM) for s, r in zip(stated, rates, strict=True) if low <= s <= high]
                assert len(told) > 300
                assert abs(float(np.mean([s for s, _ in told])) - float(np.mean([t for _, t in told]))) < 0.05
    with capsys.disabled():
        print("\n" + "\n".join(lines))
    assert gap["flat prior"] <= 0.02


def test_a_bar_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="rising"):
        Bar(0.9, 0.8)
    with pytest.raises(ValueError, match="error rates"):
        Bar(0.8, 0.9, 0.6, 0.05)
