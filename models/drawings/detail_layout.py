"""How the dimensioned drawing of a half is laid on its sheet: the room its words take, scale and places. In mm.

Scales after ISO 5455, sheets after ISO 216.
"""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.drawings import detail_foot, face, section
from coaxtell.models.drawings.annotation import words_length
from coaxtell.models.drawings.detail_foot import BORDER
from coaxtell.models.drawings.dimensions import Dimension, dimensions
from coaxtell.models.drawings.drafting import Frame
from coaxtell.models.drawings.drawing import Point
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Half

SHEETS = ((297.0, 210.0), (420.0, 297.0), (594.0, 420.0), (841.0, 594.0), (1189.0, 841.0))
"""A4 to A0, landscape [mm]."""
ISO_SCALES = (50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2)
EDGE = BORDER + 3.0
"""From the edge of the sheet to the views with their words [mm]."""
RISE = 11.5
"""From the part to where the words of running dimensions begin [mm]."""
LEADER_PITCH, RUNNING_PITCH = 6.2, 5.8
FIRST_LINE, LINE_PITCH = 6.0, 4.0
"""From the part to its first dimension line, and from one to the next [mm]."""
FAN = 12.0
"""Least room in which leaders part from each other, between the part and their words [mm]."""
GROWTHS = tuple(1 + 0.02 * step for step in range(30, -1, -1))
"""So much words may be larger than the least that is read well, the largest first."""
SHORTEST = 12.0
"""Shortest dimension line that stands free beside the part [mm]."""


class Layout(NamedTuple):
    """The sheet [mm]; within its edge, before all there is grown: the frame of the section and what is beside it."""

    sheet: tuple[float, float]
    grown: float
    """How much larger than drawn the views with their words come to stand, so that they fill the sheet."""
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


class _Part(NamedTuple):
    """What of a half does not depend on the scale: its size [mm], its words and their lengths on paper [mm]."""

    rear: float
    front: float
    radius: float
    reach: float
    diameters: list[Dimension]
    column: float
    """The widest words of a leader."""
    rises: tuple[float, float]
    """The running dimensions above and below, from the part to the end of their words."""
    running: float
    """The words of the running dimensions side by side."""
    foot: float


class _Need(NamedTuple):
    """Room that the views of a half take at a scale, and from the part to the words of the leaders [mm]."""

    width: float
    height: float
    left: float
    right: float


def _part(half: Half) -> _Part:
    found = dimensions(half)
    lengths = [d for d in found if d.kind == "length"]
    diameters = [d for d in found if d.kind == "diameter"]
    column = max((words_length(d.words, d.name) for d in diameters), default=0.0)
    above, below = (
        RISE + max((words_length(d.words, d.name) for d in lengths if d.inside is inside), default=0.0)
        for inside in (True, False)
    )
    inside = sum(d.inside for d in lengths)
    running = RUNNING_PITCH * (max(inside, len(lengths) - inside) - 1)
    foot = detail_foot.height(half)
    return _Part(*section.span(half), face.reach(half), diameters, column + 2, (above, below), running, foot)


def _need(part: _Part, scale: float) -> _Need:
    bounding = bounding_diameters(part.diameters, scale)
    long = scale * (part.front - part.rear)
    over = max(part.running - long, 0.0) / 2
    left, right = (
        max(FIRST_LINE + LINE_PITCH * sum(s == side for s in bounding.values()), FAN, over + 6) for side in (-1, 1)
    )
    width = 2 * part.column + left + long + right + 2 * scale * part.reach + 18
    return _Need(width, sum(part.rises) + max(2 * part.radius * scale, 24.0), left, right)


def _free(part: _Part, sheet: tuple[float, float]) -> tuple[float, float]:
    """Width and height [mm] that border and foot leave free of a sheet."""
    return sheet[0] - 2 * EDGE, sheet[1] - 2 * EDGE - part.foot


def _fits(part: _Part, scale: float, sheet: tuple[float, float], grown: float = 1.0) -> bool:
    need, free = _need(part, scale / grown), _free(part, sheet)
    return grown * need.width <= free[0] and grown * need.height <= free[1]


def best_scale(half: Half) -> float:
    """The largest scale of ISO 5455 at which the drawing fits A4."""
    part = _part(half)
    return next((scale for scale in ISO_SCALES if _fits(part, scale, SHEETS[0])), ISO_SCALES[-1])


def layout(half: Half, scale: float) -> Layout:
    """Where everything goes; raises InputError where not even A0 holds it."""
    part = _part(half)
    sheet = next((sheet for sheet in SHEETS if _fits(part, scale, sheet)), None)
    if sheet is None:
        raise RefusedError("models.over_a0", id=half.id, scale=scale)
    # between two scales of the series the words grow, until they fill the sheet with the part
    grown = next(one for one in GROWTHS if one == 1.0 or _fits(part, scale, sheet, one))
    scale /= grown
    need = _need(part, scale)
    width, height = (length / grown for length in _free(part, sheet))
    above, below = part.rises
    reach = scale * part.reach
    spare = width - need.width
    left = part.column + need.left + spare * 0.3
    right = left + scale * (part.front - part.rear)
    middle = above + (height - above - below) / 2
    frame = Frame(left - scale * part.rear, middle, scale)
    face_at = (width - 8 - reach - spare * 0.3, middle)
    radius = scale * part.radius
    over = max(part.running - (right - left), 0.0) / 2
    zone = (left - over - 1, right + over + 1)
    columns = (left - need.left, right + need.right)
    return Layout(sheet, grown, frame, face_at, left, right, middle - radius, middle + radius, zone, columns)


def bounding_diameters(diameters: list[Dimension], scale: float) -> dict[Dimension, int]:
    """Diameters that bound the part towards one end, so that a dimension line stands free: -1 rear, +1 front."""
    found: dict[Dimension, int] = {}
    outer = [d for d in diameters if d.path[-1] == "d" and "outside" in d.path and not d.inside]
    for dim in outer:
        if 2 * dim.r * scale < SHORTEST:
            continue
        for side in (-1, 1):
            free = all(other.r < dim.r for other in outer if other is not dim and (other.z - dim.z) * side > 0)
            if free and sum(s == side for s in found.values()) < 2:
                found[dim] = side
                break
    return found
