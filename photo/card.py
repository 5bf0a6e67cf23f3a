"""The bank card in a photograph: proposed, then fitted side by side, since its corners are round.

Size from ISO/IEC 7810, ID-1: 85.60 x 53.98 mm, corners of about 3.18 mm, 0.76 mm thick. The four straight sides are
fitted and intersected; a clicked corner would miss the round. Pixels: x right, y down, the centre of the first at 0, 0.
"""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
import numpy.typing as npt
from cv2.typing import MatLike

from coaxtell.photo import sides

Array = npt.NDArray[np.float64]
Grey = npt.NDArray[np.float32]

LONG, SHORT, CORNER, THICK = 85.60, 53.98, 3.18, 0.76
"""Size of the card, radius of its corners and thickness [mm]: ISO/IEC 7810, ID-1."""
PLAIN = np.array([[0.0, 0.0], [LONG, 0.0], [LONG, SHORT], [0.0, SHORT]])
"""The corners that the straight sides would make, in the card's plane [mm]."""

SMALL = 1000
"""Longest side of the picture in which a card is looked for [px]."""
LEAST_SIDE = 60.0
"""A card whose short side is shorter gives no useful scale [px]."""
PROFILES = 90
"""Places along each side where its edge is looked for."""
MAIN_LENS = 26.0
"""Focal length of a phone's main camera on a frame 36 mm wide [mm] (common practice)."""
MOST_OUT_OF_SQUARE = 0.05
"""A shape farther from square and from the card's proportion is no card (set on the tuning scenes)."""
MOST_BOW = 0.012
"""A fitted side whose edge points scatter by more of its length is no straight side (set on the tuning scenes)."""


class Side(NamedTuple):
    """A fitted side: a point on it, its direction, the scatter of its edge points [px] and how many there are."""

    point: Array
    along: Array
    scatter: float
    points: int


class Card(NamedTuple):
    """The card found: corners where the sides meet [px, (4, 2), clockwise, a long side first] and the plane's map.

    `to_mm` maps pixels of the picture to millimetres in the card's plane (3 x 3), `corner_px` is the standard
    deviation of a corner [px].
    """

    corners: Array
    to_mm: Array
    corner_px: float

    @property
    def from_mm(self) -> Array:
        """The map from millimetres in the card's plane to pixels (3 x 3)."""
        return np.asarray(np.linalg.inv(self.to_mm), dtype=np.float64)

    @property
    def px_per_mm(self) -> float:
        """Pixels to a millimetre in the middle of the card."""
        sides = np.linalg.norm(np.roll(self.corners, -1, axis=0) - self.corners, axis=1)
        return float((sides[[0, 2]].mean() / LONG + sides[[1, 3]].mean() / SHORT) / 2)


def mapped(points: Array, matrix: Array) -> Array:
    """Points (n, 2) through a projective map (3 x 3)."""
    flat = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return np.asarray(flat[:, :2] / flat[:, 2:])


def ordered(corners: Array) -> Array:
    """Four corners clockwise on the picture, beginning so that the first side is a long one.

    Of the two such beginnings it does not matter which: a card measures the same upside down.
    """
    middle = corners.mean(axis=0)
    turn = np.arctan2(corners[:, 1] - middle[1], corners[:, 0] - middle[0])
    found = corners[np.argsort(turn)]
    sides = np.linalg.norm(np.roll(found, -1, axis=0) - found, axis=1)
    return np.asarray(found if sides[0] + sides[2] >= sides[1] + sides[3] else np.roll(found, -1, axis=0))


def sampled(grey: Grey, points: Array) -> Array:
    """Brightness at points (rows, columns, 2) between pixels; beyond the picture that of its border."""
    x, y = np.moveaxis(points.astype(np.float32), -1, 0)
    got = cv2.remap(grey, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(got, dtype=np.float64)


def fitted_side(grey: Grey, start: Array, end: Array, reach: float) -> Side | None:
    """The straight edge near the line from `start` to `end` [px], looked for `reach` px to either side.

    The round corners are left out. None where too few places show an edge, or they lie on no straight line.
    """
    length = float(np.linalg.norm(end - start))
    along = (end - start) / length
    across = np.array([-along[1], along[0]])
    margin = 1.6 * CORNER / LONG
    places = start + np.outer(np.linspace(margin, 1 - margin, PROFILES), end - start)
    steps = np.arange(-reach, reach + 0.25, 0.5)
    lines = sampled(grey, places[:, None, :] + steps[None, :, None] * across)
    smooth = cv2.GaussianBlur(lines, (5, 1), 1.0)
    slope = np.abs(np.gradient(smooth, axis=1))
    best = slope[:, 1:-1].argmax(axis=1) + 1
    rows = np.arange(PROFILES)
    before, at, after = slope[rows, best - 1], slope[rows, best], slope[rows, best + 1]
    bend = before - 2 * at + after
    offset = np.where(bend < -1e-9, 0.5 * (before - after) / np.where(bend < -1e-9, bend, -1.0), 0.0)
    edge = steps[best] + 0.5 * np.clip(offset, -1, 1)
    strong = at > 0.25 * np.percentile(at, 80)
    points = (places + edge[:, None] * across)[strong]
    if len(points) < PROFILES // 4:
        return None
    return _line(points, length)


def _line(points: Array, length: float) -> Side | None:
    """A line through most of the points, those far from it let go; None where fewer than a third lie near one."""
    limit = max(1.0, 0.004 * length)
    rng = np.random.Generator(np.random.PCG64(7))  # fixed: the same picture gives the same line
    best: npt.NDArray[np.bool_] | None = None
    for one, two in rng.integers(0, len(points), (120, 2)):
        span = points[two] - points[one]
        size = float(np.linalg.norm(span))
        if size < length / 5:
            continue
        near = np.abs((points - points[one]) @ np.array([-span[1], span[0]]) / size) < limit
        if best is None or near.sum() > best.sum():
            best = near
    if best is None or best.sum() < max(PROFILES // 5, len(points) // 3):
        return None
    kept = points[best]
    middle = kept.mean(axis=0)
    _, _, axes = np.linalg.svd(kept - middle)
    off = (kept - middle) @ axes[1]
    scatter = float(np.sqrt(np.mean(off**2)))
    return None if scatter > MOST_BOW * length else Side(middle, axes[0], scatter, int(best.sum()))


def _meeting(one: Side, two: Side) -> Array | None:
    matrix = np.column_stack([one.along, -two.along])
    if abs(np.linalg.det(matrix)) < 0.2:
        return None
    t = np.linalg.solve(matrix, two.point - one.point)
    return np.asarray(one.point + t[0] * one.along)


def fitted(grey: Grey, corners: Array) -> Card | None:
    """The card near four proposed or dragged corners [px]; None where a side shows no straight edge there."""
    guess = ordered(np.asarray(corners, dtype=np.float64))
    for reaches in ((0.06, 0.02), (0.025, 0.012)):  # wide for a rough proposal, narrow where print lies near the edge
        card = _fitted(grey, guess, reaches)
        if card is not None:
            return card
    return None


def _fitted(grey: Grey, guess: Array, reaches: tuple[float, ...]) -> Card | None:
    for share in reaches:
        fits: list[Side] = []
        for start, end in zip(guess, np.roll(guess, -1, axis=0), strict=True):
            side = fitted_side(grey, start, end, max(3.0, share * float(np.linalg.norm(end - start))))
            if side is None:
                return None
            fits.append(side)
        met = [_meeting(fits[i - 1], fits[i]) for i in range(4)]
        guess = np.array([one for one in met if one is not None])
        if len(guess) < 4:
            return None
    spread = float(np.mean([side.scatter / np.sqrt(max(side.points - 2, 1)) for side in fits]))
    to_mm = cv2.getPerspectiveTransform(guess.astype(np.float32), PLAIN.astype(np.float32))
    return Card(guess, np.asarray(to_mm, dtype=np.float64), max(0.15, 2.2 * spread))


def proposals(picture: npt.NDArray[np.uint8]) -> list[Array]:
    """Where a card may lie [corners in px], likeliest first: convex outlines of four sides in about its proportions."""
    height, width = picture.shape[:2]
    shrink = min(1.0, SMALL / max(height, width))
    small = np.asarray(cv2.resize(picture, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    found: list[tuple[float, Array]] = []
    for plane in [
        *cv2.split(cv2.cvtColor(small, cv2.COLOR_RGB2LAB)),
        *cv2.split(cv2.cvtColor(small, cv2.COLOR_RGB2HSV))[:2],
    ]:
        smooth = cv2.bilateralFilter(plane, 7, 30, 5)
        masks = [cv2.Canny(smooth, low, 3 * low) for low in (10, 25, 50)]
        masks = [cv2.dilate(mask, np.ones((3, 3), np.uint8)) for mask in masks]
        level, _ = cv2.threshold(smooth, 0, 255, cv2.THRESH_OTSU)
        for cut in (0.7 * level, level, 1.2 * level):
            above = np.where(smooth > cut, 255, 0).astype(np.uint8)
            masks += [above, 255 - above]
        for mask in masks:
            for outline in cv2.findContours(mask, cv2.RETR_LIST, cv2.CHAIN_APPROX_SIMPLE)[0]:
                quad = _quad(outline, small.shape[0] * small.shape[1])
                if quad is not None:
                    found.append(quad)
    found.sort(key=lambda one: -one[0])
    apart: list[Array] = []
    for _, corners in found:
        if all(
            np.abs(corners.mean(axis=0) - other.mean(axis=0)).max() > 8 or abs(_area(corners) / _area(other) - 1) > 0.06
            for other in apart
        ):
            apart.append(corners)
        if len(apart) == 12:
            break
    return [corners / shrink for corners in [*apart, *(ordered(quad) for quad in sides.quads(small))]]


def _area(corners: Array) -> float:
    return float(cv2.contourArea(corners.astype(np.float32)))


def _quad(outline: MatLike, pixels: int) -> tuple[float, Array] | None:
    """An outline as four corners with how well it fills them and keeps the card's proportions; none if it does not."""
    area = cv2.contourArea(outline)
    if area < 0.01 * pixels or area > 0.9 * pixels:
        return None
    hull = cv2.convexHull(outline)
    edge = cv2.arcLength(hull, True)
    for share in (0.02, 0.03, 0.05, 0.08):
        few = cv2.approxPolyDP(hull, share * edge, True)
        if len(few) == 4:
            break
    else:
        return None
    corners = ordered(few[:, 0].astype(np.float64))
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    ratio = (sides[0] + sides[2]) / max(sides[1] + sides[3], 1.0)
    if not 1.1 < ratio < 2.2 or min(sides) < 20:
        return None
    fill = cv2.contourArea(hull) / max(_area(corners), 1.0)
    return float(-abs(np.log(ratio / (LONG / SHORT))) - 2 * abs(1 - fill) + 0.05 * np.log(area)), corners


def find(picture: npt.NDArray[np.uint8], focal_mm: float | None = None, grey: Grey | None = None) -> Card | None:
    """The card in a picture (height, width, 3; sRGB), or none: the proposal that fits best and is a card in space.

    `focal_mm` is the lens's focal length on a frame 36 mm wide, where the picture states it; `grey` is its brightness,
    where that is known already.
    """
    grey = grey_of(picture) if grey is None else grey
    best: tuple[float, Card] | None = None
    for corners in proposals(picture):
        card = fitted(grey, corners)
        if card is None or card.px_per_mm * SHORT < max(LEAST_SIDE, sides.LEAST_SHORT * min(picture.shape[:2])):
            continue
        off = out_of_square(card, picture.shape[1], picture.shape[0], focal_mm)
        if off > MOST_OUT_OF_SQUARE:
            continue
        moved = float(np.abs(card.corners - ordered(corners)).max()) / (card.px_per_mm * SHORT)
        score = card.corner_px / card.px_per_mm + 0.3 * moved + off
        if best is None or score < best[0]:
            best = (score, card)
    return None if best is None else best[1]


def out_of_square(card: Card, width_px: int, height_px: int, focal_mm: float | None = None) -> float:
    """How far the four corners are from a card's as a camera sees it: 0 for one whose sides are square and in
    proportion in space."""
    focal = (MAIN_LENS if focal_mm is None else focal_mm) / 36 * max(width_px, height_px)
    to_ray = np.diag([1 / focal, 1 / focal, 1.0])
    to_ray[:2, 2] = -(width_px - 1) / 2 / focal, -(height_px - 1) / 2 / focal
    along, across = (to_ray @ card.from_mm)[:, :2].T
    long, short = float(np.linalg.norm(along)), float(np.linalg.norm(across))
    return float(np.hypot(np.log(long / short), along @ across / (long * short)))


def grey_of(picture: npt.NDArray[np.uint8]) -> Grey:
    """Brightness of a picture as floats, for finding edges."""
    return np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), dtype=np.float32)
