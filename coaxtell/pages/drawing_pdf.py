"""A drawing put on a PDF page at true size, or as a PDF of its own."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from coaxtell.models.drawings.drawing import Drawing, Item, Line, Polygon, Text, dashes
from coaxtell.models.palette import rgb
from coaxtell.pages.document import FAMILY, Document, font_file
from coaxtell.pages.fpdf2 import FPDF, PaintedPath, ViewerPreferences

_POINTS_PER_MM = 72 / 25.4


def put(pdf: FPDF, items: Iterable[Item], x: float = 0.0, y: float = 0.0) -> None:
    """Put the shapes of a drawing with its upper left corner at a place [mm]."""
    for item in items:
        _put(pdf, item, x, y)


def figure(pdf: Document, drawn: Drawing) -> None:
    """Put a drawing below what the document holds, on a new page where this one has no room for it."""
    pdf.room(drawn.height_mm + 2)
    y = pdf.get_y()
    put(pdf, drawn.items, pdf.l_margin, y)
    pdf.set_y(y + drawn.height_mm + 2)


def write(drawn: Drawing, path: Path) -> None:
    """Write a drawing as a PDF of one page of its size, which viewers are told not to scale."""
    way = "landscape" if drawn.width_mm > drawn.height_mm else "portrait"
    pdf = FPDF(orientation=way, unit="mm", format=(drawn.height_mm, drawn.width_mm))
    pdf.viewer_preferences = ViewerPreferences(print_scaling="None")
    pdf.set_title(drawn.title)
    pdf.set_creator("coaxtell")
    pdf.set_auto_page_break(False)
    pdf.c_margin = 0
    pdf.add_font(FAMILY, "", str(font_file()))
    pdf.add_page(orientation=way, format=(min(drawn.width_mm, drawn.height_mm), max(drawn.width_mm, drawn.height_mm)))
    pdf.set_fill_color(*rgb(drawn.background))
    pdf.rect(0, 0, drawn.width_mm, drawn.height_mm, style="F")
    put(pdf, drawn.items)
    pdf.output(str(path))


def _put(pdf: FPDF, item: Item, x: float, y: float) -> None:
    if isinstance(item, Text):
        _words(pdf, item, item.at[0] + x, item.at[1] + y)
    elif isinstance(item, Line):
        pdf.set_draw_color(*rgb(item.stroke))
        pdf.set_line_width(item.width)
        # stroke by stroke: a PDF library that knows one dash and one gap cannot write a chain line
        for stroke in dashes(item.points, item.dash) if item.dash else [item.points]:
            pdf.polyline([(px + x, py + y) for px, py in stroke])
    else:
        _area(pdf, item, x, y)


def _words(pdf: FPDF, item: Text, x: float, y: float) -> None:
    pdf.set_font(FAMILY, "", item.size * _POINTS_PER_MM)
    pdf.set_text_color(*rgb(item.colour))
    length = pdf.get_string_width(item.words)
    back = {"start": 0.0, "middle": length / 2, "end": length}[item.anchor]
    # Words are centred on their place by a third of their size, as in the SVG.
    at = (x - back, y + 0.35 * item.size)
    if item.turn:
        with pdf.rotation(item.turn, x, y):
            pdf.text(*at, item.words)
    else:
        pdf.text(*at, item.words)


def _area(pdf: FPDF, item: Polygon, x: float, y: float) -> None:
    if len(item.outlines) > 1:
        _area_with_holes(pdf, item, x, y)
        return
    if item.fill is not None:
        pdf.set_fill_color(*rgb(item.fill))
    if item.stroke is not None:
        pdf.set_draw_color(*rgb(item.stroke))
        pdf.set_line_width(item.width)
    style = ("D" if item.stroke is not None else "") + ("F" if item.fill is not None else "")
    pdf.polygon([(px + x, py + y) for px, py in item.outlines[0]], style=style)


def _area_with_holes(pdf: FPDF, item: Polygon, x: float, y: float) -> None:
    """An area whose inner outlines stay open, by the even-odd rule."""
    path = PaintedPath()
    path.style.fill_color = item.fill
    path.style.stroke_color = item.stroke
    path.style.stroke_width = item.width
    path.style.intersection_rule = "evenodd"
    for outline in item.outlines:
        path.move_to(outline[0][0] + x, outline[0][1] + y)
        for px, py in outline[1:]:
            path.line_to(px + x, py + y)
        path.close()
    with pdf.drawing_context() as context:
        context.add_item(path, False)  # not copied, point by point: nothing else holds the path
