"""A dialog in front of the scene: a title, a column of widgets; Esc closes it, and so does the button in its corner."""

from __future__ import annotations

from collections.abc import Callable

from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import STEP
from coaxtell.window.kit.widgets import Action, Button, Widget

WIDTH = 620.0
"""Width of a dialog where the window allows it [units]."""
SIDE = 36.0
"""Side of the button in its corner [units]."""


class Dialog:
    """What stands in front: `fill` puts its widgets into a column."""

    def __init__(self, title: str, fill: Callable[[Stack], None], closed: Callable[[], None] | None = None) -> None:
        """`closed` is told when Esc or its own button takes it away."""
        self.title, self.fill, self.closed = title, fill, closed
        self.scroll = 0.0

    def arrange(self, type_: Type, width: float, height: float, leave: Action) -> tuple[Box, float, list[Widget]]:
        """The panel's box, the height of what it holds, and its widgets at their places [units]; `leave` takes it
        away."""
        across = min(WIDTH, width - 4 * STEP)
        stack = Stack(type_, 0, 0, across - 6 * STEP)
        stack.sight = height - 6 * STEP
        inner = stack.width
        stack.width = inner - SIDE
        stack.title(self.title)
        stack.width = inner
        self.fill(stack)
        # last by keys, which have Esc: what it asks comes first
        at = Box(inner + STEP / 2 - SIDE, -STEP, SIDE, SIDE)
        corner = Button("leave-dialog", at, "\N{MULTIPLICATION SIGN}", leave)
        corner.tip = "Close (Esc)"
        stack.widgets.append(corner)
        tall = stack.y + 5 * STEP
        # what stands in the panel scrolls within its border of one step
        box = Box((width - across) / 2, max(2 * STEP, (height - tall) / 2), across, min(tall, height - 4 * STEP))
        for widget in stack.widgets:
            widget.box = widget.box.moved(box.x + 3 * STEP, box.y + 3 * STEP)
        return box, tall - STEP, stack.widgets
