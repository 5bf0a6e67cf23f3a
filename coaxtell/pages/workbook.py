"""A workbook onto the disk."""

from __future__ import annotations

import io
from pathlib import Path

from openpyxl import Workbook


def save(book: Workbook, path: Path) -> None:
    """Write it, whole before the disk is touched: one that a full disk cuts short complains again as it is let go."""
    whole = io.BytesIO()
    book.save(whole)
    path.write_bytes(whole.getvalue())
