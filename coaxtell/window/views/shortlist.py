"""The shortlist on the bench: what is still possible, all at one scale, standing by size, fading as answers come."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from coaxtell.identifier.words import percent
from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import SMALL, STEP
from coaxtell.window.views.scales import beside_bar, ground, scale_bar
from coaxtell.window.views.viewpoints import draw_half

LIKELY = 0.04
"""A half less likely than this share of the likeliest does not stand on the bench."""
MOST = 18
"""More halves than this do not stand on the bench: each must be seen."""
FAINTEST = 0.25
"""How much of an improbable half is still seen."""
BAR = 64.0
"""Widest bar of a probability [units]."""
LEAST_BAR = 12.0
"""A bar shorter than this says nothing: the figures stand alone."""
MOST_ROWS = 7
MOST_LINES = 4
"""Most lines that a name takes; where it needs more, fewer halves stand."""
LEAST_ACROSS = 14.0
"""No half is smaller than this [units]."""


class Standing(NamedTuple):
    """A half to be put in a row: its probability and the radius it needs [mm]."""

    half: Half
    probability: float
    reach: float


class Place(NamedTuple):
    """A half in its place: middle, half width and the room its caption has [units], and its probability."""

    half: Half
    x: float
    y: float
    reach: float
    room: float
    probability: float


def stand(box: Box, rows: Sequence[Sequence[Standing]], caption: float, gap: float = STEP) -> tuple[list[Place], float]:
    """Rows of halves in a box at the largest common scale [units per mm], each over a caption of so many units."""
    wide = min((box.w - gap * (len(row) + 1)) / sum(2 * s.reach for s in row) for row in rows)
    tall = (box.h - len(rows) * (caption + gap)) / sum(max(2 * s.reach for s in row) for row in rows)
    scale = max(1e-3, min(wide, tall))
    places: list[Place] = []
    used = sum(max(2 * s.reach for s in row) * scale + caption + gap for row in rows)
    # what is left over stands between the rows
    spare = max(0.0, (box.h - used) / (len(rows) + 1))
    y = box.y + spare
    for row in rows:
        tallest = max(2 * s.reach for s in row) * scale
        space = (box.w - sum(2 * s.reach for s in row) * scale) / (len(row) + 1)
        x = box.x + space
        middles = []
        for one in row:
            middles.append(x + one.reach * scale)
            x += 2 * one.reach * scale + space
        for one, middle in zip(row, middles, strict=True):
            beside = [abs(other - middle) for other in middles if other != middle]
            edges = [2 * (middle - box.x), 2 * (box.right - middle)]
            foot = y + tallest - one.reach * scale
            places.append(
                Place(one.half, middle, foot, one.reach * scale, min([*beside, *edges]) - STEP, one.probability)
            )
        y += tallest + caption + gap + spare
    return places, scale


def arrange(box: Box, halves: Sequence[Standing], caption: float) -> tuple[list[Place], float]:
    """Halves by size, in as many even rows as give the largest scale [units per mm]."""
    order = sorted(halves, key=lambda one: (one.reach, one.half.id))
    found: list[tuple[list[Place], float]] = []
    for rows in range(1, min(MOST_ROWS, len(order)) + 1):
        per_row = -(-len(order) // rows)
        found.append(stand(box, [order[i : i + per_row] for i in range(0, len(order), per_row)], caption))
    return max(found, key=lambda one: one[1])


def named_places(type_: Type, box: Box, halves: Sequence[Standing]) -> tuple[list[Place], float, int]:
    """Halves in their places with room for names of one line, of more where one is too short.

    The likeliest come first; as many stand as have room for their names. Returns the places, the scale [units per mm]
    and how many lines the names take.
    """
    small = type_.line(SMALL)
    least = 2 * min(one.reach for one in halves)
    for count in range(len(halves), 0, -1):
        for lines in range(1, MOST_LINES + 1):
            places, scale = arrange(box, halves[:count], (lines + 1) * small + STEP)
            whole = all(len(type_.folded(p.half.name, SMALL, p.room)) <= lines for p in places)
            if scale * least >= LEAST_ACROSS and whole:
                return places, scale, lines
    return places, scale, lines


def likely(ranked: list[tuple[Half, float]]) -> list[tuple[Half, float]]:
    """The halves that stand on the bench, best first; there is always one."""
    return [one for one in ranked if one[1] >= LIKELY * ranked[0][1]][:MOST]


class Layout(NamedTuple):
    """Where everything stands: places, scale [units per mm], and how many lines the names take."""

    places: list[Place]
    per_mm: float
    lines: int


def layout(type_: Type, box: Box, desk: Desk, ranked: list[tuple[Half, float]]) -> Layout:
    """What is likely in its places on a bench."""
    shown = [Standing(half, p, desk.art.extent(half).reach) for half, p in likely(ranked)]
    room = Box(box.x + STEP, box.y, box.w - 2 * STEP, box.h - type_.line(SMALL) - 3 * STEP)
    return Layout(*named_places(type_, room, shown))


def draw(
    pen: Pen, box: Box, desk: Desk, ranked: list[tuple[Half, float]], before: Layout | None = None, share: float = 1.0
) -> None:
    """What is likely, on the grid, each with its name and a bar as long as it is probable; the rest as one figure.

    While the shortlist thins, its halves are `share` of the way from where they stood `before`.
    """
    now = layout(pen.type, box, desk, ranked)
    places, per_mm, lines = now
    small = pen.type.line(SMALL)
    pen.grid(ground(box), per_mm, (places[0].x, places[0].y + places[0].reach))
    if before is None or share >= 1:
        for place in places:
            draw_half(pen, desk, place.half, (place.x, place.y), per_mm, strength(now, place))
            _caption(pen, place, lines, place.probability == ranked[0][1])
    else:
        _moving(pen, desk, before, now, share)
    rest = ranked[len(places) :]
    words = f"{len(places)} likeliest" if len(places) > 1 else "one left"
    if rest:
        words += f"; {len(rest)} others together {percent(sum(p for _, p in rest))}"
    if not lines:
        words += f"; first {ranked[0][0].name}, {percent(ranked[0][1])}"
    wide = beside_bar(pen, box, per_mm)
    tall = len(pen.type.folded(words, SMALL, wide)) * small
    pen.lines(words, Box(box.x + 3 * STEP, box.bottom - tall - STEP, wide, tall), SMALL, pen.palette.quiet)
    scale_bar(pen, box, per_mm)


def strength(standing: Layout, place: Place) -> float:
    """How much of a half is seen, 0 to 1: all of the likeliest, the others sunk into the bench."""
    most = max(one.probability for one in standing.places)
    return FAINTEST + (1 - FAINTEST) * math.sqrt(place.probability / most)


def _moving(pen: Pen, desk: Desk, before: Layout, now: Layout, share: float) -> None:
    """Halves on their way: what goes sinks where it stood, what stays moves to its new place."""
    stood = {place.half.id: place for place in before.places}
    stays = {place.half.id for place in now.places}
    for place in before.places:
        if place.half.id not in stays:
            left = (1 - share) * strength(before, place)
            draw_half(pen, desk, place.half, (place.x, place.y), before.per_mm, left)
    for place in now.places:
        old, seen = stood.get(place.half.id), strength(now, place)
        if old is None:
            draw_half(pen, desk, place.half, (place.x, place.y), now.per_mm, share * seen)
            continue
        x, y = old.x + (place.x - old.x) * share, old.y + (place.y - old.y) * share
        per_mm = before.per_mm + (now.per_mm - before.per_mm) * share
        was = strength(before, old)
        draw_half(pen, desk, place.half, (x, y), per_mm, was + (seen - was) * share, made_for=now.per_mm)


def _caption(pen: Pen, place: Place, lines: int, best: bool) -> None:
    """How probable, as a bar and in figures, and the name."""
    small = pen.type.line(SMALL)
    top = place.y + place.reach + 2
    figures = percent(place.probability) if lines else ""
    colour = pen.palette.text if best else pen.palette.quiet
    beside = pen.type.width(figures, SMALL, best) + STEP if figures else 0.0
    wide = min(BAR, 2 * place.reach, place.room - beside)
    if wide >= LEAST_BAR:
        left = place.x - (wide + beside) / 2
        bar = Box(left, top + (small - 4) / 2, wide, 4)
        pen.fill(bar, pen.palette.grid_coarse, 2)
        pen.fill(bar._replace(w=max(3.0, wide * place.probability)), pen.palette.action, 2)
        if figures:
            pen.words(figures, (bar.right + STEP, top), SMALL, colour, best)
    elif figures and beside - STEP <= place.room:
        pen.words(figures, (place.x, top), SMALL, colour, best, "middle")
    if lines:
        for i, line in enumerate(pen.type.folded(place.half.name, SMALL, place.room)):
            pen.words(line, (place.x, top + (i + 1) * small), SMALL, pen.palette.text, anchor="middle")
