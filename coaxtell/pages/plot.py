"""What plots on paper share: light lines at the marks of their axes, with the marks' words."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.axes import Axis
from coaxtell.models.drawings.drawing import Item, Line, Text
from coaxtell.models.palette import GRID_FINE, INK, QUIET

TYPE, TITLE = 2.8, 3.8
"""Heights of the type [mm]."""


class Area(NamedTuple):
    """Where a plot lies on its sheet [mm]."""

    left: float
    top: float
    right: float
    bottom: float


def across(shown: Axis, area: Area, size: float = TYPE) -> list[Item]:
    """A light line at each mark of an axis to the right, its words below."""
    items: list[Item] = []
    for x, words in shown.marks():
        items.append(Line(((x, area.top), (x, area.bottom)), GRID_FINE, 0.15))
        items.append(Text((x, area.bottom + 3.5), words, size, QUIET, "middle"))
    return items


def up(shown: Axis, area: Area, size: float = TYPE) -> list[Item]:
    """A light line at each mark of an axis upwards, its words on the left."""
    items: list[Item] = []
    for y, words in shown.marks():
        items.append(Line(((area.left, y), (area.right, y)), GRID_FINE, 0.15))
        items.append(Text((area.left - 2, y), words, size, QUIET, "end"))
    return items


def grid(along: Axis, upwards: Axis, area: Area, name: str, size: float = TYPE) -> list[Item]:
    """Both axes with the lines that bound the plot on the left and below; `name`: what goes upwards."""
    corner = (area.left, area.bottom)
    return [
        *across(along, area, size),
        *up(upwards, area, size),
        Line(((area.left, area.top), corner, (area.right, area.bottom)), INK, 0.3),
        Text((5, area.top - 4), name, size, INK),
    ]
