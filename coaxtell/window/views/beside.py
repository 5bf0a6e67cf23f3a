"""Halves side by side at one scale: pictured, or cut open and sunk back but for the edges that tell them apart."""

from __future__ import annotations

import math
from collections.abc import Sequence

from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import BODY, SMALL, STEP
from coaxtell.window.views.differences import Difference
from coaxtell.window.views.scales import ground, scale_bar
from coaxtell.window.views.viewpoints import draw_half

SUNK = 0.3
"""How much is seen of what does not decide."""
WORDS_SHARE = 0.4
"""Share of a cell that the values over a half may take."""
EDGE = 1.2
"""Length of an edge that decides, to either side of its place [mm]."""


def _cells(box: Box, count: int) -> list[Box]:
    """Cells for so many halves, in one or two rows."""
    rows = 1 if count <= 3 else 2
    across = math.ceil(count / rows)
    wide, tall = box.w / across, (box.h - 4 * STEP) / rows
    return [Box(box.x + i % across * wide, box.y + i // across * tall, wide, tall) for i in range(count)]


def _name(pen: Pen, cell: Box, half: Half) -> None:
    words = pen.type.shortened(half.name, BODY, cell.w - 2 * STEP, True)
    pen.words(words, (cell.middle[0], cell.bottom - pen.type.line(BODY) - STEP), BODY, pen.palette.text, True, "middle")


def draw_pictures(pen: Pen, box: Box, desk: Desk, halves: Sequence[Half]) -> None:
    """Each in its picture."""
    cells = _cells(box, len(halves))
    reach = max(desk.art.extent(half).reach for half in halves)
    line = pen.type.line(BODY) + 2 * STEP
    per_mm = min(min(cell.w - 2 * STEP, cell.h - line) / 2 / reach for cell in cells)
    pen.grid(ground(box), per_mm, cells[0].middle)
    for cell, half in zip(cells, halves, strict=True):
        draw_half(pen, desk, half, (cell.middle[0], cell.y + (cell.h - line) / 2), per_mm, 1.0)
        _name(pen, cell, half)
    scale_bar(pen, box, per_mm)


def draw_differences(pen: Pen, box: Box, desk: Desk, halves: Sequence[Half], found: Sequence[Difference]) -> None:
    """Each cut open and sunk back; what differs stands out, with its value."""
    cells = _cells(box, len(halves))
    extents = [desk.art.extent(half) for half in halves]
    small = pen.type.line(SMALL)
    foot = pen.type.line(BODY) + 2 * STEP
    told = len([one for one in found if any(one.places)])
    # the words leave the halves the larger part of a low cell
    most = max(1, min(told, 5, int(WORDS_SHARE * (cells[0].h - foot) / small)))
    over = most * small + 2 * STEP
    per_mm = min(
        min(cell.w - 4 * STEP for cell in cells) / max(e.length for e in extents),
        min(cell.h - foot - over for cell in cells) / (2 * max(e.radius for e in extents)),
    )
    per_mm = max(per_mm, 0.1)
    pen.grid(ground(box), per_mm, cells[0].middle)
    for i, (cell, half, extent) in enumerate(zip(cells, halves, extents, strict=True)):
        x = cell.middle[0] - (extent.front + extent.rear) / 2 * per_mm
        axis = cell.y + over + (cell.h - foot - over) / 2
        area = Box(x + extent.rear * per_mm, axis - extent.radius * per_mm, extent.length * per_mm,
                   2 * extent.radius * per_mm)  # fmt: skip
        pen.shape(desk.art.cut_open(half, pen.palette), (x, axis), per_mm, area, f"{half.id} section", SUNK)
        row = 0
        for one in found:
            place = one.places[i]
            if place is None:
                continue
            for sign in (1, -1):
                y = axis - sign * place.r * per_mm
                ends = max(extent.rear, place.z - EDGE), min(extent.front, place.z + EDGE)
                pen.line((x + ends[0] * per_mm, y), (x + ends[1] * per_mm, y), pen.palette.action, 3)
            if row < most:
                words = pen.type.shortened(f"{one.words}: {one.values[i]}", SMALL, cell.w - 2 * STEP)
                top = cell.y + STEP + row * small
                pen.words(words, (cell.x + STEP, top), SMALL, pen.palette.text)
                row += 1
        _name(pen, cell, half)
    scale_bar(pen, box, per_mm)
