"""What keys and mouse do to a photograph on the bench: circle and corners moved, the picture brought nearer."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Point
from coaxtell.window.kit.widgets import Action
from coaxtell.window.views import photograph as view

if TYPE_CHECKING:
    # it brings the library that finds edges, which only a photograph needs
    from coaxtell.window.scenes.photo_marks import Marks

CIRCLE = -1
"""What the keys move, where it is no corner of the card."""
NEARER = 1.25
FINER = 1.02
"""Steps by which the picture is brought nearer, and the circle made larger."""
FACE_SHARE = 0.3
"""Radius of the circle when the face is brought near, in the bench's shorter side."""


class Marking:
    """One photograph being marked: its surface, the part in sight, what the keys move and the mouse holds."""

    def __init__(self, marks: Marks) -> None:
        """The whole picture in sight; the keys move the circle, or a corner where no card was found."""
        self.marks = marks
        # the surface shares the picture's own memory
        self.whole = pygame.image.frombuffer(marks.photo.picture.data.cast("B"), marks.size, "RGB")
        self.sight = view.Sight(marks.size)
        self.force = CIRCLE if marks.card is not None else 0
        self.held = ""
        """What the mouse holds: circle, rim, a corner, or the picture."""
        self.box = Box(0, 0, 1, 1)
        """Where the picture lies on the bench."""
        self._pointed: Point = (0.0, 0.0)

    @property
    def circle(self) -> tuple[float, float, float]:
        """Middle and radius of the circle [px]."""
        x, y = (float(v) for v in self.marks.centre)
        return x, y, self.marks.radius

    def forcing(self, which: int) -> Action:
        """What puts the circle or a corner under the keys."""
        return lambda: setattr(self, "force", which)

    def show_all(self) -> None:
        """The whole picture in sight."""
        self.sight = view.Sight(self.marks.size)

    def near(self) -> None:
        """Bring the face so near that its rim can be judged."""
        box, sight = self.box, self.sight
        wanted = FACE_SHARE * min(box.w, box.h) / (self.marks.radius * sight.per_px(box))
        x, y = self.marks.centre
        sight.bring(wanted, (x, y))
        sight.shift((x - sight.middle[0], y - sight.middle[1]))

    @property
    def in_sight(self) -> bool:
        """Whether all of the circle that lies on the picture is in the part in sight."""
        (x, y), radius = self.marks.centre, self.marks.radius
        wide, tall = self.marks.size
        low = self.sight.on_bench(self.box, (max(0.0, x - radius), max(0.0, y - radius)))
        high = self.sight.on_bench(self.box, (min(wide, x + radius), min(tall, y + radius)))
        box = self.box
        return low[0] >= box.x - 1 and low[1] >= box.y - 1 and high[0] <= box.right + 1 and high[1] <= box.bottom + 1

    def key(self, event: pygame.event.Event) -> bool:
        """Arrows move the circle or the corner in force, brackets size the circle, plus and minus bring nearer,
        Enter says that the circle lies right."""
        marks = self.marks
        steps = {pygame.K_LEFT: (-1, 0), pygame.K_RIGHT: (1, 0), pygame.K_UP: (0, -1), pygame.K_DOWN: (0, 1)}
        if event.key in steps:
            far = (10 if event.mod & pygame.KMOD_SHIFT else 1) / self.sight.per_px(self.box)
            self._move((steps[event.key][0] * far, steps[event.key][1] * far))
            if self.force != CIRCLE:
                marks.fit()
            return True
        if event.key in (pygame.K_RETURN, pygame.K_KP_ENTER):
            # a circle that is not moved lies right only where the keys are on it and a round thing was seen there
            marks.placed = marks.placed or (self.force == CIRCLE and marks.on_round)
            return True
        typed = event.unicode
        if typed in ("[", "]"):
            marks.size_circle(marks.radius * (FINER if typed == "]" else 1 / FINER))
        elif typed in ("+", "=", "-"):
            x, y = marks.centre if self.force == CIRCLE else marks.corners[self.force]
            self.sight.bring(1 / NEARER if typed == "-" else NEARER, (x, y))
        elif typed == "c":
            self.force = (self.force + 2) % 5 - 1
        elif typed == "n":
            marks.next_round()
        else:
            return False
        return True

    def _move(self, by: Point) -> None:
        if self.force == CIRCLE:
            self.marks.move_circle(by)
        else:
            self.marks.move_corner(self.force, by)

    def over(self, at: Point) -> bool:
        """The mouse points at a place; nothing is shown for that."""
        self._pointed = at
        return False

    def grab(self, at: Point) -> None:
        """What lies under the mouse is held: a corner, the rim of the circle, the circle, else the picture."""
        marks, box = self.marks, self.box
        self._pointed = at

        def far(x: float, y: float) -> float:
            bx, by = self.sight.on_bench(box, (x, y))
            return float(((bx - at[0]) ** 2 + (by - at[1]) ** 2) ** 0.5)

        away, radius = far(*marks.centre), marks.radius * self.sight.per_px(box)
        nearest = min(range(4), key=lambda i: far(*marks.corners[i]))
        if far(*marks.corners[nearest]) <= view.HANDLE + 3:
            self.held, self.force = "corner", nearest
        elif away <= max(0.7 * radius, 8.0):
            self.held, self.force = "circle", CIRCLE
            marks.placed = True
        elif away <= radius + view.HANDLE:
            self.held, self.force = "rim", CIRCLE
            marks.placed = True
        else:
            self.held = "picture"

    def drag(self, dx: float, dy: float) -> None:
        """What is held goes with the mouse [units]."""
        k = self.sight.per_px(self.box)
        self._pointed = (self._pointed[0] + dx, self._pointed[1] + dy)
        if self.held == "picture":
            self.sight.shift((-dx / k, -dy / k))
        elif self.held == "rim":
            x, y = self.sight.in_picture(self.box, self._pointed)
            cx, cy = self.marks.centre
            self.marks.size_circle(float(((x - cx) ** 2 + (y - cy) ** 2) ** 0.5))
        elif self.held:
            self._move((dx / k, dy / k))

    def drop(self) -> None:
        """A corner that is let go looks for the card's edges."""
        if self.held == "corner":
            self.marks.fit()
        self.held = ""

    def wheel(self, steps: float) -> None:
        """Nearer or back, what the mouse points at staying where it is."""
        self.sight.bring(NEARER**steps, self.sight.in_picture(self.box, self._pointed))
