"""Looks that can be taken and what they promise: on plain arrays, for any set of candidates, not only connectors."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from coaxtell.identifier.belief import Ints
from coaxtell.identifier.draws import Array

FAINT = 1e-3
"""Candidates and outcomes less likely than this are left out of a second look ahead."""

AT_ONCE = 1 << 17
"""So many numbers are worked on at once: more of them do not fit the memory that is near the processor."""


class Prospect(NamedTuple):
    """What each look promises: expected gain [bit] and expected probability of the best order after it."""

    gain: Array
    sure: Array


class Outlook:
    """Looks that can be taken, each with its outcomes, (level, candidate, outcome), and its seconds.

    `order_of` gives each candidate the number of its order: only orders are told apart.
    """

    def __init__(self, tables: Sequence[Array], seconds: Sequence[float], order_of: Ints) -> None:
        self.seconds = np.asarray(seconds, dtype=float)
        self._starts = np.cumsum([0, *(t.shape[2] for t in tables)])
        # candidate first: one matrix product per candidate over the levels of care
        self._table = np.concatenate([t.transpose(1, 0, 2) for t in tables], axis=2)
        self._order_of = order_of
        self._alone = len(set(order_of.tolist())) == len(order_of)

    def narrowed(self, keep: Ints) -> Outlook:
        """The same looks for some of the candidates."""
        other = object.__new__(Outlook)
        other.seconds, other._starts = self.seconds, self._starts
        other._table, other._order_of = self._table[keep], self._order_of[keep]
        other._alone = self._alone or len(set(other._order_of.tolist())) == len(keep)
        return other

    def orders(self, by_candidate: Array) -> Array:
        """Sums over the candidates (first axis) that have the same order."""
        if self._alone:
            return by_candidate
        summed = np.zeros((int(self._order_of.max()) + 1, *by_candidate.shape[1:]))
        np.add.at(summed, self._order_of, by_candidate)
        return summed

    def uncertainty(self, joint: Array) -> float:
        """Uncertainty about what to order [bit]; joint has the axes (level, candidate)."""
        orders = self.orders(joint.sum(axis=0))
        return float(-_plogp(orders / orders.sum()).sum())

    def best(self, joint: Array) -> float:
        """Probability of the likeliest order."""
        return float(self.orders(joint.sum(axis=0)).max() / joint.sum())

    def bests(self, joints: Array) -> Array:
        """Probability of the likeliest order after each of several beliefs (belief, level, candidate)."""
        found: Array = self.orders(joints.sum(axis=1).T).max(axis=0)
        return found

    def prospects(self, joints: Array) -> Prospect:
        """What each look promises after each of several beliefs: joints (belief, level, candidate), each summing to 1.

        Gives arrays (belief, look).
        """
        step = max(2, AT_ONCE // (joints.shape[2] * self._table.shape[2]))
        if len(joints) > step:
            parts = [self.prospects(joints[first : first + step]) for first in range(0, len(joints), step)]
            return Prospect(np.concatenate([p.gain for p in parts]), np.concatenate([p.sure for p in parts]))
        by_candidate = np.matmul(joints.transpose(2, 0, 1), self._table)
        orders = self.orders(by_candidate)
        outcome = orders.sum(axis=0)
        spread = _plogp(orders).sum(axis=0) - _plogp(outcome)
        left = -np.add.reduceat(spread, self._starts[:-1], axis=1)
        sure = np.add.reduceat(orders.max(axis=0), self._starts[:-1], axis=1)
        now = self.orders(joints.sum(axis=1).T)
        before = -_plogp(now).sum(axis=0)
        return Prospect(np.maximum(before[:, None] - left, 0.0), sure)

    def after(self, joint: Array, look: int) -> tuple[Array, Array]:
        """Probability of each outcome of a look, faint ones left out, and the beliefs after each: joints as above."""
        table = self._table[:, :, self._starts[look] : self._starts[look + 1]]
        joints = joint.T[:, :, None] * table
        chance = joints.sum(axis=(0, 1))
        kept = chance > FAINT
        return chance[kept], (joints[:, :, kept] / chance[kept]).transpose(2, 1, 0)


def _plogp(p: Array) -> Array:
    # in one array: fresh memory for each step takes five times the time of the arithmetic
    found: Array = np.maximum(p, 1e-300)
    np.log2(found, out=found)
    found *= p
    return found
