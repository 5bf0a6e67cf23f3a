"""Halves side by side at one scale: pictured, or cut open and sunk back but for the edges that tell them apart."""

from __future__ import annotations

import math
from collections.abc import Sequence

from coaxtell.identifier.features import SEEN, Feature
from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import BODY, SMALL, STEP
from coaxtell.window.views.differences import Difference
from coaxtell.window.views.scales import ground, scale_bar
from coaxtell.window.views.viewpoints import draw_half

SUNK = 0.3
"""How much is seen of what does not decide."""
WORDS_SHARE = 0.5
"""Share of a cell that the name and the values over a half may take; one value stands there in any case."""
NARROWEST = 170.0
"""No cell is narrower than this [units]: words would break within themselves."""
LOWEST = 240.0
"""No cell is lower than this where the bench may be as high as it likes [units]."""
FOOT = 5 * STEP
"""Height under the cells, for the scale bar and the way to what has no room [units]."""
EDGE = 1.2
"""Length of an edge that decides, to either side of its place [mm]."""


def _across(width: float, count: int) -> int:
    """How many cells stand in a row."""
    most = max(1, min(count if count <= 3 else math.ceil(count / 2), int(width // NARROWEST)))
    return math.ceil(count / math.ceil(count / most))


def least_height(width: float, count: int) -> float:
    """How high a bench of a width must be for so many halves [units]."""
    return math.ceil(count / _across(width, count)) * LOWEST + FOOT


def _cells(box: Box, count: int) -> list[Box]:
    """Cells for so many halves, in as few rows as they have room in."""
    across = _across(box.w, count)
    wide, tall = box.w / across, (box.h - FOOT) / math.ceil(count / across)
    return [Box(box.x + i % across * wide, box.y + i // across * tall, wide, tall) for i in range(count)]


def _names_tall(type_: Type, cells: Sequence[Box], halves: Sequence[Half]) -> float:
    """Height of the names at the top of the cells [units]."""
    lines = max(len(type_.folded(half.name, BODY, cells[0].w - 2 * STEP, True)) for half in halves)
    return lines * type_.line(BODY, True)


def _names(pen: Pen, cells: Sequence[Box], halves: Sequence[Half]) -> None:
    for cell, half in zip(cells, halves, strict=True):
        pen.lines(half.name, cell.inset(STEP), BODY, pen.palette.text, True)


def draw_pictures(pen: Pen, box: Box, desk: Desk, halves: Sequence[Half]) -> None:
    """Each in its picture, under its name."""
    cells = _cells(box, len(halves))
    reach = max(desk.art.extent(half).reach for half in halves)
    over = _names_tall(pen.type, cells, halves) + 2 * STEP
    per_mm = max(0.1, min(cells[0].w - 2 * STEP, cells[0].h - over) / 2 / reach)
    pen.grid(ground(box), per_mm, cells[0].middle)
    for cell, half in zip(cells, halves, strict=True):
        draw_half(pen, desk, half, (cell.middle[0], cell.y + over + (cell.h - over) / 2), per_mm, 1.0)
    _names(pen, cells, halves)
    scale_bar(pen, box, per_mm)


def told(
    type_: Type, box: Box, halves: Sequence[Half], found: Sequence[Difference], own: Feature | None = None
) -> list[tuple[Difference, float]]:
    """The differences that are told over the halves, each with its height [units]: as many as have room, one at least.

    Told is what is marked on a half: before all others the one that was asked for, `own`, then the millimetres.
    """
    cells = _cells(box, len(halves))
    room = WORDS_SHARE * cells[0].h - _names_tall(type_, cells, halves)
    rows: list[tuple[Difference, float]] = []
    small = type_.line(SMALL)
    marked = [one for one in found if any(one.places) or one.feature is own]
    for one in sorted(marked, key=lambda one: (one.feature is not own, one.feature in SEEN)):
        lines = max(len(type_.folded(f"{one.words}: {value}", SMALL, cells[0].w - 2 * STEP)) for value in one.values)
        if rows and sum(tall for _, tall in rows) + lines * small > room:
            break
        rows.append((one, lines * small))
    return rows


def draw_differences(
    pen: Pen, box: Box, desk: Desk, halves: Sequence[Half], found: Sequence[Difference], own: Feature | None = None
) -> None:
    """Each cut open and sunk back; what differs stands out, with its value in whole words as far as there is room, the
    one that was asked for, `own`, first."""
    cells = _cells(box, len(halves))
    extents = [desk.art.extent(half) for half in halves]
    width, tall = cells[0].w - 2 * STEP, cells[0].h
    name = _names_tall(pen.type, cells, halves)
    rows = told(pen.type, box, halves, found, own)
    over = STEP + name + sum(height for _, height in rows) + STEP
    per_mm = min(
        (cells[0].w - 4 * STEP) / max(e.length for e in extents),
        (tall - over - STEP) / (2 * max(e.radius for e in extents)),
    )
    per_mm = max(per_mm, 0.1)
    pen.grid(ground(box), per_mm, cells[0].middle)
    for i, (cell, half, extent) in enumerate(zip(cells, halves, extents, strict=True)):
        x = cell.middle[0] - (extent.front + extent.rear) / 2 * per_mm
        axis = cell.y + over + (tall - over) / 2
        area = Box(x + extent.rear * per_mm, axis - extent.radius * per_mm, extent.length * per_mm,
                   2 * extent.radius * per_mm)  # fmt: skip
        pen.shape(desk.art.cut_open(half, pen.palette), (x, axis), per_mm, area, f"{half.id} section", SUNK)
        for one in found:
            place = one.places[i]
            if place is None:
                continue
            for sign in (1, -1):
                y = axis - sign * place.r * per_mm
                ends = max(extent.rear, place.z - EDGE), min(extent.front, place.z + EDGE)
                pen.line((x + ends[0] * per_mm, y), (x + ends[1] * per_mm, y), pen.palette.action, 3)
        top = cell.y + STEP + name
        for one, height in rows:
            pen.lines(f"{one.words}: {one.values[i]}", Box(cell.x + STEP, top, width, height), SMALL)
            top += height
    _names(pen, cells, halves)
    scale_bar(pen, box, per_mm)
