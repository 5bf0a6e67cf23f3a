"""The named port on the bench, with what fits it and what looks like it, all at one scale and from one side."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import BODY, SMALL, STEP
from coaxtell.window.kit.widgets import mark
from coaxtell.window.views.in_hand import InHand
from coaxtell.window.views.scales import ground, scale_bar
from coaxtell.window.views.shortlist import MOST_LINES, Place, Standing, stand
from coaxtell.window.views.viewpoints import SIDES, draw_half

ALIKE = 0.6
"""How much of a look-alike is seen: the named port and what fits it come first."""

LEAST = 72.0
"""The named port is no smaller than this as long as others can give way [units]."""
MARK = 26.0
"""Room for the tick or dash before a caption [units]."""


class Beside(NamedTuple):
    """A half beside the named one, and whether it fits it or only looks like it."""

    half: Half
    fits: bool


def _ways(box: Box, one: Standing, others: list[Standing], caption: float) -> list[tuple[list[Place], float]]:
    """The named port first, the others after it in one to three rows, each way at the largest common scale."""
    ways = [[[one, *others[:k]], others[k:]] for k in range(len(others) + 1)]
    ways += [[[one, *others[:k]], others[k : k + 1], others[k + 1 :]] for k in range(len(others))]
    return [stand(box, [row for row in way if row], caption) for way in ways]


def _whole(type_: Type, words: str, size: float, bold: bool, width: float, tall: float) -> bool:
    """Whether words stand in a box without a word broken or a line too many."""
    longest = max(type_.width(word, size, bold) for word in words.split())
    return longest <= width and len(type_.folded(words, size, width, bold)) * type_.line(size, bold) <= tall


def placed(
    type_: Type, box: Box, one: Standing, others: list[Standing], captions: list[str]
) -> tuple[list[Place], float]:
    """Where the named port and its company stand, at the largest common scale [units per mm] that leaves every caption
    whole; where there is none for all of them, or the port would be small, the last give way: they are told in the
    column."""
    body = type_.line(BODY, True)
    for count in range(len(others), -1, -1):
        found = [
            way
            for lines in range(1, MOST_LINES + 1)
            for way in _ways(box, one, others[:count], lines * body + STEP)
            if _whole(type_, one.half.name, BODY, True, way[0][0].room, lines * body)
            and all(_whole(type_, words, SMALL, False, place.room - MARK, lines * body)
                    for words, place in zip(captions, way[0][1:], strict=False))
        ]  # fmt: skip
        best = max(found, key=lambda way: way[1], default=None)
        if best is not None and (2 * one.reach * best[1] >= LEAST or not count):
            return best
    return _ways(box, one, [], MOST_LINES * body + STEP)[0]


def draw(pen: Pen, box: Box, desk: Desk, in_hand: InHand, view: str, beside: list[Beside]) -> None:
    """Draw the port that turns and its company."""
    port = in_hand.half
    assert port is not None
    small, body = pen.type.line(SMALL), pen.type.line(BODY, True)
    room = Box(box.x + 2 * STEP, box.y, box.w - 4 * STEP, box.h - small - 2 * STEP)

    def standing(half: Half) -> Standing:
        return Standing(half, 1.0, desk.art.extent(half).reach)

    captions = [f"{'fits' if one.fits else 'alike'}: {one.half.name}" for one in beside]
    places, per_mm = placed(pen.type, room, standing(port), [standing(one.half) for one in beside], captions)
    pen.grid(ground(box), per_mm, (places[0].x, places[0].y))
    first, *others = places
    if view == "face on" and desk.pictures.why:
        radius = desk.art.extent(port).radius * per_mm
        pen.shape(desk.art.face(port, pen.palette), (first.x, first.y), per_mm,
                  Box(first.x - radius, first.y - radius, 2 * radius, 2 * radius), f"{port.id} face")  # fmt: skip
    else:
        square = Box(first.x - first.reach, first.y - first.reach, 2 * first.reach, 2 * first.reach)
        in_hand.draw(pen, square, square.w)
    under = Box(first.x - first.room / 2, first.y + first.reach + STEP / 2, first.room, body)
    pen.lines(port.name, under, BODY, pen.palette.text, True, "middle")
    # those that had no room give way
    for place, one, caption in zip(others, beside, captions, strict=False):
        draw_half(pen, desk, place.half, (place.x, place.y), per_mm, 1.0 if one.fits else ALIKE, SIDES[view])
        folded = pen.type.folded(caption, SMALL, place.room - MARK)
        top = place.y + place.reach + STEP / 2 + (body - small) / 2
        left = place.x - (max(pen.type.width(line, SMALL) for line in folded) - MARK) / 2
        mark(pen, Box(left - MARK, top + (small - 18) / 2, 18, 18), True if one.fits else None)
        for i, line in enumerate(folded):
            pen.words(line, (left, top + i * small), SMALL, pen.palette.fits if one.fits else pen.palette.quiet)
    scale_bar(pen, box, per_mm)
