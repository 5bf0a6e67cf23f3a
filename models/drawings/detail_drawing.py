"""The dimensioned drawing of a half: half section and face on, by drawing-office convention, on white paper.

Lines and hatching after ISO 128 (visible edges 0.35 mm, all else 0.18 mm, axis long-dashed dotted), dimensions after
ISO 129-1: lengths as running dimensions from the reference plane, diameters on dimension lines where they bound the
part and on leaders elsewhere. Scales after ISO 5455, sheets after ISO 216, views in third-angle projection.
"""

from __future__ import annotations

import math

from coaxtell.models.catalogue import tell
from coaxtell.models.drawings import face, section
from coaxtell.models.drawings.annotation import (
    BLACK,
    GREY,
    NARROW,
    SMALL,
    TYPE,
    WHITE,
    WIDE,
    Leader,
    arrow,
    levelled,
    spread,
    uncrossed,
    words,
    words_length,
)
from coaxtell.models.drawings.detail_foot import BORDER, foot
from coaxtell.models.drawings.detail_layout import (
    EDGE,
    FIRST_LINE,
    LEADER_PITCH,
    LINE_PITCH,
    RISE,
    RUNNING_PITCH,
    Layout,
    best_scale,
    bounding_diameters,
    layout,
)
from coaxtell.models.drawings.dimensions import Dimension, covered, dimensions, thread_words
from coaxtell.models.drawings.drawing import Anchor, Drawing, Item, Line, Point, Polygon, Text, circle, hatch
from coaxtell.models.drawings.outlines import cut_regions
from coaxtell.models.half import Half
from coaxtell.models.surfaces import surfaces

LEAN = 0.25
"""Least rise of a leader over its run: one that lies along an edge or an axis cannot be followed (ISO 128-2)."""


def inked(item: Item) -> Item:
    """A shape of a coloured picture in the lines of a drawing office: no colour, two widths of line."""
    if isinstance(item, Polygon):
        edge = None if item.stroke is None else BLACK
        return item._replace(fill=None if item.fill is None else WHITE, stroke=edge, width=WIDE)
    if isinstance(item, Line):
        return item._replace(stroke=BLACK, width=NARROW)
    return item


def _running(lengths: list[Dimension], place: Layout, below: bool) -> list[Item]:
    """Running dimensions from the reference plane along one side of the part."""
    if not lengths:
        return []
    frame = place.frame
    sign = 1 if below else -1
    edge = place.bottom if below else place.top
    line_y = edge + sign * 5.0
    text_y = edge + sign * RISE
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
        anchor: Anchor = "end" if below else "start"
        items.append(words((tx - 0.9, text_y), dim.words, anchor=anchor, turn=90.0))
        items.append(words((tx + 1.5, text_y), dim.name, SMALL, GREY, anchor=anchor, turn=90.0))
    return items


def _dimension_lines(bounding: dict[Dimension, int], place: Layout) -> tuple[list[Item], dict[int, list[Leader]]]:
    """Dimension lines of the bounding diameters, the smaller nearer to the part, and by side what leads to their words.

    The words stand with those of the leaders, on a line of their own to the dimension line (ISO 129-1): beside it
    every leader of that side would run through them.
    """
    items: list[Item] = []
    led: dict[int, list[Leader]] = {-1: [], 1: []}
    for side in (-1, 1):
        x = place.left - FIRST_LINE if side < 0 else place.right + FIRST_LINE
        for dim in sorted((d for d, s in bounding.items() if s == side), key=lambda d: d.r):
            upper, lower = place.frame.at(dim.z, dim.r), place.frame.at(dim.z, -dim.r)
            ends = (x, upper[1]), (x, lower[1])
            for corner, end in zip((upper, lower), ends, strict=True):
                items.append(Line(((corner[0], corner[1]), (end[0] + side * 1.2, end[1])), BLACK, NARROW))
            items.append(Line(ends, BLACK, NARROW))
            items += [arrow(ends[0], ends[1]), arrow(ends[1], ends[0])]
            slide = (upper[1] + 3.0, lower[1] - 3.0)
            led[side].append(Leader((x, place.frame.y + 1.0), dim.words, dim.name, slide))
            x += side * LINE_PITCH
    return items, led


def _leaders(half: Half, diameters: list[Dimension], led: dict[int, list[Leader]], place: Layout) -> list[Item]:
    """Leaders with their words in a column on either side; `led` by side: those to dimension lines."""
    shown = [Leader(place.frame.at(d.z, d.r if d.inside else -d.r), d.words, d.name) for d in diameters]
    shown += _thread_leaders(half, place)
    shown.sort(key=lambda leader: leader.at[0])
    # the frontmost go to the right, so that both columns are of a length
    half_way = max((len(shown) + len(led[1]) - len(led[-1]) + 1) // 2, 0)
    items: list[Item] = []
    for side, x, column in (
        (-1, place.columns[0], led[-1] + shown[:half_way]),
        (1, place.columns[1], shown[half_way:] + led[1]),
    ):
        # led away from the axis, so that no leader lies along an edge
        wanted = [
            leader.at[1]
            if leader.slide
            else leader.at[1] + math.copysign(LEAN, leader.at[1] - place.frame.y - 1e-6) * abs(x - leader.at[0])
            for leader in column
        ]
        order = sorted(range(len(column)), key=lambda k: wanted[k])
        # between the words of the running dimensions above and below, unless so many need more room
        most = (len(column) - 1) * LEADER_PITCH / 2
        low, high = min(place.top - 9, place.frame.y - most), max(place.bottom + 9, place.frame.y + most)
        ys = spread([wanted[k] for k in order], LEADER_PITCH, low, high)
        for leader, y in zip(levelled(uncrossed([column[k] for k in order], x, ys), x, ys), ys, strict=True):
            length = words_length(leader.words, leader.name)
            items.append(Line((leader.at, (x, y), (x + side * length, y)), BLACK, NARROW))
            if leader.slide is None:
                items.append(arrow(leader.at, (x, y), 1.9))
            anchor: Anchor = "end" if side < 0 else "start"
            items.append(words((x + side * 0.8, y - 1.5), leader.words, anchor=anchor))
            items.append(words((x + side * 0.8, y + 1.3), leader.name, SMALL, GREY, anchor=anchor))
    return items


def _thread_leaders(half: Half, place: Layout) -> list[Leader]:
    """Designations of the coupling threads, on their crests."""
    found: list[Leader] = []
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
                found.append(Leader(at, thread_words(thread), tell("dimension.thread")))
    return found


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
    items += [inked(_upright(item, place.face_at)) for item in face.parts(half, place.face_at, frame.scale)]
    dash = (6.0, 1.0, 1.0, 1.0)
    x, y = place.face_at
    items.append(Line(((place.left - 3, frame.y), (place.right + 3, frame.y)), BLACK, NARROW, dash))
    items.append(Line(((x - reach - 3, y), (x + reach + 3, y)), BLACK, NARROW, dash))
    items.append(Line(((x, y - reach - 3), (x, y + reach + 3)), BLACK, NARROW, dash))
    ends = ((frame.x, place.top - 5.0), (frame.x, place.bottom + 5.0))
    items.append(Line(ends, BLACK, NARROW, (6.0, 1.0, 1.0, 1.0, 1.0, 1.0)))
    items.append(words((x, y + reach + 7), tell("dimension.face"), TYPE, GREY, anchor="middle"))
    return items


def _upright(item: Item, axis: Point) -> Item:
    """A shape seen face on with what the section shows on top turned upwards, a quarter turn to the left."""

    def rotated(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((axis[0] + y - axis[1], axis[1] - (x - axis[0])) for x, y in points)

    if isinstance(item, Polygon):
        return item._replace(outlines=tuple(rotated(outline) for outline in item.outlines))
    assert isinstance(item, Line)
    return item._replace(points=rotated(item.points))


def detail(half: Half, scale: float | None = None) -> Drawing:
    """The half in section and face on with every number of its table, on the smallest A sheet that holds it.

    `scale`: paper millimetres for one of the part; without it the largest of ISO 5455 that fits A4. Raises
    InputError where not even A0 holds the drawing.
    """
    scale = scale or best_scale(half)
    place = layout(half, scale)
    found = dimensions(half)
    lengths = [d for d in found if d.kind == "length"]
    diameters = [d for d in found if d.kind == "diameter"]
    bounding = bounding_diameters(diameters, place.frame.scale)
    views = _views(half, place)
    views += _running([d for d in lengths if d.inside], place, below=False)
    views += _running([d for d in lengths if not d.inside], place, below=True)
    beside, led = _dimension_lines(bounding, place)
    views += beside
    views += _leaders(half, [d for d in diameters if d not in bounding], led, place)
    width, height = place.sheet
    right, bottom = width - BORDER, height - BORDER
    border = ((BORDER, BORDER), (right, BORDER), (right, bottom), (BORDER, bottom))
    items: list[Item] = [Polygon((border,), None, BLACK, 0.7)]
    items += [_grown(item, place.grown) for item in views]
    items += foot(half, scale, (right, bottom))
    title = tell("dimension.title", half=half.name, scale=scale)
    return Drawing(width, height, title, WHITE, tuple(items), scale)


def _grown(item: Item, times: float) -> Item:
    """A shape laid out within the edge, as large as it comes to stand on the sheet; lines keep their width."""

    def placed(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((EDGE + times * x, EDGE + times * y) for x, y in points)

    if isinstance(item, Text):
        return item._replace(at=placed((item.at,))[0], size=times * item.size)
    if isinstance(item, Line):
        return item._replace(points=placed(item.points))
    return item._replace(outlines=tuple(map(placed, item.outlines)))
