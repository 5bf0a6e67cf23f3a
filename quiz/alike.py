"""Ports and what they are taken for: items of these two alone find who takes the one for the other every time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import permutations

from coaxtell.quiz import distractors, items, option_sets, skills
from coaxtell.quiz.item import Task
from coaxtell.quiz.kind import Offers
from coaxtell.quiz.poses import STANDARD
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.words import BESIDE

MOST, OF_PORT = 6, 2
"""Pairs of a port and a half that it is taken for which an assessment asks apart, and those of one port."""
CALLED = 2
"""An item that offers no more than so many halves asks what they are called, not which port is shown."""

Shares = dict[Task, float]


def strata(stock: Stock, ports: Mapping[str, float], facts: Iterable[str]) -> dict[str, Shares]:
    """For each port beside what it is taken for, and for that beside the port, the items that show the one and offer
    the other, kinds alike. Who takes the one for the other every time is right in none of one of the two.

    `ports` are those of a site with their count, or none for all halves as they are met; what the harmful `facts` part
    is left to them.
    """
    offered = [
        {task: share for task, share in tasks.items() if task.a in task.among and len(task.among) > CALLED}
        for tasks in items.shares(stock, {}, _kinds()).values()
    ]
    found: dict[str, Shares] = {}
    for pair in _pairs(stock, ports, {frozenset(fact.split("|")) for fact in facts}, offered):
        for shown, other in permutations(pair):
            own = found.setdefault(f"{shown}{BESIDE}{other}", {})
            for tasks in offered:
                kind = {task: share for task, share in tasks.items() if task.a == shown and other in task.among}
                own |= evened(kind)
    return found


def evened(shares: Shares) -> Shares:
    """The same shares, so that they add up to one."""
    whole = sum(shares.values())
    return {task: share / whole for task, share in shares.items()}


def _kinds() -> list[str]:
    return [kind.name for kind in items.KINDS.values() if kind.offers is Offers.HALVES]


def _pairs(
    stock: Stock, ports: Mapping[str, float], harmful: set[frozenset[str]], offered: Iterable[Shares]
) -> list[tuple[str, str]]:
    """The ports with what they are taken for: those met most first, of each the likeliest before the next."""
    met: dict[str, set[str]] = {}
    for tasks in offered:
        for task in tasks:
            met.setdefault(task.a, set()).update(task.among)
    found: dict[frozenset[str], tuple[float, str, str]] = {}
    for port, weight in option_sets.exposures(stock, ports).items():
        for place, other in enumerate(_likeliest(stock, port, met.get(port, set()))):
            if weight > 0 and not harmful & {_crossed(stock, port, other), _crossed(stock, other, port)}:
                one = (-weight / 2**place, port, other)
                found[frozenset((port, other))] = min(one, found.get(frozenset((port, other)), one))
    return [(port, other) for _, port, other in sorted(found.values())[:MOST]]


def _crossed(stock: Stock, port: str, other: str) -> frozenset[str]:
    """The port with the end of the other."""
    return frozenset((port, stock.mate_of(other) or ""))


def _likeliest(stock: Stock, port: str, met: set[str]) -> list[str]:
    """What a port is taken for that takes another end: its own line first, then as likely as it is."""
    half, line = stock.half(port), skills.line(stock.half(port))
    near = [
        other
        for other in distractors.look_alikes(stock, half, STANDARD)
        if other in met and stock.half(other).gender == half.gender and stock.mate_of(other) != stock.mate_of(port)
    ]
    return sorted(near, key=lambda other: skills.line(stock.half(other)) != line)[:OF_PORT]
