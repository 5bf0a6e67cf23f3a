"""What the mouse does: it points, presses, drags and scrolls, and it lets go when the window loses it."""

from __future__ import annotations

from coaxtell.window.kit.frame import Frame
from coaxtell.window.kit.pen import Point
from coaxtell.window.kit.widgets import Widget

WHEEL = 56.0
"""How far one step of the wheel scrolls [units]."""


class Mouse:
    """Where the mouse is and what it holds."""

    def __init__(self, frame: Frame) -> None:
        """Empty hands."""
        self.frame = frame
        self._held: Widget | None = None
        self._crossed = True

    @property
    def changes(self) -> bool:
        """Whether its last move changed what is shown: something is held, or another control lies under it."""
        return self._held is not None or self._crossed

    def _under(self, at: Point) -> Widget | None:
        found = [w for w in self.frame.widgets if w.focusable and self.frame.is_at(w, at)]
        return found[-1] if found else None

    def _inside(self, widget: Widget, at: Point) -> Point:
        return at[0], at[1] + (self.frame.offset if widget.scrolls else 0.0)

    def motion(self, at: Point) -> None:
        """It moved to a place [units]."""
        before = self._under(self.frame.pointer)
        self.frame.pointer = at
        if self._held is not None:
            self._held.drag(self._inside(self._held, at))
        after = self._under(at)
        self._crossed = (before.key if before else "") != (after.key if after else "")
        if self._held is None and after is not None and after.hover(self._inside(after, at)):
            self._crossed = True

    def down(self, at: Point) -> None:
        """Its button went down."""
        self.frame.pointer = at
        widget = self._under(at)
        if widget is None:
            return
        self.frame.point(widget.key)
        self._held = widget
        widget.grab(self._inside(widget, at))

    def up(self, at: Point) -> None:
        """Its button came up; over the same control that is a click."""
        self.frame.pointer = at
        held, self._held = self._held, None
        if held is None:
            return
        held.drop()
        over = self._under(at)
        if over is not None and over.key == held.key and not held.takes_text:
            held.press()

    def let_go(self) -> None:
        """Whatever it holds is dropped."""
        held, self._held = self._held, None
        if held is not None:
            self.frame.safely(held.drop)

    def wheel(self, steps: float) -> None:
        """Its wheel turned: the control under it takes that, else the page scrolls."""
        widget = self._under(self.frame.pointer)
        if widget is not None and (not widget.scrolls) and widget.wheel(steps):
            return
        self.frame.scroll_by(-steps * WHEEL)
