"""The readings of a folder of own tables, read and written."""

from __future__ import annotations

from pathlib import Path

from coaxtell import files
from coaxtell.models import gauged
from coaxtell.models.errors import InputError
from coaxtell.models.gauged import Book


def own_book(folder: Path) -> Book:
    """What was measured so far; an empty book where nothing was."""
    path = folder / gauged.FILE
    return gauged.decode(files.read_text(path), str(path)) if path.exists() else Book()


def keep(folder: Path, book: Book) -> None:
    """Write the book down; raises InputError where the folder cannot be made or written."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(f"{folder} cannot be made ({error.strerror}); choose another folder.") from None
    files.write_text(folder / gauged.FILE, gauged.encode(book))
