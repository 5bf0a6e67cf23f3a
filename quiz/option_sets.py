"""Which answers stand beside each other: sets of options that give nothing away.

A set is drawn first and the right answer alike among all its members. So whatever a person or a program makes of the
options' words, order or length, it is right no more often than by chance; only looking helps.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import combinations

import numpy as np

from coaxtell.quiz import distractors, skills, visible
from coaxtell.quiz.poses import STANDARD
from coaxtell.quiz.stock import Stock

SIZE = 4
"""Options of a set, where there are as many."""
NEAREST = 6
"""From how many of the likeliest mistakes about a half its sets are made."""
WIDEST = 2.2
"""Largest ratio of the widths of a crossed set: TNC beside SMA, N beside TNC, but not 7/16 beside SMA (assumed)."""
ROUNDS = 300
"""Steps of the fit; the shares have long settled by then."""

Members = tuple[str, ...]


def shares(candidates: Sequence[Members], wanted: Mapping[str, float]) -> dict[Members, float]:
    """How often each set is drawn, so that the right answers come as nearly as `wanted` as the sets allow.

    A member of a set is right in one of `len(set)` draws. The shares add up to one and maximise the likelihood of the
    wanted exposures, by expectation and maximisation (A. P. Dempster, N. M. Laird, D. B. Rubin, Maximum likelihood
    from incomplete data via the EM algorithm, Journal of the Royal Statistical Society B 39 (1977) 1-38).
    """
    names = [name for name, share in wanted.items() if share > 0]
    place = {name: i for i, name in enumerate(names)}
    used = [members for members in candidates if any(name in place for name in members)]
    if not used:
        return {}
    right = np.zeros((len(names), len(used)))
    for column, members in enumerate(used):
        for name in members:
            if name in place:
                right[place[name], column] = 1 / len(members)
    reached = right.any(axis=1)
    right, target = right[reached], np.array([wanted[name] for name in names], dtype=float)[reached]
    target /= target.sum()
    drawn = np.full(len(used), 1 / len(used))
    for _ in range(ROUNDS):
        drawn *= right.T @ (target / (right @ drawn))
        drawn /= drawn.sum()
    return {members: float(share) for members, share in zip(used, drawn, strict=True) if share > 1e-6}


@lru_cache(maxsize=16_384)
def told_apart(stock: Stock, one: str, two: str) -> bool:
    """True where the standard picture of either half tells it from the other."""
    a, b = stock.half(one), stock.half(two)
    return bool(visible.tells(stock, a, b, STANDARD) and visible.tells(stock, b, a, STANDARD))


@lru_cache(maxsize=8)
def of_ports(stock: Stock) -> tuple[Members, ...]:
    """Every set of halves that are taken for each other and are all told apart by looking."""
    found: dict[Members, None] = {}
    for half in stock.halves.values():
        near = [other for other in distractors.look_alikes(stock, half, STANDARD) if told_apart(stock, half.id, other)][
            :NEAREST
        ]
        for others in combinations(near, SIZE - 1):
            if all(told_apart(stock, one, two) for one, two in combinations(others, 2)):
                found[tuple(sorted((half.id, *others)))] = None
    return tuple(found)


@lru_cache(maxsize=8)
def of_lines(stock: Stock) -> tuple[Members, ...]:
    """The sets in which gender and polarity, or gender and family, are crossed: what each rule of the trade parts."""
    by_line: dict[str, dict[tuple[str, str], str]] = {}
    for half in stock.halves.values():
        if half.gender != "sexless" and half.impedance_ohm in (None, 50.0):
            by_line.setdefault(skills.line(half), {})[half.gender, half.polarity] = half.id
    found: dict[Members, None] = {}
    for line in by_line.values():
        if len(line) == SIZE:
            found[tuple(sorted(line.values()))] = None
    for one, two in combinations(by_line.values(), 2):
        for polarity in ("standard", "reverse"):
            four = [line.get((gender, polarity)) for line in (one, two) for gender in ("plug", "jack")]
            members = tuple(sorted(half_id for half_id in four if half_id is not None))
            if len(members) == SIZE and crossed_near(stock, members):
                found[members] = None
    return tuple(
        members for members in found if all(told_apart(stock, one, two) for one, two in combinations(members, 2))
    )


def crossed_near(stock: Stock, members: Members) -> bool:
    """True where the widths of the halves are near enough for someone to take one for the other."""
    widths = [stock.width(half_id).nominal for half_id in members]
    return max(widths) / min(widths) <= WIDEST


def mixed(stock: Stock, wanted: Mapping[str, float], ends: bool = False) -> dict[Members, float]:
    """How often each set is drawn: half by likeliness of a mistake, half by the rules of the trade.

    With `ends`, only sets of ports whose ends may be offered together.
    """
    parts = [shares(of_ends(stock, one) if ends else one, wanted) for one in (of_ports(stock), of_lines(stock))]
    parts = [part for part in parts if part]
    found: dict[Members, float] = {}
    for part in parts:
        for members, share in part.items():
            found[members] = found.get(members, 0.0) + share / len(parts)
    return found


@lru_cache(maxsize=16)
def of_ends(stock: Stock, sets: tuple[Members, ...]) -> tuple[Members, ...]:
    """The sets of ports whose ends may be offered together: each end joins its own port alone, beyond doubt."""
    return tuple(members for members in sets if _ends_apart(stock, members))


def _ends_apart(stock: Stock, members: Members) -> bool:
    ends = {port: stock.mate_of(port) for port in members}
    if None in ends.values() or len(set(ends.values())) < len(members):
        return False
    return all(
        port == other or (end is not None and not distractors.joined(stock, port, end) and stock.firm(port, end))
        for port in members
        for other, end in ends.items()
    )


def exposures(stock: Stock, ports: Mapping[str, float]) -> dict[str, float]:
    """How often each half is to be the right answer: as the site's list counts it, else as often as it is met."""
    return dict(ports) if ports else stock.met


def beside(members: Iterable[str], own: str) -> tuple[str, ...]:
    """The other members of a set."""
    return tuple(name for name in members if name != own)
