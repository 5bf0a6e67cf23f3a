"""The halves face on and from the side, as paths that the page puts together itself."""

from __future__ import annotations

import math
from typing import Any

from coaxtell.models.drawings import face, section
from coaxtell.models.drawings.drafting import Frame
from coaxtell.models.drawings.drawing import Item, Line, Point, Polygon
from coaxtell.models.half import Half

Shape = list[Any]


def views(half: Half) -> dict[str, dict[str, Any]]:
    """Both views of a half, `face` and `side`: the box they fill [mm] and their shapes."""
    reach = max(face.extent(half)) + 0.3
    rear, front, radius = section.span(half)
    return {
        "face": {
            "box": f"{-reach:.1f} {-reach:.1f} {2 * reach:.1f} {2 * reach:.1f}",
            "shapes": _shapes(face.parts(half, (0.0, 0.0), 1.0), reach / 60),
        },
        "side": {
            "box": f"{rear - 0.3:.1f} {-radius - 0.3:.1f} {front - rear + 0.6:.1f} {2 * radius + 0.6:.1f}",
            "shapes": _shapes(section.side(half, Frame(0.0, 0.0, 1.0)), reach / 60),
        },
    }


def _shapes(items: list[Item], edge: float) -> list[Shape]:
    return [_shape(item, edge) for item in items if isinstance(item, Polygon | Line)]


def _shape(item: Polygon | Line, edge: float) -> Shape:
    """A shape with an edge that suits the size of the part: path, fill, stroke, its width [mm]."""
    if isinstance(item, Polygon):
        path = "".join(_outline(outline) for outline in item.outlines)
        return [path, item.fill or "", item.stroke or "", round(edge, 2)]
    path = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in item.points)
    return [path, "", item.stroke, round(min(item.width, edge) if item.width <= 0.3 else item.width, 2)]


def _outline(points: tuple[Point, ...]) -> str:
    """A closed outline; a circle as two arcs, which takes a fiftieth of the letters."""
    x, y = (sum(p[axis] for p in points) / len(points) for axis in (0, 1))
    radii = [math.dist(p, (x, y)) for p in points]
    if len(points) > 20 and max(radii) - min(radii) < 1e-6:
        r = radii[0]
        return f"M{x - r:.3f} {y:.3f}a{r:.3f} {r:.3f} 0 1 0 {2 * r:.3f} 0a{r:.3f} {r:.3f} 0 1 0 {-2 * r:.3f} 0Z"
    return "M" + "L".join(f"{px:.2f} {py:.2f}" for px, py in points) + "Z"
