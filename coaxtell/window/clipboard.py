"""Words to the clipboard, by the calls that pygame and pygame-ce each have."""

from __future__ import annotations

import warnings
from typing import Any

import pygame


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
