"""The space before a unit, as pages set it."""

from __future__ import annotations

import re

_UNITS = r"mm|cm|m|ft|dB|dBm|dBi|dBic|dBd|mW|W|kHz|MHz|GHz|ohm|°C|%"
_BEFORE_UNIT = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w]))")


def thin(text: str) -> str:
    """The text with a thin space that does not break before each unit."""
    return _BEFORE_UNIT.sub("\u202f", text)
