"""The marked face: its rim found near the person's circle, as a circle in the card's plane.

A circle is fitted in the rectified plane. An ellipse fitted on the picture would be biased where a part of the rim
is hidden.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import cv2
import numpy as np

from coaxtell.photo.card import Array, Card, Grey, mapped, sampled, steepest

RAYS = 240
"""Directions in which the rim is looked for."""
REACH = 0.2
"""How far from the marked circle its rim may lie, as a share of its radius."""
MARK = 0.06
"""How well a person marks the rim, as a share of its radius (assumed)."""
LEAST_SHARE = 0.35
"""Below this share of the rim in sight there is no width (set on the tuning scenes)."""
ROUNDS = 3
"""How often the rim is centred anew before it is believed."""
POLAR_STEP = (0.5, 12)
"""Distance of the places along a direction: so many px, and so many of them at least within REACH."""
POLAR_BLUR = (1.4, 0.8)
"""Spread of the smoothing along a direction and across the directions [places]."""
CAP, FLOOR, RING_BLUR = 96, 20, 1.2
"""Edges are capped at what so many in a hundred do not pass, what so many do not pass is none, and the spread of the
smoothing of their mean [places]."""
BAND = (2.5, 0.035)
"""How far from its ring an edge is looked for: at least so many places, and so much of the radius."""
STRONG = (0.25, 75)
"""An edge counts from this share of what so many in a hundred do not pass."""
STRAY, STRAY_SPREADS, LEAST_STRAY, STRAY_ROUNDS = 2.0, 3.0, 0.03, 8
"""Edges farther from the circle than so many bands, later so many times their scatter, but at least so many mm, are let
go, so often."""
SANE = (0.7, 1.4)
"""A circle found is so large at least and at most, in radii of what was looked for."""


class Rim(NamedTuple):
    """The rim as a circle in the card's plane: centre and diameter [mm], scatter of its points [mm], how far another
    ring would put the diameter [mm], share of the rim in sight."""

    centre: Array
    diameter: float
    scatter: float
    other: float
    share: float
    from_mark: float
    """How far the diameter is from that of the circle which the person marked [mm]."""

    @property
    def spread(self) -> float:
        """Standard deviation of the diameter by the scatter of the rim's points alone [mm]."""
        # neighbouring rays see the same texture: about one in four stands for itself
        return 2 * self.scatter / float(np.sqrt(max(self.share * RAYS / 4, 1.0)))


def rim(grey: Grey, card: Card, centre: Array, radius: float) -> Rim | None:
    """The rim near a circle that a person marked [px]; None where no edge runs round there."""
    marked = np.asarray(centre, dtype=np.float64)
    spots = mapped(marked + np.array([[0.0, 0.0], [radius, 0.0], [0.0, radius]]), card.to_mm)
    size = float(np.sqrt(np.linalg.norm(spots[1] - spots[0]) * np.linalg.norm(spots[2] - spots[0])))
    from_mm = card.from_mm
    middle, marked_size = spots[0], size
    found: Rim | None = None
    # the person's middle may be off by as much as the ring's width: centre on what runs round, then choose the ring
    for _ in range(ROUNDS):
        polar = _polar(grey, from_mm, middle, size)
        found = _circle(polar, *_ring(polar, marked_size), size)
        if found is None:
            return None
        middle, size = found.centre, found.diameter / 2
    return None if found is None else found._replace(from_mark=abs(found.diameter - 2 * marked_size))


class Polar(NamedTuple):
    """How steeply brightness changes outwards, (direction, radius), with the radii [mm] and where the middle lies."""

    slope: Array
    radii: Array
    middle: Array
    out: Array


def _polar(grey: Grey, from_mm: Array, middle: Array, size: float) -> Polar:
    turns = np.linspace(0, 2 * np.pi, RAYS, endpoint=False)
    out = np.column_stack([np.cos(turns), np.sin(turns)])
    px_per_mm = np.linalg.norm(mapped(middle[None] + [[size, 0.0]], from_mm) - mapped(middle[None], from_mm)) / size
    step = min(POLAR_STEP[0] / float(px_per_mm), REACH * size / POLAR_STEP[1])
    # rounded first: no last digit decides on one place more
    count = math.ceil(round(2 * REACH * size / step, 6))
    radii = (1 - REACH) * size + step * np.arange(count, dtype=np.float64)
    points = middle + out[:, None, :] * radii[None, :, None]
    lines = sampled(grey, mapped(points.reshape(-1, 2), from_mm).reshape(points.shape))
    slope = np.abs(np.gradient(cv2.GaussianBlur(lines, (0, 0), sigmaX=POLAR_BLUR[0], sigmaY=POLAR_BLUR[1]), axis=1))
    return Polar(slope, radii, middle, out)


def _ring(polar: Polar, marked: float) -> tuple[float, float]:
    """The ring that most directions share near the marked radius, and how far other rings would put it [mm].

    A person marks within about MARK of the radius; rings that nobody can tell from the best one widen the answer.
    """
    capped = polar.slope.clip(max=np.percentile(polar.slope, CAP))
    common = cv2.GaussianBlur(capped.mean(axis=0)[None], (0, 0), sigmaX=RING_BLUR)[0]
    common = (common - np.percentile(common, FLOOR)).clip(min=0)
    weight = common * np.exp(-0.5 * ((polar.radii / marked - 1) / MARK) ** 2)
    inner = weight[1:-1]
    peaks = np.flatnonzero((inner >= weight[:-2]) & (inner >= weight[2:]) & (inner > 0)) + 1
    if len(peaks) == 0:
        return marked, MARK * marked
    shares = weight[peaks] / weight[peaks].sum()
    best = polar.radii[peaks[int(shares.argmax())]]
    return float(best), float(np.sqrt((shares * (polar.radii[peaks] - best) ** 2).sum()))


def _circle(polar: Polar, ring: float, other: float, size: float) -> Rim | None:
    """The circle through the edges near a ring: least squares, those that stray let go, until none strays."""
    width = max(BAND[0] * float(polar.radii[1] - polar.radii[0]), BAND[1] * size)
    window = np.exp(-0.5 * ((polar.radii - ring) / width) ** 2)
    slope = polar.slope
    best = steepest(slope * window)
    rows = np.arange(RAYS)
    before, peak, after = slope[rows, best - 1], slope[rows, best], slope[rows, best + 1]
    bend = before - 2 * peak + after
    offset = np.where(bend < -1e-9, 0.5 * (before - after) / np.where(bend < -1e-9, bend, -1.0), 0.0)
    r = polar.radii[best] + (polar.radii[1] - polar.radii[0]) * np.clip(offset, -1, 1)
    strong = peak > STRONG[0] * np.percentile(peak, STRONG[1])
    points = (polar.middle + polar.out * r[:, None])[strong]
    if len(points) < RAYS * LEAST_SHARE:
        return None
    limit = STRAY * width
    centre, radius = least_squares(points)
    for _ in range(STRAY_ROUNDS):
        off = np.linalg.norm(points - centre, axis=1) - radius
        inside = np.abs(off - np.median(off)) < limit
        if inside.sum() < RAYS * LEAST_SHARE:
            return None
        kept = points[inside]
        centre, radius = least_squares(kept)
        scatter = float(np.sqrt(np.mean((np.linalg.norm(kept - centre, axis=1) - radius) ** 2)))
        limit = max(min(limit, STRAY_SPREADS * scatter), LEAST_STRAY)
    if not SANE[0] * size < radius < SANE[1] * size:
        return None
    return Rim(centre, 2 * radius, scatter, 2 * other, len(kept) / RAYS, 0.0)


def least_squares(points: Array) -> tuple[Array, float]:
    """Centre and radius by a linear fit, then two steps that make the distances themselves least."""
    shift = points.mean(axis=0)
    near = points - shift  # about nought the sums lose no digits
    half = np.linalg.lstsq(np.column_stack([near, np.ones(len(near))]), (near**2).sum(axis=1), rcond=None)[0]
    centre = half[:2] / 2
    radius = float(np.sqrt(max(half[2] + centre @ centre, 1e-9)))
    for _ in range(3):
        away = near - centre
        far = np.linalg.norm(away, axis=1)
        jacobian = np.column_stack([-away / far[:, None], -np.ones(len(far))])
        step = np.linalg.lstsq(jacobian, radius - far, rcond=None)[0]
        centre, radius = centre + step[:2], radius + float(step[2])
    return centre + shift, radius
