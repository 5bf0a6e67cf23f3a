"""The foot of a dimensioned drawing: numbers that no line can show, and the title block."""

from __future__ import annotations

import math

from coaxtell.models.catalogue import tell
from coaxtell.models.drawings.annotation import BLACK, GREY, NARROW, SMALL, WHITE, WIDE, words
from coaxtell.models.drawings.dimensions import MARKS, dimensions
from coaxtell.models.drawings.drafting import broken
from coaxtell.models.drawings.drawing import Item, Line, Point, Polygon, circle
from coaxtell.models.half import Half
from coaxtell.models.measure import Grade
from coaxtell.models.numbers import walk
from coaxtell.models.words import gender_words

BORDER = 8.0
"""From the edge of the sheet to its border [mm]."""
_TITLE = 118.0
"""Width of the title block [mm]."""
_COLUMN, _COLUMNS = 78.0, 2
_NOTE, _LINE = 3.5, 2.9
"""From line to line of the notes, and of the title block [mm]."""
_HEAD = 15.5
"""Height of name, scale and unit in the title block [mm]."""


def height(half: Half) -> float:
    """Height of the foot [mm], above the border."""
    return 3.0 + max(4.0 + _NOTE * _rows(half), _HEAD + 1.2 + _LINE * len(_below(half)))


def foot(half: Half, scale: float, corner: Point) -> list[Item]:
    """The foot, its lower right corner in the corner of the border."""
    return _notes(half, corner[1] - height(half) + 3) + _title(half, scale, corner)


def _rows(half: Half) -> int:
    return math.ceil(len(_noted(half)) / _COLUMNS)


def _noted(half: Half) -> list[str]:
    return [f"{d.name}: {d.words}" for d in dimensions(half) if d.kind == "note"]


def _notes(half: Half, top: float) -> list[Item]:
    """Numbers that no line can show, in two columns."""
    items: list[Item] = [words((BORDER + 3, top), tell("dimension.further"), SMALL + 0.2)]
    for k, note in enumerate(_noted(half)):
        column, row = divmod(k, _rows(half))
        items.append(words((BORDER + 3 + _COLUMN * column, top + 4.0 + _NOTE * row), note, SMALL + 0.15))
    return items


def _below(half: Half) -> list[tuple[str, str]]:
    """Lines under the head of the title block, each with its colour: marks, weak numbers, gender."""
    measures = [m for _, m in walk(half)]
    grades = [g for g in MARKS if any(m.grade is g for m in measures)]
    weak = sum(m.grade is Grade.MEMORY_LOW for m in measures)
    said: list[tuple[str, str]] = []
    if grades:
        said.append((BLACK, "; ".join(f"{MARKS[g]} {tell(f'dimension.{g.name.lower()}')}" for g in grades)))
    if weak:
        said.append((BLACK, tell("dimension.weak", weak=weak, all=len(measures))))
    said.append((GREY, gender_words(half)))
    return [(colour, line) for colour, text in said for line in broken(text, _TITLE - 5, SMALL)]


def _title(half: Half, scale: float, corner: Point) -> list[Item]:
    """The title block with scale, projection and the meaning of the marks."""
    right, bottom = corner
    left, top = right - _TITLE, bottom - height(half) + 2
    box = ((left, top), (right, top), (right, bottom), (left, bottom))
    ratio = f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}"
    items: list[Item] = [Polygon((box,), WHITE, BLACK, WIDE)]
    for y in (top + 9, top + _HEAD):
        items.append(Line(((left, y), (right, y)), BLACK, NARROW))
    items.append(Line(((right - 34, top), (right - 34, top + 9)), BLACK, NARROW))
    items.append(words((left + 2.5, top + 4.6), half.name, 3.6))
    items.append(words((right - 32, top + 3.0), tell("dimension.scale", ratio=ratio), 2.4))
    items.append(words((right - 32, top + 6.6), half.id, SMALL, GREY))
    items += _projection((right - 7.5, top + 5.8))
    items.append(words((left + 2.5, top + 12.2), tell("dimension.lengths"), 2.0))
    for k, (colour, line) in enumerate(_below(half)):
        items.append(words((left + 2.5, top + _HEAD + 2.0 + _LINE * k), line, SMALL, colour))
    return items


def _projection(at: Point) -> list[Item]:
    """The sign of third-angle projection (ISO 5456-2): the cone's end on its left."""
    x, y = at
    cone = ((x + 0.6, y - 1.0), (x + 4.6, y - 1.9), (x + 4.6, y + 1.9), (x + 0.6, y + 1.0))
    return [
        Polygon((circle((x - 2.4, y), 1.9, 32),), None, BLACK, NARROW),
        Polygon((circle((x - 2.4, y), 1.0, 32),), None, BLACK, NARROW),
        Polygon((cone,), None, BLACK, NARROW),
    ]
