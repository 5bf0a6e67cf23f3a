"""A half face-on at life size for a label."""

from __future__ import annotations

from coaxtell.models.drawings import face
from coaxtell.models.drawings.drawing import Drawing, Polygon
from coaxtell.models.half import Half
from coaxtell.models.palette import PAPER

MARGIN = 0.6
"""Paper left around the part [mm]."""

_EDGE = 0.1


def life_size(half: Half) -> Drawing:
    """The half alone at 1 : 1, its areas without knurl and saw cuts, which are too fine for a label."""
    size = 2 * (max(face.extent(half)) + MARGIN)
    parts = face.parts(half, (size / 2, size / 2), 1.0)
    areas = tuple(item._replace(width=_EDGE) for item in parts if isinstance(item, Polygon))
    return Drawing(size, size, f"{half.name}, face-on, life size", PAPER, areas, 1.0)
