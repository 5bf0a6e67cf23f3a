"""The bench of an item: its halves from the side it asks for, at one scale."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
import pygame
from PIL import Image, ImageFilter

from coaxtell.models import panel
from coaxtell.models.half import Half
from coaxtell.models.helix import Array
from coaxtell.models.solids.camera import camera_at
from coaxtell.quiz import lesson, words
from coaxtell.quiz.item import Picture
from coaxtell.used import used
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pictures import LARGEST
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import SMALL, STEP, Colour
from coaxtell.window.views import legs
from coaxtell.window.views.scales import ground, scale_bar
from coaxtell.window.views.shortlist import Standing, arrange
from coaxtell.window.views.viewpoints import draw_half

TINTS: dict[str, Colour] = {
    "bench": (255, 255, 255),
    "lamp": (255, 232, 194),
    "shade": (158, 168, 184),
    "dark bench": (255, 255, 255),
}
"""Weights of red, green and blue by the name of the light."""


BLUR_SIDE = 420
"""Side of a half's square for which a picture's blur is given [px]: half the width of a page's picture."""


GAP = 2 * STEP
"""Between two halves of an item [units]."""
BAR_TALL, BAR_WORDS = 4 * STEP, 10 * STEP
"""Room under the halves for the scale bar, or beside them for its words [units]."""


EDGE = 0.2
"""Room round a half in its square, for its outline [mm]."""


class Shown(NamedTuple):
    """A half of an item: the body behind it, how far it reaches from the middle of its square [mm], and that."""

    half: Half
    style: str
    reach: float
    square: Box


def draw_item(pen: Pen, box: Box, desk: Desk, look: Picture) -> None:
    """The halves of an item side by side at one scale; the grid and the bar only where the item gives a scale.

    Where a cable's way belongs to the item, its sketch lies beneath or beside.
    """
    if look.legs:
        box, sketch = legs.parted(box, pen.type)
        legs.draw(pen, sketch, look.legs)
    shown = _shown(box, desk, look)
    per_mm = shown[0].square.w / 2 / shown[0].reach
    if look.scale:
        pen.grid(ground(box), per_mm, (box.x + 3 * STEP, shown[0].square.middle[1]))
    for one in shown:
        _half(pen, desk, one, look)
        if look.labelled:
            _label(pen, desk, one, look)
    if look.scale:
        scale_bar(pen, box, per_mm)


def _shown(box: Box, desk: Desk, look: Picture) -> list[Shown]:
    """The halves and the squares they stand in: as large as what is seen of them may be beside or over the bar."""
    halves = [desk.half(half_id) for half_id in look.halves]
    styles = look.bodies or ("",) * len(halves)
    level = [_seen(desk, half, style, look) for half, style in zip(halves, styles, strict=True)]
    seen = [_turned(one, 0.0 if desk.pictures.why else look.tilt) for one in level]
    gaps = GAP * (len(seen) - 1)
    wide, tall = sum(one.w for one in seen), max(one.h for one in seen)

    def scale(room: Box) -> float:
        return min((room.w - gaps) / wide, room.h / tall)

    whole = Box(box.x + 2 * STEP, box.y + STEP, box.w - 4 * STEP, box.h - 2 * STEP)
    rooms = [whole]
    if look.scale:
        rooms = [whole._replace(h=whole.h - BAR_TALL), whole._replace(w=whole.w - box.w / 5 - BAR_WORDS)]
    room = max(rooms, key=scale)
    per_mm = scale(room)
    x = room.x + (room.w - gaps - wide * per_mm) / 2
    found = []
    for half, style, one, before in zip(halves, styles, seen, level, strict=True):
        # its picture is made level and turned then: both have room in the square
        reach = max(max(-box.x, box.right, -box.y, box.bottom) for box in (one, before)) + EDGE
        left, top = x - (one.x + reach) * per_mm, room.middle[1] - (one.middle[1] + reach) * per_mm
        found.append(Shown(half, style, reach, Box(left, top, 2 * reach * per_mm, 2 * reach * per_mm)))
        x += one.w * per_mm + GAP
    return found


def _seen(desk: Desk, half: Half, style: str, look: Picture) -> Box:
    """Where a half shows in its square [mm right and down of its middle]; its face where there are no pictures."""
    if desk.pictures.why:
        radius = desk.art.extent(half).radius
        return Box(-radius, -radius, 2 * radius, 2 * radius)
    if look.panel:
        row = [desk.half(half_id) for half_id in look.panel]
        corners = np.array(panel.row(row, look.panel.index(half.id), look.azimuth).corners)
        eye = camera_at(look.azimuth, look.elevation)
        return _round_about(corners @ eye.right, -corners @ eye.up)
    if look.labelled:  # words stand round it
        reach = desk.art.dressed_reach(half, style) if style else desk.art.extent(half).reach
        return Box(-reach, -reach, 2 * reach, 2 * reach)
    return desk.art.seen(half, style, round(look.azimuth, 1), round(look.elevation, 1))


def _round_about(across: Array, down: Array) -> Box:
    return Box(float(across.min()), float(down.min()), float(np.ptp(across)), float(np.ptp(down)))


def _turned(box: Box, tilt: float) -> Box:
    """The box about what lies in a box once its picture is turned about its middle [deg, counter-clockwise]."""
    x, y = np.array([box.x, box.right, box.x, box.right]), np.array([box.y, box.y, box.bottom, box.bottom])
    c, s = np.cos(np.radians(tilt)), np.sin(np.radians(tilt))
    return _round_about(c * x + s * y, c * y - s * x) if tilt else box


def _job(one: Shown, scale: float, look: Picture) -> Job:
    side = min(LARGEST, max(32, round(one.square.w * scale)))
    side -= side % 4
    per_mm = round(side / 2 / one.reach, 3)
    pose = (round(look.azimuth, 1), round(look.elevation, 1))
    return Job(one.half.id, *pose, 0, side, per_mm, False, look.finish, style=one.style, panel=look.panel)


def waiting(box: Box, type_: Type, desk: Desk, look: Picture) -> bool:
    """Whether a picture of the item on a bench is still to come: nobody answers before all see the same."""
    if desk.pictures.why:
        return False
    box = legs.parted(box, type_)[0] if look.legs else box
    jobs = [_job(one, type_.scale, look) for one in _shown(box, desk, look)]
    return any(desk.pictures.ready(job) is None and not desk.pictures.failed(job) for job in jobs)


@lru_cache(maxsize=16)
def used_surface(surface: pygame.Surface, look: Picture) -> pygame.Surface:
    """A picture as the item's wear, dirt and blur leave it; the same each frame."""
    if not (look.wear or look.dirt or look.blur or look.tilt):
        return surface
    size = surface.get_size()
    pixels = np.frombuffer(pygame.image.tobytes(surface, "RGBA"), dtype=np.uint8).reshape(size[1], size[0], 4)
    colour = used(pixels[..., :3] / 255, look.wear, look.dirt, look.grain)
    found = np.dstack([np.clip(255 * colour, 0, 255).astype(np.uint8), pixels[..., 3]])
    image = Image.fromarray(found)
    if look.tilt:  # colours weighted by their cover, so that no edge turns dark
        image = image.convert("RGBa").rotate(look.tilt, Image.Resampling.BICUBIC).convert("RGBA")
    if look.blur:
        image = image.filter(ImageFilter.GaussianBlur(look.blur * size[0] / BLUR_SIDE))
    return pygame.image.frombytes(image.tobytes(), size, "RGBA")


def _half(pen: Pen, desk: Desk, one: Shown, look: Picture) -> None:
    half, square = one.half, one.square
    found = None if desk.pictures.why else desk.pictures.want(_job(one, pen.type.scale, look), first=True)
    if found is not None:
        pen.picture(square, used_surface(found, look), half.id, 1.0, TINTS.get(look.light, (255, 255, 255)))
        return
    # the face and nothing more: a cut would give away what a picture does not show
    per_mm = square.w / 2 / one.reach
    radius = desk.art.extent(half).radius * per_mm
    x, y = square.middle
    pen.shape(desk.art.face(half, pen.palette), (x, y), per_mm, Box(x - radius, y - radius, 2 * radius, 2 * radius),
              half.id)  # fmt: skip


def _label(pen: Pen, desk: Desk, one: Shown, look: Picture) -> None:
    """The words of the trade at their places on a half, as the first lesson shows them."""
    eye = camera_at(look.azimuth, look.elevation)
    extent, half_side = desk.art.extent(one.half), one.square.w / 2
    per_mm, (x, y) = half_side / one.reach, one.square.middle
    for label in lesson.labels(one.half):
        at = np.array(label.at) - (0.0, 0.0, (extent.rear + extent.front) / 2)
        place = (x + float(at @ eye.right) * per_mm, y - float(at @ eye.up) * per_mm)
        away = (x + label.beside[0] * half_side, y - label.beside[1] * half_side)
        written = pen.words(words.say(label.word), away, SMALL, pen.palette.text, anchor="middle")
        pen.line((away[0], written.bottom if label.beside[1] > 0 else written.y), place, pen.palette.action, 1.5)
        pen.ring(place, 3, pen.palette.action)


USUAL = 8
"""How many halves stand on the bench while nothing is asked."""


def draw_usual(pen: Pen, box: Box, desk: Desk) -> None:
    """The halves that are met most, at one scale: what it is all about, before the first item."""
    shown = [Standing(half, 1.0, desk.art.extent(half).reach) for half in desk.usual[:USUAL]]
    places, per_mm = arrange(Box(box.x + STEP, box.y, box.w - 2 * STEP, box.h - 5 * STEP), shown, STEP)
    pen.grid(ground(box), per_mm, (places[0].x, places[0].y + places[0].reach))
    for place in places:
        draw_half(pen, desk, place.half, (place.x, place.y), per_mm, 1.0)
    scale_bar(pen, box, per_mm)
