"""Simulated people. Nothing here is imported from the quiz: who answers knows nothing of how it is judged.

`Knower` follows A. T. Corbett and J. R. Anderson, Knowledge tracing: modeling the acquisition of procedural
knowledge, User Modeling and User-Adapted Interaction 4 (1995) 253-278: a skill is known or not; a known one slips, an
unknown one is guessed, and each explained item may teach it.

`Answerer` follows A. Birnbaum, Some latent trait models and their use in inferring an examinee's ability, in
F. M. Lord and M. R. Novick, Statistical Theories of Mental Test Scores (1968), chapters 17-20: the three-parameter
logistic curve with each item's own difficulty and discrimination.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from random import Random


class Steady:
    """Right with one and the same chance each time."""

    def __init__(self, rate: float, rng: Random) -> None:
        self.rate = rate
        self._rng = rng

    def answers(self, item: str) -> bool:
        return self._rng.random() < self.rate


class Answerer:
    """Three-parameter logistic: guess + (1 - guess) / (1 + exp(-1.7 a (ability - b))), a and b by the item."""

    def __init__(self, ability: float, guess: float, rng: Random) -> None:
        self.ability = ability
        self._guess = guess
        self._rng = rng

    def chance(self, item: str) -> float:
        own = Random(item)  # an item is as hard for everyone each time it comes
        steep, hard = 0.6 + 0.8 * own.random(), own.gauss(0, 0.7)
        return self._guess + (1 - self._guess) / (1 + math.exp(-1.7 * steep * (self.ability - hard)))

    def answers(self, item: str) -> bool:
        return self._rng.random() < self.chance(item)

    @classmethod
    def of_rate(cls, rate: float, items: Sequence[tuple[str, float]], guess: float, rng: Random) -> Answerer:
        """The person whose mean chance over items with these shares is `rate`."""
        low, high = -8.0, 20.0
        for _ in range(60):
            middle = (low + high) / 2
            person = cls(middle, guess, rng)
            mean = sum(share * person.chance(item) for item, share in items) / sum(share for _, share in items)
            low, high = (middle, high) if mean < rate else (low, middle)
        return cls((low + high) / 2, guess, rng)


class Knower:
    """Knows some skills; learns from explained items, guesses, slips, and forgets by a curve handed in."""

    LEARNS, SLIPS = 0.25, 0.05

    def __init__(self, skills: Sequence[str], known: Sequence[str], rng: Random) -> None:
        self.skills = list(skills)
        self.known = set(known)
        self._rng = rng

    def answers(self, skill: str, options: int) -> bool:
        if skill in self.known:
            return self._rng.random() >= self.SLIPS
        return self._rng.random() < 1 / options

    def is_taught(self, skill: str) -> None:
        if self._rng.random() < self.LEARNS:
            self.known.add(skill)

    def sleeps(self, recall: Callable[[str], float]) -> None:
        """Lose each known skill with the chance that it is not recalled."""
        self.known -= {skill for skill in sorted(self.known) if self._rng.random() > recall(skill)}

    @property
    def master(self) -> bool:
        return len(self.known) == len(self.skills)
