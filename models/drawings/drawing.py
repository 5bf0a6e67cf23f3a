"""A drawing as a list of plain shapes in paper millimetres, written as SVG or PNG.

Paper coordinates: x to the right, y down, in mm. Whatever is drawn here is measured on paper at true size: the SVG
states its size in mm, the PNG its dots per inch.
"""

from __future__ import annotations

import math
from html import escape
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Literal, NamedTuple

import msgspec

from coaxtell.models.lettering import font

if TYPE_CHECKING:
    from PIL import Image

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

PER_INCH = 25.4
OVERSAMPLE = 3
FONT = "DejaVu Sans, Verdana, Arial, sans-serif"


class Polygon(NamedTuple):
    """A filled area, bounded by one or more closed outlines (holes by the even-odd rule), with an edge."""

    outlines: tuple[tuple[Point, ...], ...]
    fill: str | None
    stroke: str | None = None
    width: float = 0.18


class Line(NamedTuple):
    """An open line; `dash` gives lengths of strokes and gaps [mm]."""

    points: tuple[Point, ...]
    stroke: str
    width: float = 0.18
    dash: tuple[float, ...] = ()


class Text(NamedTuple):
    """Words at a place; `size` is the height of the type [mm], y the middle of the line.

    `turn`: how far they are turned counter-clockwise about that place [deg].
    """

    at: Point
    words: str
    size: float
    colour: str
    anchor: Anchor = "start"
    turn: float = 0.0


Item = Polygon | Line | Text

ANCHORS = {"start": "lm", "middle": "mm", "end": "rm"}
"""Pillow's names for where words hang on their place."""


def circle(centre: Point, radius: float, corners: int = 96) -> tuple[Point, ...]:
    """The outline of a circle [mm]."""
    turns = (math.tau * k / corners for k in range(corners))
    return tuple((centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns)


def moved(item: Item, right: float, down: float = 0.0) -> Item:
    """The item moved to the right by `right` and down by `down` [mm]."""

    def shift(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x + right, y + down) for x, y in points)

    if isinstance(item, Polygon):
        return item._replace(outlines=tuple(shift(outline) for outline in item.outlines))
    if isinstance(item, Line):
        return item._replace(points=shift(item.points))
    return item._replace(at=(item.at[0] + right, item.at[1] + down))


def hatch(
    outlines: tuple[tuple[Point, ...], ...], spacing: float, angle: float, stroke: str, width: float
) -> list[Line]:
    """Parallel lines that fill an area: `spacing` [mm] apart at `angle` [deg], clipped to its outlines."""
    turn = math.radians(angle)
    along, across = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    turned = [
        [(x * along[0] + y * along[1], x * across[0] + y * across[1]) for x, y in outline] for outline in outlines
    ]
    heights = [v for outline in turned for _, v in outline]
    lines: list[Line] = []
    if not heights:
        return lines
    first = math.floor(min(heights) / spacing)
    for k in range(first, math.ceil(max(heights) / spacing) + 1):
        # a little off the even raster, so that no line runs through a corner
        level = (k + 0.137) * spacing
        hits: list[float] = []
        for outline in turned:
            for (u0, v0), (u1, v1) in zip(outline, (*outline[1:], outline[0]), strict=True):
                if (v0 > level) != (v1 > level):
                    hits.append(u0 + (u1 - u0) * (level - v0) / (v1 - v0))
        hits.sort()
        for a, b in zip(hits[::2], hits[1::2], strict=False):
            ends = tuple((u * along[0] + level * across[0], u * along[1] + level * across[1]) for u in (a, b))
            lines.append(Line(ends, stroke, width))
    return lines


def dashes(points: tuple[Point, ...], dash: tuple[float, ...]) -> list[tuple[Point, ...]]:
    """A line broken into its visible strokes."""
    strokes: list[tuple[Point, ...]] = []
    index, left, shown = 0, dash[0], True
    for a, b in pairwise(points):
        length = math.dist(a, b)
        done = 0.0
        while length - done > 1e-9:
            step = min(left, length - done)
            ends = [(a[0] + (b[0] - a[0]) * s / length, a[1] + (b[1] - a[1]) * s / length) for s in (done, done + step)]
            if shown:
                strokes.append((ends[0], ends[1]))
            done += step
            left -= step
            if left <= 1e-9:
                index, shown = (index + 1) % len(dash), not shown
                left = dash[index]
    return strokes


class Drawing(msgspec.Struct, frozen=True):
    """A sheet of `width_mm` by `height_mm` with its title and the shapes on it, back to front."""

    width_mm: float
    height_mm: float
    title: str
    background: str
    items: tuple[Item, ...]
    scale: float
    """Paper millimetres for one millimetre of the part."""

    def svg(self) -> str:
        """The drawing as SVG, its size stated in mm, one unit of the view box to the mm."""
        size = f'width="{self.width_mm:g}mm" height="{self.height_mm:g}mm"'
        rows = [
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {self.width_mm:g} {self.height_mm:g}" '
            'role="img">',
            f"<title>{escape(self.title)}</title>",
            f'<rect width="{self.width_mm:g}" height="{self.height_mm:g}" fill="{self.background}"/>',
        ]
        rows += [_svg_item(item) for item in self.items]
        return "\n".join([*rows, "</svg>", ""])

    def png(self, target: Path | BinaryIO, dpi: float = 200) -> None:
        """Write the drawing as PNG at `dpi` dots per inch, which the file states too.

        Raises OSError where the target cannot be written.
        """
        from PIL import Image

        image = self._image(dpi)
        size = round(self.width_mm * dpi / PER_INCH), round(self.height_mm * dpi / PER_INCH)
        small = image.resize(size, Image.Resampling.BOX)
        small.save(target, "PNG", dpi=(dpi, dpi))

    def _image(self, dpi: float) -> Image.Image:
        from PIL import Image, ImageDraw

        k = dpi / PER_INCH * OVERSAMPLE
        size = tuple(round(mm * dpi / PER_INCH) * OVERSAMPLE for mm in (self.width_mm, self.height_mm))
        image = Image.new("RGB", (size[0], size[1]), self.background)
        draw = ImageDraw.Draw(image)

        def px(points: tuple[Point, ...]) -> list[Point]:
            return [(x * k, y * k) for x, y in points]

        for item in self.items:
            if isinstance(item, Polygon):
                if item.fill is not None and len(item.outlines) == 1:
                    draw.polygon(px(item.outlines[0]), fill=item.fill)
                elif item.fill is not None:
                    from PIL import ImageChops

                    mask = Image.new("1", image.size, 0)
                    for outline in item.outlines:
                        one = Image.new("1", image.size, 0)
                        ImageDraw.Draw(one).polygon(px(outline), fill=1)
                        mask = ImageChops.logical_xor(mask, one)
                    image.paste(item.fill, mask=mask)
                if item.stroke is not None:
                    for outline in item.outlines:
                        closed = px((*outline, outline[0], outline[1]))
                        draw.line(closed, fill=item.stroke, width=max(1, round(item.width * k)), joint="curve")
            elif isinstance(item, Line):
                strokes = dashes(item.points, item.dash) if item.dash else [item.points]
                for stroke in strokes:
                    draw.line(px(stroke), fill=item.stroke, width=max(1, round(item.width * k)), joint="curve")
            else:
                at = (item.at[0] * k, item.at[1] * k)
                if item.turn:
                    _turned_words(image, item, at, k)
                else:
                    draw.text(at, item.words, font=font(item.size * k), fill=item.colour, anchor=ANCHORS[item.anchor])
        return image


def _turned_words(image: Image.Image, item: Text, at: Point, k: float) -> None:
    """Turned words put on a picture of `k` pixels to the mm."""
    from PIL import Image, ImageDraw

    half = math.ceil(item.size * k * (len(item.words) + 2))
    mask = Image.new("L", (2 * half, 2 * half), 0)
    type_ = font(item.size * k)
    ImageDraw.Draw(mask).text((half, half), item.words, font=type_, fill=255, anchor=ANCHORS[item.anchor])
    image.paste(item.colour, (round(at[0]) - half, round(at[1]) - half), mask.rotate(item.turn))


def _path(points: tuple[Point, ...], close: bool) -> str:
    return "M" + " L".join(f"{x:.3f} {y:.3f}" for x, y in points) + (" Z" if close else "")


def _svg_item(item: Item) -> str:
    if isinstance(item, Polygon):
        path = " ".join(_path(outline, close=True) for outline in item.outlines)
        edge = f' stroke="{item.stroke}" stroke-width="{item.width:g}"' if item.stroke else ""
        return f'<path d="{path}" fill="{item.fill or "none"}" fill-rule="evenodd" stroke-linejoin="round"{edge}/>'
    if isinstance(item, Line):
        dash = f' stroke-dasharray="{" ".join(f"{d:g}" for d in item.dash)}"' if item.dash else ""
        return (
            f'<path d="{_path(item.points, close=False)}" fill="none" stroke="{item.stroke}" '
            f'stroke-width="{item.width:g}" stroke-linejoin="round"{dash}/>'
        )
    # centred on the line by a third of the size: not every viewer knows dominant-baseline
    turn = f' transform="rotate({-item.turn:g} {item.at[0]:.3f} {item.at[1]:.3f})"' if item.turn else ""
    return (
        f'<text x="{item.at[0]:.3f}" y="{item.at[1] + 0.35 * item.size:.3f}" font-family="{FONT}" '
        f'font-size="{item.size:g}" fill="{item.colour}" text-anchor="{item.anchor}"{turn}>{escape(item.words)}</text>'
    )
