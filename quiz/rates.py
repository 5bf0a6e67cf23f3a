"""How sure one may be of a person's rate of right answers, from a stated flat prior."""

from __future__ import annotations

import math


def chance_above(right: int, wrong: int, rate: float) -> float:
    """P(true rate > `rate`) after so many right and wrong answers, every rate equally likely before.

    The posterior is Beta(right + 1, wrong + 1); for whole numbers its upper tail is the lower tail of a binomial
    count of right + wrong + 1 trials (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.5.24).

    Raises ValueError where a count is below zero.
    """
    if right < 0 or wrong < 0:
        raise ValueError("counts of answers are not below zero")
    if rate <= 0:
        return 1.0
    if rate >= 1:
        return 0.0
    trials = right + wrong + 1
    log_rate, log_rest = math.log(rate), math.log1p(-rate)
    whole = math.lgamma(trials + 1)
    terms = (
        math.exp(whole - math.lgamma(i + 1) - math.lgamma(trials - i + 1) + i * log_rate + (trials - i) * log_rest)
        for i in range(right + 1)
    )
    return min(1.0, math.fsum(terms))


def interval(right: int, wrong: int, level: float = 0.95) -> tuple[float, float]:
    """The middle `level` of the posterior of the rate, every rate equally likely before."""
    tail = (1 - level) / 2
    return _quantile(right, wrong, tail), _quantile(right, wrong, 1 - tail)


def _quantile(right: int, wrong: int, share: float) -> float:
    low, high = 0.0, 1.0
    for _ in range(50):
        middle = (low + high) / 2
        if chance_above(right, wrong, middle) > 1 - share:
            low = middle
        else:
            high = middle
    return (low + high) / 2
