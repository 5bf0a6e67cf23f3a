"""Whether there is a screen for the window."""

from __future__ import annotations

import os
import sys


def shown() -> bool:
    """Whether a window can be shown here: a video driver of a real screen opens. Loads pygame, so only asked once."""
    if sys.platform.startswith("linux") and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return False
    from coaxtell.window.screen import usable

    return usable()
