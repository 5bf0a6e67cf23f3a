"""The most memory that the window and its processes hold while the largest photographs are opened, one after another.

Run: python -m benchmarks.window_photo (Linux only; with a screen, or SDL's dummy driver is used). Each figure is the
proportional set size of the window and of all its processes together, sampled a hundred times a second while the
picture is opened and for three seconds after. Goal: never above 450 MB.
"""

from __future__ import annotations

import os
import tempfile
import threading
import time
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from benchmarks.photo_scene import scene
from benchmarks.window_start import shared_mb

AFTER_S, STEP_S = 3.0, 0.01
"""How long is sampled once a picture is open, and how often [s]."""
WORK_S = 4.0
"""How long each of some other jobs is shown before [s]."""
GOAL_MB = 450
LARGE, WEBP = (8000, 6000), (5760, 4320)
"""The largest pictures that are opened [px]."""


def pictures(folder: Path) -> list[Path]:
    """One photograph of a port with grain, as large as each format may be."""
    drawn = scene(202, 2048, 1536, np.array([11.11]), False).picture
    rng = np.random.default_rng(1)
    found = []
    for name, size, how in (
        ("large.jpg", LARGE, {"quality": 90}),
        ("large.png", LARGE, {"compress_level": 1}),
        ("large-alpha.png", LARGE, {"compress_level": 1}),
        ("large.webp", WEBP, {"quality": 85, "method": 0}),
        ("large-lossless.webp", WEBP, {"lossless": True, "quality": 0, "method": 0}),
    ):
        pixels = cv2.resize(drawn, size, interpolation=cv2.INTER_CUBIC)
        for row in range(0, size[1], 500):
            part = pixels[row : row + 500]
            cv2.add(part, rng.integers(0, 12, part.shape, dtype=np.uint8), dst=part)
        image = Image.fromarray(pixels)
        if "alpha" in name:
            image.putalpha(255)
        found.append(folder / name)
        image.save(found[-1], **how)  # type: ignore[arg-type]
    return found


def family_mb(pid: int) -> float:
    """What a process and all that it started hold [MB]."""
    try:
        below = [
            int(child) for thread in Path(f"/proc/{pid}/task").iterdir()
            for child in (thread / "children").read_text().split()
        ]  # fmt: skip
        return shared_mb(pid) + sum(family_mb(child) for child in below)
    except OSError:  # it ended meanwhile
        return 0.0


class Watch:
    """The most that this process and its own hold, since it was last set back [MB]."""

    def __init__(self) -> None:
        """Begin to look."""
        self.most = 0.0
        self._on = True
        self._thread = threading.Thread(target=self._look)
        self._thread.start()

    def _look(self) -> None:
        while self._on:
            self.most = max(self.most, family_mb(os.getpid()))
            time.sleep(STEP_S)

    def end(self) -> None:
        """Look no more."""
        self._on = False
        self._thread.join()


def measured(files: list[Path]) -> list[tuple[str, float]]:
    """Each picture's name with the most that was held over it [MB]."""
    # the package first: it keeps pygame from greeting
    from coaxtell.window.scenes.photograph import Photograph
    from coaxtell.window.screen import Window

    window = Window(scene="name")
    # as after some work: the jobs before hold their pictures
    for job in ("name", "together", "half", "beside"):
        window.app.go(job)
        begun = time.monotonic()
        while time.monotonic() - begun < WORK_S:
            window.step()
    window.app.go("photo")
    photo = window.app.scene
    assert isinstance(photo, Photograph)
    watch, found = Watch(), []
    for path in files:
        watch.most = 0.0
        photo.dropped(str(path))
        while photo.opening.loading:
            window.step()
        if photo.marks is None:
            raise RuntimeError(f"{path.name} was not opened: {photo.opening.trouble}")
        opened = time.monotonic()
        while time.monotonic() - opened < AFTER_S:
            window.step()
        found.append((path.name, watch.most))
    watch.end()
    window.close()
    return found


def main() -> None:
    """Draw the pictures in a process that ends, measure, and print a line each."""
    if not os.environ.get("DISPLAY") and not os.environ.get("WAYLAND_DISPLAY"):
        os.environ["SDL_VIDEODRIVER"] = "dummy"
    with tempfile.TemporaryDirectory() as name:
        os.environ["COAXTELL_HOME"] = name
        folder = Path(name)
        # what drawing them took is not the window's
        child = os.fork()
        if child == 0:
            pictures(folder)
            os._exit(0)
        os.waitpid(child, 0)
        for picture, most in measured(sorted(folder.glob("large*"))):
            print(f"{picture:<24}{most:>8.0f} MB   most {GOAL_MB}")


if __name__ == "__main__":
    main()
