"""The window driven by events, as a person drives it, on SDL's dummy driver."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame

from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pictures import Pictures
from coaxtell.window.jobs import ALL
from coaxtell.window.kit.app import App
from coaxtell.window.kit.pen import Call, Words
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.widgets import Widget

SIZES = ((1024, 640), (1366, 768), (1920, 1080), (3840, 2160))


class Hand:
    """A window with someone at it; the clock stands still unless moved."""

    def __init__(
        self,
        scene: str,
        size: tuple[int, int] = (1366, 768),
        settings: Settings | None = None,
        pictures: Pictures | None = None,
        records: Path | None = None,
        extra: Path | None = None,
        sheets: Path | None = None,
    ) -> None:
        pygame.display.init()
        pygame.font.init()
        pygame.display.set_mode((64, 64))
        self.now = 0.0
        self.settings = settings if settings is not None else Settings(motion=False)
        self.settings.scene = scene
        self.desk = Desk(
            self.settings, lambda: self.now, pictures or Pictures(), extra,
            records if records is not None else Path(tempfile.mkdtemp(prefix="records-")) / "records.db",
        )  # fmt: skip
        self.desk.sheets = Path(tempfile.mkdtemp(prefix="sheets-")) if sheets is None else sheets
        self.app = App(self.desk, ALL, size)

    def post(self, *events: pygame.event.Event) -> None:
        """Send events through SDL's own queue, as the window's loop takes them."""
        pygame.event.clear()
        for event in events:
            pygame.event.post(event)
        for event in pygame.event.get():
            if event.type != pygame.NOEVENT:
                self.app.handle(event)
        if self.app.running:
            self.app.tick()
            self.app.arrange()
        for fault in self.app.faults:
            raise fault

    def key(self, key: int, typed: str = "", mod: int = 0) -> None:
        """One key down and up, with its text where it has one."""
        events = [pygame.event.Event(pygame.KEYDOWN, key=key, unicode=typed, mod=mod, scancode=0)]
        if typed and typed.isprintable():
            events.append(pygame.event.Event(pygame.TEXTINPUT, text=typed))
        events.append(pygame.event.Event(pygame.KEYUP, key=key, mod=mod, scancode=0))
        self.post(*events)

    def type(self, words: str) -> None:
        """Type words."""
        for letter in words:
            self.key(ord(letter.lower()) if ord(letter) < 128 else pygame.K_UNKNOWN, letter)

    def enter(self) -> None:
        self.key(pygame.K_RETURN, "\r")

    def tab(self, back: bool = False) -> None:
        self.key(pygame.K_TAB, "\t", pygame.KMOD_SHIFT if back else 0)

    def tab_to(self, key: str) -> Widget:
        """Tab until a control has the focus."""
        for _ in range(200):
            found = self.app.focused
            if found is not None and found.key == key:
                return found
            self.tab()
        raise AssertionError(f"{key} is not reached by Tab; there are {[w.key for w in self.app.widgets]}")

    def choose(self, key: str) -> None:
        """Tab to a control and press it."""
        self.tab_to(key)
        self.enter()

    def widget(self, key: str) -> Widget:
        """A control by its key."""
        for found in self.app.widgets:
            if found.key == key:
                return found
        raise AssertionError(f"no {key} among {[w.key for w in self.app.widgets]}")

    def at(self, key: str, right: float = 0.5, down: float = 0.5) -> tuple[int, int]:
        """A place in a control, in pixels; the page is scrolled with the wheel until it is in sight."""
        for _ in range(200):
            found = self.widget(key)
            x = found.box.x + found.box.w * right
            y = found.box.y + found.box.h * down
            if not found.scrolls:
                break
            shown = y - self.app.offset
            page = self.app.page
            if page.y <= shown < page.bottom:
                y = shown
                break
            pointer = (round((page.x + page.w - 20) * self.app.type.scale), round(page.middle[1] * self.app.type.scale))
            self.post(
                pygame.event.Event(pygame.MOUSEMOTION, pos=pointer, rel=(0, 0), buttons=(0, 0, 0)),
                pygame.event.Event(pygame.MOUSEWHEEL, x=0, y=-1 if shown >= page.bottom else 1, flipped=False),
            )
        else:
            raise AssertionError(f"{key} cannot be scrolled into sight")
        return round(x * self.app.type.scale), round(y * self.app.type.scale)

    def click(self, key: str, right: float = 0.5, down: float = 0.5) -> None:
        """A click with the left button."""
        pos = self.at(key, right, down)
        self.post(
            pygame.event.Event(pygame.MOUSEMOTION, pos=pos, rel=(0, 0), buttons=(0, 0, 0)),
            pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=pos, button=1),
            pygame.event.Event(pygame.MOUSEBUTTONUP, pos=pos, button=1),
        )

    def drag(self, key: str, dx: int, dy: int, release: bool = True) -> None:
        """Press in the middle of a control, move by pixels, let go."""
        x, y = self.at(key)
        self.post(
            pygame.event.Event(pygame.MOUSEMOTION, pos=(x, y), rel=(0, 0), buttons=(0, 0, 0)),
            pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=(x, y), button=1),
            pygame.event.Event(pygame.MOUSEMOTION, pos=(x + dx, y + dy), rel=(dx, dy), buttons=(1, 0, 0)),
        )
        if release:
            self.post(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=(x + dx, y + dy), button=1))

    def calls(self) -> list[Call]:
        """What is drawn now."""
        return self.app.draw().calls

    def words(self) -> str:
        """All text drawn now, in order."""
        return "\n".join(call.words for call in self.calls() if isinstance(call, Words))

    def says(self, words: str) -> bool:
        """Whether words stand on the page, scrolled through, however they are folded into lines."""
        place, app = self.app.offset, self.app
        step = max(40.0, app.page.h * 0.5)
        found = False
        for k in range(int(app.furthest / step) + 2):
            app._scroll[app._place] = min(k * step, app.furthest)
            # a line break may stand anywhere, even within a word too long for its line
            found = found or "".join(words.split()) in "".join(self.words().split())
        app._scroll[app._place] = place
        return found

    def picture(self) -> pygame.Surface:
        """The pixels of the window."""
        surface = pygame.Surface(self.app.size)
        self.app.show(surface)
        return surface
