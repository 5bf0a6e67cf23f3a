"""What is copied is read by a second client, and what that client copies is pasted: each way in turn, under X11."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.window.test_screen import display, wait_for

__all__ = ["display"]

pytestmark = pytest.mark.needs("Xvfb", "xclip")

WORDS = "Class 400, 9.5 m; End A: RP-SMA plug, reverse polarity ≥ 50 Ω"
OWNER = """
import sys, time, pygame
pygame.display.init()
pygame.display.set_mode((80, 60))
from coaxtell.window.kit import clipboard
if len(sys.argv) > 1:
    assert clipboard.copy(sys.argv[1])
print("copied", flush=True)
end = time.monotonic() + 30
while time.monotonic() < end:
    pygame.event.pump()
    time.sleep(0.01)
    if sys.stdin.closed:
        break
"""
READER = """
import pygame
pygame.display.init()
pygame.display.set_mode((80, 60))
from coaxtell.window.kit import clipboard
print(clipboard.paste())
"""


def env(display: str, path: str) -> dict[str, str]:
    kept = {k: v for k, v in os.environ.items() if k not in ("SDL_VIDEODRIVER", "WAYLAND_DISPLAY")}
    return {**kept, "DISPLAY": display, "PATH": path, "PYTHONIOENCODING": "utf-8"}


def _read(display: str) -> str:
    """What xclip reads from the clipboard of that screen now."""
    xclip = shutil.which("xclip") or ""
    read = subprocess.run([xclip, "-selection", "clipboard", "-o"], env=env(display, os.environ["PATH"]),
                          capture_output=True, timeout=20, check=False)  # fmt: skip
    return read.stdout.decode()


@pytest.mark.parametrize("greeting", [True, False])
@pytest.mark.parametrize("program", [True, False])
def test_what_is_copied_is_read_by_another_program(display: str, tmp_path: Path, program: bool, greeting: bool) -> None:
    path = os.environ["PATH"] if program else str(tmp_path)
    given = {k: v for k, v in env(display, path).items() if k != "PYGAME_HIDE_SUPPORT_PROMPT"}
    if not greeting:
        given["PYGAME_HIDE_SUPPORT_PROMPT"] = "1"
    owner = subprocess.Popen([sys.executable, "-c", OWNER, WORDS], env=given, stdout=subprocess.PIPE,
                             stderr=subprocess.PIPE)  # fmt: skip
    try:
        assert owner.stdout is not None
        # pygame greets first, unless another test has told it not to: not so many lines, but this one
        assert any(line == b"copied\n" for line in owner.stdout), owner.communicate(timeout=5)[1].decode()
        # xclip as the owner asks the X server for it only after its parent has said that it is done
        wait_for(lambda: _read(display) == WORDS, 10.0)
    finally:
        owner.kill()
        owner.communicate()


@pytest.mark.parametrize("program", [True, False])
def test_what_another_program_copied_is_pasted(display: str, tmp_path: Path, program: bool) -> None:
    xclip = shutil.which("xclip") or ""
    subprocess.run([xclip, "-selection", "clipboard"], env=env(display, os.environ["PATH"]), input=WORDS.encode(),
                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=20, check=True)  # fmt: skip
    path = os.environ["PATH"] if program else str(tmp_path)
    read = subprocess.run([sys.executable, "-c", READER], env=env(display, path), capture_output=True, timeout=60)
    assert WORDS in read.stdout.decode(), read.stderr.decode()
