"""A half face-on at life size, cut out of its face drawing for a label."""

from __future__ import annotations

from coaxtell.models.drawings.drawing import Drawing, Polygon
from coaxtell.models.drawings.face import face_on
from coaxtell.models.half import Half
from coaxtell.models.palette import PAPER

MARGIN = 0.6
"""Paper left around the part [mm]."""

_EDGE = 0.1


def life_size(half: Half) -> Drawing:
    """The half alone at 1 : 1, without the name, grid and scale bar of its face drawing."""
    drawn = face_on(half)
    parts = [item for item in drawn.items if isinstance(item, Polygon)]
    xs = [x for part in parts for outline in part.outlines for x, _ in outline]
    ys = [y for part in parts for outline in part.outlines for _, y in outline]
    size = max(max(xs) - min(xs), max(ys) - min(ys)) / drawn.scale + 2 * MARGIN
    middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2

    def moved(part: Polygon) -> Polygon:
        outlines = tuple(
            tuple(
                ((x - middle[0]) / drawn.scale + size / 2, (y - middle[1]) / drawn.scale + size / 2) for x, y in outline
            )
            for outline in part.outlines
        )
        return part._replace(outlines=outlines, width=_EDGE)

    items = tuple(moved(part) for part in parts)
    return Drawing(size, size, f"{half.name}, face-on, life size", PAPER, items, 1.0)
