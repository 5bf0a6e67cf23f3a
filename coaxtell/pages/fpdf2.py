"""The library that writes PDF, loaded behind the one for pictures: without that it would warn in its own words."""

from __future__ import annotations

import PIL.Image  # noqa: F401  # isort: split
from fpdf import FPDF, ViewerPreferences
from fpdf.drawing import PaintedPath
from fpdf.fonts import TTFFont

__all__ = ["FPDF", "PaintedPath", "TTFFont", "ViewerPreferences"]
