"""A figure as a list of shapes in millimetres, written as SVG, PNG or onto a PDF page."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import msgspec

from coaxtell.pages import look

if TYPE_CHECKING:
    from fpdf import FPDF

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

_DOTS_PER_MM = 8
"""Sharpness of a PNG: about 200 dots per inch."""

_POINT_MM = 25.4 / 72


class Line(msgspec.Struct, frozen=True):
    """A line through points [mm], its width [mm] and, if dashed, the lengths of dash and gap [mm]."""

    points: tuple[Point, ...]
    colour: str = look.TEXT
    width: float = 0.25
    dash: tuple[float, float] | None = None


class Area(msgspec.Struct, frozen=True):
    """A closed outline [mm] filled with a colour, with an edge if one is named."""

    points: tuple[Point, ...]
    fill: str
    edge: str | None = None
    width: float = 0.15


class Text(msgspec.Struct, frozen=True):
    """A line of text with its baseline at a point [mm]; size in points, turned anticlockwise by a quarter if so."""

    at: Point
    text: str
    size: float = 8
    colour: str = look.TEXT
    anchor: Anchor = "start"
    bold: bool = False
    upright: bool = False


Shape = Line | Area | Text


class Figure(msgspec.Struct, frozen=True):
    """Shapes on a sheet of a width and height [mm]; x runs right, y down from the upper left corner."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    title: str = ""

    def svg(self) -> str:
        """The figure as an SVG document in true millimetres."""
        body = "".join(_svg(shape) for shape in self.shapes)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width:g}mm" height="{self.height:g}mm" '
            f'viewBox="0 0 {self.width:g} {self.height:g}" font-family="DejaVu Sans, Verdana, sans-serif" '
            f'role="img"><title>{escape(self.title)}</title>'
            f'<rect width="100%" height="100%" fill="{look.PAPER}"/>{body}</svg>\n'
        )

    def png(self, path: Path) -> None:
        """Write the figure as a PNG at about 200 dots per inch."""
        self.picture().save(path, format="PNG", dpi=(_DOTS_PER_MM * 25.4, _DOTS_PER_MM * 25.4))

    def picture(self) -> Any:
        """The figure as a Pillow image, drawn at twice its size and halved for smooth edges."""
        from PIL import Image, ImageDraw

        scale = 2 * _DOTS_PER_MM
        image = Image.new("RGB", (round(self.width * scale), round(self.height * scale)), look.PAPER)
        draw = ImageDraw.Draw(image)
        for shape in self.shapes:
            _paint(image, draw, shape, scale)
        return image.resize((image.width // 2, image.height // 2), Image.Resampling.LANCZOS)

    def onto(self, pdf: FPDF, x: float, y: float) -> None:
        """Draw the figure on the current page with its upper left corner at a place [mm]."""
        for shape in self.shapes:
            _onto(pdf, shape, x, y)


def circle(centre: Point, radius: float, sides: int = 72) -> tuple[Point, ...]:
    """A circle as a polygon fine enough for print."""
    return tuple(
        (centre[0] + radius * math.cos(2 * math.pi * i / sides), centre[1] + radius * math.sin(2 * math.pi * i / sides))
        for i in range(sides)
    )


def hatching(
    left: float, top: float, right: float, bottom: float, step: float, colour: str, rising: bool = True
) -> list[Line]:
    """Slanting lines that fill a rectangle [mm], so that it reads without its colour."""
    lines = []
    height = bottom - top
    for i in range(int((right - left + height) / step) + 1):
        # Each line's foot stands on the bottom edge or left of it; the line is cut at the rectangle's sides.
        foot = left - height + i * step
        x0, x1 = max(foot, left), min(foot + height, right)
        if x1 > x0:
            y0, y1 = x0 - foot, x1 - foot
            ends = ((x0, bottom - y0), (x1, bottom - y1)) if rising else ((x0, top + y0), (x1, top + y1))
            lines.append(Line(ends, colour, 0.15))
    return lines


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{x:.3f},{y:.3f}" for x, y in points)


def _svg(shape: Shape) -> str:
    if isinstance(shape, Line):
        dash = f' stroke-dasharray="{shape.dash[0]:g} {shape.dash[1]:g}"' if shape.dash else ""
        return (
            f'<polyline points="{_points(shape.points)}" fill="none" stroke="{shape.colour}" '
            f'stroke-width="{shape.width:g}"{dash} stroke-linejoin="round"/>'
        )
    if isinstance(shape, Area):
        edge = f' stroke="{shape.edge}" stroke-width="{shape.width:g}"' if shape.edge else ""
        return f'<polygon points="{_points(shape.points)}" fill="{shape.fill}"{edge}/>'
    x, y = shape.at
    turn = f' transform="rotate(-90 {x:.3f} {y:.3f})"' if shape.upright else ""
    weight = ' font-weight="bold"' if shape.bold else ""
    return (
        f'<text x="{x:.3f}" y="{y:.3f}" font-size="{shape.size * _POINT_MM:.3f}" fill="{shape.colour}" '
        f'text-anchor="{shape.anchor}"{weight}{turn}>{escape(shape.text)}</text>'
    )


def _dashes(points: Sequence[Point], dash: tuple[float, float]) -> list[tuple[Point, Point]]:
    """The drawn pieces of a dashed line, since Pillow draws none."""
    pieces = []
    left, drawn = dash[0], True
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        length = math.hypot(x1 - x0, y1 - y0)
        done = 0.0
        while done < length:
            step = min(left, length - done)
            if drawn:
                a, b = done / length, (done + step) / length
                pieces.append(((x0 + a * (x1 - x0), y0 + a * (y1 - y0)), (x0 + b * (x1 - x0), y0 + b * (y1 - y0))))
            done += step
            left -= step
            if left <= 1e-9:
                drawn = not drawn
                left = dash[0] if drawn else dash[1]
    return pieces


def _paint(image: Any, draw: Any, shape: Shape, scale: float) -> None:
    if isinstance(shape, Line):
        width = max(1, round(shape.width * scale))
        runs: list[Sequence[Point]] = list(_dashes(shape.points, shape.dash)) if shape.dash else [shape.points]
        for run in runs:
            draw.line([(x * scale, y * scale) for x, y in run], fill=shape.colour, width=width, joint="curve")
    elif isinstance(shape, Area):
        outline = [(x * scale, y * scale) for x, y in shape.points]
        draw.polygon(outline, fill=shape.fill)
        if shape.edge:
            draw.line([*outline, outline[0]], fill=shape.edge, width=max(1, round(shape.width * scale)))
    else:
        _paint_text(image, draw, shape, scale)


def _paint_text(image: Any, draw: Any, shape: Text, scale: float) -> None:
    from PIL import Image, ImageDraw, ImageFont

    file = look.font_file(shape.bold)
    pixels = shape.size * _POINT_MM * scale
    font: Any = ImageFont.truetype(str(file), round(pixels)) if file else ImageFont.load_default(pixels)
    anchor = {"start": "ls", "middle": "ms", "end": "rs"}[shape.anchor]
    x, y = shape.at[0] * scale, shape.at[1] * scale
    if not shape.upright:
        draw.text((x, y), shape.text, font=font, fill=shape.colour, anchor=anchor)
        return
    length = round(font.getlength(shape.text))
    high = round(pixels * 1.4)
    strip = Image.new("L", (length + 4, high), 0)
    ImageDraw.Draw(strip).text((2, pixels), shape.text, font=font, fill=255, anchor="ls")
    turned = strip.rotate(90, expand=True)
    along = {"start": length, "middle": length / 2, "end": 0}[shape.anchor]
    image.paste(shape.colour, (round(x - pixels), round(y - along)), turned)


def _onto(pdf: FPDF, shape: Shape, x: float, y: float) -> None:
    if isinstance(shape, Text):
        _write(pdf, shape, x, y)
        return
    moved = [(px + x, py + y) for px, py in shape.points]
    if isinstance(shape, Area):
        pdf.set_fill_color(*look.rgb(shape.fill))
        if shape.edge:
            pdf.set_draw_color(*look.rgb(shape.edge))
            pdf.set_line_width(shape.width)
        pdf.polygon(moved, style="DF" if shape.edge else "F")
        return
    pdf.set_draw_color(*look.rgb(shape.colour))
    pdf.set_line_width(shape.width)
    if shape.dash:
        pdf.set_dash_pattern(dash=shape.dash[0], gap=shape.dash[1])
    pdf.polyline(moved)
    if shape.dash:
        pdf.set_dash_pattern()


def _write(pdf: FPDF, shape: Text, x: float, y: float) -> None:
    from coaxtell.pages.sheet import FAMILY

    pdf.set_font(FAMILY, "B" if shape.bold else "", shape.size)
    pdf.set_text_color(*look.rgb(shape.colour))
    length = pdf.get_string_width(shape.text)
    back = {"start": 0.0, "middle": length / 2, "end": length}[shape.anchor]
    at_x, at_y = shape.at[0] + x, shape.at[1] + y
    if shape.upright:
        with pdf.rotation(90, at_x, at_y):
            pdf.text(at_x - back, at_y, shape.text)
    else:
        pdf.text(at_x - back, at_y, shape.text)
