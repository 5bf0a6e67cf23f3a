"""Text in lines that any terminal holds: one width and one way to break, for every command."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

WIDTH = 79
"""Letters in a line: what a terminal of 80 columns holds."""

_MARK = re.compile(r" *(?:-|\d+\.) ")
"""A dash or number before what it marks."""
_width = ContextVar("width", default=WIDTH)


@contextmanager
def held(width: int) -> Iterator[None]:
    """While it holds, lines are broken to this width [letters]: the terminal has no more."""
    before = _width.set(width)
    try:
        yield
    finally:
        _width.reset(before)


def wrapped(text: str, first: str = "", rest: str | None = None) -> str:
    """The text broken to the width, ids and long words kept whole, each line of it by itself.

    `first` stands before its first line and `rest` before what is carried over: by default under where the words
    begin, behind spaces, a dash or a number.
    """
    return "\n".join(_broken(line, first, rest) for line in text.split("\n"))


def _broken(text: str, first: str, rest: str | None) -> str:
    line = f"{first}{text}"
    if rest is None:
        mark = _MARK.match(line)
        rest = " " * (mark.end() if mark is not None else len(line) - len(line.lstrip()))
    width = _width.get()
    if width < WIDTH:
        rest = " " * min(len(rest), width // 4)
    return textwrap.fill(line, width, subsequent_indent=rest, break_long_words=False, break_on_hyphens=False)
