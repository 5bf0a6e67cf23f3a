"""The one family of type, DejaVu Sans, as matplotlib carries it: a package that comes with VTK.

Its spec is looked up without importing it, which would take a second.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import ImageFont


@cache
def font_file(bold: bool = False) -> Path | None:
    """The font file; none where matplotlib is not installed."""
    spec = find_spec("matplotlib")
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    for place in (spec.submodule_search_locations or []) if spec is not None else []:
        path = Path(place) / "mpl-data" / "fonts" / "ttf" / name
        if path.is_file():
            return path
    return None


@cache
def font(size: float) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    """The type of pictures and drawings at a size [px]; Pillow's own where the file is missing."""
    from PIL import ImageFont

    path = font_file()
    return ImageFont.load_default(size) if path is None else ImageFont.truetype(str(path), size)
