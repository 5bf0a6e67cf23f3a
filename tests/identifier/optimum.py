"""The exact optimum of small random cases of asking, worked out over all orders of asking; knows nothing of coaxtell.

Candidates with a prior, looks with seconds and an outcome table (candidate, outcome) whose mistakes are persistent: a
look can be taken once. The cost is the seconds asked plus the cost of a wrong order times its chance.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


class Case(NamedTuple):
    """One case: prior, seconds and tables of the looks, cost of a wrong order [s]."""

    prior: Array
    seconds: Array
    tables: list[Array]
    wrong_order: float


def random_case(rng: np.random.Generator, candidates: int, looks: int, mistakes: float, wrong_order: float) -> Case:
    """A case with looks of two or three outcomes and about this share of mistakes."""
    tables = []
    for _ in range(looks):
        outcomes = int(rng.integers(2, 4))
        shown = rng.integers(0, outcomes, candidates)
        rate = mistakes * rng.uniform(0.5, 1.5)
        table = np.full((candidates, outcomes), rate / (outcomes - 1))
        table[np.arange(candidates), shown] = 1 - rate
        tables.append(table)
    return Case(rng.dirichlet(np.ones(candidates)), rng.uniform(2, 60, looks), tables, wrong_order)


def _asking(case: Case, belief: Array, look: int, after: Callable[[Array, int], float]) -> float:
    cost = float(case.seconds[look])
    for outcome in range(case.tables[look].shape[1]):
        joint = belief * case.tables[look][:, outcome]
        if joint.sum() > 1e-12:
            cost += float(joint.sum()) * after(joint / joint.sum(), outcome)
    return cost


def optimum(case: Case) -> float:
    """Least expected cost [s] of all ways of asking."""
    held: dict[frozenset[tuple[int, int]], float] = {}

    def least(belief: Array, told: frozenset[tuple[int, int]]) -> float:
        if told not in held:
            best = (1 - float(belief.max())) * case.wrong_order
            asked = {look for look, _ in told}
            for look in range(len(case.seconds)):
                if look not in asked and case.seconds[look] < best:
                    best = min(
                        best,
                        _asking(case, belief, look, lambda b, o, k=look: least(b, told | {(k, o)})),  # type: ignore[misc]
                    )
            held[told] = best
        return held[told]

    return least(case.prior, frozenset())


def cost_of(case: Case, choose: Callable[[Array, list[int]], int | None]) -> float:
    """Expected cost [s] of a way of asking: `choose` gets the belief and the looks left, and gives one or none."""

    def cost(belief: Array, left: list[int]) -> float:
        look = choose(belief, left)
        if look is None:
            return (1 - float(belief.max())) * case.wrong_order
        return _asking(case, belief, look, lambda b, _: cost(b, [k for k in left if k != look]))

    return cost(case.prior, list(range(len(case.seconds))))
