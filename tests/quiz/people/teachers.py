"""Two more learners for the readiness model, so that it learns from people of several laws (see `learners.py`).

Written apart from those and from the model. People differ: in what they know before, how fast they learn and forget,
how often they slip, and how far what they learn
of one fact helps with others. A fact is named `kind/what it comes to/line/line`. Their constants are assumed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from random import Random

GUESS = 0.25


class Strengths:
    """Strengths of a fact, its lines, its verdict and its skill add up on the logistic scale; each fades by itself.

    As in Elo and performance-factor models: P. I. Pavlik, H. Cen, K. R. Koedinger, Performance Factors Analysis (2009).
    """

    GAINS = (0.9, 0.25, 0.25, 0.12)

    def __init__(self, skills: Mapping[str, str], rng: Random) -> None:
        self._skills = skills
        self._start = rng.gauss(-2.0, 1.2)
        self._speed, self._fades = rng.lognormvariate(0, 0.4), 20 * rng.lognormvariate(0, 0.8)
        self._transfer = rng.lognormvariate(-0.3, 0.9)
        self._slip = rng.uniform(0.005, 0.05)
        self._hard = {fact: rng.gauss(0, 0.7) for fact in skills}
        self._held: dict[str, tuple[float, float, int]] = {}

    def _names(self, fact: str) -> tuple[str, ...]:
        kind, sort, *lines = fact.split("/")
        return fact, "/".join(lines), f"{kind}/{sort}", self._skills[fact]

    def _strength(self, name: str, day: float) -> float:
        if name not in self._held:
            return 0.0
        strength, since, days = self._held[name]
        return strength * math.exp(-(day - since) / (self._fades * (1 + 0.4 * days)))

    def right(self, fact: str, day: float) -> float:
        whole = self._start - self._hard[fact] + sum(self._strength(name, day) for name in self._names(fact))
        held = 1 / (1 + math.exp(-whole))
        return held * (1 - self._slip) + (1 - held) * GUESS

    def is_told(self, fact: str, day: float, correct: bool) -> None:
        for name, gain in zip(self._names(fact), self.GAINS, strict=True):
            gain *= 1.0 if name == fact else self._transfer
            days = self._held.get(name, (0.0, -9.0, -1))
            another = int(day) != int(days[1])
            self._held[name] = self._strength(name, day) + gain * self._speed, day, days[2] + another


class Insights:
    """A fact, and the rule behind facts of one kind and verdict, are seen into all at once; what was seen into is
    recalled by a power law that flattens with every day on which it came again.

    Power law: W. A. Wickelgren, Memory and Cognition 2 (1974) 775-780.
    """

    FACT, RULE = 0.45, 0.06

    def __init__(self, skills: Mapping[str, str], rng: Random) -> None:
        self._rng = rng
        self._speed, self._decay = rng.lognormvariate(0, 0.35), 0.22 * rng.lognormvariate(0, 0.7)
        self._by_rule, self._sees = rng.random(), rng.lognormvariate(0, 0.8)
        self._slip = rng.uniform(0.005, 0.05)
        before = rng.betavariate(0.6, 3)
        self._seen: dict[str, tuple[float, int]] = {}
        for name in sorted({"/".join(fact.split("/")[:2]) for fact in skills}) + sorted(skills):
            if rng.random() < before:
                self._seen[name] = -5.0, 3

    def _held(self, name: str, day: float) -> float:
        if name not in self._seen:
            return 0.0
        last, days = self._seen[name]
        return float((1 + max(0.0, day - last)) ** (-self._decay / math.sqrt(days)))

    def right(self, fact: str, day: float) -> float:
        by_rule = self._by_rule * self._held("/".join(fact.split("/")[:2]), day)
        held = 1 - (1 - self._held(fact, day)) * (1 - by_rule)
        return held * (1 - self._slip) + (1 - held) * GUESS

    def is_told(self, fact: str, day: float, correct: bool) -> None:
        for name, chance in ((fact, self.FACT), ("/".join(fact.split("/")[:2]), self.RULE * self._sees)):
            last, days = self._seen.get(name, (-9.0, 0))
            if name in self._seen or self._rng.random() < chance * self._speed:
                self._seen[name] = day, days + (int(day) != int(last))


TEACHERS = {"E strengths": Strengths, "F insights": Insights}
