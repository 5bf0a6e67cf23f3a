"""Four learners for the study of practice: what they know lies in facts, and they forget by their own laws.

A fact belongs to a skill; `right` is the chance to answer an item of it now, `is_told` what an explained answer does.
All were written before the present policy of practice and are kept as they are, but after the one before it (`Knower`
beside them, on which the all-or-none one is modelled, before both). That learner C was no better off with that one led
to the present rule; its two numbers were not set by any of the four. Their constants are assumed: they order policies,
not days.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from random import Random
from typing import Protocol

GUESS = 0.25
SLIP = 0.01


class Learner(Protocol):
    """Someone who answers and learns; time in days."""

    def right(self, fact: str, day: float) -> float:
        """The chance to be right in an item of a fact."""

    def is_told(self, fact: str, day: float, correct: bool) -> None:
        """An answer was given and explained."""


class AllOrNone:
    """Each skill is known or not, whatever the fact; an explained item teaches it, days without it may lose it.

    A. T. Corbett, J. R. Anderson, User Modeling and User-Adapted Interaction 4 (1995) 253-278, with forgetting.
    """

    LEARNS, LOSES = 0.12, 0.004

    def __init__(self, skills: Mapping[str, str], rng: Random) -> None:
        self._skills, self._rng = skills, rng
        self._known = {skill: rng.random() < 0.3 for skill in sorted(set(skills.values()))}
        self._seen = dict.fromkeys(self._known, 0.0)

    def right(self, fact: str, day: float) -> float:
        skill = self._skills[fact]
        held = math.exp(-self.LOSES * (day - self._seen[skill])) if self._known[skill] else 0.0
        return held * (1 - SLIP) + (1 - held) * GUESS

    def is_told(self, fact: str, day: float, correct: bool) -> None:
        skill = self._skills[fact]
        held = self._known[skill] and self._rng.random() < math.exp(-self.LOSES * (day - self._seen[skill]))
        self._known[skill] = held or self._rng.random() < self.LEARNS
        self._seen[skill] = day


class Activation:
    """Traces that fade by a power law and add up; what is learned of a fact helps its skill's other facts.

    J. R. Anderson, L. J. Schooler, Psychological Science 2 (1991) 396-408: activation = ln(sum of age^-0.5).
    """

    DECAY, TRANSFER, THRESHOLD, NOISE = 0.5, 0.25, 0.2, 0.35

    def __init__(self, skills: Mapping[str, str], rng: Random) -> None:
        self._skills = skills
        self._own: dict[str, list[float]] = {}
        self._of_skill: dict[str, list[float]] = {}

    def right(self, fact: str, day: float) -> float:
        strength = self._sum(self._own.get(fact, []), day)
        strength += self.TRANSFER * self._sum(self._of_skill.get(self._skills[fact], []), day)
        if strength <= 0:
            return GUESS
        held = 1 / (1 + math.exp(-(math.log(strength) - self.THRESHOLD) / self.NOISE))
        return held * (1 - SLIP) + (1 - held) * GUESS

    def is_told(self, fact: str, day: float, correct: bool) -> None:
        self._own.setdefault(fact, []).append(day)
        self._of_skill.setdefault(self._skills[fact], []).append(day)

    def _sum(self, days: list[float], day: float) -> float:
        return math.fsum((day - one + 0.02) ** -self.DECAY for one in days[-30:])


class Misconceived:
    """Some skills are taken the wrong way round: their facts are answered wrong until the skill itself is put right."""

    LEARNS, PUTS_RIGHT, SHARE, BY_RULE = 0.3, 0.12, 0.3, 0.9

    def __init__(self, skills: Mapping[str, str], rng: Random) -> None:
        self._skills, self._rng = skills, rng
        self._wrong = {skill for skill in sorted(set(skills.values())) if rng.random() < self.SHARE}
        self._known = {fact: rng.random() < 0.3 for fact in skills}
        self._told: dict[str, int] = {}

    def right(self, fact: str, day: float) -> float:
        skill = self._skills[fact]
        if skill in self._wrong:
            return 0.08
        rule = self.BY_RULE * (1 - 2 ** (-self._told.get(skill, 0) / 4))
        return 1 - SLIP if self._known[fact] else GUESS + (1 - GUESS) * rule

    def is_told(self, fact: str, day: float, correct: bool) -> None:
        skill = self._skills[fact]
        if skill in self._wrong:
            if not correct and self._rng.random() < self.PUTS_RIGHT:
                self._wrong.discard(skill)
        else:
            self._told[skill] = self._told.get(skill, 0) + 1
            if self._rng.random() < self.LEARNS:
                self._known[fact] = True


class Stability:
    """A memory of each skill and of each fact with a half-life [days] that grows the more, the more was forgotten when
    it was met again; a fact that is not held is answered by its skill.

    B. Settles, B. Meeder, A Trainable Spaced Repetition Model for Language Learning, ACL 2016: recall = 2^(-age/h).
    """

    FIRST, GROWS, SHRINKS, BY_SKILL = 4.0, 2.2, 0.6, 0.85

    def __init__(self, skills: Mapping[str, str], rng: Random) -> None:
        self._skills = skills
        self._half: dict[str, float] = {}
        self._seen: dict[str, float] = {}

    def _held(self, name: str, day: float) -> float:
        return 2.0 ** (-(day - self._seen[name]) / self._half[name]) if name in self._half else 0.0

    def right(self, fact: str, day: float) -> float:
        held = 1 - (1 - self._held(fact, day)) * (1 - self.BY_SKILL * self._held(self._skills[fact], day))
        return held * (1 - SLIP) + (1 - held) * GUESS

    def is_told(self, fact: str, day: float, correct: bool) -> None:
        for name in (fact, self._skills[fact]):
            if name not in self._half:
                self._half[name] = self.FIRST
            elif correct:
                self._half[name] *= 1 + self.GROWS * (1 - self._held(name, day)) + 0.05
            else:
                self._half[name] = max(self.FIRST, self.SHRINKS * self._half[name])
            self._seen[name] = day


LEARNERS = {"A activation": Activation, "B misconceived": Misconceived, "C stability": Stability,
            "D all or none": AllOrNone}  # fmt: skip
