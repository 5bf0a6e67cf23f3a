"""The readiness model fitted further on a team's own people, and whether their answers bear its chances out.

What a rate over all that is asked was, no record says; how many of the next twenty answers were right, it does. So the
chance that is stated, to be right in more than 0.90, is held against that: of people who were left out of the fit,
after each of their blocks of answers, what would have been said of the next block and what came.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

import msgspec
import numpy as np

from coaxtell.quiz.readiness import (
    BAND,
    BAR,
    Array,
    Model,
    Told,
    chances,
    fit,
    gap,
    own_of,
    personal,
    rows,
    spread,
)  # fmt: skip

BLOCK = 20
"""Answers that a chance is held against."""
ABOVE = math.floor(BAR * BLOCK) + 1
"""So many of them right are more than the bar."""
TEAM = 10
"""People of a team whose answers are needed before a chance is stated."""
TELLING = BAND + BLOCK
"""Answers from which a person's answers count for that."""
LATEST = 12
"""Blocks of a person that are held against what came, the latest ones."""
CLOSE = 0.08
"""Largest calibration error of the chances, of people left out, at which a chance is stated; as far as ten people show
it, so that its upper bound must lie below."""
ONE_IN_TEN = 1.28
"""Standard errors up to a bound that one in ten passes."""
HELD = 300.0
"""How many answers the shipped weights count as, where a team's own join in."""
FOLDS = 5

Parts = Mapping[str, tuple[Array, Array]]


class Block(NamedTuple):
    """A block of answers: how many came before it, the logits of its chances, and which were right."""

    before: int
    logits: Array
    right: Array


def fitted(model: Model, people: Mapping[str, Sequence[Told]]) -> Model:
    """The model after a team's own people; proven where their answers bear its chances out."""
    parts = {name: rows(given) for name, given in people.items() if len(given) >= TELLING}
    if not parts:
        return model
    curve = _curve(model, parts.values())
    weights = msgspec.structs.replace(model.weights, curve=[float(one) for one in curve])
    return Model(weights, len(parts) >= TEAM and error(model, parts) <= CLOSE)


def error(model: Model, parts: Parts) -> float:
    """The upper bound of the mean gap, in ten bins, between the chances that would have been stated of people left out
    of the fit, and what came.

    Its standard error is that of leaving out one person after another (M. H. Quenouille, Biometrika 43 (1956) 353-360).
    """
    order = sorted(parts)
    told: dict[str, tuple[Array, Array]] = {}
    for fold in range(FOLDS):
        out = order[fold::FOLDS]
        curve = _curve(model, (parts[name] for name in order if name not in out))
        for name in out:
            blocks = _blocks(curve, *parts[name])
            came = np.array([float(block.right.sum() >= ABOVE) for block in blocks])
            told[name] = _stated(blocks, model.weights.off_own), came

    def of(names: Iterable[str]) -> float:
        said, came = (np.concatenate(one) for one in zip(*(told[name] for name in names), strict=True))
        return gap(said, came)

    without = np.array([of(name for name in order if name != left) for left in order])
    spreads = math.sqrt((len(order) - 1) * float(without.var()))
    return of(order) + ONE_IN_TEN * spreads


def _curve(model: Model, parts: Iterable[tuple[Array, Array]]) -> Array:
    figures, right = (np.concatenate(one) for one in zip(*parts, strict=True))
    firm = HELD * np.maximum(0.02, figures.var(axis=0)) * 0.15
    return fit(figures, right, model.curve, firm)


def _blocks(curve: Array, figures: Array, right: Array) -> list[Block]:
    starts = range(len(right) - BLOCK, BAND - 1, -BLOCK)[:LATEST]
    found = []
    for start in starts:
        then = slice(start, start + BLOCK)
        own = own_of(figures[:start], right[:start], curve)
        found.append(Block(start, figures[then] @ curve + personal(figures[then]) @ own, right[then]))
    return found


def _stated(blocks: Sequence[Block], off: Sequence[float]) -> Array:
    """The chance of more right answers than the bar in each block, the rate being off by the stated spread."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(7)
    wide = np.array([spread(block.before, off) for block in blocks])
    logits = np.array([block.logits for block in blocks])
    each = chances(logits[None] + nodes[:, None, None] * wide[None, :, None])
    return np.asarray(np.tensordot(weights / weights.sum(), _counts(each)[..., ABOVE:].sum(axis=-1), 1))


def _counts(each: Array) -> Array:
    """The chance of each number of right answers, from the chance of each answer along the last axis."""
    found = np.zeros((*each.shape[:-1], each.shape[-1] + 1))
    found[..., 0] = 1
    for place in range(each.shape[-1]):
        right = each[..., place : place + 1]
        more = found * (1 - right)
        more[..., 1:] += found[..., :-1] * right
        found = more
    return found
