"""Where the tool goes: a half cut open, with jaws or rod set on it and the length that they read."""

from __future__ import annotations

from coaxtell.models.drawings.dimensions import dimensions
from coaxtell.models.drawings.drafting import Frame, best_scale, broken, dimension, grid, scale_bar, sheet, text
from coaxtell.models.drawings.drawing import Drawing, Item, Line, Point, Polygon, Text
from coaxtell.models.drawings.section import parts, span
from coaxtell.models.gauging.places import Place, Tool
from coaxtell.models.half import Half
from coaxtell.models.numbers import walk
from coaxtell.models.palette import ACTION, INK
from coaxtell.models.surfaces import surfaces

WIDTH, HEIGHT = 160.0, 120.0
"""Size of the sheet [mm]."""
STEEL = "#B9C0C8"
JAW = 9.0
"""Length of a jaw that is drawn [mm on paper]."""
LARGER = 2.4
"""How much larger the type is where the drawing is shown on a screen."""
THICK = 4.0
"""Thickness of a jaw, and of the rod, on paper [mm]."""


def place_drawing(half: Half, place: Place, words: str, on_paper: bool = True) -> Drawing:
    """The half with the tool of one place; `words` say what is read, under the picture.

    Not on paper its type is larger and no scale is told: whoever shows it makes it as large as there is room.
    """
    rear, front, radius = span(half)
    lines = broken(words, WIDTH - 16, 3.0)
    room = HEIGHT - 30 - 4.5 * len(lines)
    beside = 50 if on_paper else 80
    scale = best_scale(front - rear, 2 * radius, (WIDTH - beside, room - 2 * JAW))
    middle = WIDTH / 2 if on_paper else WIDTH / 2 - 20
    frame = Frame(middle - scale * (front + rear) / 2, 8 + room / 2, scale)
    items = grid(WIDTH, HEIGHT, scale, (frame.x, frame.y)) + parts(half, frame)
    items += _tool(half, place, frame, front, radius)
    items += [text((8, room + 14 + 4.5 * i), line) for i, line in enumerate(lines)]
    items += scale_bar(WIDTH - 5, HEIGHT - 5, scale, on_paper)
    if not on_paper:
        items = [item._replace(size=LARGER * item.size) if isinstance(item, Text) else item for item in items]
    return sheet(WIDTH, HEIGHT, f"{half.name}: {words}", scale, items)


def _tool(half: Half, place: Place, frame: Frame, front: float, radius: float) -> list[Item]:
    where = next(one for one in dimensions(half) if one.path == place.path)
    number = dict(walk(half))[place.path].nominal
    reading = f"{place.reading(number):.2f} mm"
    if place.tool is Tool.DEPTH:
        rim = half.shell.rim.nominal if place.origin is None else place.origin
        return _rod(frame, rim, rim - place.reading(number), _ledge(place, where.r), radius, reading)
    if place.origin is not None:
        return _along(frame, (place.origin, _mouth(half, place)), (number, where.r), reading)
    return _across(frame, (where.z, number / 2), front, place.tool is Tool.INSIDE, reading)


def _mouth(half: Half, place: Place) -> float:
    """The outer radius of the rim that a length is counted from [mm]."""
    body, thread = half.shell, half.thread
    if place.path[0] == "nut" and half.nut is not None:
        body, thread = half.nut.body, half.nut.thread
    elif place.path[0] == "housing" and half.housing is not None:
        body, thread = half.housing, None
    return surfaces(body, body.outside, thread, inside=False)[0].r_front


def _ledge(place: Place, r: float) -> float:
    """The radius at which the rod stands: on the ledge, a little off the wall that the dimension belongs to."""
    if "outside" in place.path:
        return r + 0.5
    return max(r - 0.4, 0.6 * r) if place.path[0] in ("shell", "nut") else r


def _jaw(tip: Point, back: Point, across: tuple[float, float]) -> Polygon:
    """A jaw from its edge at `tip` to its back, widened by `across`."""
    (x, y), (u, v), (dx, dy) = tip, back, across
    return Polygon((((x, y), (u, v), (u + dx, v + dy), (x + dx * 0.35, y + dy * 0.35)),), STEEL, INK, 0.25)


def _across(frame: Frame, at: Point, front: float, inside: bool, reading: str) -> list[Item]:
    """Two jaws on a diameter, from outside or from within, the length they read in front of the part."""
    items: list[Item] = []
    z, r = at
    for sign in (1, -1):
        x, y = frame.at(z, sign * r)
        if inside:
            # from the front into the mouth, their edges against the bore
            far = x + frame.towards * 3 * JAW
            thin = sign * THICK * 0.6
            items.append(Polygon((((x, y), (far, y), (far, y + thin), (x, y + thin)),), STEEL, INK, 0.25))
        else:
            items.append(_jaw((x, y), (x, y - sign * JAW), (THICK, 0.0)))
    x, top = frame.at(z, r)
    bottom = frame.at(z, -r)[1]
    beside = frame.at(front, 0)[0] + frame.towards * (2 * JAW if inside else 6)
    items.append(Line(((beside, top), (beside, bottom)), ACTION, 0.3))
    items += [Line(((x, y), (beside, y)), ACTION, 0.15, (1.0, 1.0)) for y in (top, bottom)]
    items.append(text((beside + 2, (top + bottom) / 2), reading, ACTION))
    return items


def _along(frame: Frame, front: Point, rear: Point, reading: str) -> list[Item]:
    """Two jaws on a length along the axis, each down to the edge that it touches."""
    (x0, y0), (x1, y1) = frame.at(*front), frame.at(*rear)
    top = min(y0, y1) - JAW
    items: list[Item] = [
        _jaw((x0, y0 + 1.5), (x0, top), (frame.towards * THICK, 0.0)),
        _jaw((x1, y1 + 1.5), (x1, top), (-frame.towards * THICK, 0.0)),
    ]
    return items + dimension(x0, x1, top - 3, reading, ACTION)


def _rod(frame: Frame, front: float, bottom: float, r: float, radius: float, reading: str) -> list[Item]:
    """The beam of a calliper across the rim with its rod down to a ledge."""
    x0, y = frame.at(front, r)
    x1 = frame.at(bottom, r)[0]
    reach = frame.scale * radius + 4
    beam = (
        (x0, frame.y - reach),
        (x0 + frame.towards * THICK, frame.y - reach),
        (x0 + frame.towards * THICK, frame.y + reach),
        (x0, frame.y + reach),
    )
    thin = 0.8
    rod = ((x0, y - thin), (x1, y - thin), (x1, y + thin), (x0, y + thin))
    items: list[Item] = [Polygon((beam,), STEEL, INK, 0.25), Polygon((rod,), STEEL, INK, 0.25)]
    return items + dimension(x0, x1, frame.y - reach - 3, reading, ACTION)
