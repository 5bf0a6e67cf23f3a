"""The bench after an answer: the pair cut open where it stops, with its names, what decides and what limits it."""

from __future__ import annotations

import math

from coaxtell.models.cut_threads import meshing_turn
from coaxtell.models.drawings.outlines import overlaps
from coaxtell.models.half import Half
from coaxtell.models.mating import deciding
from coaxtell.models.mating.mate import Verdict, couplings_fit
from coaxtell.quiz.item import Explanation
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Anchor, Patch, Pen, Point
from coaxtell.window.kit.theme import LARGE, SMALL, STEP
from coaxtell.window.views import deciding as mark
from coaxtell.window.views import limits, pair
from coaxtell.window.views.scales import THIN, ground, scale_bar

LOW = 280.0
"""Under this height [units] what stands under the pair goes beside it where that makes it larger."""
PAIR_SHARE = 0.55
"""Share of such a bench that the pair has beside its limits."""


def draw_pair(pen: Pen, box: Box, desk: Desk, told: Explanation, distance: float) -> None:
    """The pair at a distance of its reference planes [mm]; the place that decides is marked where it stops."""
    assert told.pair is not None
    one, two = (desk.half(half_id) for half_id in told.pair)
    a, b = desk.art.extent(one), desk.art.extent(two)
    place, low = deciding.deciding(one, two), box.h < LOW
    count = len(limits.scales(one, two)) if desk.mating(one, two).verdict is Verdict.LIMITS else 0
    foot = 0.0 if low else limits.height(pen, count)
    whole = box
    if low and count:
        box = box._replace(w=PAIR_SHARE * box.w)
    top = STEP + mark.height(pen.type, place, box.w) + (1.5 if low else 3) * STEP
    inner = Box(box.x + 3 * STEP, box.y + top, box.w - 6 * STEP, box.h - top - 3 * STEP - foot)
    names, ohms = _names(one, two, low)
    wide = a.length + b.length + 6.0 + max(0.0, told.stop_mm - (a.front + b.front + 6.0))
    tall = 2 * max(a.radius, b.radius)
    under = pen.type.line(SMALL) + STEP + (pen.type.line(LARGE) if ohms else 0.0)
    left_out = max(pen.type.width(name, SMALL, True) for name in names) + STEP
    over = inner._replace(h=inner.h - under)
    between = inner._replace(x=inner.x + left_out, w=inner.w - 2 * left_out)
    aside = low and min(between.w / wide, between.h / tall) > min(over.w / wide, over.h / tall)
    room = between if aside else over
    per_mm = min(room.w / wide, room.h / tall)
    left, axis = room.middle[0] - (a.rear + distance - b.rear) / 2 * per_mm, room.middle[1]
    pen.grid(ground(whole), per_mm, (left, axis))
    turns = (meshing_turn(one, two, distance) / math.tau, meshing_turn(two, one, distance) / math.tau)
    pair.draw(pen, desk, (one, two), (left, axis), distance, per_mm, turns)
    pen.line((inner.x, axis), (inner.right, axis), pen.palette.quiet, 1)
    if aside:
        _written(pen, names, (inner.x, inner.right), axis - pen.type.line(SMALL) - STEP / 2, SMALL)
    else:
        ends = _spread(pen, names, inner, left + a.rear * per_mm, left + (distance - b.rear) * per_mm)
        y = axis + tall / 2 * per_mm + STEP / 2
        _written(pen, ohms, ends, y, LARGE)
        _written(pen, names, ends, y + (pen.type.line(LARGE) if ohms else 0.0), SMALL)
    if distance <= told.stop_mm + 1e-6:
        if place.kind in ("harm", "stop"):
            _outlined(pen, one, two, left, axis, per_mm)
        mark.draw(pen, Box(box.x, box.y + STEP, box.w, pen.type.line(SMALL)), place, (left, axis), per_mm)
    if foot:
        limits.draw(pen, Box(inner.x, over.bottom + under + STEP, inner.w, foot), desk, one, two)
    elif count:
        beside = Box(box.right, box.y + STEP, whole.right - box.right - 2 * STEP, box.h - 2 * STEP)
        limits.draw(pen, beside, desk, one, two, limits.fitting(pen, count, beside.h))
    scale_bar(pen, box, per_mm)


def _names(one: Half, two: Half, low: bool) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What the halves are called; and, large, their impedances where these differ, since a section hardly shows what
    limits such a pair. In a low box an impedance stands in the name."""
    names = (one.name, two.name)
    if one.impedance_ohm is None or two.impedance_ohm is None or one.impedance_ohm == two.impedance_ohm:
        return names, ()
    figures = [f"{half.impedance_ohm:g}" for half in (one, two)]
    ohms = tuple(f"{figure}{THIN}ohm" for figure in figures)
    if not low:
        return names, ohms
    told = zip(names, figures, ohms, strict=True)
    return tuple(name if f"{figure} ohm" in name else f"{name}, {ohm}" for name, figure, ohm in told), ()


def _spread(pen: Pen, names: tuple[str, ...], box: Box, first: float, last: float) -> Point:
    """Where the two names begin and end: at the ends of the pair, further out where they have no room between."""
    lack = sum(pen.type.width(name, SMALL, True) for name in names) + 2 * STEP - (last - first)
    out = max(0.0, lack / 2)
    return max(box.x, first - out), min(box.right, last + out)


def _written(pen: Pen, words: tuple[str, ...], ends: Point, top: float, size: float) -> None:
    """The words of the two halves, from the left and to the right."""
    anchors: tuple[Anchor, Anchor] = ("left", "right")
    for said, x, anchor in zip(words, ends, anchors, strict=False):
        pen.words(said, (x, top), size, pen.palette.text, True, anchor)


def _outlined(pen: Pen, one: Half, two: Half, left: float, axis: float, per_mm: float) -> None:
    """What would share space at the seat, as an outline in the colour of harm where half A has it."""
    patches = tuple(
        Patch(tuple((z, -sign * r) for z, r in outline), None, pen.palette.harm)
        for found in overlaps(one, two, 0.0, couplings_fit(one, two))
        for outline in found.outlines
        for sign in (1, -1)
    )
    if patches:
        xs = [x for patch in patches for x, _ in patch.points]
        ys = [y for patch in patches for _, y in patch.points]
        area = Box(left + min(xs) * per_mm, axis + min(ys) * per_mm, (max(xs) - min(xs)) * per_mm,
                   (max(ys) - min(ys)) * per_mm)  # fmt: skip
        pen.shape(patches, (left, axis), per_mm, area, "would be in the way")
