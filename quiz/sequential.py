"""Wald's sequential test of a rate of right answers, with its error rates worked out exactly.

Source: A. Wald, Sequential Tests of Statistical Hypotheses, Annals of Mathematical Statistics 16 (1945) 117-186.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple


class Decision(StrEnum):
    """What the answers so far allow to say; nothing is forced."""

    READY = "ready"
    NOT_YET = "not yet"
    UNDECIDED = "undecided so far"


@dataclass(frozen=True)
class Bar:
    """A test between two rates: a person at `low` passes with `false_pass` at most, one at `high` fails with
    `false_fail` at most.

    Raises ValueError where the rates do not rise or an error rate is not below one half.
    """

    low: float
    high: float
    false_pass: float = 0.01
    false_fail: float = 0.05

    def __post_init__(self) -> None:
        if not 0 < self.low < self.high < 1:
            raise ValueError(f"the rates {self.low:g} and {self.high:g} are not two rising chances")
        if not (0 < self.false_pass < 0.5 and 0 < self.false_fail < 0.5):
            raise ValueError("error rates lie between 0 and one half")

    @property
    def pass_at(self) -> float:
        """Evidence [nat] at which the person is ready."""
        return math.log((1 - self.false_fail) / self.false_pass)

    @property
    def fail_at(self) -> float:
        """Evidence [nat] at which the person is not yet ready."""
        return math.log(self.false_fail / (1 - self.false_pass))

    def evidence(self, right: int, wrong: int) -> float:
        """Log of the likelihood ratio of the two rates [nat]."""
        return right * math.log(self.high / self.low) + wrong * math.log((1 - self.high) / (1 - self.low))

    def decide(self, right: int, wrong: int) -> Decision:
        """What a number of right and wrong answers allows to say."""
        evidence = self.evidence(right, wrong)
        if evidence >= self.pass_at:
            return Decision.READY
        if evidence <= self.fail_at:
            return Decision.NOT_YET
        return Decision.UNDECIDED


class Operating(NamedTuple):
    """What becomes of a person with a given rate: chance to pass and fail, mean and 95th percentile of items."""

    passes: float
    fails: float
    mean_items: float
    p95_items: int


REST = 1e-12
"""Chance of still being undecided at which the recursion ends."""


def operating(bar: Bar, rate: float) -> Operating:
    """The exact outcome of the test for a person who is right with `rate` each time, by recursion over the items."""
    open_now = {0: 1.0}
    passes = fails = mean = 0.0
    p95 = 0
    items = 0
    while sum(open_now.values()) > REST:
        items += 1
        following: dict[int, float] = {}
        for wrong, chance in open_now.items():
            for more, share in ((0, rate), (1, 1 - rate)):
                now = wrong + more
                decision = bar.decide(items - now, now)
                if decision is Decision.UNDECIDED:
                    following[now] = following.get(now, 0.0) + chance * share
                    continue
                mean += items * chance * share
                if decision is Decision.READY:
                    passes += chance * share
                else:
                    fails += chance * share
        if p95 == 0 and passes + fails >= 0.95:
            p95 = items
        open_now = following
    return Operating(passes, fails, mean, p95)
