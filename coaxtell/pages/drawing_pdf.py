"""A drawing put on a PDF page at true size."""

from __future__ import annotations

from fpdf import FPDF

from coaxtell.models.drawing import Drawing, Item, Line, Polygon, Text
from coaxtell.pages.look import rgb
from coaxtell.pages.sheet import FAMILY

_POINTS_PER_MM = 72 / 25.4


def put(pdf: FPDF, drawn: Drawing, x: float, y: float) -> None:
    """Put a drawing of plain areas, lines and words with its upper left corner at a place [mm].

    Raises ValueError where an area has holes, which this does not draw.
    """
    for item in drawn.items:
        _put(pdf, item, x, y)


def _put(pdf: FPDF, item: Item, x: float, y: float) -> None:
    if isinstance(item, Text):
        pdf.set_font(FAMILY, "", item.size * _POINTS_PER_MM)
        pdf.set_text_color(*rgb(item.colour))
        length = pdf.get_string_width(item.words)
        back = {"start": 0.0, "middle": length / 2, "end": length}[item.anchor]
        # Words are centred on their place by a third of their size, as in the SVG.
        pdf.text(item.at[0] + x - back, item.at[1] + y + 0.35 * item.size, item.words)
    elif isinstance(item, Line):
        pdf.set_draw_color(*rgb(item.stroke))
        pdf.set_line_width(item.width)
        if item.dash:
            pdf.set_dash_pattern(dash=item.dash[0], gap=item.dash[1])
        pdf.polyline([(px + x, py + y) for px, py in item.points])
        if item.dash:
            pdf.set_dash_pattern()
    else:
        _area(pdf, item, x, y)


def _area(pdf: FPDF, item: Polygon, x: float, y: float) -> None:
    if len(item.outlines) != 1:
        raise ValueError("an area with holes has no place in these sheets")
    if item.fill is not None:
        pdf.set_fill_color(*rgb(item.fill))
    if item.stroke is not None:
        pdf.set_draw_color(*rgb(item.stroke))
        pdf.set_line_width(item.width)
    style = ("D" if item.stroke is not None else "") + ("F" if item.fill is not None else "")
    pdf.polygon([(px + x, py + y) for px, py in item.outlines[0]], style=style)
