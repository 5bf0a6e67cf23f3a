"""Colours and fonts of pages: the light bench on paper white."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

PAPER = "#FFFFFF"
BENCH = "#F4F1EA"
GRID_FINE = "#E2DDD1"
GRID = "#C9C2B2"
TEXT = "#1A1F21"
QUIET = "#545D5F"
ACTION = "#00666B"
HARM = "#B3261E"
FITS = "#2F6B1E"

BRASS = "#D9B45B"
NICKEL = "#C7C9C6"
STEEL = "#AEB3B4"
PTFE = "#FBFAF5"
SHADE = "#3A4144"


def rgb(colour: str) -> tuple[int, int, int]:
    """Red, green and blue of a colour written as #RRGGBB."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def font_file(bold: bool = False) -> Path | None:
    """The DejaVu Sans file that matplotlib carries (without importing it); none where it is missing."""
    found = find_spec("matplotlib")
    if found is None or found.origin is None:
        return None
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    path = Path(found.origin).parent / "mpl-data" / "fonts" / "ttf" / name
    return path if path.is_file() else None
