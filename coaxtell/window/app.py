"""The window itself: events in, one scene arranged and drawn, settings kept.

Every event goes to the dialog in front, else to the widget with the focus, else to the scene. A fault in a scene is
told in one sentence and the window goes on.
"""

from __future__ import annotations

from collections.abc import Callable

import pygame

from coaxtell.models.errors import InputError
from coaxtell.window.desk import Desk
from coaxtell.window.fonts import Type
from coaxtell.window.geometry import Box
from coaxtell.window.menu import jobs_dialog, keys_dialog
from coaxtell.window.painter import Painter, veil
from coaxtell.window.pen import Pen, Point
from coaxtell.window.scene import Room, Scene
from coaxtell.window.theme import BAND, BODY, CORNER, STEP, TEXT_SIZES, scale_for
from coaxtell.window.widgets import Button, Mood, Widget, mark

WHEEL = 56.0
"""How far one step of the wheel scrolls [units]."""


class App:
    """All of the window but the screen it is shown on."""

    def __init__(self, desk: Desk, scenes: list[type[Scene]], size: tuple[int, int]) -> None:
        """Scenes are made when they are first entered; `size` in pixels."""
        self.desk = desk
        self.running = True
        self.dirty = True
        self.faults: list[BaseException] = []
        self.size = size
        self._makers = {maker.name: maker for maker in scenes}
        self._scenes: dict[str, Scene] = {}
        self._focus: dict[str, str] = {}
        self._scroll: dict[str, float] = {}
        self._pointer: Point = (-1.0, -1.0)
        self._held: Widget | None = None
        self._typed_digit = False
        desk.go = self.go
        name = desk.settings.scene if desk.settings.scene in self._makers else next(iter(self._makers))
        self._set_scale()
        self.scene = self._scene(name)
        self._safely(self.scene.enter)
        self.arrange()

    # -- scenes --------------------------------------------------------------------------------------------------

    def _scene(self, name: str) -> Scene:
        if name not in self._scenes:
            scene = self._makers[name](self.desk)
            self._scenes[name] = scene
            held = self.desk.settings.work.get(name)
            if held:
                self._safely(lambda: scene.recall(held))
        return self._scenes[name]

    @property
    def jobs(self) -> list[tuple[str, str, str]]:
        """Name, word and help of each scene."""
        return [(name, maker.word, maker.help) for name, maker in self._makers.items()]

    def go(self, name: str) -> None:
        """Change to another scene."""
        if name not in self._makers or name == self.scene.name:
            return
        self._safely(self.scene.leave)
        self.keep()
        self.scene = self._scene(name)
        self.desk.settings.scene = name
        self._safely(self.scene.enter)
        self.dirty = True

    def keep(self) -> None:
        """Put the work in hand into the settings."""
        for name, scene in self._scenes.items():
            self.desk.settings.work[name] = scene.held()

    def close(self) -> None:
        """Leave the scene; what was answered is kept."""
        self._safely(self.scene.leave)
        self.keep()
        self.running = False

    def _safely(self, act: Callable[[], object]) -> object:
        """Do it; bad input becomes its sentence, and a fault one sentence that nothing is lost by."""
        try:
            return act()
        except InputError as error:
            self.desk.say(str(error))
        except Exception as error:  # the last line of defence: no traceback reaches a person
            self.faults.append(error)
            self.desk.say(f"That did not work ({error}); your answers are kept.")
        return None

    # -- arranging -----------------------------------------------------------------------------------------------

    def _set_scale(self) -> None:
        scale = scale_for(*self.size, self.desk.settings.text)
        self.type = Type(scale)
        self.painter = Painter(self.desk.palette, self.type)
        self._look = (self.size, self.desk.settings.text, self.desk.settings.tone)

    @property
    def width(self) -> float:
        """Width of the window [units]."""
        return self.size[0] / self.type.scale

    @property
    def height(self) -> float:
        """Height of the window [units]."""
        return self.size[1] / self.type.scale

    def arrange(self) -> None:
        """Lay out the scene or the dialog in front of it."""
        if self._look != (self.size, self.desk.settings.text, self.desk.settings.tone):
            self._set_scale()
        self.notice_box = self._notice_room()
        room = Room(self.type, self.width, self.height - self.notice_box.h)
        self._safely(lambda: self.scene.arrange(room))
        self.room = room
        head: list[Widget] = [self._job_word(), self._keys_button()]
        for widget in head:
            widget.scrolls = False
        self.under = [*head, *room.widgets()]
        self.content = room.column.y + 2 * STEP
        self.panel = None
        self.front: list[Widget] = []
        if self.desk.dialogs:
            dialog = self.desk.dialogs[-1]
            self.panel, self.content, self.front = dialog.arrange(self.type, self.width, self.height)
            self.content += self.panel.y
        self._hold_scroll()
        names = {w.key for w in self.widgets if w.focusable}
        wanted, self.desk.wanted_focus = self.desk.wanted_focus, ""
        if wanted in names:
            self.focus(wanted)
        if self._focus.get(self._place) not in names:
            self._focus[self._place] = self._first_focus()
        self.dirty = True

    @property
    def widgets(self) -> list[Widget]:
        """The widgets that can be reached now."""
        return self.front if self.desk.dialogs else self.under

    @property
    def _place(self) -> str:
        if self.desk.dialogs:
            return f"dialog:{len(self.desk.dialogs)}:{self.desk.dialogs[-1].title}"
        return self.scene.name

    @property
    def page(self) -> Box:
        """The box that scrolls."""
        return self.panel.inset(STEP) if self.panel is not None else self.room.page

    @property
    def offset(self) -> float:
        """How far the page is scrolled [units]."""
        return self._scroll.get(self._place, 0.0)

    @property
    def furthest(self) -> float:
        """How far the page can be scrolled [units]."""
        return max(0.0, self.content - self.page.bottom)

    def _hold_scroll(self) -> None:
        self._scroll[self._place] = max(0.0, min(self.furthest, self.offset))

    def _first_focus(self) -> str:
        every = [w for w in self.widgets if w.focusable]
        seen = [w for w in every if not w.scrolls or w.box.bottom - self.offset <= self.page.bottom]
        reachable = seen or every
        numbered = [w for w in reachable if w.number]
        actions = [w for w in reachable if isinstance(w, Button) and w.kind == "action"]
        others = [w for w in reachable if w.key not in ("jobs", "keys")]
        for widget in [*numbered, *actions, *others]:
            return widget.key
        return reachable[0].key if reachable else ""

    def _job_word(self) -> Button:
        words = self.scene.word
        width = self.type.width(words, BODY) + 8
        return Button("jobs", Box(2 * STEP, (BAND - 36) / 2, width, 36), words, self.show_jobs, "word")

    def _keys_button(self) -> Button:
        return Button("keys", Box(self.width - 36 - 2 * STEP, (BAND - 36) / 2, 36, 36), "?", self.show_keys)

    def show_jobs(self) -> None:
        """The five jobs and the look of the window."""
        self.desk.ask(jobs_dialog(self))

    def show_keys(self) -> None:
        """The keys of this scene."""
        self.desk.ask(keys_dialog(self))

    def _notice_room(self) -> Box:
        if not self.desk.notice:
            return Box(0, self.height, self.width, 0)
        lines = len(self.type.folded(self.desk.notice, BODY, self.width - 8 * STEP))
        tall = lines * self.type.line(BODY) + 2 * STEP
        return Box(0, self.height - tall, self.width, tall)

    # -- drawing -------------------------------------------------------------------------------------------------

    def draw(self) -> Pen:
        """Record the whole window; changes nothing."""
        pen = Pen(self.desk.palette, self.type)
        p = pen.palette
        whole = Box(0, 0, self.width, self.height)
        pen.fill(whole, p.bench)
        if self.room.wide:
            pen.fill(self.room.panel, p.panel)
        self._draw_widgets(pen, self.under, self.room.page, behind=bool(self.desk.dialogs))
        if self.notice_box.h:
            pen.fill(self.notice_box, p.raised)
            pen.line((0, self.notice_box.y), (self.width, self.notice_box.y), p.edge)
            mark(pen, Box(2 * STEP, self.notice_box.y + STEP, 22, 22), None)
            pen.lines(self.desk.notice, self.notice_box.inset(STEP).moved(5 * STEP, 0)._replace(
                w=self.width - 8 * STEP))  # fmt: skip
        if self.panel is not None:
            pen.fill(whole, veil(p), alpha=0.72)
            pen.fill(self.panel, p.panel, CORNER)
            pen.frame(self.panel, p.edge)
            self._draw_widgets(pen, self.front, self.page, behind=False)
        if self.furthest > 0:
            self._draw_bar(pen)
        return pen

    def _draw_widgets(self, pen: Pen, widgets: list[Widget], page: Box, behind: bool) -> None:
        focus = self._focus.get(self._place)
        fixed = [w for w in widgets if not w.scrolls]
        moving = [w for w in widgets if w.scrolls]
        offset = 0.0 if behind else self.offset

        def one(widget: Widget) -> None:
            mood = Mood(not behind and widget.key == focus, not behind and self._at(widget, self._pointer))
            box = widget.box
            if widget.scrolls:
                widget.box = box.moved(0, -offset)
            self._safely(lambda: widget.paint(pen, mood))
            widget.box = box

        narrow_ground = not self.room.wide and widgets is self.under
        head = [w for w in fixed if w.key in ("jobs", "keys")]
        for widget in fixed:
            if widget not in head:
                one(widget)
        with pen.clipped(page):
            if narrow_ground:
                top = max(page.y, self.room.panel.y - offset)
                pen.fill(Box(0, top, self.width, max(0.0, page.bottom - top)), pen.palette.panel)
            for widget in moving:
                if widget.box.bottom - offset > page.y and widget.box.y - offset < page.bottom:
                    one(widget)
        for widget in head:
            one(widget)

    def _draw_bar(self, pen: Pen) -> None:
        page = self.page
        share = page.h / (page.h + self.furthest)
        tall = max(24.0, page.h * share)
        top = page.y + (page.h - tall) * (self.offset / self.furthest)
        pen.fill(Box(page.right - 8, top, 5, tall), pen.palette.edge, 2.5)

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
            self._safely(lambda: self._key(event))
        elif event.type == pygame.TEXTINPUT:
            self._safely(lambda: self._text(event.text))
        elif event.type == pygame.MOUSEMOTION:
            self._safely(lambda: self._motion(self._units(event.pos)))
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            self._safely(lambda: self._down(self._units(event.pos)))
        elif event.type == pygame.MOUSEBUTTONUP and event.button == 1:
            self._safely(lambda: self._up(self._units(event.pos)))
        elif event.type == pygame.MOUSEWHEEL:
            self._safely(lambda: self._wheel(float(event.y)))
        elif event.type == pygame.DROPFILE:
            self._safely(lambda: self._dropped(event.file))
        elif event.type == pygame.WINDOWFOCUSLOST:
            self._let_go()
        else:
            return
        if event.type in (pygame.KEYDOWN, pygame.MOUSEBUTTONUP, pygame.TEXTINPUT):
            self.keep()
        if event.type != pygame.MOUSEMOTION or self._held is not None or self._hover_changed:
            self.arrange()

    def resize(self, size: tuple[int, int]) -> None:
        """The window has another size [px]."""
        self.size = size
        self.desk.settings.width, self.desk.settings.height = size
        self._let_go()
        self.arrange()

    _hover_changed = True

    def _units(self, at: tuple[int, int]) -> Point:
        return at[0] / self.type.scale, at[1] / self.type.scale

    def _at(self, widget: Widget, at: Point) -> bool:
        if not widget.scrolls:
            return widget.box.holds(*at)
        return self.page.holds(*at) and widget.box.holds(at[0], at[1] + self.offset)

    def _under_mouse(self, at: Point) -> Widget | None:
        found = [w for w in self.widgets if w.focusable and self._at(w, at)]
        return found[-1] if found else None

    def _inside(self, widget: Widget, at: Point) -> Point:
        return at[0], at[1] + (self.offset if widget.scrolls else 0.0)

    def _motion(self, at: Point) -> None:
        before = self._under_mouse(self._pointer)
        self._pointer = at
        if self._held is not None:
            self._held.drag(self._inside(self._held, at))
        after = self._under_mouse(at)
        self._hover_changed = (before.key if before else "") != (after.key if after else "")

    def _down(self, at: Point) -> None:
        self._pointer = at
        widget = self._under_mouse(at)
        if widget is None:
            return
        self._focus[self._place] = widget.key
        self._held = widget
        widget.grab(self._inside(widget, at))

    def _up(self, at: Point) -> None:
        self._pointer = at
        held, self._held = self._held, None
        if held is None:
            return
        held.drop()
        over = self._under_mouse(at)
        if over is not None and over.key == held.key and not held.takes_text:
            held.press()

    def _let_go(self) -> None:
        held, self._held = self._held, None
        if held is not None:
            self._safely(held.drop)

    def _wheel(self, steps: float) -> None:
        widget = self._under_mouse(self._pointer)
        if widget is not None and (not widget.scrolls) and widget.wheel(steps):
            return
        self._scroll[self._place] = max(0.0, min(self.furthest, self.offset - steps * WHEEL))

    def _dropped(self, path: str) -> None:
        if self.desk.dialogs or not self.scene.dropped(path):
            self.desk.say("This scene takes no files; drop a saved identification on Name a port.")

    @property
    def focused(self) -> Widget | None:
        """The widget with the focus."""
        key = self._focus.get(self._place)
        return next((w for w in self.widgets if w.key == key and w.focusable), None)

    def focus(self, key: str) -> None:
        """Put the focus on a widget and bring it into sight."""
        self._focus[self._place] = key
        widget = self.focused
        if widget is None or not widget.scrolls:
            return
        top, bottom = widget.box.y - STEP, widget.box.bottom + STEP
        page = self.page
        offset = self.offset
        if bottom - offset > page.bottom:
            offset = bottom - page.bottom
        if top - offset < page.y:
            offset = top - page.y
        self._scroll[self._place] = max(0.0, min(self.furthest, offset))

    def _step_focus(self, by: int) -> None:
        reachable = [w.key for w in self.widgets if w.focusable]
        if not reachable:
            return
        key = self._focus.get(self._place)
        i = reachable.index(key) if key in reachable else -1
        self.focus(reachable[(i + by) % len(reachable)])

    def _text(self, text: str) -> None:
        widget = self.focused
        if widget is not None and widget.takes_text and not self._typed_digit:
            widget.typed(text)
        self._typed_digit = False

    def _key(self, event: pygame.event.Event) -> None:
        mod, key, typed = event.mod, event.key, event.unicode
        self._typed_digit = False
        widget = self.focused
        typing = widget is not None and widget.takes_text
        if mod & pygame.KMOD_CTRL:
            self._control(key)
            return
        if key == pygame.K_TAB:
            self._step_focus(-1 if mod & pygame.KMOD_SHIFT else 1)
            return
        if key == pygame.K_ESCAPE:
            self._back()
            return
        if key in (pygame.K_PAGEUP, pygame.K_PAGEDOWN) and self.furthest > 0:
            far = self.page.h * 0.8 * (1 if key == pygame.K_PAGEDOWN else -1)
            self._scroll[self._place] = max(0.0, min(self.furthest, self.offset + far))
            return
        if widget is not None and widget.key_down(event):
            self.arrange()
            self.focus(widget.key)
            return
        if key in (pygame.K_RETURN, pygame.K_KP_ENTER) or (key == pygame.K_SPACE and not typing):
            if widget is not None:
                widget.press()
            return
        if typing and typed and typed.isprintable():
            return
        if self._shortcut(key, typed):
            self._typed_digit = True
            return
        if not self.desk.dialogs and self.scene.key(event):
            self._typed_digit = True
            return
        if key in (pygame.K_DOWN, pygame.K_RIGHT):
            self._step_focus(1)
        elif key in (pygame.K_UP, pygame.K_LEFT):
            self._step_focus(-1)

    def _shortcut(self, key: int, typed: str) -> bool:
        """Number keys, `?` and the keys of the jobs."""
        if len(typed) == 1 and typed in "123456789":
            for widget in self.widgets:
                if widget.number == typed:
                    self.focus(widget.key)
                    widget.press()
                    return True
            return False
        if typed == "?" and not self.desk.dialogs:
            self.show_keys()
            return True
        jobs = [name for name, _, _ in self.jobs]
        if pygame.K_F1 <= key < pygame.K_F1 + len(jobs) and not self.desk.dialogs:
            self.go(jobs[key - pygame.K_F1])
            return True
        return False

    def _control(self, key: int) -> None:
        if key == pygame.K_q:
            self.close()
        elif key in (pygame.K_PLUS, pygame.K_EQUALS, pygame.K_KP_PLUS, pygame.K_MINUS, pygame.K_KP_MINUS):
            i = TEXT_SIZES.index(self.desk.settings.text)
            i += -1 if key in (pygame.K_MINUS, pygame.K_KP_MINUS) else 1
            self.desk.settings.text = TEXT_SIZES[max(0, min(len(TEXT_SIZES) - 1, i))]
        elif key == pygame.K_l:
            self.desk.settings.tone = "light" if self.desk.settings.tone == "dark" else "dark"

    def _back(self) -> None:
        if self.desk.dialogs:
            dialog = self.desk.dialogs.pop()
            if dialog.closed is not None:
                dialog.closed()
        elif not self.scene.back():
            self.show_jobs()

    # -- time ----------------------------------------------------------------------------------------------------

    def tick(self) -> bool:
        """Time passes; true while something moves and the window wants drawing again soon."""
        moving = bool(self._safely(lambda: self.scene.tick(self.desk.clock())))
        if self.desk.pictures.poll():
            self.dirty = True
        if self.desk.land() or moving:
            self.arrange()
        return moving


