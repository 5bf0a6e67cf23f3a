"""Text as a cell of a workbook may hold it."""

from __future__ import annotations

import re

_NOT_ALLOWED = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")
LONGEST = 32_000
"""Letters that a cell holds."""


def allowed(text: str) -> str:
    """The text without the signs that no workbook may hold."""
    return _NOT_ALLOWED.sub(" ", text)


def fitting(text: str) -> str:
    """So much of the text as a cell holds."""
    return text[:LONGEST]
