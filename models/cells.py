"""Text in a cell of a table that a spreadsheet may open, or save for another one to open."""

from __future__ import annotations

import re

FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""Starts of a cell that a spreadsheet takes for a formula, as OWASP's page on CSV injection lists them."""

_FIGURE = re.compile(r"[+-]\d[\d.,\u202f ]*(?:[^\W\d_]{1,6}|%|°[CF])?")
"""A number with its sign and perhaps a unit: no formula comes of it."""

_UNSEEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]")
"""Signs of control, and those that turn the direction of what stands behind them (Unicode Standard Annex 9)."""


def plain(text: str) -> str:
    """The text with a blank for every sign that controls or turns what is shown, and one kind of line break."""
    if text.isprintable():
        return text
    return _UNSEEN.sub(" ", text.replace("\r\n", "\n").replace("\r", "\n"))


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
