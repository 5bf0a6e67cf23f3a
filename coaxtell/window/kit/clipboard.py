"""Words to and from the system's clipboard, by whatever works here.

In this order: the text clipboard of pygame-ce; a program of the system, which keeps the words when the window has
closed; the SDL library that pygame itself has loaded. pygame's own way is left out: under X11 it places nothing.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pygame

PATIENCE_S = 2.0
"""How long a program of the system may take [s]."""
SHOWS_NOTHING = ("", "dummy", "offscreen", "evdev")
"""Video drivers of SDL without a screen: what lies on their clipboard no other program sees."""
VIDEO = 0x20
"""SDL's flag of the video part."""


def _programs() -> list[tuple[list[str], list[str]]]:
    """Commands that copy from their input and that paste to their output, those fit for this screen."""
    if sys.platform == "darwin":
        return [(["pbcopy"], ["pbpaste"])]
    if sys.platform == "win32":
        return []  # the console's own knows no Unicode; SDL does
    found: list[tuple[list[str], list[str]]] = []
    if os.environ.get("WAYLAND_DISPLAY"):
        found.append((["wl-copy"], ["wl-paste", "--no-newline"]))
    if os.environ.get("DISPLAY"):
        found.append((["xclip", "-selection", "clipboard"], ["xclip", "-selection", "clipboard", "-o"]))
        found.append((["xsel", "--clipboard", "--input"], ["xsel", "--clipboard", "--output"]))
    return [pair for pair in found if shutil.which(pair[0][0]) is not None]


@cache
def _sdl() -> Any:
    """The SDL library that pygame runs on; none where it cannot be found, or what is found is another copy."""
    here = Path(pygame.__file__).parent
    places = [
        *here.parent.glob("pygame*.libs/libSDL2-2*"), *here.glob("SDL2.dll"), *here.glob(".dylibs/libSDL2-2*")
    ]  # fmt: skip
    names = [str(place) for place in places] or [ctypes.util.find_library("SDL2-2.0") or ""]
    for name in filter(None, names):
        try:
            library = ctypes.CDLL(name)
            if library.SDL_WasInit(VIDEO):
                library.SDL_GetClipboardText.restype = ctypes.c_void_p
                return library
        except (OSError, AttributeError):
            continue
    return None


def _seen() -> bool:
    """Whether the screen is one whose clipboard other programs see."""
    return pygame.display.get_init() and pygame.display.get_driver() not in SHOWS_NOTHING


def copy(words: str) -> bool:
    """Put words on the clipboard; false where this screen has none."""
    if not _seen():
        return False
    scrap: Any = pygame.scrap
    if hasattr(scrap, "put_text"):
        try:
            scrap.put_text(words)
            return True
        except pygame.error:
            pass
    for command, _ in _programs():
        try:
            # it stays behind as the owner of the words: no pipe of ours may wait for its end
            done = subprocess.run(command, input=words.encode(), timeout=PATIENCE_S, check=False,
                                  stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # fmt: skip
        except (OSError, subprocess.SubprocessError):
            continue
        if done.returncode == 0:
            return True
    library = _sdl()
    if library is None or library.SDL_SetClipboardText(words.encode()) != 0:
        return False
    pygame.event.pump()  # only then does the X server hear whose words they are
    return True


def paste() -> str:
    """The words on the clipboard; empty where there are none or none can be read."""
    if not _seen():
        return ""
    scrap: Any = pygame.scrap
    if hasattr(scrap, "get_text"):
        try:
            return str(scrap.get_text())
        except pygame.error:
            return ""
    library = _sdl()
    if library is not None:
        held = library.SDL_GetClipboardText()
        words = ctypes.string_at(held).decode(errors="replace") if held else ""
        if held:
            library.SDL_free(ctypes.c_void_p(held))
        return words
    for _, command in _programs():
        try:
            done = subprocess.run(command, timeout=PATIENCE_S, check=False, capture_output=True)
        except (OSError, subprocess.SubprocessError):
            continue
        if done.returncode == 0:
            return done.stdout.decode(errors="replace")
    return ""
