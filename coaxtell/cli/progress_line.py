"""How far long work is, on standard error while a person watches it there."""

from __future__ import annotations

import sys
from types import TracebackType
from typing import Self

from coaxtell import streams

_CLEAR = "\r\x1b[K"


class Progress:
    """A line on the terminal that says how far the work is; silent where standard error is no terminal.

    Used as a context: the line goes when the work ends, fails or is stopped with Ctrl-C.
    """

    def __init__(self, what: str) -> None:
        self._what = what
        self._shown = sys.stderr.isatty()

    def __enter__(self) -> Self:
        return self

    def begun(self) -> None:
        """The work has begun and cannot say how much of it there is."""
        if self._shown:
            streams.beside(f"{self._what} ... (Ctrl-C stops)", end="", before=_CLEAR)

    def __call__(self, done: int, of: int) -> None:
        """So much is done of so much."""
        if self._shown:
            streams.beside(f"{self._what}: {done} of {of} (Ctrl-C stops)", end="", before=_CLEAR)

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._shown:
            streams.beside("", end="", before=_CLEAR)
