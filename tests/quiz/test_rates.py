"""P(rate > bar) from a flat prior, against scipy's Beta distribution and published prices of a claim."""

from __future__ import annotations

import pytest
from scipy import stats

from coaxtell.quiz.rates import chance_above, interval


@pytest.mark.parametrize("right", [0, 1, 5, 27, 60, 400])
@pytest.mark.parametrize("wrong", [0, 1, 3, 17])
def test_equals_scipys_beta(right: int, wrong: int) -> None:
    posterior = stats.beta(right + 1, wrong + 1)
    for rate in (0.0, 0.2, 0.5, 0.8, 0.9, 0.97, 1.0):
        assert chance_above(right, wrong, rate) == pytest.approx(posterior.sf(rate), abs=1e-10)
    low, high = interval(right, wrong)
    assert low == pytest.approx(posterior.ppf(0.025), abs=1e-6)
    assert high == pytest.approx(posterior.ppf(0.975), abs=1e-6)


def test_price_of_the_claim() -> None:
    # 28 right in a row say "above 0.9" with 95 %, 45 with one wrong: 1 - 0.9^29 and its sum with one more term.
    assert chance_above(28, 0, 0.9) >= 0.95 > chance_above(27, 0, 0.9)
    assert chance_above(44, 1, 0.9) >= 0.95 > chance_above(43, 1, 0.9)
