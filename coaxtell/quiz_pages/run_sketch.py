"""The sketch of a cable's way beneath an item's picture: the reader's port as a square, the antenna as a triangle."""

from __future__ import annotations

from PIL import Image, ImageDraw

from coaxtell.models.lettering import font
from coaxtell.models.solids.bench import Theme
from coaxtell.quiz.legs import course

OVER = 2
"""Drawn so many times as large, so that its lines come out smooth."""
LETTERS = 0.215
"""Height of its figures in the sketch's own: as large as two legs over each other have room for."""


def draw(whole: Image.Image, box: tuple[int, int, int, int], metres: tuple[float, ...], theme: Theme) -> None:
    """Draw a way into a box of the picture [px]."""
    left, top, right, bottom = box
    width, height = (right - left) * OVER, (bottom - top) * OVER
    sketch = Image.new("RGB", (width, height), theme.bench)
    pen = ImageDraw.Draw(sketch)
    size = LETTERS * height
    line = max(2, round(height / 60))
    x0, x1, y0, y1 = 0.16 * width, 0.84 * width, 1.5 * size, height - 0.6 * size

    def at(place: tuple[float, float]) -> tuple[float, float]:
        return x0 + place[0] * (x1 - x0), y0 + place[1] * (y1 - y0)

    pen.line([(0, 0), (width, 0)], fill=theme.quiet, width=OVER)
    legs = course(metres)
    for leg in legs:
        pen.line([at(leg.start), at(leg.end)], fill=theme.text, width=line)
        x, y = at(leg.middle)
        place, anchor = ((x + 0.75 * size, y), "lm") if leg.upright else ((x, y - 0.25 * size), "mb")
        pen.text(place, f"{leg.metres:g} m", font=font(size), fill=theme.text, anchor=anchor)
    reach = 0.45 * size
    (x, y), (u, v) = at(legs[0].start), at(legs[-1].end)
    pen.rectangle([x - reach, y - reach, x + reach, y + reach], fill=theme.text)
    pen.polygon([(u - reach, v - 2 * reach), (u + reach, v - 2 * reach), (u, v)], fill=theme.text)
    whole.paste(sketch.resize((right - left, bottom - top), Image.Resampling.LANCZOS), (left, top))
