"""The window at rest: one scene and the dialogs in front of it, where the focus is, how far it is scrolled."""

from __future__ import annotations

from collections.abc import Callable

from coaxtell.models.errors import InputError
from coaxtell.window.kit.common import Common
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.painter import Painter
from coaxtell.window.kit.pen import Point
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.theme import BAND, BODY, SMALL, STEP, scale_for
from coaxtell.window.kit.widgets import Action, Button, Widget


def in_head(widget: Widget) -> bool:
    """Whether a control stands in the band at the top, which every job has."""
    return widget.key in ("jobs", "full", "keys") or widget.key.startswith("go-")


class Frame:
    """The state of the window: what is shown, and what can be reached."""

    def __init__(self, desk: Common, scenes: list[type[Scene]], size: tuple[int, int]) -> None:
        """Scenes are made when they are first entered; `size` in pixels."""
        self.desk = desk
        self.running = True
        self.dirty = True
        self.faults: list[BaseException] = []
        self.size = size
        self.makers = {maker.name: maker for maker in scenes}
        self._scenes: dict[str, Scene] = {}
        self._focus: dict[str, str] = {}
        self._scroll: dict[str, float] = {}
        self.pointer: Point = (-1.0, -1.0)
        """Where the mouse is [units]."""
        self.key_used = False
        self.held: set[int] = set()
        """Keys that are down."""
        desk.go = self.go
        name = desk.settings.scene if desk.settings.scene in self.makers else next(iter(self.makers))
        self._set_scale()
        self.scene = self._scene(name)
        self.safely(self.scene.enter)
        self.arrange()

    # -- scenes --------------------------------------------------------------------------------------------------

    def _scene(self, name: str) -> Scene:
        if name not in self._scenes:
            scene = self.makers[name](self.desk)
            self._scenes[name] = scene
            held = self.desk.settings.work.get(name)
            if held:
                self.safely(lambda: scene.recall(held))
        return self._scenes[name]

    @property
    def jobs(self) -> list[tuple[str, str, str]]:
        """Name, word and help of each scene."""
        return [(name, maker.word, maker.help) for name, maker in self.makers.items()]

    def go(self, name: str) -> None:
        """Change to another scene."""
        if name not in self.makers or name == self.scene.name:
            return
        self.safely(self.scene.leave)
        self.keep()
        self.scene = self._scene(name)
        self.desk.settings.scene = name
        self.safely(self.scene.enter)
        self.dirty = True

    def leave_dialog(self) -> None:
        """Take the dialog in front away and tell it so."""
        dialog = self.desk.dialogs.pop()
        if dialog.closed is not None:
            dialog.closed()

    def keep(self) -> None:
        """Put the work in hand into the settings."""
        for name, scene in self._scenes.items():
            self.desk.settings.work[name] = scene.remembered()

    def close(self) -> None:
        """Leave the scene; what was answered is kept."""
        self.safely(self.scene.leave)
        self.keep()
        self.running = False

    def safely(self, act: Callable[[], object], laying_out: bool = False) -> object:
        """Do it; bad input becomes its sentence, and a fault one sentence that nothing is lost by.

        A job that refuses to be laid out is at fault itself: what is refused is never kept.
        """
        try:
            return act()
        except InputError as error:
            if laying_out:
                self.faults.append(error)
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
        left = self.height - self.notice_box.h
        scene = self.scene
        room = Room(
            self.type, self.width, left, scene.bench_for(self.width, left), scene.column_first, scene.column_beside
        )  # fmt: skip
        self.safely(lambda: self.scene.arrange(room), laying_out=True)
        self.room = room
        head: list[Widget] = [*self._job_words(), self._full_button(), self._keys_button()]
        for widget in head:
            widget.scrolls = False
        self.under = [*head, *room.close()]
        self.content = room.column.y + 2 * STEP
        self.panel = None
        self.front: list[Widget] = []
        if self.desk.dialogs:
            dialog = self.desk.dialogs[-1]
            self.panel, self.content, self.front = dialog.arrange(self.type, self.width, self.height, self.leave_dialog)
            self.content += self.panel.y
        if self.desk.wanted_top:
            self._scroll[self.scene.name] = 0.0
            self.desk.wanted_top = False
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
        own = [w for w in every if not in_head(w)]
        # of what is in sight the scene's own come first; where none is, the first of them all the same
        reachable = [w for w in own if w in seen] or own[:1] or every
        numbered = [w for w in reachable if w.number]
        actions = [w for w in reachable if isinstance(w, Button) and w.kind == "action"]
        for widget in [*numbered, *actions, *reachable]:
            return widget.key
        return ""

    def _job_words(self) -> list[Button]:
        """All jobs in sight, the one in force marked: in one row or two, by their short words where room is little;
        where there is no room at all the word of the one in force alone, which opens them."""
        top, right = (BAND - 36) / 2, self.width - 3 * 36 - 5 * STEP
        for words, size, rows in (("word", BODY, 1), ("word", SMALL, 1), ("short", BODY, 1), ("short", SMALL, 2)):
            named = [maker.word if words == "word" else maker.short or maker.word for maker in self.makers.values()]
            widths = [self.type.width(word, size) + (2 if rows == 1 else 1.5) * STEP for word in named]
            first = -(-len(named) // rows)
            if STEP + max(sum(widths[:first]), sum(widths[first:])) > right:
                continue
            found = self._row(
                named[:first], widths[:first], size, top if rows == 1 else 1.0, 36.0 if rows == 1 else 27.0
            )
            if rows > 1:
                found += self._row(named[first:], widths[first:], size, 28.0, 27.0, first)
            more = Button("jobs", Box(right, top, 36, 36), "\N{TRIGRAM FOR HEAVEN}", self.show_jobs)
            more.tip = "The jobs, the bench dark or light, text size, motion"
            return [*found, more]
        words = f"{self.scene.word} \N{BLACK DOWN-POINTING SMALL TRIANGLE}"
        return [
            Button("jobs", Box(2 * STEP, top, self.type.width(words, BODY) + 10, 36), words, self.show_jobs, "word")
        ]

    def _row(
        self, named: list[str], widths: list[float], size: float, top: float, tall: float, begin: int = 0
    ) -> list[Button]:
        """A row of jobs, the first of them number `begin`."""
        x, found = float(STEP), []
        for (name, maker), word, width in zip(list(self.makers.items())[begin:], named, widths, strict=False):
            box, chosen = Box(x, top, width, tall), name == self.scene.name
            found.append(Button(f"go-{name}", box, word, self._going(name), "tab", chosen, size))
            # the job in force tells by itself what it is, and its words lie under the tip
            found[-1].tip = "" if chosen else maker.help
            x += width
        return found

    def _full_button(self) -> Button:
        box = Box(self.width - 2 * 36 - 3 * STEP, (BAND - 36) / 2, 36, 36)
        full = self.desk.settings.full
        sign = "\N{SOUTH EAST ARROW TO CORNER}" if full else "\N{NORTH WEST ARROW TO CORNER}"
        button = Button("full", box, sign, self._full)
        button.tip = "The window again (F11)" if full else "The whole screen (F11)"
        return button

    def _full(self) -> None:
        self.desk.settings.full = not self.desk.settings.full

    def _going(self, name: str) -> Action:
        return lambda: self.go(name)

    def _keys_button(self) -> Button:
        return Button("keys", Box(self.width - 36 - 2 * STEP, (BAND - 36) / 2, 36, 36), "?", self.show_keys)

    def show_jobs(self) -> None:
        """The jobs and the look of the window."""
        raise NotImplementedError

    def show_keys(self) -> None:
        """The keys of this scene."""
        raise NotImplementedError

    def _notice_room(self) -> Box:
        if not self.desk.notice:
            return Box(0, self.height, self.width, 0)
        lines = len(self.type.folded(self.desk.notice, BODY, self.width - 8 * STEP))
        tall = lines * self.type.line(BODY) + 2 * STEP
        return Box(0, self.height - tall, self.width, tall)

    # -- focus and scroll ----------------------------------------------------------------------------------------

    def is_at(self, widget: Widget, at: Point) -> bool:
        """Whether a place [units] lies on a widget, as the page is scrolled."""
        if not widget.scrolls:
            return widget.box.holds(*at)
        return self.page.holds(*at) and widget.box.holds(at[0], at[1] + self.offset)

    def scroll_by(self, far: float) -> None:
        """Scroll the page [units], as far as it goes."""
        self._scroll[self._place] = max(0.0, min(self.furthest, self.offset + far))

    @property
    def focused_key(self) -> str:
        """The key of the widget with the focus."""
        return self._focus.get(self._place, "")

    @property
    def focused(self) -> Widget | None:
        """The widget with the focus."""
        key = self._focus.get(self._place)
        return next((w for w in self.widgets if w.key == key and w.focusable), None)

    def point(self, key: str) -> None:
        """Put the focus on a widget, wherever it is."""
        self._focus[self._place] = key

    def focus(self, key: str) -> None:
        """Put the focus on a widget and bring it into sight."""
        self.point(key)
        widget = self.focused
        if widget is None or not widget.scrolls:
            return
        top, bottom = widget.sight.y - STEP, widget.sight.bottom + STEP
        page = self.page
        offset = self.offset
        if bottom - offset > page.bottom:
            offset = bottom - page.bottom
        if top - offset < page.y:
            offset = top - page.y
        self._scroll[self._place] = max(0.0, min(self.furthest, offset))

    def step_focus(self, by: int) -> None:
        """Move the focus on by so many controls."""
        reachable = [w.key for w in self.widgets if w.focusable]
        if not reachable:
            return
        key = self._focus.get(self._place)
        i = reachable.index(key) if key in reachable else -1
        self.focus(reachable[(i + by) % len(reachable)])
