"""What lies on the bench besides the parts: the grid, the scale bar, dimension lines, rulers."""

from __future__ import annotations

from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.theme import BAND, SMALL, STEP, Colour

BARS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
"""Lengths a scale bar may have [mm]."""
CARD = (85.60, 53.98, 3.18)
"""A bank card's width, height and corner radius [mm]: ISO/IEC 7810 ID-1."""
THIN = "\u2009"
"""The thin space between a number and its unit."""


def mm(value: float, digits: int = 2) -> str:
    """A length as it is written, with its unit."""
    return f"{value:.{digits}f}{THIN}mm".replace("-", "\N{MINUS SIGN}")


def ground(box: Box) -> Box:
    """Where the grid of a bench lies: it runs on under the band at the top, further down it keeps to its box."""
    return Box(0, 0, box.w, box.bottom) if box.y <= BAND else box


def _bar_length(box: Box, per_mm: float) -> float:
    fitting = [b for b in BARS if b * per_mm <= box.w / 5] or [BARS[0]]
    return fitting[-1]


def beside_bar(pen: Pen, box: Box, per_mm: float) -> float:
    """Width [units] that the scale bar leaves free for words at the left of its line."""
    length = _bar_length(box, per_mm)
    return box.w - length * per_mm - pen.type.width(f"{length:g}{THIN}mm", SMALL) - 8 * STEP


def scale_bar(pen: Pen, box: Box, per_mm: float) -> None:
    """A bar of an even length in the lower right corner of the bench; `per_mm` in [units per mm]."""
    length = _bar_length(box, per_mm)
    right, y = box.right - 2 * STEP, box.bottom - 2 * STEP
    left = right - length * per_mm
    pen.line((left, y), (right, y), pen.palette.text, 2)
    for x in (left, right):
        pen.line((x, y - 5), (x, y + 5), pen.palette.text, 2)
    line = pen.type.line(SMALL)
    pen.words(f"{length:g}{THIN}mm", (left - STEP, y - line / 2), SMALL, pen.palette.quiet, anchor="right")


def arrow(pen: Pen, tip: Point, towards: int, colour: Colour) -> None:
    """The head of a dimension line; `towards` +1 points right."""
    x, y = tip
    pen.curve([(x - towards * 9, y - 4), (x, y), (x - towards * 9, y + 4)], colour, 1.6)


def dimension(pen: Pen, x0: float, x1: float, y: float, words: str, colour: Colour, within: Box) -> None:
    """A distance along the axis between two places, its words below the line, inside a box."""
    low, high = min(x0, x1), max(x0, x1)
    if high - low > 28:
        pen.line((low, y), (high, y), colour, 1.4)
        arrow(pen, (low, y), -1, colour)
        arrow(pen, (high, y), 1, colour)
    else:
        pen.line((low - 26, y), (low, y), colour, 1.4)
        pen.line((high, y), (high + 26, y), colour, 1.4)
        arrow(pen, (low, y), 1, colour)
        arrow(pen, (high, y), -1, colour)
    wide = pen.type.width(words, SMALL)
    middle = max(within.x + wide / 2 + STEP, min(within.right - wide / 2 - STEP, (low + high) / 2))
    pen.words(words, (middle, y + 7), SMALL, pen.palette.text, anchor="middle")


def ruler(pen: Pen, box: Box, per_mm: float, origin: float) -> None:
    """A millimetre ruler along the foot of a box; `origin` is where its zero lies [units]."""
    p = pen.palette
    pen.fill(box, p.panel)
    pen.line((box.x, box.y), (box.right, box.y), p.edge, 1)
    first, last = int((box.x - origin) / per_mm) - 1, int((box.right - origin) / per_mm) + 1
    every = 10 if 10 * per_mm >= 44 else 50
    for k in range(first, last + 1):
        x = origin + k * per_mm
        if not box.x <= x <= box.right or (per_mm < 2.5 and k % 5):
            continue
        tall = 18 if k % 10 == 0 else 12 if k % 5 == 0 else 7
        pen.line((x, box.y), (x, box.y + tall), p.text, 1)
        if k % every == 0:
            words = f"{abs(k)}" if k else f"0{THIN}mm"
            wide = pen.type.width(words, SMALL)
            if x - wide / 2 >= box.x and x + wide / 2 <= box.right:
                pen.words(words, (x, box.y + 19), SMALL, p.quiet, anchor="middle")
