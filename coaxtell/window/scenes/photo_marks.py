"""A photograph with what is marked on it: the card's corners, the circle of the face, and the width that follows."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from coaxtell import files, photo_bench
from coaxtell.photo import card, file, rounds, width
from coaxtell.photo.card import Array, Card
from coaxtell.photo.width import Width

LEAST_RADIUS = 4.0
"""Smallest circle that is marked [px]."""
SHARE = 0.05
"""Radius of the circle, in the picture's shorter side, where nothing round was seen."""
SAME_PX = 0.5
"""Corners that lie nearer to those found by themselves are the same [px]."""
CARD_SHARE = 0.3
"""Half the width of the card's outline, in the picture's width, where no card was found."""


class Marks:
    """Pixels are those of the picture as it was loaded: x right, y down."""

    def __init__(self, path: Path) -> None:
        """Load the picture, look for the card and for round things beside it; raises InputError where it is none."""
        self.path, self.written = path, files.written(path)
        self.photo = file.load(path)
        self.grey = card.grey_of(self.photo.picture)
        self.card: Card | None = card.find(self.photo.picture, self.photo.focal_mm, self.grey)
        self.found = self.card is not None
        """Whether the card was found without help."""
        wide, tall = self.size
        self.proposed = [] if self.card is None else rounds.proposals(self.photo.picture, self.card)
        self.chosen = 0
        self.placed = False
        """Whether a person has put the circle where it lies, or said on the circle itself that it lies right: one that
        was proposed is another thing in one of four pictures (docs/photo.md)."""
        self.centre = np.array([wide / 2, tall / 2])
        self.radius = SHARE * min(wide, tall)
        if self.proposed:
            self.centre, self.radius = self.proposed[0]
        across, down = CARD_SHARE * wide, CARD_SHARE * wide * card.SHORT / card.LONG
        self.corners: Array = self.centre + np.array(
            [[-across, -down], [across, -down], [across, down], [-across, down]]
        )
        if self.card is not None:
            self.corners = self.card.corners
        self._blurred: tuple[Card, str | None] | None = None
        self._width: tuple[tuple[object, ...], Width | None] | None = None

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the picture [px]."""
        tall, wide = self.photo.picture.shape[:2]
        return wide, tall

    def _inside(self, point: Array) -> Array:
        return np.asarray(np.clip(point, 0.0, np.array(self.size) - 1.0))

    def move_circle(self, by: tuple[float, float]) -> None:
        """Move the circle [px]; its middle stays on the picture."""
        self.placed = True
        self.centre = self._inside(self.centre + np.array(by))

    def size_circle(self, radius: float) -> None:
        """Give the circle a radius [px]."""
        self.placed = True
        self.radius = max(LEAST_RADIUS, min(radius, max(self.size) / 2))

    def put(
        self, centre: tuple[float, float], radius: float, corners: Sequence[tuple[float, float]], placed: bool
    ) -> None:  # fmt: skip
        """Circle and corners as they were marked before [px]; a card that was not found is looked for there."""
        if np.abs(self.corners - np.array(corners)).max() > SAME_PX:
            self.corners = np.array(corners)
            self.fit()
        self.centre, self.radius, self.placed = np.array(centre), radius, placed

    @property
    def on_round(self) -> bool:
        """Whether the circle lies on a round thing that was seen, and not where nobody has put it."""
        circle = (*self.centre, self.radius)
        seen = [(*centre, radius) for centre, radius in self.proposed]
        return any(np.abs(np.subtract(circle, one)).max() <= SAME_PX for one in seen)

    def next_round(self) -> None:
        """Put the circle on the next round thing that was seen."""
        if self.proposed:
            self.placed = False
            self.chosen = (self.chosen + 1) % len(self.proposed)
            self.centre, self.radius = self.proposed[self.chosen]

    def move_corner(self, which: int, by: tuple[float, float]) -> None:
        """Move a corner of the card [px]; `fit` then looks for the edges near it."""
        moved = self.corners.copy()
        moved[which] = self._inside(moved[which] + np.array(by))
        self.corners = moved

    def fit(self) -> None:
        """Look for the card's straight sides near the corners; where they are found, the corners lie on them."""
        self.card = card.fitted(self.grey, self.corners)
        if self.card is None:
            return
        if not self.proposed:
            self.proposed = rounds.proposals(self.photo.picture, self.card)
            if self.proposed and not self.placed:
                self.centre, self.radius = self.proposed[0]  # as where the card was found by itself
        # each corner goes to the one found nearest to it, so that its number stays
        far = np.linalg.norm(self.corners[:, None] - self.card.corners[None], axis=2)
        self.corners = self.card.corners[far.argmin(axis=1)]

    @property
    def blurred(self) -> str | None:
        """Why the picture is too blurred to measure by; None where it is not, or no card lies there."""
        if self.card is None:
            return None
        if self._blurred is None or self._blurred[0] is not self.card:
            self._blurred = (self.card, photo_bench.blurred(self.grey, self.card))
        return self._blurred[1]

    def width(self, height: tuple[float, float]) -> Width | None:
        """The width of the marked face, its height over the card and the spread of that given [mm]; none where no
        card lies there, the picture is blurred or no edge runs round near the circle. Worked out once
        for each change."""
        asked = (*self.centre, self.radius, *self.corners.flat, height)
        if self.card is None or self.blurred is not None:
            return None
        if self._width is None or self._width[0] != asked:
            found = width.measure(self.grey, self.card, self.centre, self.radius, height, self.photo.focal_mm)
            self._width = (asked, found)
        return self._width[1]
