"""Text in a cell of a table that a spreadsheet may open, or save for another one to open."""

from __future__ import annotations

import re

FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""Starts of a cell that a spreadsheet takes for a formula, as OWASP's page on CSV injection lists them."""

_FIGURE = re.compile(r"[+-]\d[\d.,\u202f ]*(?:[^\W\d_]{1,6}|%|°[CF])?")
"""A number with its sign and perhaps a unit: no formula comes of it."""


def neutral(text: str) -> str:
    """The text as no spreadsheet takes it for a formula: an apostrophe stands before it, as is common practice.

    `restored` gives back every text as it was.
    """
    return f"'{text}" if text.lstrip("'").startswith(FORMULA) else text


def restored(text: str) -> str:
    """The text that `neutral` was given."""
    return text[1:] if text.startswith("'") and text.lstrip("'").startswith(FORMULA) else text


def shown(text: str) -> str:
    """As `neutral`, with signed numbers as they are: for a sheet that people read."""
    return text if _FIGURE.fullmatch(text) else neutral(text)
