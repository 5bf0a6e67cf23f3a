"""Two halves on one axis over the grid: their names, how far apart they are, what touches first and what holds."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.mating.contacts import contact
from coaxtell.models.profile import profile
from coaxtell.window.desk.caught import caught
from coaxtell.window.desk.pairing import Pairing
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import BODY, LARGE, SMALL, STEP
from coaxtell.window.views import deciding, pair
from coaxtell.window.views.scales import dimension, ground, mm, scale_bar

LEAST_PER_MM = 0.5
"""Smallest scale, however low the bench [units per mm]."""
UNDER = 56.0
"""Room for the dimension line under the halves [units]."""


class Frame(NamedTuple):
    """Where everything stands [units]: the picture, its axis, the left half's plane, the top of the halves; scale."""

    picture: Box
    axis: float
    left: float
    top: float
    per_mm: float


def _names_tall(pen: Pen, width: float, pairing: Pairing) -> float:
    """Height of the names over the halves [units]."""
    room = width / 2 - 4 * STEP
    lines = max(len(pen.type.folded(half.name, BODY, room, True)) for half in (pairing.one, pairing.two))
    return lines * pen.type.line(BODY, True)


def over(pen: Pen, width: float, pairing: Pairing) -> float:
    """Room over the halves for their names and for what touches, the same at every distance [units]."""
    return _names_tall(pen, width, pairing) + deciding.height(pen.type, pairing.place, width) + 2 * STEP


def _told(pairing: Pairing) -> list[tuple[str, str]]:
    """What holds, what is left to the stop, what the centre contacts do: at this distance."""
    return [
        caught(pairing.coupling, pairing.one, pairing.two, pairing.distance),
        ("to the stop", mm(max(0.0, pairing.distance - pairing.stop))),
        _centres(pairing),
    ]


def figures_tall(pen: Pen, width: float, pairing: Pairing) -> float:
    """Height of the figures under the picture [units]."""
    room = (width - 4 * STEP) / 3 - STEP
    lines = max(len(pen.type.folded(words, SMALL, room)) for words, _ in _told(pairing))
    values = max(len(pen.type.folded(value, LARGE, room, True)) for _, value in _told(pairing))
    return lines * pen.type.line(SMALL) + values * pen.type.line(LARGE, True) + 2 * pen.type.line(SMALL) + STEP


def frame(pen: Pen, box: Box, pairing: Pairing) -> Frame:
    """One scale for every distance of a pair, the middle of the whole in the middle of the bench."""
    one, two = pairing.desk.art.extent(pairing.one), pairing.desk.art.extent(pairing.two)
    # the halves apart: both lengths, with the gap at its widest
    wide = one.length + two.length + max(0.0, pairing.open - one.front - two.front)
    radius = max(one.radius, two.radius)
    above = over(pen, box.w, pairing)
    picture = Box(box.x, box.y + STEP, box.w, box.h - figures_tall(pen, box.w, pairing) - STEP)
    per_mm = max(LEAST_PER_MM, min((picture.w - 6 * STEP) / wide, (picture.h - above - UNDER) / (2 * radius)))
    axis = picture.y + (picture.h + above - UNDER) / 2
    middle = (one.rear + pairing.distance - two.rear) / 2
    return Frame(picture, axis, picture.x + picture.w / 2 - middle * per_mm, axis - radius * per_mm, per_mm)


def draw(pen: Pen, box: Box, pairing: Pairing) -> float:
    """Draw the pair at its distance; returns the scale [units per mm]."""
    at = frame(pen, box, pairing)
    p, d, per_mm = pen.palette, pairing.distance, at.per_mm
    pen.grid(ground(box), per_mm, (at.left, at.axis))
    turns = (pairing.nut_turn(pairing.one, pairing.two), pairing.nut_turn(pairing.two, pairing.one))
    pair.draw(pen, pairing.desk, (pairing.one, pairing.two), (at.left, at.axis), d, per_mm, turns)
    pen.line((at.picture.x + STEP, at.axis), (at.picture.right - STEP, at.axis), p.quiet, 1)
    _names(pen, at, pairing)
    if pairing.at_stop:
        tall = deciding.height(pen.type, pairing.place, at.picture.w)
        words = Box(at.picture.x, at.top - tall - STEP, at.picture.w, tall)
        deciding.draw(pen, words, pairing.place, (at.left, at.axis), per_mm)
    foot = 2 * at.axis - at.top
    level = foot + 16
    for x in (at.left, at.left + d * per_mm):
        pen.line((x, foot + 2), (x, level + 4), p.action, 1.4)
    dimension(pen, at.left, at.left + d * per_mm, level, f"reference planes {mm(d)} apart", p.action, at.picture)
    tall = figures_tall(pen, box.w, pairing)
    _figures(pen, Box(box.x, box.bottom - tall, box.w, tall), pairing)
    scale_bar(pen, box, per_mm)
    return per_mm


def _names(pen: Pen, at: Frame, pairing: Pairing) -> None:
    """The names over the halves, above the picture."""
    y, half = at.top - over(pen, at.picture.w, pairing), at.picture.w / 2 - 4 * STEP
    left, right = at.picture.x + 3 * STEP, at.picture.right - 3 * STEP - half
    pen.lines(pairing.one.name, Box(left, y, half, 0), BODY, pen.palette.text, True)
    pen.lines(pairing.two.name, Box(right, y, half, 0), BODY, pen.palette.text, True, "right")


def _figures(pen: Pen, box: Box, pairing: Pairing) -> None:
    """Their words over their figures, in three columns."""
    width = (box.w - 4 * STEP) / 3
    lines = max(len(pen.type.folded(words, SMALL, width - STEP)) for words, _ in _told(pairing))
    for i, (words, value) in enumerate(_told(pairing)):
        room = Box(box.x + 2 * STEP + i * width, box.y + 4, width - STEP, 0)
        pen.lines(words, room, SMALL, pen.palette.quiet)
        pen.lines(value, room.moved(0, lines * pen.type.line(SMALL)), LARGE, pen.palette.text, True)


def _centres(pairing: Pairing) -> tuple[str, str]:
    """What the centre contacts do: its words and how far."""
    if pairing.one.centre.butt is not None and pairing.two.centre.butt is not None:
        return "flat contacts", "touch" if pairing.at_stop and pairing.coupling.fits else "apart"
    now = contact(profile(pairing.one), profile(pairing.two), pairing.distance)
    return "pin in socket", mm(now.overlap if pairing.coupling.fits else 0.0)
