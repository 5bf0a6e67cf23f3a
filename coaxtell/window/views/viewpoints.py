"""The sides from which halves are shown, and the small pictures of them, all from the same sides."""

from __future__ import annotations

import math
from typing import NamedTuple

import pygame

from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pictures import LARGEST
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen

SCALES = (3.0, 4.5, 7.0, 10.0, 15.0, 22.0, 32.0, 48.0)
"""Scales at which the small pictures are made [px per mm]; shown at any scale between."""


class View(NamedTuple):
    """From where halves are seen [deg], and how far opened [deg]."""

    azimuth: float
    elevation: float
    opened: float = 0.0


QUARTER = 90.0
"""How far a half is opened to be seen cut open [deg]."""
USUAL = View(35.0, 24.0)
"""Where every half is first seen from."""
FACE = View(0.0, 0.0)
SIDE = View(-90.0, 0.0)
"""From the side, the mating face to the right."""
SIDES = {"turn": USUAL, "face on": FACE, "cut open": View(35.0, 24.0, QUARTER)}


class Beam(NamedTuple):
    """How points of a half appear to an eye without perspective: seen from [deg], and what z is the middle [mm]."""

    azimuth: float
    elevation: float
    middle: float = 0.0

    def at(self, x: float, y: float, z: float) -> tuple[float, float]:
        """Right and down of the picture's middle [mm]."""
        turn, lift = math.radians(self.azimuth), math.radians(self.elevation)
        z -= self.middle
        right = x * math.cos(turn) - z * math.sin(turn)
        up = -x * math.sin(lift) * math.sin(turn) + y * math.cos(lift) - z * math.sin(lift) * math.cos(turn)
        return right, -up


def picture_at(desk: Desk, half: Half, view: View, px_per_mm: float) -> tuple[pygame.Surface, float] | None:
    """The picture of a half at a scale, one made at another scale until it comes, and how much it shows across [mm].

    None where there is none from this side yet.
    """
    if desk.pictures.why:
        return None
    wide = 2 * desk.art.extent(half).reach
    px_per_mm = round(min(px_per_mm, (LARGEST - 4) / wide), 3)
    side = max(32, math.ceil(wide * px_per_mm))
    side += -side % 4
    found = desk.pictures.want(Job(half.id, view.azimuth, view.elevation, view.opened, side, px_per_mm, False))
    if found is not None:
        return found, side / px_per_mm
    asked = Job(half.id, view.azimuth, view.elevation, view.opened, 0, 0.0, False)
    newest = desk.pictures.newest(asked)
    if newest is None or newest[0][1:4] != view:
        newest = desk.pictures.shipped(asked)
    if newest is None:
        return None
    return newest[1], newest[0].side / newest[0].px_per_mm


def draw_half(
    pen: Pen, desk: Desk, half: Half, middle: tuple[float, float], per_mm: float, strength: float, view: View = USUAL,
    made_for: float = 0.0,
) -> None:  # fmt: skip
    """One half about a place [units]: its picture, else its drawing; weaker ones sink into the bench.

    `made_for` is the scale at which it will come to rest [units per mm], where it is on its way there.
    """
    x, y = middle
    extent = desk.art.extent(half)
    wanted = (made_for or per_mm) * pen.type.scale
    found = picture_at(desk, half, view, next((s for s in SCALES if s >= wanted), SCALES[-1]))
    if found is not None:
        wide = found[1] * per_mm
        pen.picture(Box(x - wide / 2, y - wide / 2, wide, wide), found[0], half.id, round(strength, 2))
        return
    radius = extent.radius * per_mm
    if view.opened:
        x -= (extent.front + extent.rear) / 2 * per_mm
        area = Box(x + extent.rear * per_mm, y - radius, extent.length * per_mm, 2 * radius)
        pen.shape(desk.art.cut_open(half, pen.palette), (x, y), per_mm, area, half.id, round(strength, 1))
        return
    area = Box(x - radius, y - radius, 2 * radius, 2 * radius)
    pen.shape(desk.art.face(half, pen.palette), (x, y), per_mm, area, half.id, round(strength, 1))
