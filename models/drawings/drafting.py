"""The sheet that drawings of halves share: scale, grid, scale bar, legend, dimension lines."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.catalogue import tell
from coaxtell.models.drawings.drawing import Anchor, Drawing, Item, Line, Point, Polygon, Text
from coaxtell.models.lettering import font
from coaxtell.models.palette import BENCH, GRID_COARSE, GRID_FINE, HARM, INK, QUIET

SCALES = (0.5, 1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0)
BAR_STEPS = (0.5, 1, 2, 5, 10, 20)
TYPE = 3.0
"""Height of the type [mm]."""


def best_scale(width: float, height: float, room: tuple[float, float]) -> float:
    """The largest even scale at which a width and height [mm] fit the room on paper [mm]."""
    fitting = [s for s in SCALES if s * width <= room[0] and s * height <= room[1]]
    return fitting[-1] if fitting else min(room[0] / width, room[1] / height)


class Frame(NamedTuple):
    """Where a half lies on paper: paper place of its reference plane on the axis, scale, which way z runs."""

    x: float
    y: float
    scale: float
    towards: int = 1

    def at(self, z: float, r: float) -> Point:
        """Paper place of a point [mm]; r below zero is under the axis."""
        return self.x + self.towards * self.scale * z, self.y - self.scale * r

    def all(self, outline: tuple[Point, ...], sign: int = 1) -> tuple[Point, ...]:
        """Paper places of an outline, mirrored under the axis where `sign` is -1."""
        return tuple(self.at(z, sign * r) for z, r in outline)


def grid(width: float, height: float, scale: float, origin: Point) -> list[Item]:
    """Lines of true millimetres of the part through `origin`; every tenth stronger."""
    items: list[Item] = []
    for step, colour in ((1, GRID_FINE), (10, GRID_COARSE)):
        pitch = step * scale
        if pitch < 2:
            continue
        x = origin[0] % pitch
        while x < width:
            items.append(Line(((x, 0.0), (x, height)), colour, 0.12))
            x += pitch
        y = origin[1] % pitch
        while y < height:
            items.append(Line(((0.0, y), (width, y)), colour, 0.12))
            y += pitch
    return items


def text(at: Point, words: str, colour: str = INK, anchor: Anchor = "start", size: float = TYPE) -> Text:
    """Words in the drawing's type."""
    return Text(at, words, size, colour, anchor)


def wide(words: str, size: float = TYPE) -> float:
    """How wide words run in the drawing's type [mm]."""
    return font(100).getlength(words) / 100 * size


def broken(words: str, width: float, size: float) -> list[str]:
    """Words in lines that fit a width [mm]."""
    lines: list[str] = []
    for word in words.split():
        if lines and wide(f"{lines[-1]} {word}", size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def scale_bar(right: float, y: float, scale: float, on_paper: bool = True) -> list[Item]:
    """A bar of an even number of millimetres that ends at `right`, with its length; on paper with the scale too."""
    length = max((s for s in BAR_STEPS if s * scale <= 42), default=BAR_STEPS[0])
    left = right - length * scale
    return [
        Line(((left, y - 1.2), (left, y + 1.2)), INK, 0.4),
        Line(((left, y), (right, y)), INK, 0.4),
        Line(((right, y - 1.2), (right, y + 1.2)), INK, 0.4),
        text(
            (left - 1.5, y),
            tell("drawing.bar" if on_paper else "drawing.length", mm=length, scale=scale),
            QUIET,
            "end",
            2.6,
        ),
    ]


def swatch(at: Point, colour: str | None) -> list[Item]:
    """A small box in a colour, or in the broken outline of what would be in the way."""
    x, y = at
    box = ((x, y - 1.6), (x + 5.0, y - 1.6), (x + 5.0, y + 1.6), (x, y + 1.6))
    return [Polygon((box,), colour, INK, 0.15)] if colour is not None else [ghost(box)]


def ghost(outline: tuple[Point, ...]) -> Line:
    """The broken outline of an area that two halves would share, were they pushed on: nothing stands there yet."""
    return Line((*outline, outline[0]), HARM, 0.3, (1.4, 0.8))


def arrow(tip: Point, towards: int, colour: str = INK) -> Polygon:
    """A filled arrow head on a horizontal dimension line; `towards` +1 points right."""
    x, y = tip
    return Polygon((((x, y), (x - towards * 2.2, y - 0.7), (x - towards * 2.2, y + 0.7)),), colour)


def dimension(x0: float, x1: float, y: float, words: str, colour: str = INK) -> list[Item]:
    """A horizontal dimension between two paper places, its words beside it where there is no room between."""
    low, high = min(x0, x1), max(x0, x1)
    if high - low > 5.5 * TYPE + 4:
        return [
            Line(((low, y), (high, y)), colour, 0.2),
            arrow((low, y), -1, colour),
            arrow((high, y), 1, colour),
            text(((low + high) / 2, y - 2.4), words, colour, "middle"),
        ]
    return [
        Line(((low - 7, y), (low, y)), colour, 0.2),
        Line(((high, y), (high + 7, y)), colour, 0.2),
        arrow((low, y), 1, colour),
        arrow((high, y), -1, colour),
        text((high + 8.5, y), words, colour, "start"),
    ]


def sheet(width: float, height: float, title: str, scale: float, items: list[Item]) -> Drawing:
    """The finished drawing on the light bench."""
    return Drawing(width, height, title, BENCH, tuple(items), scale)
