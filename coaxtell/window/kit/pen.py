"""Drawing as a list of calls: what a scene draws is recorded first and painted after.

Tests read the calls; the painter turns them into pixels. Everything is in units.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Literal, NamedTuple

from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.theme import BODY, CORNER, Colour, Palette

if TYPE_CHECKING:
    import pygame

Point = tuple[float, float]
Anchor = Literal["left", "middle", "right"]


class Fill(NamedTuple):
    """A filled box, `alpha` 0 to 1."""

    box: Box
    colour: Colour
    radius: float
    alpha: float


class Frame(NamedTuple):
    """The outline of a box, inside it."""

    box: Box
    colour: Colour
    width: float
    radius: float


class Line(NamedTuple):
    """A straight line."""

    start: Point
    end: Point
    colour: Colour
    width: float


class Curve(NamedTuple):
    """Joined straight lines, smoothed at the edge."""

    points: tuple[Point, ...]
    colour: Colour
    width: float


class Words(NamedTuple):
    """One line of text and the box it fills."""

    words: str
    box: Box
    size: float
    bold: bool
    colour: Colour


class Hatch(NamedTuple):
    """A box filled with slanted lines."""

    box: Box
    colour: Colour
    pitch: float


class Ring(NamedTuple):
    """A circle; filled where `width` is zero."""

    centre: Point
    radius: float
    colour: Colour
    width: float


class Patch(NamedTuple):
    """One closed outline of a shape [mm], filled and outlined."""

    points: tuple[Point, ...]
    fill: Colour | None
    ink: Colour | None
    hatched: Colour | None = None
    holes: tuple[tuple[Point, ...], ...] = ()


class Shape(NamedTuple):
    """Outlines in mm set with their origin at a point, at `per_mm` units to the millimetre."""

    patches: tuple[Patch, ...]
    origin: Point
    per_mm: float
    alpha: float
    box: Box
    name: str


class Picture(NamedTuple):
    """A ready picture set into a box; `name` says what it shows, `paper` that the bench's light leaves it as it is."""

    box: Box
    surface: pygame.Surface
    name: str
    alpha: float
    tint: Colour = (255, 255, 255)
    paper: bool = False


class Grid(NamedTuple):
    """The bench with its millimetre grid."""

    box: Box
    per_mm: float
    origin: Point


class Clip(NamedTuple):
    """From here on only inside this box; none ends it."""

    box: Box | None


Call = Fill | Frame | Line | Curve | Words | Hatch | Ring | Shape | Picture | Grid | Clip


class Pen:
    """Records draw calls in one palette and type."""

    def __init__(self, palette: Palette, type_: Type) -> None:
        """A pen with nothing drawn."""
        self.palette = palette
        self.type = type_
        self.calls: list[Call] = []
        self._clips: list[Box] = []

    def fill(self, box: Box, colour: Colour, radius: float = 0.0, alpha: float = 1.0) -> None:
        """A filled box."""
        self.calls.append(Fill(box, colour, radius, alpha))

    def frame(self, box: Box, colour: Colour, width: float = 1.0, radius: float = CORNER) -> None:
        """The outline of a box."""
        self.calls.append(Frame(box, colour, width, radius))

    def line(self, start: Point, end: Point, colour: Colour, width: float = 1.0) -> None:
        """A straight line."""
        self.calls.append(Line(start, end, colour, width))

    def curve(self, points: Sequence[Point], colour: Colour, width: float = 2.0) -> None:
        """Joined lines."""
        if len(points) > 1:
            self.calls.append(Curve(tuple(points), colour, width))

    def hatch(self, box: Box, colour: Colour, pitch: float = 6.0) -> None:
        """Slanted lines."""
        self.calls.append(Hatch(box, colour, pitch))

    def ring(self, centre: Point, radius: float, colour: Colour, width: float = 0.0) -> None:
        """A circle."""
        self.calls.append(Ring(centre, radius, colour, width))

    def shape(
        self, patches: tuple[Patch, ...], origin: Point, per_mm: float, box: Box, name: str, alpha: float = 1.0
    ) -> None:
        """Outlines in mm; `box` is the area they fill."""
        self.calls.append(Shape(patches, origin, per_mm, alpha, box, name))

    def picture(
        self, box: Box, surface: pygame.Surface, name: str, alpha: float = 1.0, tint: Colour = (255, 255, 255),
        paper: bool = False,
    ) -> None:  # fmt: skip
        """A ready picture, its colours weighted by a tint; a drawing on paper stays as it is."""
        self.calls.append(Picture(box, surface, name, alpha, tint, paper))

    def grid(self, box: Box, per_mm: float, origin: Point) -> None:
        """The bench."""
        self.calls.append(Grid(box, per_mm, origin))

    def words(
        self,
        words: str,
        at: Point,
        size: float = BODY,
        colour: Colour | None = None,
        bold: bool = False,
        anchor: Anchor = "left",
    ) -> Box:
        """One line of text with its top at a point; returns the box it fills."""
        width, height = self.type.width(words, size, bold), self.type.line(size, bold)
        x = at[0] - {"left": 0.0, "middle": width / 2, "right": width}[anchor]
        box = Box(x, at[1], width, height)
        if words:
            self.calls.append(Words(words, box, size, bold, self.palette.text if colour is None else colour))
        return box

    def lines(
        self,
        words: str,
        box: Box,
        size: float = BODY,
        colour: Colour | None = None,
        bold: bool = False,
        anchor: Anchor = "left",
    ) -> float:
        """Text folded into a box from its top; returns the height it fills [units]."""
        step = self.type.line(size, bold)
        x = {"left": box.x, "middle": box.x + box.w / 2, "right": box.right}[anchor]
        folded = self.type.folded(words, size, box.w, bold)
        for i, line in enumerate(folded):
            self.words(line, (x, box.y + i * step), size, colour, bold, anchor)
        return len(folded) * step

    def shows(self, box: Box) -> bool:
        """Whether any of a box lies inside what is drawn now."""
        return not self._clips or box.overlaps(self._clips[-1])

    @contextmanager
    def clipped(self, box: Box) -> Iterator[None]:
        """Draw only inside a box, and inside the one around it."""
        inner = box.shared(self._clips[-1]) if self._clips else box
        self._clips.append(inner)
        self.calls.append(Clip(inner))
        yield
        self._clips.pop()
        self.calls.append(Clip(self._clips[-1] if self._clips else None))
