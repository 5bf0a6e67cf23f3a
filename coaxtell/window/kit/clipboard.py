"""Words to the clipboard, by the calls that pygame and pygame-ce each have; where there is none, that is said."""

from __future__ import annotations

import warnings
from typing import Any

import pygame

from coaxtell.window.kit.common import Common


def copy(words: str) -> bool:
    """Put words on the clipboard; false where this screen has none."""
    scrap: Any = pygame.scrap
    try:
        if hasattr(scrap, "put_text"):
            scrap.put_text(words)
            return True
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            if not scrap.get_init():
                scrap.init()
            scrap.put(pygame.SCRAP_TEXT, words.encode("utf-8"))
    except (pygame.error, NotImplementedError, AttributeError):
        return False
    return True


def copy_words(desk: Common, words: str, what: str) -> None:
    """Copy words and say what became of it."""
    desk.copied = words
    if copy(words):
        desk.say(f"{what} copied.")
    else:
        desk.say("This screen has no clipboard; the words stand in the window to be written down.")
