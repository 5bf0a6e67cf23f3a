"""Points for an answer and how sure the person was: a quadratic score, so that an honest figure pays best."""

from __future__ import annotations


def steps(options: int) -> tuple[float, ...]:
    """How sure one may say to be, from guessing (1 in `options`) to certain, in tens of percent."""
    if options < 2:
        raise ValueError("an item has two options or more")
    guess = 1 / options
    return (guess, *(ten / 10 for ten in range(1, 11) if ten / 10 > guess + 1e-9))


def points(right: bool, sure: float) -> float:
    """Points from -100 to 100: 100 (2p - p²) if right, -100 p² if wrong, for a stated chance p.

    Source: G. W. Brier, Monthly Weather Review 78 (1950) 1-3, shifted so that p = 0 earns nothing.
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


def why_honest(right: bool, sure: float) -> str:
    """The score in words, with what being sure was worth and what it risked."""
    won, lost = points(True, sure), points(False, sure)
    got = won if right else lost
    best = points(True, 1.0) if right else 0.0
    if right:
        return (
            f"{got:+.0f} points. At {sure:.0%} a right answer earns {won:+.0f} and a wrong one {lost:+.0f}; "
            f"{best:+.0f} was to be had at 100 %, at the risk of {points(False, 1.0):+.0f}. "
            "Over many answers the honest figure earns most."
        )
    return (
        f"{got:+.0f} points. At {sure:.0%} a wrong answer costs {-lost:.0f} and a right one would have earned "
        f"{won:+.0f}. Being less sure would have cost less: over many answers the honest figure earns most."
    )
