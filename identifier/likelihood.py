"""How likely each answer is on each half, for each level of care: people's persistent mistakes put on what is there.

Arrays have the axes (level, half) or (level, half, outcome). Nothing is ever impossible: who has a socket before him
may still measure "the pin".
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from coaxtell.identifier import colours, kernels
from coaxtell.identifier.answers import Read, values
from coaxtell.identifier.draws import COUNT, Array, Draws, Nominal
from coaxtell.identifier.features import LIKENED, Feature, seen_values
from coaxtell.identifier.looks import Level, Looks, Measured
from coaxtell.identifier.sizes import around, sizes
from coaxtell.models.half import Half

MOST_SLIPS = 0.6
"""However careless a person is, he is right at least with the rest."""
NOTHING = "none"
"""What is seen on a part that does not show the feature."""
CELL_SPREADS = 1.5
"""Width of a cell of readings, for planning, in spreads of a reading."""
CELL_REACH = 2
"""Cells on either side of a size that readings of it may fall in, for planning."""


APART = 0.3
"""Another size of a part is one that lies at least this far from the one that is asked for [mm]."""


class Sizes(NamedTuple):
    """Sizes of one feature on all halves, (half, draw), which halves have such a part, and what else there is."""

    mm: Array
    there: npt.NDArray[np.bool_]
    around: Array
    """What else there is to measure on each half [mm], not-a-number where there is less: (half, size)."""


class Outcomes(NamedTuple):
    """The answers a feature may get, with the likelihood of each: (level, half, outcome)."""

    names: tuple[str, ...]
    table: Array


def sizes_of(halves: tuple[Half, ...], feature: Feature, looks: Looks, draws: list[Draws]) -> Sizes:
    """The sizes of a feature on all halves, over the range of the numbers they rest on."""
    reach = looks.table.jaws.reach
    found = [sizes(half, feature, draw, reach) for half, draw in zip(halves, draws, strict=True)]
    mm = [np.ones(COUNT) if one is None else np.broadcast_to(one, (COUNT,)) for one in found]
    return Sizes(np.array(mm), np.array([one is not None for one in found]), _around(draws, feature, mm))


def _around(draws: list[Draws], feature: Feature, mm: Sequence[Array]) -> Array:
    """The other sizes of each half, none for what is counted: (half, size), padded with not-a-number."""
    others = [
        [] if feature is Feature.THREADS else [size for size in around(draw.numbers) if abs(size - mean) > APART]
        for draw, mean in zip(draws, (float(own.mean()) for own in mm), strict=True)
    ]
    table = np.full((len(draws), max(1, *(len(one) for one in others))), np.nan)
    for row, one in zip(table, others, strict=True):
        row[: len(one)] = one
    return table


def shown(halves: tuple[Half, ...], feature: Feature, looks: Looks, draws: list[Draws]) -> Array:
    """Share of the parts of each half that truly show each value of a seen feature, width left out: (half, value).

    The row of a half that has no such part is all nought.
    """
    known = values(feature, looks)
    table = np.zeros((len(halves), len(known)))
    for i, (half, draw) in enumerate(zip(halves, draws, strict=True)):
        found = seen_values(half, feature, draw)
        for value in found:
            table[i, known.index(value)] += 1 / len(found)
    share = looks.table.seen[feature].shown
    if share is not None:
        table *= share.nominal
        table[:, known.index(NOTHING)] += 1 - share.nominal
    return table


def _room(halves: tuple[Half, ...], feature: Feature, looks: Looks) -> npt.NDArray[np.bool_]:
    """Which halves have what a feature is about."""
    where = looks.row(feature).where
    return np.array(
        [
            all(set(seen_values(half, Feature(other), Nominal())) & set(allowed) for other, allowed in where.items())
            for half in halves
        ]
    )


def confusion(feature: Feature, looks: Looks, slips: float) -> Array:
    """Probability that each value (row) is taken for each other (column) with `slips` times the usual mistakes."""
    known = values(feature, looks)
    row = looks.table.seen[feature]
    part = np.array([row.rarely[value].nominal if value in row.rarely else 1.0 for value in known])
    matrix = np.tile(row.slip.nominal * part / (len(known) - 1), (len(known), 1))
    if feature is Feature.COLOUR:
        assert row.spread is not None
        matrix += colours.confusion(known, row.spread.nominal)
    for mistake in looks.table.mistake:
        if mistake.feature == feature:
            matrix[known.index(mistake.shows), known.index(mistake.taken_for)] += mistake.rate.nominal
    np.fill_diagonal(matrix, 0.0)
    matrix *= slips
    wrong = matrix.sum(axis=1, keepdims=True)
    matrix *= np.minimum(1.0, MOST_SLIPS / wrong)
    np.fill_diagonal(matrix, 1 - matrix.sum(axis=1))
    return matrix


def likened(mm: Array, spread: float, feature: Feature, looks: Looks) -> Array:
    """Probability that each width [mm], (half, draw), is likened to each thing of a feature's scale: (half, thing)."""
    things = np.log([thing.d.nominal for thing in looks.scale(feature).values()])
    edges = (things[1:] + things[:-1]) / 2
    below = kernels.below(edges - np.log(mm)[:, :, None], spread).mean(axis=1)
    ends = np.zeros((len(mm), 1))
    return np.diff(np.concatenate([ends, below, ends + 1], axis=1), axis=1)


def seen_outcomes(
    halves: tuple[Half, ...], feature: Feature, looks: Looks, draws: list[Draws], prior: Array
) -> Outcomes:
    """The values of a seen feature with the likelihood of each.

    Who is asked for the hand of a thread has seen a thread, rightly or not: a half without one gets the answers of
    those that have one, so that the same mistake does not count twice.
    """
    known = values(feature, looks)
    levels = looks.table.levels.values()
    row = looks.table.seen[feature]
    table: list[Array] = []
    room = _room(halves, feature, looks)
    if feature in LIKENED:
        mm = sizes_of(halves, feature, looks, draws).mm
    else:
        true = shown(halves, feature, looks, draws)
        room &= true.any(axis=1)
    for level in levels:
        if feature in LIKENED:
            assert row.spread is not None
            lapse = min(MOST_SLIPS, row.slip.nominal * level.slips.nominal)
            right = likened(mm, row.spread.nominal * level.spread.nominal, feature, looks)
            said = (1 - lapse) * right + lapse / len(known)
        else:
            said = true @ confusion(feature, looks, level.slips.nominal)
        if not room.all():
            met = prior[room]
            said[~room] = met @ said[room] / met.sum() if len(met) else 1 / len(known)
        table.append(said)
    return Outcomes(known, np.array(table))


class Misreading(NamedTuple):
    """How people of one level of care misread one feature: shares, and the spread of a reading [its unit]."""

    gross: float
    overlooked: float
    phantom: float
    spread: float


def misreading(row: Measured, level: Level, plus_minus: float) -> Misreading:
    """What goes wrong in measuring with an instrument that may be off by `plus_minus` [unit of the feature]."""

    def share(rate: float) -> float:
        return min(MOST_SLIPS, rate * level.slips.nominal)

    # an instrument's error lies anywhere within its plus-minus; the hand's comes on top
    spread = math.hypot(plus_minus / math.sqrt(3), row.hand.nominal * level.spread.nominal)
    return Misreading(share(row.gross.nominal), share(row.overlooked.nominal), share(row.phantom.nominal), spread)


def _anywhere(row: Measured, value: float, found: Sizes, looks: Looks) -> Array:
    """Density on each half of a reading that is altogether wrong [1/unit]: (half,).

    Some are of another place on the same part; the rest lie anywhere, evenly over the logarithm of what ports measure.
    """
    even = 1 / (value * math.log(row.most / row.least))
    share = looks.table.elsewhere.share.nominal
    near = kernels.density(value - found.around, looks.table.elsewhere.spread.nominal)
    count = np.maximum(1, np.isfinite(near).sum(axis=1))
    placed = np.nansum(near, axis=1) / count
    return np.where(np.isfinite(near).any(axis=1), (1 - share) * even + share * placed, even)


def reading_likelihood(feature: Feature, found: Sizes, read: Read, looks: Looks) -> Array:
    """Density of a reading on each half: (level, half)."""
    row = looks.table.measured[feature]
    anywhere = _anywhere(row, read.value, found, looks)
    table: list[Array] = []
    for level in looks.table.levels.values():
        m = misreading(row, level, read.plus_minus)
        right = kernels.density(read.value - found.mm, m.spread).mean(axis=1)
        present = (1 - m.overlooked) * ((1 - m.gross) * right + m.gross * anywhere)
        table.append(np.where(found.there, present, m.phantom * anywhere))
    return np.array(table)


def absence_likelihood(feature: Feature, found: Sizes, looks: Looks) -> Array:
    """Probability on each half that a person says there is nothing of the kind: (level, half)."""
    row = looks.table.measured[feature]
    table = [misreading(row, level, 0.0) for level in looks.table.levels.values()]
    return np.array([np.where(found.there, m.overlooked, 1 - m.phantom) for m in table])


def _edges(found: Sizes, spread: float, row: Measured) -> Array:
    """Borders of the cells that readings may fall in: fine where some half has its size, one cell elsewhere."""
    width = CELL_SPREADS * spread
    # sets, since numpy's unique loads a good part of numpy that nothing else here needs
    cells = set(np.floor(found.mm[found.there] / width).astype(int).ravel().tolist())
    borders = {cell + step for cell in cells for step in range(-CELL_REACH, CELL_REACH + 2)}
    edges = np.array(sorted(borders)) * width
    inside: Array = edges[(edges > row.least) & (edges < row.most)]
    return inside


def _anywhere_cells(row: Measured, borders: Array, found: Sizes, looks: Looks) -> Array:
    """Probability of each cell for a reading that is altogether wrong: (half, cell)."""
    even = np.diff(np.log(borders)) / math.log(row.most / row.least)
    share = looks.table.elsewhere.share.nominal
    below = kernels.below(borders[1:-1] - found.around[:, :, None], looks.table.elsewhere.spread.nominal)
    there = np.isfinite(found.around)[:, :, None]
    below = np.where(there, below, 0).sum(axis=1) / np.maximum(1, there.sum(axis=1))
    ends = np.zeros((len(below), 1))
    placed = np.diff(np.concatenate([ends, below, ends + 1], axis=1), axis=1)
    return np.where(there.any(axis=1), (1 - share) * even + share * placed, even)


def measured_outcomes(feature: Feature, found: Sizes, plus_minus: float, looks: Looks) -> Outcomes:
    """The answers that measuring may give, in cells of a reading's spread, for planning: first that there is none."""
    row = looks.table.measured[feature]
    levels = list(looks.table.levels.values())
    usual = misreading(row, levels[len(levels) // 2], plus_minus)
    edges = _edges(found, usual.spread, row) if found.there.any() else np.array([])
    borders = np.concatenate([[row.least], edges, [row.most]])
    wide = _anywhere_cells(row, borders, found, looks)
    offsets = edges - found.mm[found.there][:, :, None]
    table: list[Array] = []
    for level in levels:
        m = misreading(row, level, plus_minus)
        below = kernels.below(offsets, m.spread).mean(axis=1)
        ends = np.zeros((len(below), 1))
        right = np.zeros(wide.shape)
        right[found.there] = np.diff(np.concatenate([ends, below, ends + 1], axis=1), axis=1)
        present = (1 - m.overlooked) * ((1 - m.gross) * right + m.gross * wide)
        there = found.there[:, None]
        cells = np.where(there, present, m.phantom * wide)
        none = np.where(there, m.overlooked, 1 - m.phantom)
        table.append(np.concatenate([none, cells], axis=1))
    names = ("none", *(f"{low:.3g} to {high:.3g}" for low, high in pairwise(borders)))
    return Outcomes(names, np.array(table))
