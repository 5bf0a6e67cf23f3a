"""A table as every kind of page shows it."""

from __future__ import annotations

import msgspec


class Table(msgspec.Struct, frozen=True):
    """A table: headings, relative column widths, rows of text, and which columns hold numbers."""

    headings: tuple[str, ...]
    widths: tuple[float, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: frozenset[int]
