"""The real screen: opens the window, feeds it events, shows it, and leaves nothing running."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pygame

from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.window import settings as settings_file
from coaxtell.window.app import App
from coaxtell.window.desk import Desk
from coaxtell.window.pictures import Pictures, Rendered
from coaxtell.window.scenes import ALL

IDLE_MS = 40
"""How long the window waits for an event before it looks for finished pictures [ms]."""
FRAME_MS = 16
BUSY_MS = 4
"""The same while something moves, and while a picture is under way."""
LEAST = (640, 400)
"""Smallest window [px]."""


def display_name() -> str:
    """What a calibration is remembered under: the number and size of the desktops."""
    try:
        sizes = pygame.display.get_desktop_sizes()
    except pygame.error:
        sizes = []
    return "+".join(f"{w}x{h}" for w, h in sizes) or "unknown"


def usable() -> bool:
    """Whether SDL opens a video driver that shows something."""
    try:
        pygame.display.init()
    except pygame.error:
        return False
    return pygame.display.get_driver() not in ("dummy", "offscreen", "evdev", "")


def open_screen(size: tuple[int, int]) -> pygame.Surface:
    """The window; raises InputError where no screen can be opened."""
    os.environ.setdefault("SDL_VIDEO_ALLOW_SCREENSAVER", "1")
    try:
        pygame.display.init()
        pygame.font.init()
        pygame.display.set_caption("coaxtell")
        return pygame.display.set_mode(size, pygame.RESIZABLE)
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


def run(
    extra: Path | None = None,
    pictures: Pictures | None = None,
    until: float | None = None,
    scene: str | None = None,
) -> int:
    """Open the window and run it until it is closed; returns the exit status.

    `until` ends it after so many seconds (for measurements). Raises InputError where no window can be opened or
    a user's own table is wrong.
    """
    path = settings_file.folder("config") / "window.json"
    settings = settings_file.load(path)
    settings.scene = scene or settings.scene
    # the worker starts while the window is still opening
    own = pictures if pictures is not None else Rendered(
        tables.load(extra).halves, extra, settings_file.folder("cache") / "pictures", time.monotonic
    )
    desk = Desk(settings, time.monotonic, own, extra)
    screen = open_screen((max(LEAST[0], settings.width), max(LEAST[1], settings.height)))
    desk.display = display_name()
    pygame.key.set_repeat(350, 40)
    start = time.monotonic()
    app = App(desk, ALL, screen.get_size())
    try:
        moving = False
        while app.running:
            pump(app, BUSY_MS if own.busy else FRAME_MS if moving else IDLE_MS)
            shown = pygame.display.get_surface()
            if shown is not None and shown.get_size() != app.size:
                app.resize(shown.get_size())
            moving = app.tick() if app.running else False
            if app.running and app.dirty and shown is not None:
                app.show(shown)
                pygame.display.flip()
            if app.work_changed:
                app.work_changed = False
                settings_file.save(path, settings)
            if until is not None and time.monotonic() - start > until:
                app.close()
    finally:
        app.keep()
        settings_file.save(path, settings)
        own.close()
        pygame.quit()
    return 0
