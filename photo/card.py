"""The bank card in a photograph: proposed, then fitted side by side, since its corners are round.

Size from ISO/IEC 7810, ID-1: 85.60 x 53.98 mm, corners of about 3.18 mm, 0.76 mm thick. The four straight sides are
fitted and intersected; a clicked corner would miss the round. Pixels: x right, y down, the centre of the first at 0, 0.
"""

from __future__ import annotations

from itertools import combinations
from typing import NamedTuple

import cv2
import numpy as np
import numpy.typing as npt
from cv2.typing import MatLike

from coaxtell.photo import sides

Array = npt.NDArray[np.float64]
Grey = npt.NDArray[np.float32] | npt.NDArray[np.uint8]

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
REACHES = ((0.06, 0.02), (0.025, 0.012))
"""How far to either side of a guessed side its edge is looked for, round by round, as a share of its length: wide for a
rough proposal, narrow where print lies near the edge."""
LEAST_REACH = 3.0
"""The least of that [px]."""
CORNER_SHARE = 1.6 * CORNER / LONG
"""Share of a side at either end that is left out, since the corner is round there."""
STEP = 0.5
"""Distance of the places across a side [px]."""
SIDE_BLUR = (5, 1.0)
"""Places over which the brightness across a side is smoothed, and the spread of that [places]."""
EQUAL = 1e-9
"""Edges that differ by no more than this are equally steep [relative]."""
STRONG = (0.25, 80)
"""An edge counts from this share of what so many in a hundred do not pass."""
ON_LINE = (1.0, 0.004)
"""How far from a line a point may lie to be on it: at least so many px, and so much of the side's length."""
LEAST_SPAN, FEWEST_POINTS, FEWEST_ON_LINE, LEAST_PART = 0.2, PROFILES // 4, PROFILES // 5, 3
"""Two points that try a line lie at least this share of the side apart; an edge shows at so many places at least, of
which so many, and one in so many, lie on its line."""
LEAST_APART = 30.0
"""Corners nearer to each other than this make no card [px]."""
LEAST_MEETING = 0.2
"""Sine of the least angle at which two sides meet."""
CORNER_PX = (0.15, 2.2)
"""Standard deviation of a corner: so many px at least, and so many times its sides' (set on the tuning scenes)."""
TRIES = np.random.Generator(np.random.PCG64(7)).random((120, 2))
"""Pairs of points that try a line, as shares of all: fixed, so that the same picture gives the same line."""
FRAME_MM = 36.0
"""Width of the frame that focal lengths are told for [mm] (Exif 2.3, FocalLengthIn35mmFilm)."""
MAIN_LENS = 26.0
"""Focal length of a phone's main camera on that frame [mm] (common practice)."""
MOST_OUT_OF_SQUARE = 0.05
"""A shape farther from square and from the card's proportion is no card (set on the tuning scenes)."""
MOST_BOW = 0.012
"""A fitted side whose edge points scatter by more of its length is no straight side (set on the tuning scenes)."""
LEAST_SEEN, HIDDEN = 0.5, 0.3
"""A card found by itself shows its edge at so many of the places along each side, else its sides may be those of two
things; and what a wholly hidden outline counts for among proposals (set on 82 tuning scenes, seeds 62000 to 62079 and
two in which another thing had been taken: taken 6 before and 1 after, found 74 and 67)."""


class Side(NamedTuple):
    """A fitted side: a point on it, its direction, the scatter of its edge points [px] and how many there are."""

    point: Array
    along: Array
    scatter: float
    points: int


class Card(NamedTuple):
    """The card found: corners where the sides meet [px, (4, 2), clockwise, a long side first] and the plane's map.

    `to_mm` maps pixels of the picture to millimetres in the card's plane (3 x 3), `corner_px` is the standard
    deviation of a corner [px], `seen` the share of places along each side at which its edge shows on its line.
    """

    corners: Array
    to_mm: Array
    corner_px: float
    seen: tuple[float, ...]

    @property
    def from_mm(self) -> Array:
        """The map from millimetres in the card's plane to pixels (3 x 3)."""
        return _projection(PLAIN, self.corners)

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
    high, wide = grey.shape
    x, y = np.clip(points[..., 0], 0, wide - 1), np.clip(points[..., 1], 0, high - 1)
    left, top = np.minimum(x.astype(np.intp), wide - 2), np.minimum(y.astype(np.intp), high - 2)
    u, v, at = x - left, y - top, top * wide + left
    flat = grey.ravel()
    above = flat[at] * (1 - u) + flat[at + 1] * u
    below = flat[at + wide] * (1 - u) + flat[at + wide + 1] * u
    return np.asarray(above * (1 - v) + below * v, dtype=np.float64)


def steepest(slope: Array) -> npt.NDArray[np.intp]:
    """The place of the steepest edge of each row, both ends left out; of equally steep ones the first."""
    inner = slope[:, 1:-1]
    # an even ramp of brightness is as steep all along, but for the last digits
    first = (inner >= inner.max(axis=1, keepdims=True) * (1 - EQUAL)).argmax(axis=1) + 1
    return np.asarray(first, dtype=np.intp)


def fitted_side(grey: Grey, start: Array, end: Array, reach: float) -> Side | None:
    """The straight edge near the line from `start` to `end` [px], looked for `reach` px to either side.

    The round corners are left out. None where too few places show an edge, or they lie on no straight line.
    """
    length = float(np.linalg.norm(end - start))
    along = (end - start) / length
    across = np.array([-along[1], along[0]])
    places = start + np.outer(np.linspace(CORNER_SHARE, 1 - CORNER_SHARE, PROFILES), end - start)
    steps = np.arange(-reach, reach + STEP / 2, STEP)
    lines = sampled(grey, places[:, None, :] + steps[None, :, None] * across)
    smooth = cv2.GaussianBlur(lines, (SIDE_BLUR[0], 1), SIDE_BLUR[1])
    slope = np.abs(np.gradient(smooth, axis=1))
    best = steepest(slope)
    rows = np.arange(PROFILES)
    before, at, after = slope[rows, best - 1], slope[rows, best], slope[rows, best + 1]
    bend = before - 2 * at + after
    offset = np.where(bend < -1e-9, 0.5 * (before - after) / np.where(bend < -1e-9, bend, -1.0), 0.0)
    edge = steps[best] + STEP * np.clip(offset, -1, 1)
    strong = at > STRONG[0] * np.percentile(at, STRONG[1])
    points = (places + edge[:, None] * across)[strong]
    if len(points) < FEWEST_POINTS:
        return None
    return _line(points, length)


def _line(points: Array, length: float) -> Side | None:
    """A line through most of the points, those far from it let go; None where fewer than a third lie near one."""
    limit = max(ON_LINE[0], ON_LINE[1] * length)
    best: npt.NDArray[np.bool_] | None = None
    for one, two in (TRIES * len(points)).astype(np.intp):
        span = points[two] - points[one]
        size = float(np.linalg.norm(span))
        if size < LEAST_SPAN * length:
            continue
        near = np.abs((points - points[one]) @ np.array([-span[1], span[0]]) / size) < limit
        if best is None or near.sum() > best.sum():
            best = near
    if best is None or best.sum() < max(FEWEST_ON_LINE, len(points) // LEAST_PART):
        return None
    kept = points[best]
    middle = kept.mean(axis=0)
    _, _, axes = np.linalg.svd(kept - middle)
    off = (kept - middle) @ axes[1]
    scatter = float(np.sqrt(np.mean(off**2)))
    return None if scatter > MOST_BOW * length else Side(middle, axes[0], scatter, int(best.sum()))


def _meeting(one: Side, two: Side) -> Array | None:
    matrix = np.column_stack([one.along, -two.along])
    if abs(np.linalg.det(matrix)) < LEAST_MEETING:
        return None
    t = np.linalg.solve(matrix, two.point - one.point)
    return np.asarray(one.point + t[0] * one.along)


def fitted(grey: Grey, corners: Array) -> Card | None:
    """The card near four proposed or dragged corners [px]; None where a side shows no straight edge there."""
    guess = ordered(np.asarray(corners, dtype=np.float64))
    for reaches in REACHES:
        card = _fitted(grey, guess, reaches)
        if card is not None:
            return card
    return None


def _fitted(grey: Grey, guess: Array, reaches: tuple[float, ...]) -> Card | None:
    for share in reaches:
        if min(float(np.linalg.norm(one - two)) for one, two in combinations(guess, 2)) < LEAST_APART:
            return None
        fits: list[Side] = []
        for start, end in zip(guess, np.roll(guess, -1, axis=0), strict=True):
            side = fitted_side(grey, start, end, max(LEAST_REACH, share * float(np.linalg.norm(end - start))))
            if side is None:
                return None
            fits.append(side)
        met = [_meeting(fits[i - 1], fits[i]) for i in range(4)]
        guess = np.array([one for one in met if one is not None])
        if len(guess) < 4:
            return None
    spread = float(np.mean([side.scatter / np.sqrt(max(side.points - 2, 1)) for side in fits]))
    seen = tuple(side.points / PROFILES for side in fits)
    return Card(guess, _projection(guess, PLAIN), max(CORNER_PX[0], CORNER_PX[1] * spread), seen)


def _projection(points: Array, onto: Array) -> Array:
    """The projective map (3 x 3) that takes four points (4, 2) to four others."""
    (plain, to_plain), (goal, to_goal) = _evened(points), _evened(onto)
    rows = np.zeros((8, 8))
    for k, ((x, y), (u, v)) in enumerate(zip(plain, goal, strict=True)):
        rows[2 * k] = x, y, 1, 0, 0, 0, -x * u, -y * u
        rows[2 * k + 1] = 0, 0, 0, x, y, 1, -x * v, -y * v
    between = np.append(np.linalg.solve(rows, goal.ravel()), 1.0).reshape(3, 3)
    found = np.linalg.inv(to_goal) @ between @ to_plain
    return np.asarray(found / found[2, 2])


def _evened(points: Array) -> tuple[Array, Array]:
    """Points about nought, no farther than one from it, so that no sum loses digits, and the map (3 x 3) to there."""
    middle = points.mean(axis=0)
    size = float(np.abs(points - middle).max())
    even = np.array([[1 / size, 0, -middle[0] / size], [0, 1 / size, -middle[1] / size], [0, 0, 1]])
    return (points - middle) / size, even


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
    """The card in a picture (height, width, 3; sRGB), or none: the proposal that fits best and is a card in space, each
    side in sight along half of it or more.

    `focal_mm` is the lens's focal length on a frame 36 mm wide, where the picture states it; `grey` is its brightness,
    where that is known already.
    """
    grey = grey_of(picture) if grey is None else grey
    best: tuple[float, Card] | None = None
    for corners in proposals(picture):
        card = fitted(grey, corners)
        if card is None or min(card.seen) < LEAST_SEEN:
            continue
        if card.px_per_mm * SHORT < max(LEAST_SIDE, sides.LEAST_SHORT * min(picture.shape[:2])):
            continue
        off = out_of_square(card, picture.shape[1], picture.shape[0], focal_mm)
        if off > MOST_OUT_OF_SQUARE:
            continue
        moved = float(np.abs(card.corners - ordered(corners)).max()) / (card.px_per_mm * SHORT)
        score = card.corner_px / card.px_per_mm + 0.3 * moved + off + HIDDEN * (1 - float(np.mean(card.seen)))
        if best is None or score < best[0]:
            best = (score, card)
    return None if best is None else best[1]


def out_of_square(card: Card, width_px: int, height_px: int, focal_mm: float | None = None) -> float:
    """How far the four corners are from a card's as a camera sees it: 0 for one whose sides are square and in
    proportion in space."""
    focal = (MAIN_LENS if focal_mm is None else focal_mm) / FRAME_MM * max(width_px, height_px)
    to_ray = np.diag([1 / focal, 1 / focal, 1.0])
    to_ray[:2, 2] = -(width_px - 1) / 2 / focal, -(height_px - 1) / 2 / focal
    along, across = (to_ray @ card.from_mm)[:, :2].T
    long, short = float(np.linalg.norm(along)), float(np.linalg.norm(across))
    return float(np.hypot(np.log(long / short), along @ across / (long * short)))


def grey_of(picture: npt.NDArray[np.uint8]) -> Grey:
    """Brightness of a picture, 0 to 255, for finding edges: a byte a pixel, since pictures are large."""
    return np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
