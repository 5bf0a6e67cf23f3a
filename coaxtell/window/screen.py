"""The real screen: opens the window, feeds it events, shows it, and leaves nothing running."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

import pygame

from coaxtell.folders import folder
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pictures import Pictures, Rendered
from coaxtell.window.jobs import ALL
from coaxtell.window.kit import settings as settings_file
from coaxtell.window.kit.app import App
from coaxtell.window.kit.clipboard import SHOWS_NOTHING
from coaxtell.window.kit.menu import first_dialog
from coaxtell.window.kit.theme import DARK

IDLE_MS = 40
"""How long the window waits for an event before it looks for finished pictures [ms]."""
FRAME_MS = 16
BUSY_MS = 4
"""The same while something moves, and while a picture is under way."""
FIRST = (
    ("name", "A port that nobody can name", "Answer what you see; it is named, with what fits and what to order."),
    (
        "together",
        "Two halves, and whether they may be joined",
        "The bench brings them together before your hands do.",
    ),
    ("cable", "A run from a reader to an antenna", "From two ports and a length to the cable that gets ordered."),
)
"""What a first start offers: scene, words, what comes of it."""
LEAST = (640, 400)
"""Smallest window [px]."""
BARS = (16, 96)
"""What frames, title bar and task bar take of a desktop's width and height at most [px] (assumed)."""


def desktops() -> list[tuple[int, int]]:
    """Sizes of the desktops [px]; none where the driver does not tell."""
    try:
        return pygame.display.get_desktop_sizes()
    except pygame.error:
        return []


def display_name() -> str:
    """What a calibration is remembered under: the number and size of the desktops."""
    return "+".join(f"{w}x{h}" for w, h in desktops()) or "unknown"


def fitting(size: tuple[int, int], sizes: list[tuple[int, int]]) -> tuple[int, int]:
    """The size, no larger than the roomiest desktop shows whole and no smaller than a window may be [px]."""
    if not sizes:
        return size
    room = max(sizes, key=lambda s: s[0] * s[1])
    wide, high = room[0] - BARS[0], room[1] - BARS[1]
    return max(LEAST[0], min(size[0], wide)), max(LEAST[1], min(size[1], high))


def icon() -> pygame.Surface:
    """A coaxial face: shell, insulator, centre."""
    side = 64
    face = pygame.Surface((side, side), pygame.SRCALPHA)
    for radius, colour in ((30, DARK.skin), (24, DARK.bench), (20, DARK.ptfe), (8, DARK.brass), (3, DARK.bench)):
        pygame.draw.circle(face, colour, (side // 2, side // 2), radius)
    return face


def usable() -> bool:
    """Whether SDL opens a video driver that shows something."""
    named = [os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")]
    if sys.platform.startswith("linux") and not any(named):
        return False  # without asking: libraries below would complain on the terminal
    try:
        pygame.display.init()
    except pygame.error:
        return False
    return pygame.display.get_driver() not in SHOWS_NOTHING


def open_screen(size: tuple[int, int]) -> pygame.Surface:
    """The window, at most of this size; raises InputError where no screen can be opened."""
    os.environ.setdefault("SDL_VIDEO_ALLOW_SCREENSAVER", "1")
    try:
        if not usable() and os.environ.get("SDL_VIDEODRIVER", "") not in SHOWS_NOTHING[1:]:
            # SDL falls back to a driver that nobody sees: the window would run on for ever
            raise InputError(
                "No window can be opened here (no screen is found); `coaxtell identify` asks in the terminal."
            )
        pygame.display.init()
        pygame.font.init()
        pygame.display.set_caption("coaxtell")
        pygame.display.set_icon(icon())
        return pygame.display.set_mode(fitting(size, desktops()), pygame.RESIZABLE)
    except pygame.error as error:
        raise InputError(f"No window can be opened here ({error}); `coaxtell identify` asks in the terminal.") from None


def pump(app: App, wait_ms: int) -> None:
    """Hand over what has happened; waits at most `wait_ms` [ms] for the first event."""
    first = pygame.event.wait(wait_ms) if wait_ms else pygame.event.poll()
    events = [first, *pygame.event.get()] if first.type != pygame.NOEVENT else []
    motion: pygame.event.Event | None = None
    for event in events:
        # of many moves of the mouse only the last is worth drawing
        if event.type == pygame.MOUSEMOTION:
            motion = event
            continue
        if motion is not None:
            app.handle(motion)
            motion = None
        app.handle(event)
        if not app.running:
            return
    if motion is not None:
        app.handle(motion)


class Window:
    """The window on its screen, a step at a time."""

    def __init__(self, extra: Path | None = None, pictures: Pictures | None = None, scene: str | None = None) -> None:
        """Open it; raises InputError where no window can be opened or a user's own table is wrong."""
        self.path = folder("config") / "window.json"
        self.settings = settings_file.load(self.path)
        self.settings.scene = scene or self.settings.scene
        halves = tables.load(extra).halves
        # the worker starts while the window is still opening
        cache = folder("cache") / "pictures"
        self.pictures = pictures if pictures is not None else Rendered(halves, extra, cache, time.monotonic)
        try:
            self.desk = Desk(self.settings, time.monotonic, self.pictures, extra)
            opened = open_screen((max(LEAST[0], self.settings.width), max(LEAST[1], self.settings.height)))
        except InputError:
            self.pictures.close()
            raise
        self.desk.display = display_name()
        self.desk.in_background = True
        pygame.key.set_repeat(350, 40)
        self.app = App(self.desk, ALL, opened.get_size())
        if not self.settings.seen:
            self.settings.seen = True
            self.desk.ask(first_dialog(self.app, FIRST))
            self.app.arrange()
        self._full = False
        self._moving = False
        self._kept = settings_file.encoded(self.settings)

    def step(self) -> bool:
        """Take events, let time pass, show what changed; true where something new was shown."""
        pump(self.app, BUSY_MS if self.pictures.busy else FRAME_MS if self._moving else IDLE_MS)
        if self.settings.full != self._full:
            self._full = self.settings.full
            self._change()
        shown = pygame.display.get_surface()
        if not self.app.running or shown is None:
            return False
        if shown.get_size() != self.app.size:
            self.app.resize(shown.get_size())
        self._moving = self.app.tick()
        drawn = self.app.dirty
        if drawn:
            self.app.show(shown)
            pygame.display.flip()
            self._keep()
        return drawn

    def _change(self) -> None:
        """Take the whole screen, or the window's own size again."""
        if self._full:
            pygame.display.set_mode((0, 0), pygame.FULLSCREEN)
            return
        own = fitting((self.settings.width, self.settings.height), desktops())
        pygame.display.set_mode(own, pygame.RESIZABLE)
        pygame.display.set_mode(own, pygame.RESIZABLE)  # the first alone leaves the window as large as the screen

    def _keep(self) -> None:
        """Write the settings down at once where they changed: a crash or a power cut then loses nothing."""
        now = settings_file.encoded(self.settings)
        if now != self._kept:
            self._kept = now
            settings_file.save(self.path, self.settings)

    def close(self) -> None:
        """Keep what was done and leave nothing running."""
        self.app.keep()
        settings_file.save(self.path, self.settings)
        self.pictures.close()
        pygame.quit()


def run(extra: Path | None = None, scene: str | None = None) -> int:
    """Open the window and run it until it is closed; returns the exit status.

    Raises InputError where no window can be opened or a user's own table is wrong.
    """
    window = Window(extra, scene=scene)
    try:
        while window.app.running:
            window.step()
    finally:
        window.close()
    return 0
