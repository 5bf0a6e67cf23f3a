"""Words, arrows and leaders of a drawing: how large they are, and how they are placed clear of each other."""

from __future__ import annotations

import math
from typing import NamedTuple

from coaxtell.models.drawings.drafting import wide
from coaxtell.models.drawings.drawing import Anchor, Point, Polygon, Text

BLACK, GREY, WHITE = "#000000", "#5A5A5A", "#FFFFFF"
WIDE, NARROW = 0.35, 0.18
"""Widths of visible edges and of all other lines [mm], line group 0.35 of ISO 128."""
TYPE, SMALL = 2.3, 1.8
"""Heights of the type [mm]."""


class Leader(NamedTuple):
    """A leader: the point it shows on paper, its words and their explanation.

    `slide`: between which heights its start may move, where that is a dimension line and not a point of the part.
    """

    at: Point
    words: str
    name: str
    slide: tuple[float, float] | None = None


def words_length(what: str, name: str) -> float:
    """Length of words over their explanation [mm], a little to spare."""
    return max(wide(what, TYPE), wide(name, SMALL)) + 1.0


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


def levelled(leaders: list[Leader], x: float, ys: list[float]) -> list[Leader]:
    """Leaders whose start may slide, moved to the height of their words where they cross no other there."""
    found = list(leaders)
    for k, (leader, y) in enumerate(zip(leaders, ys, strict=True)):
        if leader.slide is None:
            continue
        low, high = leader.slide
        start = (leader.at[0], min(max(y, low), high))
        others = [(one.at, (x, there)) for i, (one, there) in enumerate(zip(found, ys, strict=True)) if i != k]
        if not any(crossing((start, (x, y)), other) for other in others):
            found[k] = leader._replace(at=start)
    return found


def crossing(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Whether two straight lines between points cross."""

    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    (a, b), (c, d) = one, other
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
