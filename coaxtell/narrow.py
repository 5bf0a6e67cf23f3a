"""A terminal of fewer columns than lines are made for: what is printed breaks at its words, rows of tables at cells."""

from __future__ import annotations

import os
import re
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TextIO

from coaxtell.models import lines

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

NARROW = lines.WIDTH + 1
"""Columns that every line is made for."""
LEAST = 8
"""Columns below which nothing is broken further."""
HANGING = 2
_GAP = re.compile(r"(?<=\S) {2,}(?=\S)")
"""What stands between two cells of a row."""
_STEERS = re.compile(r"[\x1b\r]")
"""Pictures of coloured letters and lines that are written over are made for the terminal as it is."""


def broken(line: str, columns: int, column: int = 0) -> str:
    """A line that begins at a column, broken so that it fits; words longer than that stay whole.

    What is carried over hangs below where its words begin; cells of a row stand closer, since it lines up no more.
    """
    if column + lines.cells(line) <= columns or _STEERS.search(line):
        return line
    indent = len(line) - len(line.lstrip())
    margin = " " * min(indent, columns // 4)
    hanging = margin + " " * HANGING
    mark = re.match(r" *(?:-|\d+\.?|[a-z]) +", line)
    if mark is not None and mark.end() - indent <= columns // 4:
        hanging = margin + " " * (mark.end() - indent)
    # what stands before the column takes room on the first line alone
    before = "\0" * column
    text = _GAP.sub("  ", line.strip())
    found = lines.filled(text, columns, before + margin, hanging)
    return found.replace("\0", "").rstrip() + " " * line.endswith(" ")


class Narrow:
    """A stream whose lines are broken to so many columns before they are written."""

    def __init__(self, stream: TextIO, columns: int) -> None:
        self.stream = stream
        self.columns = columns
        self._column = 0
        self._line = ""

    def write(self, text: str) -> int:
        """Take text over; whole lines are written, the rest when it is whole or flushed."""
        *whole, self._line = (self._line + text).split("\n")
        for line in whole:
            self.stream.write(broken(line, self.columns, self._column) + "\n")
            self._column = 0
        return len(text)

    def flush(self) -> None:
        """Write what there is of the last line."""
        if self._line:
            said = broken(self._line, self.columns, self._column)
            self.stream.write(said)
            self._column = lines.cells(said.rpartition("\n")[2]) + (0 if "\n" in said else self._column)
            self._line = ""
        self.stream.flush()

    def unbroken(self, text: str) -> None:
        """Write whole lines as they are."""
        self.flush()
        self.stream.write(text)
        self._column = 0

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)


@contextmanager
def held() -> Iterator[None]:
    """While it holds, standard output and error fit the terminal, where it is narrower than lines are made for.

    What goes into a file or another program stays as it is, unless COLUMNS says how wide that is.
    """
    columns = shutil.get_terminal_size().columns
    if columns >= NARROW:
        yield
        return
    columns = max(columns, LEAST)
    try:
        with lines.held(columns - 1):
            for name in ("stdout", "stderr"):
                stream = getattr(sys, name)
                if "COLUMNS" in os.environ or stream.isatty():
                    setattr(sys, name, Narrow(stream, columns))
            yield
    finally:
        whole()
        _back("stderr")


def unbroken(text: str, stream: SupportsWrite[str]) -> None:
    """Write lines that someone copies as they are: what a terminal breaks by itself it gives back whole."""
    if isinstance(stream, Narrow):
        stream.unbroken(text)
    else:
        stream.write(text)


def copied(before: str, command: str) -> None:
    """Write words with a command to copy behind them; on a narrow terminal it has lines of its own, unbroken."""
    out = sys.stdout
    out.write(before + ("\n" if isinstance(out, Narrow) else " "))
    unbroken(f"{command}\n", out)


def prompt(text: str) -> str:
    """A prompt broken to the terminal, for what asks there by itself."""
    if not isinstance(sys.stdout, Narrow):
        return text
    return "\n".join(broken(line, sys.stdout.columns) for line in text.split("\n"))


def whole() -> None:
    """From here on what standard output gets is for a program: nothing of it is broken."""
    _back("stdout")


def _back(name: str) -> None:
    stream = getattr(sys, name)
    if isinstance(stream, Narrow):
        setattr(sys, name, stream.stream)
        stream.flush()
