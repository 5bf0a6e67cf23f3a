"""An honest figure is the best answer: over every offered step, for every number of options."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.quiz.score import expected, nearest_step, points, steps
from coaxtell.quiz.words import honest


@pytest.mark.parametrize("options", range(2, 11))
def test_offered_steps_run_from_guessing_to_certain(options: int) -> None:
    offered = steps(options)
    assert offered[0] == pytest.approx(1 / options)
    assert offered[-1] == 1
    assert list(offered) == sorted(set(offered))
    assert len(offered) <= 10  # a number key each


@pytest.mark.parametrize("options", range(2, 11))
def test_the_honest_step_pays_best(options: int) -> None:
    # On a 1 % grid of true chances from guessing up, the step that pays best is the one nearest the truth.
    for percent in range(round(100 / options), 101):
        chance = max(percent / 100, 1 / options)
        best = max(steps(options), key=lambda sure: expected(chance, sure))
        assert abs(best - chance) <= min(abs(step - chance) for step in steps(options)) + 1e-9


@given(st.floats(0, 1), st.floats(0, 1))
def test_no_figure_beats_the_honest_one(chance: float, sure: float) -> None:
    # Brier (1950): the mean loss by saying p where q is true is (p - q)^2.
    assert expected(chance, chance) - expected(chance, sure) == pytest.approx(100 * (sure - chance) ** 2, abs=1e-9)


def test_points_at_the_ends() -> None:
    assert points(True, 1.0) == 100
    assert points(False, 1.0) == -100
    assert points(True, 0.0) == points(False, 0.0) == 0
    with pytest.raises(ValueError, match="0 to 1"):
        points(True, 1.2)


def test_words_name_both_outcomes() -> None:
    assert "+96 points" in honest(True, 0.8)
    assert "-64" in honest(True, 0.8)
    assert "costs 64" in honest(False, 0.8)
    assert nearest_step(0.77, 4) == 0.8
