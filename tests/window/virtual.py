"""A virtual screen for programs and tests that work the real window; needs Xvfb."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def screen(width: int, height: int) -> Iterator[str]:
    """A virtual screen of so many pixels, by the name that DISPLAY takes."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{width}x{height}x24", "-nolisten", "tcp", "-noreset"],
        pass_fds=[write], stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(write)
    try:
        with os.fdopen(read) as answer:
            number = answer.readline().strip()
        yield f":{number}"
    finally:
        server.terminate()
        server.wait()
