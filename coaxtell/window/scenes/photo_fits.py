"""A measured width held against what was answered: who fits, whether it clashes, and the half laid over the face."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from coaxtell import photo_bench
from coaxtell.identifier.answers import State
from coaxtell.identifier.features import Feature
from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.inquiry import Inquiry
from coaxtell.window.kit.pen import Point
from coaxtell.window.kit.widgets import Action

if TYPE_CHECKING:
    from coaxtell.photo.card import Array
    from coaxtell.photo.width import Width

MOST = 3
"""Halves offered to be laid over the face."""


class Held(NamedTuple):
    """A width beside the answers so far: the likeliest halves, best first, how it clashes with those answers, and what
    becomes of another reading of the same width, each in a sentence; empty where there is nothing of it."""

    width: Width
    state: State
    likeliest: list[Half]
    clash: str
    beside: str


class Fits:
    """All of it worked out once for each width."""

    def __init__(self, desk: Desk) -> None:
        """No width yet; the likeliest half is laid over the face."""
        self.desk = desk
        self.shown = ""
        """The half laid over the face, by id; empty for the likeliest."""
        self._held: Held | None = None
        self._lines: tuple[Width, str, list[list[Point]]] | None = None

    def showing(self, half_id: str) -> Action:
        """What lays a half over the face."""
        return lambda: setattr(self, "shown", half_id)

    def forget(self) -> None:
        """The picture goes, and with it what was worked out."""
        self.shown, self._held, self._lines = "", None, None

    def held(self, width: Width) -> Held:
        """A width beside the answers about the port in hand."""
        state = self.desk.naming or State()
        if self._held is None or self._held.width is not width or self._held.state != state:
            inquiry = Inquiry(self.desk.tables, state.setting)
            inquiry.state = state
            fits = photo_bench.likeliest(inquiry.shortlist, state, Feature.COUPLING_DIAMETER, width, MOST)
            beside = inquiry.measured(Feature.COUPLING_DIAMETER, photo_bench.typed(width))
            self._held = Held(width, state, fits, inquiry.clash, beside)
        return self._held

    def laid(self, width: Width) -> Half:
        """The half that lies over the face."""
        fits = self.held(width).likeliest
        return next((half for half in fits if half.id == self.shown), fits[0])

    def outlines(self, width: Width, to_picture: Array) -> list[list[Point]]:
        """That half's face at its size about the rim, in the picture's pixels; `to_picture` maps the card's plane."""
        from coaxtell.photo import card

        half = self.laid(width)
        if self._lines is None or self._lines[0] is not width or self._lines[1] != half.id:
            lines = [[(x, y) for x, y in card.mapped(line, to_picture)] for line in photo_bench.outlines(half, width)]
            self._lines = (width, half.id, lines)
        return self._lines[2]
