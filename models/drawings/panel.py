"""What is cut into a panel for a body: its outlines as seen from the mate's side, y down as on paper."""

from __future__ import annotations

import math

from coaxtell.models import body
from coaxtell.models.body_tables import BulkheadSizes
from coaxtell.models.drawings.drawing import Point, circle
from coaxtell.models.half import Half


def cut_out(half: Half) -> tuple[tuple[Point, ...], ...]:
    """The holes that a panel needs for a half with a body, about its axis [mm]; none where none is known.

    A flange shows the holes for its screws alone: how the panel opens for the body itself depends on the side it is
    mounted from. A bushing that the table's hole does not take has none.
    """
    if half.back is None:
        return ()
    used = half.back.sizes
    if half.back.style == "bulkhead":
        own = body.sizes(half).bulkhead
        return (_flattened(own),) if used["outer"].nominal <= own.hole.nominal else ()
    if half.back.style not in ("flange-2", "flange-4"):
        return ()
    away, radius = used["spacing"].nominal / 2, used["hole"].nominal / 2
    ups = (-away, away) if half.back.style == "flange-4" else (0.0,)
    return tuple(circle((x, y), radius) for x in (-away, away) for y in ups)


def _flattened(own: BulkheadSizes) -> tuple[Point, ...]:
    """A round hole with one flat at its foot, or with a flat on either side."""
    radius = own.hole.nominal / 2
    if own.flat is None:
        return circle((0.0, 0.0), radius)
    # one flat leaves so much from the top of the hole down to it, two leave so much between them
    foot = own.flat.nominal - radius if own.flats is None else own.flat.nominal / 2
    top = -radius if own.flats is None else -foot
    corner = math.asin(foot / radius)
    turns = [math.tau * k / 360 for k in range(360)] + [corner, math.pi - corner, -corner, math.pi + corner]
    round_ = [(radius * math.cos(t), radius * math.sin(t)) for t in sorted(t % math.tau for t in turns)]
    return tuple((x, max(top, min(y, foot))) for x, y in round_)
