"""Points for an answer and how sure the person was: a quadratic score, so that an honest figure pays best."""

from __future__ import annotations


def steps(options: int) -> tuple[float, ...]:
    """How sure one may say to be, from guessing (1 in `options`) to certain, in tens of percent.

    Raises ValueError where there are fewer than two options.
    """
    if options < 2:
        raise ValueError("an item has two options or more")
    guess = 1 / options
    return (guess, *(ten / 10 for ten in range(1, 11) if ten / 10 > guess + 1e-9))


def points(right: bool, sure: float) -> float:
    """Points from -100 to 100: 100 (2p - p²) if right, -100 p² if wrong, for a stated chance p.

    Source: G. W. Brier, Monthly Weather Review 78 (1950) 1-3, shifted so that p = 0 earns nothing.

    Raises ValueError where p is no chance.
    """
    if not 0 <= sure <= 1:
        raise ValueError(f"how sure is a chance from 0 to 1, not {sure:g}")
    return 100 * (2 * sure - sure * sure) if right else -100 * sure * sure


def expected(chance: float, sure: float) -> float:
    """Mean points of a person who is right with `chance` and says `sure`; highest where both are the same."""
    return chance * points(True, sure) + (1 - chance) * points(False, sure)


def nearest_step(sure: float, options: int) -> float:
    """The offered step nearest to a figure."""
    return min(steps(options), key=lambda step: abs(step - sure))
