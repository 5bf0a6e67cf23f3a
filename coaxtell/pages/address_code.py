"""The address of the page for the pocket as a code that a phone reads off paper."""

from __future__ import annotations

from coaxtell.models.palette import INK, rgb
from coaxtell.pages.document import Document

SAME = "The same on a phone:"
OVERLAP = 0.02
"""So far modules reach over each other, so that no printer leaves a hairline between them [mm]."""


def put(pdf: Document, address: str, x: float, y: float, side: float) -> None:
    """Draw the address as a QR code (ISO/IEC 18004) from a corner at x and y on, so wide and so high [mm]."""
    import segno

    code = [list(row) for row in segno.make(address, error="m", micro=False).matrix]
    module = side / len(code)
    pdf.set_fill_color(*rgb(INK))
    for row, line in enumerate(code):
        for column, dark in enumerate(line):
            if dark:
                pdf.rect(x + column * module, y + row * module, module + OVERLAP, module + OVERLAP, style="F")
