"""The dimensioned drawing of a half: half section and face on, by drawing-office convention, on white paper.

Lines and hatching after ISO 128 (visible edges 0.35 mm, all else 0.18 mm, axis long-dashed dotted), dimensions after
ISO 129-1: lengths as running dimensions from the reference plane, diameters on dimension lines where they bound the
part and on leaders elsewhere. Scales after ISO 5455, sheets after ISO 216, views in third-angle projection.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from coaxtell.models import face, section
from coaxtell.models.dimensions import MARK_WORDS, MARKS, Dimension, covered, dimensions, thread_words
from coaxtell.models.drawing import Drawing, Item, Line, Point, Polygon, Text, circle, hatch
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.measure import Grade
from coaxtell.models.numbers import walk
from coaxtell.models.outlines import cut_regions
from coaxtell.models.profile import surfaces
from coaxtell.models.sheet import Frame
from coaxtell.models.words import gender_words

BLACK, GREY, WHITE = "#000000", "#5A5A5A", "#FFFFFF"
WIDE, NARROW = 0.35, 0.18
"""Widths of visible edges and of all other lines [mm], line group 0.35 of ISO 128."""
TYPE, SMALL = 2.3, 1.8
"""Heights of the type [mm]."""
SHEETS = ((297.0, 210.0), (420.0, 297.0), (594.0, 420.0), (841.0, 594.0), (1189.0, 841.0))
"""A4 to A0, landscape [mm]."""
ISO_SCALES = (50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2)
BORDER = 8.0
COLUMN = 49.0
"""Room for the words of leaders on either side [mm]."""
RISE = 46.0
"""Room for running dimensions above and below the part [mm]."""
FOOT = 37.0
"""Room for notes and title block [mm]."""
LEADER_PITCH, RUNNING_PITCH = 6.2, 5.8
LETTER = 0.6
"""Mean width of a letter in type heights."""


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


def room(half: Half, scale: float) -> tuple[float, float]:
    """Width and height of sheet [mm] that the drawing needs at a scale."""
    rear, front, radius = section.span(half)
    across = 2 * scale * face.reach(half)
    width = 2 * BORDER + 2 * COLUMN + max(scale * (front - rear), _running_room(half)) + 28 + across
    return width, 2 * BORDER + 2 * RISE + FOOT + max(2 * radius * scale, 24.0)


def _running_room(half: Half) -> float:
    """Width that the words of the running dimensions take side by side [mm]."""
    found = [d.inside for d in dimensions(half) if d.kind == "length"]
    return RUNNING_PITCH * (max(sum(found), len(found) - sum(found)) - 1)


def best_scale(half: Half) -> float:
    """The largest scale of ISO 5455 at which the drawing fits A4."""
    for scale in ISO_SCALES:
        width, height = room(half, scale)
        if width <= SHEETS[0][0] and height <= SHEETS[0][1]:
            return scale
    return ISO_SCALES[-1]


def layout(half: Half, scale: float) -> Layout:
    """Where everything goes; raises InputError where not even A0 holds it."""
    need = room(half, scale)
    fitting = [sheet for sheet in SHEETS if need[0] <= sheet[0] and need[1] <= sheet[1]]
    if not fitting:
        raise InputError(f"{half.id} at {scale:g} : 1 is larger than an A0 sheet; choose a smaller scale.")
    width, height = fitting[0]
    rear, front, radius = section.span(half)
    across = 2 * scale * face.reach(half)
    spare = width - need[0]
    length = scale * (front - rear)
    wide = max(length, _running_room(half))
    zone_left = BORDER + COLUMN + 7 + spare * 0.25
    left = zone_left + (wide - length) / 2
    right = left + length
    middle = BORDER + RISE + (height - 2 * BORDER - 2 * RISE - FOOT) / 2
    frame = Frame(left - scale * rear, middle, scale)
    face_at = (width - BORDER - 7 - across / 2 - spare * 0.2, middle)
    radius *= scale
    zone = (zone_left - 1, zone_left + wide + 1)
    return Layout(width, height, frame, face_at, left, right, middle - radius, middle + radius, zone)


def inked(item: Item) -> Item:
    """A shape of a coloured picture in the lines of a drawing office: no colour, two widths of line."""
    if isinstance(item, Polygon):
        edge = None if item.stroke is None else BLACK
        return item._replace(fill=None if item.fill is None else WHITE, stroke=edge, width=WIDE)
    if isinstance(item, Line):
        return item._replace(stroke=BLACK, width=NARROW)
    return item


def arrow(tip: Point, back: Point, length: float = 2.4) -> Polygon:
    """A filled arrow head at `tip` that comes from `back`."""
    far = math.dist(tip, back) or 1.0
    ux, uy = (tip[0] - back[0]) / far, (tip[1] - back[1]) / far
    x, y = tip[0] - length * ux, tip[1] - length * uy
    w = length * 0.16
    return Polygon((((tip[0], tip[1]), (x - w * uy, y + w * ux), (x + w * uy, y - w * ux)),), BLACK)


def words(at: Point, what: str, size: float = TYPE, colour: str = BLACK, **more: object) -> Text:
    """Words of the drawing."""
    anchor = more.get("anchor", "start")
    turn = more.get("turn", 0.0)
    assert anchor == "start" or anchor == "middle" or anchor == "end"
    assert isinstance(turn, float)
    return Text(at, what, size, colour, anchor, turn)


def spread(places: list[float], pitch: float, low: float, high: float) -> list[float]:
    """Rising places moved apart to at least `pitch`, near where they were, between `low` and `high` if they fit."""
    if not places:
        return []
    # neighbours that crowd are pooled and shared out about their mean
    pools: list[list[float]] = []
    for place in places:
        pools.append([place])
        while len(pools) > 1 and _end(pools[-2], pitch) + pitch > _start(pools[-1], pitch):
            last = pools.pop()
            pools[-1] += last
    found = [_start(pool, pitch) + k * pitch for pool in pools for k in range(len(pool))]
    over = found[-1] - high
    if over > 0:
        for k in range(len(found) - 1, -1, -1):
            found[k] = min(found[k], high - (len(found) - 1 - k) * pitch)
    for k in range(len(found)):
        found[k] = max(found[k], low + k * pitch)
    return found


def _start(pool: list[float], pitch: float) -> float:
    return sum(pool) / len(pool) - (len(pool) - 1) * pitch / 2


def _end(pool: list[float], pitch: float) -> float:
    return sum(pool) / len(pool) + (len(pool) - 1) * pitch / 2


def _running(lengths: list[Dimension], place: Layout, below: bool) -> list[Item]:
    """Running dimensions from the reference plane along one side of the part."""
    if not lengths:
        return []
    frame = place.frame
    sign = 1 if below else -1
    edge = place.bottom if below else place.top
    line_y = edge + sign * 5.0
    text_y = edge + sign * 11.5
    order = sorted(lengths, key=lambda d: d.z)
    xs = [frame.at(d.z, 0)[0] for d in order]
    texts = spread(xs, RUNNING_PITCH, *place.zone)
    origin = frame.x
    items: list[Item] = [
        Line(((min([*xs, origin]), line_y), (max([*xs, origin]), line_y)), BLACK, NARROW),
        Polygon((circle((origin, line_y), 0.9, 24),), WHITE, BLACK, NARROW),
    ]
    marked: set[float] = set()
    for dim, x, tx in zip(order, xs, texts, strict=True):
        start = frame.at(dim.z, dim.r * -sign)
        items.append(
            Line(((x, start[1] + sign * 0.8), (x, line_y + sign * 1.2), (tx, text_y - sign * 0.6)), BLACK, NARROW)
        )
        step = 0.0 if x == origin else math.copysign(1.0, x - origin)
        if step and round(x, 3) not in marked:
            marked.add(round(x, 3))
            close = any(0 < abs(x - other) < 2.6 and (x - other) * step > 0 for other in [*xs, origin])
            if close:
                items.append(Polygon((circle((x, line_y), 0.45, 16),), BLACK))
            else:
                items.append(arrow((x, line_y), (x - step, line_y)))
        anchor = "end" if below else "start"
        items.append(words((tx - 0.9, text_y), dim.words, anchor=anchor, turn=90.0))
        items.append(words((tx + 1.5, text_y), dim.name, SMALL, GREY, anchor=anchor, turn=90.0))
    return items


def _bounding(diameters: list[Dimension], place: Layout) -> dict[Dimension, int]:
    """Diameters that bound the part towards one end, so that a dimension line stands free: -1 rear, +1 front."""
    found: dict[Dimension, int] = {}
    outer = [d for d in diameters if d.path[-1] == "d" and "outside" in d.path and not d.inside]
    for dim in outer:
        if 2 * dim.r * place.frame.scale < LETTER * TYPE * len(dim.words) + 7:
            continue
        for side in (-1, 1):
            free = all(other.r < dim.r for other in outer if other is not dim and (other.z - dim.z) * side > 0)
            if free and sum(s == side for s in found.values()) < 2:
                found[dim] = side
                break
    return found


def _dimension_lines(bounding: dict[Dimension, int], place: Layout) -> list[Item]:
    """Dimension lines of the bounding diameters, the smaller nearer to the part."""
    items: list[Item] = []
    for side in (-1, 1):
        x = place.left - 5 if side < 0 else place.right + 5
        for dim in sorted((d for d, s in bounding.items() if s == side), key=lambda d: d.r):
            upper, lower = place.frame.at(dim.z, dim.r), place.frame.at(dim.z, -dim.r)
            ends = (x, upper[1]), (x, lower[1])
            for corner, end in zip((upper, lower), ends, strict=True):
                items.append(Line(((corner[0], corner[1]), (end[0] + side * 1.2, end[1])), BLACK, NARROW))
            items.append(Line(ends, BLACK, NARROW))
            items += [arrow(ends[0], ends[1]), arrow(ends[1], ends[0])]
            long = LETTER * max(TYPE * len(dim.words), SMALL * len(dim.name)) / 2
            low, high = place.frame.y - long, place.frame.y + long
            # no line may cross the words (ISO 129-1): leaders are interrupted here
            for near, far in ((x - 3.1, x - 0.4), (x + 0.4, x + 2.6)):
                items.append(Polygon((((near, low), (far, low), (far, high), (near, high)),), WHITE))
            items.append(words((x - 1.7, place.frame.y), dim.words, anchor="middle", turn=90.0))
            items.append(words((x + 1.4, place.frame.y), dim.name, SMALL, GREY, anchor="middle", turn=90.0))
            x += side * 7.5
    return items


class _Leader(NamedTuple):
    """A leader: the point it shows on paper, its words and their explanation."""

    at: Point
    words: str
    name: str


def _leaders(half: Half, diameters: list[Dimension], place: Layout, inset: tuple[float, float]) -> list[Item]:
    """Leaders with their words in a column on either side; `inset`: room the dimension lines take there [mm]."""
    shown = [
        _Leader(place.frame.at(d.z, d.r if d.inside else -d.r), d.words, d.name) for d in diameters
    ]
    shown += _thread_leaders(half, place)
    shown.sort(key=lambda leader: leader.at[0])
    # the frontmost go to the right, so that both columns are of a length
    half_way = (len(shown) + 1) // 2
    items: list[Item] = []
    low, high = BORDER + 6, place.height - BORDER - FOOT - 6
    for side, column in ((-1, shown[:half_way]), (1, shown[half_way:])):
        column = sorted(column, key=lambda leader: (leader.at[1], -side * leader.at[0]))
        ys = spread([leader.at[1] for leader in column], LEADER_PITCH, low, high)
        if side < 0:
            x = min(place.left - 9 - inset[0], place.zone[0] - 5)
        else:
            x = max(place.right + 9 + inset[1], place.zone[1] + 5)
        for leader, y in zip(column, ys, strict=True):
            length = LETTER * max(TYPE * len(leader.words), SMALL * len(leader.name))
            items.append(Line((leader.at, (x, y), (x + side * length, y)), BLACK, NARROW))
            items.append(arrow(leader.at, (x, y), 1.9))
            anchor = "end" if side < 0 else "start"
            items.append(words((x + side * 0.8, y - 1.5), leader.words, anchor=anchor))
            items.append(words((x + side * 0.8, y + 1.3), leader.name, SMALL, GREY, anchor=anchor))
    return items


def _thread_leaders(half: Half, place: Layout) -> list[_Leader]:
    """Designations of the coupling threads, on their crests."""
    found: list[_Leader] = []
    bodies = [(half.shell, half.shell.outside, half.thread, False)]
    if half.nut is not None:
        bodies.append((half.nut.body, half.nut.body.inside, half.nut.thread, True))
    for body, steps, thread, inside in bodies:
        if thread is None:
            continue
        for surface in surfaces(body, steps, thread, inside):
            if surface.thread:
                z = (surface.z_front + surface.z_back) / 2
                above = inside or covered(half, "shell", z, surface.r_front)
                at = place.frame.at(z, surface.r_front if above else -surface.r_front)
                found.append(_Leader(at, thread_words(thread), "coupling thread"))
    return found


def _notes(notes: list[Dimension], place: Layout) -> list[Item]:
    """Numbers that no line can show, in two columns at the foot."""
    top = place.height - BORDER - FOOT + 3
    items: list[Item] = [words((BORDER + 3, top), "Further numbers", SMALL + 0.2)]
    for k, note in enumerate(notes):
        at = (BORDER + 3 + 78 * (k // 8), top + 4.0 + 3.5 * (k % 8))
        items.append(words(at, f"{note.name}: {note.words}", SMALL + 0.15))
    return items


def _title(half: Half, scale: float, place: Layout) -> list[Item]:
    """The title block with scale, projection and the meaning of the marks."""
    width = 118.0
    left, top = place.width - BORDER - width, place.height - BORDER - FOOT + 2
    right, bottom = place.width - BORDER, place.height - BORDER
    box = ((left, top), (right, top), (right, bottom), (left, bottom))
    measures = [m for _, m in walk(half)]
    grades = [g for g in MARKS if any(m.grade is g for m in measures)]
    weak = sum(m.grade is Grade.MEMORY_LOW for m in measures)
    marks = "; ".join(f"{MARKS[g]} {MARK_WORDS[g]}" for g in grades)
    ratio = f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}"
    items: list[Item] = [Polygon((box,), WHITE, BLACK, WIDE)]
    for y in (top + 9, top + 15.5):
        items.append(Line(((left, y), (right, y)), BLACK, NARROW))
    items.append(Line(((right - 34, top), (right - 34, top + 9)), BLACK, NARROW))
    items.append(words((left + 2.5, top + 4.6), half.name, 3.6))
    items.append(words((right - 32, top + 3.0), f"scale {ratio}", 2.4))
    items.append(words((right - 32, top + 6.6), half.id, SMALL, GREY))
    items += _projection((right - 7.5, top + 5.8))
    lines = _broken(gender_words(half), (width - 5) / (LETTER * SMALL))
    items.append(words((left + 2.5, top + 12.2), "mm; lengths from the reference plane (0), + towards the mate", 2.0))
    y = top + 18
    if marks:
        items.append(words((left + 2.5, y), marks, SMALL))
        y += 3
    if weak:
        text = f"Weak: {weak} of {len(measures)} numbers are only weakly remembered. Not for gauges."
        items.append(words((left + 2.5, y), text, SMALL))
        y += 3
    for line in lines[: int((bottom - y - 0.6) / 2.7) + 1]:
        items.append(words((left + 2.5, y), line, SMALL, GREY))
        y += 2.7
    return items


def _broken(text: str, letters: float) -> list[str]:
    """Text in lines of so many letters."""
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > letters:
            lines.append(word)
        else:
            lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _projection(at: Point) -> list[Item]:
    """The sign of third-angle projection (ISO 5456-2): the cone's end on its left."""
    x, y = at
    cone = ((x + 0.6, y - 1.0), (x + 4.6, y - 1.9), (x + 4.6, y + 1.9), (x + 0.6, y + 1.0))
    return [
        Polygon((circle((x - 2.4, y), 1.9, 32),), None, BLACK, NARROW),
        Polygon((circle((x - 2.4, y), 1.0, 32),), None, BLACK, NARROW),
        Polygon((cone,), None, BLACK, NARROW),
    ]


def _views(half: Half, place: Layout) -> list[Item]:
    """Half section and face-on view with their axes and the reference plane."""
    frame = place.frame
    reach = face.reach(half) * frame.scale
    items = [inked(item) for item in section.parts(half, frame)]
    for region in cut_regions(half, 0.0):
        if region.role == "insulator":
            outline = frame.all(region.outline)
            for lean in (45.0, -45.0):
                items += [inked(line) for line in hatch((outline,), 1.6, lean, BLACK, NARROW)]
    items += [inked(item) for item in face.parts(half, place.face_at, frame.scale)]
    dash = (6.0, 1.0, 1.0, 1.0)
    x, y = place.face_at
    items.append(Line(((place.left - 3, frame.y), (place.right + 3, frame.y)), BLACK, NARROW, dash))
    items.append(Line(((x - reach - 3, y), (x + reach + 3, y)), BLACK, NARROW, dash))
    items.append(Line(((x, y - reach - 3), (x, y + reach + 3)), BLACK, NARROW, dash))
    ends = ((frame.x, place.top - 5.0), (frame.x, place.bottom + 5.0))
    items.append(Line(ends, BLACK, NARROW, (6.0, 1.0, 1.0, 1.0, 1.0, 1.0)))
    items.append(words((x, y + reach + 7), "face on", TYPE, GREY, anchor="middle"))
    return items


def dimensioned(half: Half, scale: float | None = None) -> Drawing:
    """The half in section and face on with every number of its table, on the smallest A sheet that holds it.

    `scale`: paper millimetres for one of the part; without it the largest of ISO 5455 that fits A4. Raises
    InputError where not even A0 holds the drawing.
    """
    scale = scale or best_scale(half)
    place = layout(half, scale)
    found = dimensions(half)
    lengths = [d for d in found if d.kind == "length"]
    diameters = [d for d in found if d.kind == "diameter"]
    bounding = _bounding(diameters, place)
    inset = tuple(sum(s == side for s in bounding.values()) * 7.5 for side in (-1, 1))
    border = ((BORDER, BORDER), (place.width - BORDER, BORDER),
              (place.width - BORDER, place.height - BORDER), (BORDER, place.height - BORDER))  # fmt: skip
    items: list[Item] = [Polygon((border,), None, BLACK, 0.7)]
    items += _views(half, place)
    items += _running([d for d in lengths if d.inside], place, below=False)
    items += _running([d for d in lengths if not d.inside], place, below=True)
    items += _leaders(half, [d for d in diameters if d not in bounding], place, (inset[0], inset[1]))
    items += _dimension_lines(bounding, place)
    items += _notes([d for d in found if d.kind == "note"], place)
    items += _title(half, scale, place)
    title = f"{half.name}, dimensioned drawing, scale {scale:g} : 1"
    return Drawing(place.width, place.height, title, WHITE, tuple(items), scale)
