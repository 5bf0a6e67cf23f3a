"""Words to copy: to the clipboard where there is one, else said so."""

from __future__ import annotations

from coaxtell.window.clipboard import copy
from coaxtell.window.desk import Desk


def copy_words(desk: Desk, words: str, what: str) -> None:
    """Copy words and say what became of it."""
    desk.copied = words
    if copy(words):
        desk.say(f"{what} copied.")
    else:
        desk.say("This screen has no clipboard; the words stand in the window to be written down.")
