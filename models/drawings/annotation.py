"""Words, arrows and leaders of a drawing: how large they are, and how they are placed clear of each other."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

from coaxtell.models.drawings.drawing import Anchor, Line, Point, Polygon, Text

BLACK, GREY, WHITE = "#000000", "#5A5A5A", "#FFFFFF"
WIDE, NARROW = 0.35, 0.18
"""Widths of visible edges and of all other lines [mm], line group 0.35 of ISO 128."""
TYPE, SMALL = 2.3, 1.8
"""Heights of the type [mm]."""
LETTER = 0.6
"""Mean width of a letter in type heights."""


class Leader(NamedTuple):
    """A leader: the point it shows on paper, its words and their explanation."""

    at: Point
    words: str
    name: str


def words_length(what: str, name: str) -> float:
    """Length of words over their explanation [mm]."""
    return LETTER * max(TYPE * len(what), SMALL * len(name))


def arrow(tip: Point, back: Point, length: float = 2.4, colour: str = BLACK) -> Polygon:
    """A filled arrow head at `tip` that comes from `back`."""
    far = math.dist(tip, back) or 1.0
    ux, uy = (tip[0] - back[0]) / far, (tip[1] - back[1]) / far
    x, y = tip[0] - length * ux, tip[1] - length * uy
    w = length * 0.16
    return Polygon((((tip[0], tip[1]), (x - w * uy, y + w * ux), (x + w * uy, y - w * ux)),), colour)


def words(
    at: Point, what: str, size: float = TYPE, colour: str = BLACK, anchor: Anchor = "start", turn: float = 0.0
) -> Text:
    """Words of the drawing."""
    return Text(at, what, size, colour, anchor, turn)


def spread(places: list[float], pitch: float, low: float, high: float) -> list[float]:
    """Rising places moved apart to at least `pitch`, near where they were, between `low` and `high` if they fit."""
    if not places:
        return []
    # neighbours that crowd are pooled and shared out about their mean
    pools: list[list[float]] = []
    for place in places:
        pools.append([place])
        while len(pools) > 1 and _end(pools[-2], pitch) + pitch > _start(pools[-1], pitch):
            last = pools.pop()
            pools[-1] += last
    found = [_start(pool, pitch) + k * pitch for pool in pools for k in range(len(pool))]
    over = found[-1] - high
    if over > 0:
        for k in range(len(found) - 1, -1, -1):
            found[k] = min(found[k], high - (len(found) - 1 - k) * pitch)
    for k in range(len(found)):
        found[k] = max(found[k], low + k * pitch)
    return found


def _start(pool: list[float], pitch: float) -> float:
    return sum(pool) / len(pool) - (len(pool) - 1) * pitch / 2


def _end(pool: list[float], pitch: float) -> float:
    return sum(pool) / len(pool) + (len(pool) - 1) * pitch / 2


def uncrossed(leaders: list[Leader], x: float, ys: list[float]) -> list[Leader]:
    """Leaders to the places (x, y) in an order in which none crosses another.

    Two that cross change places, which makes both together shorter: so it ends.
    """
    found = list(leaders)
    crossing = True
    while crossing:
        crossing = False
        for i in range(len(found)):
            for k in range(i + 1, len(found)):
                straight = math.dist(found[i].at, (x, ys[i])) + math.dist(found[k].at, (x, ys[k]))
                changed = math.dist(found[k].at, (x, ys[i])) + math.dist(found[i].at, (x, ys[k]))
                if changed < straight - 1e-6:
                    found[i], found[k] = found[k], found[i]
                    crossing = True
    return found


def heights(line: Line, left: float, right: float) -> list[tuple[float, float]]:
    """Between which heights each stretch of a line runs between two places across the sheet [mm]."""
    found: list[tuple[float, float]] = []
    for (x0, y0), (x1, y1) in pairwise(line.points):
        low, high = max(left, min(x0, x1)), min(right, max(x0, x1))
        if low < high:
            ends = [y0 + (y1 - y0) * (x - x0) / (x1 - x0) for x in (low, high)]
            found.append((min(ends), max(ends)))
    return found


def clearest(middle: float, reach: float, top: float, bottom: float, crossed: list[tuple[float, float]]) -> float:
    """Where words that reach so far up and down meet the fewest lines, the place nearest to `middle` first."""
    steps = [middle + sign * 0.5 * k for k in range(200) for sign in (1, -1)]
    places = [y for y in steps if y - reach >= top and y + reach <= bottom] or [middle]
    return min(places, key=lambda y: sum(low < y + reach and high > y - reach for low, high in crossed))
