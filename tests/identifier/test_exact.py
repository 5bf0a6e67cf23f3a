"""The exact search where nobody errs, against the optimum of small cases worked out another way, and on the table."""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks import asking_exact
from coaxtell.identifier.exact import Ask, Plan, Search, bits, fixed
from tests.identifier.optimum import Case, optimum, random_case


def search(case: Case) -> Search:
    """The search for a case without mistakes."""
    looks = []
    for seconds, table in zip(case.seconds, case.tables, strict=True):
        shown = table.argmax(axis=1)
        behind = [{int(i): 1.0 for i in np.flatnonzero(shown == k)} for k in range(table.shape[1])]
        looks.append(Ask(float(seconds), fixed([part for part in behind if part])))
    return Search(list(case.prior), range(len(case.prior)), looks, case.wrong_order)


@pytest.mark.parametrize("seed", range(12))
def test_it_is_the_optimum_of_small_cases(seed: int) -> None:
    case = random_case(np.random.default_rng(seed), candidates=6, looks=5, mistakes=0.0, wrong_order=200.0)
    assert search(case).plan().seconds == pytest.approx(optimum(case))


def test_a_case_solved_on_paper() -> None:
    """Four alike likely, an even split of 10 s, one against three of 4 s: first the 4 s, then the 10 s for three.

    4 + 3/4 x 10 leaves two of four as a pair half known: 11.5 s and 1/4 x 2 x 1/2 wrong of 100 s, 25 s: 36.5 s. The
    split first: 10 + 1/2 x 4 s, again one pair of two left, 1/2 x 1/2 wrong, 25 s: 37 s.
    """
    even = Ask(10.0, fixed([{0: 1.0, 1: 1.0}, {2: 1.0, 3: 1.0}]))
    one = Ask(4.0, fixed([{0: 1.0}, {1: 1.0, 2: 1.0, 3: 1.0}]))
    plan = Search([1, 1, 1, 1], range(4), [even, one], 100.0).plan()
    assert plan.look == 1
    assert plan.seconds == pytest.approx(36.5)


def test_a_look_waits_for_what_opens_it() -> None:
    """The quick look splits all, but may be asked only after the slow one."""
    slow = Ask(9.0, fixed([{0: 1.0, 1: 1.0}, {2: 1.0}]))
    quick = Ask(1.0, fixed([{0: 1.0}, {1: 1.0}, {2: 1.0}]), frozenset({0}))
    plan = Search([1, 1, 1], range(3), [slow, quick]).plan()
    assert plan.look == 0
    assert plan.seconds == pytest.approx(9 + 2 / 3)


def test_one_that_may_give_both_answers_stands_behind_both() -> None:
    either = Ask(3.0, fixed([{0: 1.0, 1: 0.5}, {1: 0.5, 2: 1.0}]))
    plan = Search([1, 1, 1], range(3), [either]).plan()
    assert [bits(part.members) for part in plan.parts] == [[0, 1], [1, 2]]


@pytest.mark.parametrize("setting", asking_exact.SETTINGS)
def test_nothing_that_was_tried_is_cheaper_on_the_whole_table(setting: str) -> None:
    """Every half at its nominal, nobody errs: the plan costs what it says, and no other way of asking less."""
    case = asking_exact.case(setting)
    plan = case.search().plan()
    assert walked(plan, case) == pytest.approx(plan.seconds)
    for way in (asking_exact.rule, asking_exact.greedy):
        assert asking_exact.cost(case, way(case)) >= plan.seconds - 1e-9


def walked(plan: Plan, case: asking_exact.WholeTable) -> float:
    """Seconds of each half down the plan, and what it costs to stop where it ends, weighed by how often it is met."""

    def cost(at: Plan) -> float:
        here = bits(at.members)
        mass = sum(float(case.prior[i]) for i in here)
        if at.look is None:
            kinds: dict[int, float] = {}
            for i in here:
                kinds[int(case.orders[i])] = kinds.get(int(case.orders[i]), 0.0) + float(case.prior[i])
            return (mass - max(kinds.values())) * case.wrong_order
        return mass * float(case.seconds[at.look]) + sum(cost(one) for one in at.then)

    return cost(plan)
