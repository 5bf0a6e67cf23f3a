"""Text in lines that any terminal holds: one width and one way to break, for every command."""

from __future__ import annotations

import re
import textwrap
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

WIDTH = 79
"""Letters in a line: what a terminal of 80 columns holds."""

_COMMAND = re.compile(r"`[^`]+`")
"""What is to be typed or copied."""
_ROOM, _HELD = "\ue000", "\ue001"
"""Stand for the second cell of a wide letter, and for a space at which nothing is broken."""
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


def cells(text: str) -> int:
    """The cells of a terminal that a text takes: letters of Chinese, Japanese and Korean take two (Unicode Standard
    Annex 11)."""
    return len(text) if text.isascii() else len(_roomy(text))


def _roomy(text: str) -> str:
    return "".join(sign + _ROOM if unicodedata.east_asian_width(sign) in "WF" else sign for sign in text)


def filled(text: str, width: int, first: str = "", rest: str = "") -> str:
    """The text broken to lines of so many cells, begun with `first` and `rest`; ids and long words stay whole.

    On fewer columns than lines are made for so does what stands between backquotes, which someone may copy.
    """
    if width < WIDTH:
        text = _COMMAND.sub(lambda command: command[0].replace(" ", _HELD), text)
    found = textwrap.fill(
        text if text.isascii() else _roomy(text), width, initial_indent=first, subsequent_indent=rest,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return found.replace(_ROOM, "").replace(_HELD, " ")


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
    return filled(line, width, rest=rest)
