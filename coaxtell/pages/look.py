"""What pages add to the drawings' look: the paper, colours for PDF, and the font files."""

from __future__ import annotations

import re
from importlib.util import find_spec
from pathlib import Path

from coaxtell.models.errors import InputError

PAPER = "#FFFFFF"

_UNITS = r"mm|cm|m|ft|dB|dBm|dBi|dBic|dBd|mW|W|kHz|MHz|GHz|ohm|°C|%"
_BEFORE_UNIT = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w]))")


def thin(text: str) -> str:
    """The text with a thin space that does not break before each unit."""
    return _BEFORE_UNIT.sub("\u202f", text)


def rgb(colour: str) -> tuple[int, int, int]:
    """Red, green and blue of a colour written as #RRGGBB."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def font_file(bold: bool = False) -> Path:
    """The DejaVu Sans file that matplotlib carries, found without importing it.

    Raises InputError where it is missing.
    """
    spec = find_spec("matplotlib")
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    for place in (spec.submodule_search_locations or []) if spec is not None else []:
        path = Path(place) / "mpl-data" / "fonts" / "ttf" / name
        if path.is_file():
            return path
    raise InputError(
        "PDF sheets need the DejaVu Sans font that matplotlib carries; install matplotlib, or write .html."
    )
