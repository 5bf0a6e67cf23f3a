"""The sheet of a named port: what it is, life size, what to order, what to beware of; and the file to go on from."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path

from coaxtell import files
from coaxtell.identifier import words as said
from coaxtell.identifier.words import percent
from coaxtell.models.half import Half
from coaxtell.window.desk.inquiry import Inquiry, alike_words, feature_words

DPI = 300
SIDE = 60.0
"""Widest picture on the sheet [mm]."""


def save(
    inquiry: Inquiry, half: Half, mate: Half | None, where: Path, spoken: Callable[[str], str]
) -> tuple[Path, Path]:
    """Write the sheet (PDF) and the identification (JSON) into a folder; raises InputError where it cannot be.

    `spoken` puts names in place of ids.
    """
    sheet = _free(where, f"port-{half.id}", ".pdf")
    kept = sheet.with_suffix(".json")
    files.write(sheet, lambda aside: _write(aside, inquiry, half, mate, spoken))
    files.write_text(kept, json.dumps(inquiry.plain(), indent=1, ensure_ascii=False))
    return sheet, kept


def _free(where: Path, name: str, suffix: str) -> Path:
    """A name that no file has yet, so that no earlier sheet is lost."""
    path = where / f"{name}{suffix}"
    number = 2
    while path.exists() or path.with_suffix(".json").exists():
        path = where / f"{name}-{number}{suffix}"
        number += 1
    return path


def _write(path: Path, inquiry: Inquiry, half: Half, mate: Half | None, spoken: Callable[[str], str]) -> None:
    from coaxtell.pages.content import life_size
    from coaxtell.pages.document import Document

    found = inquiry.found
    pdf = Document(f"Port named: {half.name}")
    pdf.heading(f"{half.name}, {found.polarity} polarity", 18)
    gender = said.gender(found)
    pdf.paragraph(f"{gender[:1].upper()}{gender[1:]}. Probability {percent(found.probability)}.")
    x, y = pdf.l_margin, pdf.get_y() + 2
    tallest = 0.0
    for one in [half, *([mate] if mate is not None else [])]:
        drawn = life_size(one)
        data = io.BytesIO()
        drawn.png(data, dpi=DPI)
        data.seek(0)
        if x + drawn.width_mm > pdf.w - pdf.r_margin:
            continue
        pdf.image(data, x=x, y=y, w=drawn.width_mm)
        x += max(SIDE, drawn.width_mm + 6)
        tallest = max(tallest, drawn.height_mm)
    pdf.set_y(y + tallest + 3)
    words = "Life size: the port" + ("" if mate is None else " and what fits it")
    pdf.paragraph(f"{words}. If the bar below is not 100 mm, the printer scaled.", 8)
    bar = pdf.get_y() + 1
    pdf.set_line_width(0.3)
    pdf.line(pdf.l_margin, bar, pdf.l_margin + 100, bar)
    for end in (0, 100):
        pdf.line(pdf.l_margin + end, bar - 1.2, pdf.l_margin + end, bar + 1.2)
    pdf.set_y(bar + 3)
    pdf.heading("To order")
    pdf.paragraph(said.order(found))
    pdf.heading("What was seen and measured")
    told = [f"{feature_words(feature)}: {inquiry.said(feature)}" for feature in inquiry.state.answers]
    pdf.points(tuple(told) or ("Nothing yet.",))
    if found.beware:
        pdf.heading("Looks alike")
        pdf.points(tuple(spoken(alike_words(one)) for one in found.beware))
    pdf.heading("Caution")
    doubted = [inquiry.doubted] if inquiry.doubted else []
    pdf.points((*doubted, *(spoken(caution) for caution in inquiry.cautions)))
    pdf.save(path)
