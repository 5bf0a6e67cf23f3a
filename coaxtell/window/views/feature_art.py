"""The pictures on answer cards: a feature on a real part, seen close, with the parts that decide in their own look.

Any feature has its picture without a line here: the part that holds the half is lit unless another one decides.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from coaxtell.identifier import features
from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import Feature
from coaxtell.models.half import Half
from coaxtell.models.regions import Role
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pictures import LARGEST
from coaxtell.window.desk.render_worker import Job
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.views.viewpoints import USUAL, View

DECIDES: dict[Feature, tuple[Role, ...]] = {
    Feature.CENTRE: ("pin", "socket"),
    Feature.PLASTIC: ("insulator",),
}
"""Roles of the parts that decide, where it is not the part that holds the half."""
SEEN_FROM: dict[Feature, View] = {Feature.CENTRE: View(18.0, 12.0), Feature.HAND: View(64.0, 8.0)}
CLOSER: dict[Feature, float] = {Feature.CENTRE: 1.6}
"""How much closer than the whole face."""
FILLED = 0.82
"""How much of the card's height a face fills."""
Draw = Callable[[Pen, Box], None]


def holding(half: Half) -> tuple[Role, ...]:
    """The part that holds a half to its mate: housing, nut, lugs, else the shell."""
    if half.housing is not None:
        return ("housing",)
    if half.nut is not None:
        return ("nut",)
    return ("lug",) if half.lugs is not None else ("outer",)


def example(ranked: list[tuple[Half, float]], feature: Feature, value: str) -> Half | None:
    """The likeliest half that shows a value at its nominal size; none for what no picture shows."""
    if feature in features.PRINTED or feature in features.LIKENED:
        return None
    for half, _ in ranked:
        if value in features.seen_values(half, feature, Nominal())[:1]:
            return half
    return None


def view_of(feature: Feature) -> View:
    """From where a feature is shown on its card."""
    return SEEN_FROM.get(feature, USUAL)


def card_art(desk: Desk, half: Half, feature: Feature) -> Draw:
    """Draws a half close by, lit where the feature shows: in the round, or cut open where depth is judged."""
    lit = DECIDES.get(feature, holding(half))

    def draw(pen: Pen, box: Box) -> None:
        if feature is Feature.PLASTIC or not _pictured(pen, box, desk, half, feature, lit):
            _drawn(pen, box, desk, half, feature, lit)

    return draw


def _pictured(pen: Pen, box: Box, desk: Desk, half: Half, feature: Feature, lit: tuple[Role, ...]) -> bool:
    """The picture, if it is at hand."""
    if desk.pictures.why:
        return False
    per_mm = FILLED * box.h / (2 * desk.art.extent(half).face) * CLOSER.get(feature, 1.0)
    view = view_of(feature)
    # the part runs away to the right, so its face stands left of the middle; the picture covers the card all the same
    wide = 1.5 * max(box.w, box.h)
    side = min(LARGEST, max(32, round(wide * pen.type.scale)))
    side += -side % 4
    job = Job(half.id, view.azimuth, view.elevation, view.opened, side, round(per_mm * side / wide, 3), False,
              lit=lit, near=True)  # fmt: skip
    found = desk.pictures.want(job)
    if found is None:
        shipped = desk.pictures.shipped(job)
        if shipped is None:
            return False
        made, found = shipped
        wide = made.side / made.px_per_mm * per_mm
    x, y = box.middle
    x -= min(0.22 * box.w * math.sin(math.radians(view.azimuth)), max(0.0, (box.w - box.h) / 2))
    with pen.clipped(box):
        pen.picture(Box(x - wide / 2, y - wide / 2, wide, wide), found, f"{half.id} {feature}")
    return True


def _drawn(pen: Pen, box: Box, desk: Desk, half: Half, feature: Feature, lit: tuple[Role, ...]) -> None:
    """The front of the half cut open."""
    extent = desk.art.extent(half)
    # the front two thirds, as close as the card allows
    shown = min(extent.length, 1.5 * extent.radius + max(0.0, extent.front))
    per_mm = min(box.h / (2 * extent.radius), box.w / shown)
    x = box.x + (box.w + shown * per_mm) / 2 - extent.front * per_mm
    with pen.clipped(Box(max(box.x, x + (extent.front - shown) * per_mm), box.y, box.w, box.h)):
        area = Box(x + extent.rear * per_mm, box.y, extent.length * per_mm, box.h)
        pen.shape(desk.art.lit(half, pen.palette, frozenset(lit)), (x, box.y + box.h / 2), per_mm,
                  area.shared(box), f"{half.id} {feature}")  # fmt: skip
        if feature is Feature.PLASTIC:
            # where it is judged: at the rim of the metal next round it
            x += half.shell.rim.nominal * per_mm
            for k in range(int(box.h / 8) + 1):
                top = box.y + 8 * k
                pen.line((x, top), (x, min(top + 4, box.bottom)), pen.palette.action, 1.4)


def thing_art(diameter: float, largest: float) -> Draw:
    """Draws an everyday thing as a disc, all at one scale."""

    def draw(pen: Pen, box: Box) -> None:
        radius = max(1.5, min(box.w, box.h) / 2 * diameter / largest)
        pen.ring(box.middle, radius, pen.palette.text)
        pen.ring(box.middle, max(0.5, radius - 1.5), pen.palette.edge)

    return draw
