"""The pictures on answer cards: a feature on a real part, drawn close, with the parts that decide lit."""

from __future__ import annotations

from collections.abc import Callable

from coaxtell.identifier import features
from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import Feature
from coaxtell.models.half import Half
from coaxtell.models.regions import Role
from coaxtell.window.desk import Desk
from coaxtell.window.geometry import Box
from coaxtell.window.pen import Pen

LIT: dict[Feature, frozenset[Role]] = {
    Feature.CENTRE: frozenset({"pin", "socket"}),
    Feature.INSULATOR: frozenset({"insulator"}),
}
Draw = Callable[[Pen, Box], None]


def _coupling_roles(half: Half) -> frozenset[Role]:
    if half.nut is not None:
        return frozenset({"nut"})
    return frozenset({"lug"}) if half.lugs is not None else frozenset({"outer"})


def example(ranked: list[tuple[Half, float]], feature: Feature, value: str) -> Half | None:
    """The likeliest half that shows a value at its nominal size."""
    for half, _ in ranked:
        if features.seen_values(half, feature, Nominal())[0] == value:
            return half
    return None


def card_art(desk: Desk, half: Half, feature: Feature) -> Draw:
    """Draws the front of a half cut open, lit where the feature shows."""
    roles = _coupling_roles(half) if feature is Feature.COUPLING else LIT[feature]

    def draw(pen: Pen, box: Box) -> None:
        extent = desk.art.extent(half)
        # the front two thirds, as close as the card allows
        shown = min(extent.length, 1.5 * extent.radius + max(0.0, extent.front))
        per_mm = min(box.h / (2 * extent.radius), box.w / shown)
        x = box.x + (box.w + shown * per_mm) / 2 - extent.front * per_mm
        with pen.clipped(Box(max(box.x, x + (extent.front - shown) * per_mm), box.y, box.w, box.h)):
            area = Box(x + extent.rear * per_mm, box.y, extent.length * per_mm, box.h)
            pen.shape(desk.art.lit(half, pen.palette, roles), (x, box.y + box.h / 2), per_mm,
                      area.shared(box), f"{half.id} {feature}")  # fmt: skip
            if feature is Feature.INSULATOR:
                # where it is judged: the plane at which the mate's outer metal will stop
                for k in range(int(box.h / 8) + 1):
                    top = box.y + 8 * k
                    pen.line((x, top), (x, min(top + 4, box.bottom)), pen.palette.action, 1.4)

    return draw


def thing_art(diameter: float, largest: float) -> Draw:
    """Draws an everyday thing as a circle, all at one scale."""

    def draw(pen: Pen, box: Box) -> None:
        radius = max(2.0, box.h / 2 * diameter / largest)
        x, y = box.x + box.w / 2, box.y + box.h / 2
        pen.ring((x, y), radius, pen.palette.action, 2)
        pen.line((x - radius, y), (x + radius, y), pen.palette.quiet, 1)

    return draw
