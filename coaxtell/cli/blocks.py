"""Pictures in the terminal: two pixels a letter cell, in full colour where the terminal says it can."""

from __future__ import annotations

import os
import shutil
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

UPPER = "▀"


def possible() -> bool:
    """True where the output is a terminal that says it shows 24-bit colour and takes the block letter."""
    encoding = (sys.stdout.encoding or "").lower().replace("-", "")
    return (
        sys.stdout.isatty()
        and os.environ.get("COLORTERM", "").lower() in ("truecolor", "24bit")
        and "NO_COLOR" not in os.environ
        and encoding.startswith("utf")
    )


def text(image: Image.Image, columns: int, rows: int) -> str:
    """The picture as lines of half blocks, as large as so many columns and rows of letters allow."""
    from PIL import Image as Pillow

    scale = min(columns / image.width, 2 * rows / image.height)
    width = max(1, round(image.width * scale))
    height = max(2, round(image.height * scale / 2) * 2)
    small = image.convert("RGB").resize((width, height), Pillow.Resampling.LANCZOS)
    data = small.tobytes()
    lines = []
    for y in range(0, height, 2):
        cells = []
        last = None
        for x in range(width):
            top = data[3 * (y * width + x) : 3 * (y * width + x) + 3]
            low = data[3 * ((y + 1) * width + x) : 3 * ((y + 1) * width + x) + 3]
            colours = (*top, *low)
            if colours != last:
                cells.append("\x1b[38;2;{};{};{};48;2;{};{};{}m".format(*colours))
                last = colours
            cells.append(UPPER)
        lines.append("".join(cells) + "\x1b[0m")
    return "\n".join(lines)


def fitted(image: Image.Image) -> str:
    """The picture at the size that leaves room for the question below it."""
    size = shutil.get_terminal_size()
    return text(image, min(size.columns - 2, 110), max(8, min(30, size.lines - 14)))
