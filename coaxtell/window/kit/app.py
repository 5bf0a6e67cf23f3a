"""The window itself: events in, what they do, everything drawn.

Every event goes to the dialog in front, else to the widget with the focus, else to the scene. A fault in a scene is
told in one sentence and the window goes on.
"""

from __future__ import annotations

import pygame

from coaxtell.window.kit.common import Common
from coaxtell.window.kit.frame import Frame
from coaxtell.window.kit.keys import go_back, key_down
from coaxtell.window.kit.menu import jobs_dialog, keys_dialog
from coaxtell.window.kit.mouse import Mouse
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.scene import Scene
from coaxtell.window.kit.view import drawn

BACK_BUTTONS = (6, 8)
"""Numbers of the mouse's back button, as pygame counts it on the systems."""


class App(Frame):
    """All of the window but the screen it is shown on."""

    def __init__(self, desk: Common, scenes: list[type[Scene]], size: tuple[int, int]) -> None:
        """Scenes are made when they are first entered; `size` in pixels."""
        self.mouse = Mouse(self)
        super().__init__(desk, scenes, size)

    def show_jobs(self) -> None:
        """The jobs and the look of the window."""
        self.desk.ask(jobs_dialog(self))

    def show_keys(self) -> None:
        """The keys of this scene."""
        self.desk.ask(keys_dialog(self))

    # -- drawing -------------------------------------------------------------------------------------------------

    def draw(self) -> Pen:
        """Record the whole window; changes nothing."""
        return drawn(self)

    def show(self, target: pygame.Surface) -> None:
        """Draw onto a surface of the window's size."""
        self.painter.paint(self.draw().calls, target)
        self.dirty = False

    # -- events --------------------------------------------------------------------------------------------------

    def handle(self, event: pygame.event.Event) -> None:
        """One event; whatever it does, the window can be drawn after it."""
        if event.type == pygame.QUIT:
            self.close()
            return
        if event.type in (pygame.KEYDOWN, pygame.MOUSEBUTTONDOWN, pygame.DROPFILE):
            self.desk.notice = ""
        if event.type == pygame.VIDEORESIZE:
            self.resize((max(1, event.w), max(1, event.h)))
        elif event.type == pygame.KEYDOWN:
            self.safely(lambda: key_down(self, event))
        elif event.type == pygame.KEYUP:
            self.held.discard(event.key)
            return
        elif event.type == pygame.TEXTINPUT:
            self.safely(lambda: self._text(event.text))
        elif event.type == pygame.MOUSEMOTION:
            self.safely(lambda: self.mouse.motion(self._units(event.pos)))
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            self.safely(lambda: self.mouse.down(self._units(event.pos)))
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button in BACK_BUTTONS:
            self.safely(lambda: go_back(self))
        elif event.type == pygame.MOUSEBUTTONUP and event.button == 1:
            self.safely(lambda: self.mouse.up(self._units(event.pos)))
        elif event.type == pygame.MOUSEWHEEL:
            self.safely(lambda: self.mouse.wheel(float(event.y)))
        elif event.type == pygame.DROPFILE:
            self.safely(lambda: self._dropped(event.file))
        elif event.type == pygame.WINDOWFOCUSLOST:
            self.mouse.let_go()
            self.held.clear()
        else:
            return
        if event.type in (pygame.KEYDOWN, pygame.MOUSEBUTTONUP, pygame.TEXTINPUT):
            self.keep()
            # what is shown next asks for its own pictures
            self.desk.forget()
        if event.type != pygame.MOUSEMOTION or self.mouse.changes:
            self.arrange()

    def resize(self, size: tuple[int, int]) -> None:
        """The window has another size [px]; that of the whole screen is not kept as its own."""
        self.size = size
        if not self.desk.settings.full:
            self.desk.settings.width, self.desk.settings.height = size
        self.mouse.let_go()
        self.arrange()

    def _units(self, at: tuple[int, int]) -> Point:
        return at[0] / self.type.scale, at[1] / self.type.scale

    def _dropped(self, path: str) -> None:
        ending = path[path.rfind(".") :].lower()
        opened = next((name for name, maker in self.makers.items() if ending in maker.opens), "")
        if opened and not self.desk.dialogs:
            self.go(opened)
        if self.desk.dialogs or not self.scene.dropped(path):
            others = "; ".join(f"{maker.word} takes {maker.takes}" for maker in self.makers.values() if maker.takes)
            self.desk.say(f"This job takes no such file. {others}.")

    def _text(self, text: str) -> None:
        widget = self.focused
        if widget is not None and widget.takes_text and not self.key_used:
            widget.typed(text)
        self.key_used = False

    # -- time ----------------------------------------------------------------------------------------------------

    def tick(self) -> bool:
        """Time passes; true while something moves and the window wants drawing again soon."""
        moving = bool(self.safely(lambda: self.scene.tick(self.desk.clock())))
        came = self.desk.poll()
        self.dirty = self.dirty or came
        if self.desk.land() or moving or (came and self.scene.waiting):
            self.arrange()
        return moving
