"""How the dimensioned drawing of a half is laid on its sheet: the room its words take, scale and places. In mm.

Scales after ISO 5455, sheets after ISO 216.
"""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.drawings import face, section
from coaxtell.models.drawings.annotation import LETTER, TYPE, words_length
from coaxtell.models.drawings.dimensions import Dimension, dimensions
from coaxtell.models.drawings.drafting import Frame
from coaxtell.models.drawings.drawing import Point
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Half

SHEETS = ((297.0, 210.0), (420.0, 297.0), (594.0, 420.0), (841.0, 594.0), (1189.0, 841.0))
"""A4 to A0, landscape [mm]."""
ISO_SCALES = (50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2)
BORDER = 8.0
RISE = 11.5
"""From the part to where the words of running dimensions begin [mm]."""
FOOT = 37.0
"""Room for notes and title block [mm]."""
LEADER_PITCH, RUNNING_PITCH = 6.2, 5.8
FIRST_LINE, LINE_PITCH = 6.0, 7.5
"""From the part to its first dimension line, and from one to the next [mm]."""


class Layout(NamedTuple):
    """The sheet [mm], the frame of the section, and the place of the face-on view."""

    width: float
    height: float
    frame: Frame
    face_at: Point
    left: float
    right: float
    top: float
    bottom: float
    zone: tuple[float, float]
    """From where to where the words of running dimensions may stand."""
    columns: tuple[float, float]
    """Where the words of the leaders begin on either side."""


class _Need(NamedTuple):
    """Room that the words of a half's drawing take at a scale [mm]."""

    column: float
    """The widest words of a leader."""
    above: float
    below: float
    """The running dimensions, from the part to the end of their words."""
    left: float
    right: float
    """From the part to the words of the leaders."""
    running: float
    """The words of the running dimensions side by side."""


def _need(half: Half, scale: float) -> _Need:
    found = dimensions(half)
    lengths = [d for d in found if d.kind == "length"]
    diameters = [d for d in found if d.kind == "diameter"]
    bounding = bounding_diameters(diameters, scale)
    rear, front, _ = section.span(half)
    column = max((words_length(d.words, d.name) for d in diameters if d not in bounding), default=0.0)
    above, below = (
        RISE + max((words_length(d.words, d.name) for d in lengths if d.inside is inside), default=0.0)
        for inside in (True, False)
    )
    inside = sum(d.inside for d in lengths)
    running = RUNNING_PITCH * (max(inside, len(lengths) - inside) - 1)
    over = max(running - scale * (front - rear), 0.0) / 2
    left, right = (
        max(FIRST_LINE + LINE_PITCH * sum(s == side for s in bounding.values()) + 3, over + 6) for side in (-1, 1)
    )
    return _Need(column + 2, above, below, left, right, running)


def room(half: Half, scale: float) -> tuple[float, float]:
    """Width and height of sheet [mm] that the drawing needs at a scale."""
    rear, front, radius = section.span(half)
    need = _need(half, scale)
    across = 2 * scale * face.reach(half)
    width = 2 * BORDER + 2 * need.column + need.left + scale * (front - rear) + need.right + across + 18
    return width, 2 * BORDER + need.above + need.below + FOOT + max(2 * radius * scale, 24.0)


def best_scale(half: Half) -> float:
    """The largest scale of ISO 5455 at which the drawing fits A4."""
    for scale in ISO_SCALES:
        width, height = room(half, scale)
        if width <= SHEETS[0][0] and height <= SHEETS[0][1]:
            return scale
    return ISO_SCALES[-1]


def layout(half: Half, scale: float) -> Layout:
    """Where everything goes; raises InputError where not even A0 holds it."""
    size = room(half, scale)
    fitting = [sheet for sheet in SHEETS if size[0] <= sheet[0] and size[1] <= sheet[1]]
    if not fitting:
        raise RefusedError("models.over_a0", id=half.id, scale=scale)
    width, height = fitting[0]
    need = _need(half, scale)
    rear, front, radius = section.span(half)
    reach = scale * face.reach(half)
    spare = width - size[0]
    left = BORDER + need.column + need.left + spare * 0.3
    right = left + scale * (front - rear)
    middle = BORDER + need.above + (height - 2 * BORDER - need.above - need.below - FOOT) / 2
    frame = Frame(left - scale * rear, middle, scale)
    face_at = (width - BORDER - 8 - reach - spare * 0.3, middle)
    radius *= scale
    over = max(need.running - (right - left), 0.0) / 2
    zone = (left - over - 1, right + over + 1)
    columns = (left - need.left, right + need.right)
    return Layout(width, height, frame, face_at, left, right, middle - radius, middle + radius, zone, columns)


def bounding_diameters(diameters: list[Dimension], scale: float) -> dict[Dimension, int]:
    """Diameters that bound the part towards one end, so that a dimension line stands free: -1 rear, +1 front."""
    found: dict[Dimension, int] = {}
    outer = [d for d in diameters if d.path[-1] == "d" and "outside" in d.path and not d.inside]
    for dim in outer:
        if 2 * dim.r * scale < LETTER * TYPE * len(dim.words) + 7:
            continue
        for side in (-1, 1):
            free = all(other.r < dim.r for other in outer if other is not dim and (other.z - dim.z) * side > 0)
            if free and sum(s == side for s in found.values()) < 2:
                found[dim] = side
                break
    return found
