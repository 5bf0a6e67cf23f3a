"""The shortlist on the bench: what is still possible, all at one scale, standing by size, fading as answers come."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.identifier.identification import percent
from coaxtell.models.half import Half
from coaxtell.window.bench import beside_bar, scale_bar
from coaxtell.window.desk import Desk
from coaxtell.window.geometry import Box
from coaxtell.window.pen import Pen
from coaxtell.window.render_worker import Job
from coaxtell.window.theme import SMALL, STEP
from coaxtell.window.turner import START

POSSIBLE = 0.004
"""A half less likely than this no longer stands on the bench."""
SCALES = (3.0, 4.5, 7.0, 10.0, 15.0, 22.0, 32.0)
"""Scales at which the small pictures are made [px per mm]; shown at any scale between."""
FAINTEST = 0.3
"""How much of an improbable half is still seen."""


class Place(NamedTuple):
    """A half in its place: middle and half width [units], and its probability."""

    half: Half
    x: float
    y: float
    reach: float
    probability: float


def arrange(
    box: Box, halves: list[tuple[Half, float, float]], caption: float, gap: float = STEP
) -> tuple[list[Place], float]:
    """Rows of halves (with their probability and reach [mm]) in a box at the largest common scale [units per mm].

    Each stands over a caption of `caption` [units].
    """
    order = sorted(halves, key=lambda row: (row[2], row[0].id))
    best: tuple[float, list[list[tuple[Half, float, float]]]] = (0.0, [])
    for rows in range(1, 7):
        per_row = -(-len(order) // rows)
        split = [order[i : i + per_row] for i in range(0, len(order), per_row)]
        wide = min((box.w - gap * (len(row) + 1)) / sum(2 * r for _, _, r in row) for row in split)
        tall = (box.h - len(split) * (caption + gap)) / sum(max(2 * r for _, _, r in row) for row in split)
        scale = min(wide, tall)
        if scale > best[0]:
            best = (scale, split)
    scale, split = best
    places: list[Place] = []
    used = sum(max(2 * r for _, _, r in row) * scale + caption + gap for row in split)
    y = box.y + max(0.0, (box.h - used) / 2)
    for row in split:
        tallest = max(2 * r for _, _, r in row) * scale
        width = sum(2 * r for _, _, r in row) * scale
        space = (box.w - width) / (len(row) + 1)
        x = box.x + space
        for half, probability, reach in row:
            places.append(Place(half, x + reach * scale, y + tallest - reach * scale, reach * scale, probability))
            x += 2 * reach * scale + space
        y += tallest + caption + gap
    return places, scale


def _space(place: Place, places: list[Place], box: Box) -> float:
    """Width [units] that a caption under a half has before it meets the next one's or the edge."""
    foot = place.y + place.reach
    beside = [abs(p.x - place.x) for p in places if p is not place and abs(p.y + p.reach - foot) < 1]
    edges = [2 * (place.x - box.x), 2 * (box.right - place.x)]
    return min([*beside, *edges]) - STEP


def draw_half(pen: Pen, desk: Desk, place: Place, per_mm: float, alpha: float) -> None:
    """One half: its picture where there is one, else its face."""
    square = Box(place.x - place.reach, place.y - place.reach, 2 * place.reach, 2 * place.reach)
    found = None
    if not desk.pictures.why:
        wanted = per_mm * pen.type.scale
        made_at = next((s for s in SCALES if s >= wanted), SCALES[-1])
        side = max(32, round(2 * desk.art.extent(place.half).reach * made_at))
        side += -side % 4
        job = Job(place.half.id, START[0], START[1], False, side, made_at, False)
        found = desk.pictures.want(job)
    if found is not None:
        pen.picture(square, found, place.half.id, round(alpha, 2))
        return
    radius = desk.art.extent(place.half).radius * per_mm
    area = Box(place.x - radius, place.y - radius, 2 * radius, 2 * radius)
    pen.shape(desk.art.face(place.half, pen.palette), (place.x, place.y), per_mm, area, place.half.id, round(alpha, 1))


def draw(pen: Pen, box: Box, desk: Desk, ranked: list[tuple[Half, float]]) -> None:
    """All that is possible, on the grid, each with its name and a bar as long as it is probable."""
    shown = [(half, p, desk.art.extent(half).reach) for half, p in ranked if p >= POSSIBLE] or [
        (half, p, desk.art.extent(half).reach) for half, p in ranked[:1]
    ]
    small = pen.type.line(SMALL)
    foot = small + 3 * STEP
    room = Box(box.x + STEP, box.y, box.w - 2 * STEP, box.h - foot)
    # names only where all of them find room
    places, per_mm = arrange(room, shown, 2 * small + STEP)
    named = all(pen.type.width(p.half.name, SMALL) <= _space(p, places, box) for p in places)
    if not named:
        places, per_mm = arrange(room, shown, STEP + 6)
    origin = (places[0].x, places[0].y + places[0].reach)
    pen.grid(Box(0, 0, box.w, box.bottom), per_mm, origin)
    most = max(p for _, p, _ in shown)
    for place in places:
        share = place.probability / most
        draw_half(pen, desk, place, per_mm, FAINTEST + (1 - FAINTEST) * share**0.5)
        wide = 2 * min(place.reach, 48.0)
        top = place.y + place.reach + 2
        pen.fill(Box(place.x - wide / 2, top, wide, 4), pen.palette.grid_coarse, 2)
        pen.fill(Box(place.x - wide / 2, top, max(3.0, wide * place.probability), 4), pen.palette.action, 2)
        if named:
            pen.words(place.half.name, (place.x, top + 6), SMALL, pen.palette.text, share > 0.999, "middle")
            pen.words(percent(place.probability), (place.x, top + 6 + small), SMALL, pen.palette.quiet,
                      anchor="middle")  # fmt: skip
    gone = len(ranked) - len(shown)
    best_half, best = ranked[0]
    words = f"{len(shown)} still possible" + (f", {gone} as good as ruled out" if gone else "")
    if not named:
        words += f"; likeliest {best_half.name}, {percent(best)}"
    words = pen.type.shortened(words, SMALL, beside_bar(pen, box, per_mm))
    pen.words(words, (box.x + 3 * STEP, box.bottom - small - STEP), SMALL, pen.palette.quiet)
    scale_bar(pen, box, per_mm)
