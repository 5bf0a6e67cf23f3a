"""What practice and assessment draw from: ports of a site, kinds of item alike, harmful facts, strata, look-alikes."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import accumulate, permutations
from random import Random

import msgspec

from coaxtell.models.errors import RefusedError
from coaxtell.models.mating.mate import Verdict
from coaxtell.models.measure import worked_from
from coaxtell.quiz import alike, everyday, items
from coaxtell.quiz.item import Task
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.trial import Asks, Part

MOST_MET = 6
"""Families that are named where there is no port list."""

MOST_FACTS = 8
"""Harmful facts that an assessment asks; the rest is named."""

LEAST = 11
"""Different items below which a port list gives no assessment that does not repeat itself."""

APART = 6
"""The same pair and kind comes again within this many items only where nothing else is left."""

Shares = dict[Task, float]


class Pool:
    """Tasks with their shares, to draw from."""

    def __init__(self, shares: Mapping[Task, float]) -> None:
        self.tasks = list(shares)
        self._sums = list(accumulate(shares.values()))

    def draw(self, rng: Random, last: Sequence[str] = ()) -> Task:
        """A task by its share, none of the pairs asked last where another is to be had."""
        for _ in range(20):
            task = rng.choices(self.tasks, cum_weights=self._sums)[0]
            if task.key not in last:
                break
        return task


class Blueprint:
    """What is drawn from, for a port list (half id and count) or, without one, for all halves as they are met."""

    def __init__(
        self, stock: Stock, ports: Mapping[str, int] | None = None, kinds: Sequence[str] | None = None
    ) -> None:
        """Raises InputError where a port is no half, or where nothing can be asked of these ports and kinds."""
        self.stock, self.ports = stock, dict(ports or {})
        for half_id in self.ports:
            stock.half(half_id)
        self.shares = items.shares(stock, self.ports, kinds)
        if not self.shares:
            raise RefusedError("quiz.no_item")
        self._pools = {kind: Pool(shares) for kind, shares in self.shares.items()}

    @property
    def tasks(self) -> int:
        """How many different items there are, pair and kind."""
        return len({task.key for shares in self.shares.values() for task in shares})

    def draw(self, rng: Random, last: Sequence[str] = ()) -> Task:
        """A task: each kind alike, within it by its share."""
        return self._pools[rng.choice(list(self._pools))].draw(rng, last)

    def cell(self, task: Task) -> str:
        """The fact that a task asks about."""
        return items.cell(self.stock, task)

    @cached_property
    def often(self) -> list[tuple[str, float]]:
        """Without a list: the families met most, with their share of all ports."""
        return [] if self.ports else list(everyday.families(self.stock).items())[:MOST_MET]

    @cached_property
    def harmful_pairs(self) -> tuple[str, ...]:
        """Every pair of these ports that damages a contact, or may, and may be asked; those met most first."""
        weights: dict[str, float] = {}
        for task in items.pairs(self.stock):
            if items.harmful(self.stock, task):
                weights[_fact(task)] = everyday.weight(self.stock, task.a, task.b, self.ports)
        return tuple(sorted((fact for fact in weights if weights[fact] > 0), key=lambda fact: (-weights[fact], fact)))

    @property
    def facts(self) -> tuple[str, ...]:
        """The harmful facts that an assessment asks."""
        return self.harmful_pairs[:MOST_FACTS]

    @property
    def left_out(self) -> tuple[str, ...]:
        """Harmful pairs of these ports that are too many to be asked."""
        return self.harmful_pairs[MOST_FACTS:]

    @cached_property
    def twins(self) -> tuple[str, ...]:
        """Harmless pairs that who does not tell the halves of a fact from their look-alikes takes for it: either half
        with its own mate. The same order as the facts."""
        return tuple(self._of_twins)

    @cached_property
    def _of_twins(self) -> dict[str, Pool]:
        """For each twin the items in which it decides beside a fact: the pair itself, and orders of its one half where
        what the fact would have ordered stands among the options."""
        pairs = items.pairs(self.stock)
        kinds = {task.kind for pool in self._of_facts.values() for task in pool.tasks} - set(items.OF_PAIRS)
        orders = items.shares(self.stock, {}, sorted(kinds)) if kinds else {}
        found: dict[str, Shares] = {}
        for fact in self.facts:
            for half, other in permutations(fact.split("|")):
                port = self.stock.mate_of(half)
                twin = "" if port is None else "|".join(sorted((half, port)))
                own = {task: share for task, share in pairs.items() if _fact(task) == twin}
                if port is None or not own or any(items.harmful(self.stock, task) for task in own):
                    continue
                beside = [
                    {task: share for task, share in tasks.items() if task.a == port and other in _ports_of(task)}
                    for tasks in orders.values()
                ]
                for tasks in (own, *beside):
                    found.setdefault(twin, {}).update(alike.evened(tasks))
        return {twin: Pool(tasks) for twin, tasks in found.items()}

    @cached_property
    def alike(self) -> dict[str, Pool]:
        """The strata of the ordinary part in which a port and what it is taken for are told apart."""
        return {name: Pool(tasks) for name, tasks in alike.strata(self.stock, self.ports, self.facts).items()}

    @cached_property
    def unsettled(self) -> tuple[str, ...]:
        """Pairs with a port of the list of which nobody knows yet whether they damage a contact; none is asked."""
        if not self.ports:
            return ()
        pairs = {
            "|".join(sorted((port, other)))
            for port in self.ports
            for other in self.stock.halves
            if self.stock.verdict(port, other) is Verdict.NOT_KNOWN and self.stock.unsettled(port, other)
        }
        return tuple(sorted(pairs))

    @cached_property
    def strata(self) -> dict[str, Pool]:
        """The strata of the ordinary part with their tasks; harmful facts are not among them."""
        found: dict[str, Shares] = {}
        for shares in self.shares.values():
            for task, share in shares.items():
                stratum = items.stratum(self.stock, task)
                if stratum and not (task.kind in items.OF_PAIRS and items.harmful(self.stock, task)):
                    found.setdefault(stratum, {})[task] = share
        return {name: Pool(found[name]) for name in sorted(found)}

    @cached_property
    def _of_facts(self) -> dict[str, Pool]:
        """For each fact the items in which it decides."""
        found: dict[str, Shares] = {fact: {} for fact in self.facts}
        for shares in items.shares(self.stock, {}).values():
            by_fact: dict[str, Shares] = {}
            for task, share in shares.items():
                fact = items.fact(self.stock, task)
                if fact in found:
                    by_fact.setdefault(fact, {})[task] = share
            for fact, tasks in by_fact.items():
                found[fact] |= alike.evened(tasks)
        return {fact: Pool(tasks) for fact, tasks in found.items()}

    @cached_property
    def _foils(self) -> dict[str, Pool]:
        """For each fact harmless pairs that share a half with it, every answer alike."""
        found = {}
        pairs = items.pairs(self.stock)
        for fact in self.facts:
            halves = set(fact.split("|"))
            near = {
                task: share
                for task, share in pairs.items()
                if halves & {task.a, task.b} and not items.harmful(self.stock, task)
            }
            found[fact] = Pool(near or pairs)
        return found

    def task_for(self, asked: Asks, rng: Random, last: Sequence[str] = ()) -> Task:
        """A task for what an assessment asks."""
        if asked.foil:
            return (self._of_twins.get(asked.name) or self._foils[asked.name]).draw(rng, last)
        if asked.part is Part.HARMFUL:
            return self._of_facts[asked.name].draw(rng, last)
        pools = self.strata if asked.name in self.strata else self.alike
        return pools[asked.name].draw(rng, last)

    def assessable(self) -> None:
        """Raises InputError where these ports give no assessment."""
        if self.tasks < LEAST:
            raise RefusedError("quiz.few_items", tasks=self.tasks, least=LEAST)

    @cached_property
    def tables(self) -> str:
        """Check sum of the halves it was made from; notes and other sources' values leave it as it is."""
        halves = worked_from(msgspec.to_builtins(list(self.stock.halves.values())))
        return hashlib.sha256(msgspec.json.encode(halves, order="sorted")).hexdigest()[:16]

    @cached_property
    def fingerprint(self) -> str:
        """Check sum of what is asked: a sitting goes on only on the same.

        Twins and look-alikes follow from the rest, and a try without them is judged and goes on as it was begun.
        """
        lines = [
            f"{task.kind} {task.a} {task.b} {share:.6g}"
            for found in self.shares.values()
            for task, share in found.items()
        ]
        return hashlib.sha256("\n".join([*lines, *self.facts, *self.strata]).encode()).hexdigest()[:16]


def _ports_of(task: Task) -> tuple[str, ...]:
    """The ports whose ends stand among the options of an order."""
    return task.among if task.a in task.among else (task.a, task.b)


def _fact(task: Task) -> str:
    return "|".join(sorted((task.a, task.b)))
