"""What asking costs where nobody errs: the exact search beside the rule of the identifier, greedy asking and a tree.

Every half at its nominal, the whole table, each setting. The rule is the identifier's own, given tables without
mistakes; greedy takes the most bits per second; the tree is scikit-learn's, grown by entropy, which knows no seconds.
Beside them, the time to the next question in the program itself. Run: python -m benchmarks.asking_exact
"""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable
from functools import cache
from typing import NamedTuple

import numpy as np

from coaxtell.identifier.answers import State
from coaxtell.identifier.belief import Ints
from coaxtell.identifier.draws import Array
from coaxtell.identifier.exact import Ask, Search, fixed
from coaxtell.identifier.features import Feature
from coaxtell.identifier.outlook import Outlook
from coaxtell.identifier.question import choose, next_look, seconds
from tests.identifier.kit import Truth, answer, shortlist, truths

SETTINGS = ("uhf-reader", "wifi", "cellular", "video", "bench", "any")
Way = Callable[[Ints, frozenset[int]], int | None]
"""A way of asking: the look after which halves are left (their numbers) and what was asked; none to stop."""


class WholeTable(NamedTuple):
    """Every half with the one answer it gives to each look: (look, half)."""

    prior: Array
    orders: Ints
    seconds: Array
    answers: Ints
    wrong_order: float

    def search(self) -> Search:
        """The exact search over it."""
        looks = []
        for took, row in zip(self.seconds, self.answers, strict=True):
            behind = [{int(i): 1.0 for i in np.flatnonzero(row == k)} for k in np.unique(row)]
            looks.append(Ask(float(took), fixed(behind)))
        return Search(list(map(float, self.prior)), [int(one) for one in self.orders], looks, self.wrong_order)


@cache
def case(setting: str) -> WholeTable:
    """The table in one setting; readings to a hundredth of a millimetre."""
    known = shortlist(setting)
    true = [truths(half) for half in known.halves]
    rows, took = [], []
    for feature in Feature:
        said = [_to_hundredths(one[feature]) for one in true]
        numbers = {value: k for k, value in enumerate(dict.fromkeys(said))}
        if len(numbers) > 1:
            rows.append([numbers[value] for value in said])
            took.append(seconds(known, feature))
    stopping = known.looks.table.stopping
    return WholeTable(known.prior, known.order_of, np.array(took), np.array(rows), stopping.wrong_order.nominal)


def _to_hundredths(value: Truth) -> Truth:
    return round(value, 2) if isinstance(value, float) else value


def cost(case: WholeTable, way: Way) -> float:
    """Expected cost of a way of asking [s]."""

    def along(left: Ints, asked: frozenset[int]) -> float:
        mass = float(case.prior[left].sum())
        look = way(left, asked)
        if look is None:
            return (mass - float(np.bincount(case.orders[left], weights=case.prior[left]).max())) * case.wrong_order
        row = case.answers[look][left]
        return mass * float(case.seconds[look]) + sum(along(left[row == k], asked | {look}) for k in np.unique(row))

    return along(np.arange(len(case.prior)), frozenset())


def rule(case: WholeTable) -> Way:
    """The identifier's way: two looks ahead where few orders remain."""
    tables = [np.eye(int(row.max()) + 1)[row][None] for row in case.answers]

    def way(left: Ints, asked: frozenset[int]) -> int | None:
        looks = [k for k in range(len(tables)) if k not in asked]
        orders = np.unique(case.orders[left], return_inverse=True)[1]
        outlook = Outlook([tables[k][:, left] for k in looks], case.seconds[looks].tolist(), orders)
        found = choose(outlook, case.prior[left][None] / case.prior[left].sum(), case.wrong_order)
        return None if found is None else looks[found]

    return way


def greedy(case: WholeTable) -> Way:
    """The most bits per second, as long as any look tells orders apart."""

    def way(left: Ints, asked: frozenset[int]) -> int | None:
        before = _uncertain(case, left)
        rates = np.zeros(len(case.seconds))
        for k, row in enumerate(case.answers):
            after = sum(_uncertain(case, left[row[left] == value]) for value in np.unique(row[left]))
            rates[k] = 0.0 if k in asked else (before - after) / case.seconds[k]
        return int(rates.argmax()) if rates.max() > 1e-12 else None

    return way


def _uncertain(case: WholeTable, left: Ints) -> float:
    """Uncertainty about the order times its mass [bit]."""
    kinds = np.bincount(case.orders[left], weights=case.prior[left])
    kinds = kinds[kinds > 0]
    return float(-(kinds * np.log2(kinds / kinds.sum())).sum())


def tree(case: WholeTable) -> float:
    """Expected cost of scikit-learn's decision tree [s]: each look on a path is paid for once."""
    from sklearn.tree import DecisionTreeClassifier

    columns = [(k, value) for k, row in enumerate(case.answers) for value in np.unique(row)]
    shown = np.array([case.answers[k] == value for k, value in columns], dtype=float).T
    grown = DecisionTreeClassifier(criterion="entropy", random_state=0)
    with warnings.catch_warnings():
        warnings.filterwarnings(
            "ignore", message="The number of unique classes"
        )  # nearly a class for each half: so it is
        grown.fit(shown, case.orders, sample_weight=case.prior)
    paths, wrong = grown.decision_path(shown), grown.predict(shown) != case.orders
    total = 0.0
    for i, chance in enumerate(case.prior):
        nodes = paths.indices[paths.indptr[i] : paths.indptr[i + 1]]
        looks = {columns[at][0] for at in grown.tree_.feature[nodes] if at >= 0}
        total += float(chance) * (float(case.seconds[list(looks)].sum()) + float(wrong[i]) * case.wrong_order)
    return total


def questions_ms(setting: str, share: float = 0.95) -> tuple[float, float]:
    """Processor time to the next question, median and this share [ms]: true sessions of every half, tables warm."""
    known = shortlist(setting)
    taken: list[float] = []
    for warm in (True, False):
        for half in known.halves[:: 9 if warm else 1]:
            true, state = truths(half), State(setting)
            while True:
                began = time.process_time()
                look = next_look(known, state)
                taken.append(1000 * (time.process_time() - began))
                if look is None:
                    break
                state = state.tell(look.feature, answer(look.feature, true[look.feature]), look.again)
        if warm:
            taken.clear()
    return float(np.median(taken)), float(np.quantile(taken, share))


def main() -> None:
    """Print one row for each setting."""
    names = ("exact, s", "rule", "greedy", "tree", "places", "solved, ms", "next, ms", "at p95")
    print(f"{'setting':<12}" + "".join(f"{name:>12}" for name in names))
    for setting in SETTINGS:
        one = case(setting)
        began = time.process_time()
        search = one.search()
        best = search.plan().seconds
        solved = 1000 * (time.process_time() - began)
        ratios = [cost(one, rule(one)) / best, cost(one, greedy(one)) / best, tree(one) / best]
        ms = questions_ms(setting)
        print(
            f"{setting:<12}{best:>12.2f}" + "".join(f"{ratio:>12.3f}" for ratio in ratios)
            + f"{search.places:>12}{solved:>12.0f}{ms[0]:>12.1f}{ms[1]:>12.1f}"
        )  # fmt: skip


if __name__ == "__main__":
    main()
