"""Where a card may lie, by straight lines alone: four that could be its sides, also where corners are hidden."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

MOST_LINES = 90
"""Longest lines that are tried as sides."""
LEAST_LINE = 0.035
"""A shorter line is no side, as a share of the picture's longer side."""
LEAST_SHORT = 0.08
"""A card whose short side is shorter, as a share of the picture's shorter side, gives too coarse a scale."""
RATIOS = (1.25, 2.0)
"""Long side over short side that a tilted card may show."""
AT_A_TIME = 100
"""Pairs of lines that are held against all later ones at a time."""
PLACES = np.linspace(0.08, 0.92, 24)
"""Places along a side where an edge must be seen."""


def lines(small: npt.NDArray[np.uint8]) -> Array:
    """The longest straight edges of a picture, in brightness and in colour, as (n, 2, 2) [px]."""
    finder = cv2.createLineSegmentDetector()
    found = [
        finder.detect(np.ascontiguousarray(plane))[0] for plane in cv2.split(cv2.cvtColor(small, cv2.COLOR_RGB2LAB))
    ]
    every = [one.reshape(-1, 2, 2).astype(np.float64) for one in found if one is not None]
    if not every:
        return np.empty((0, 2, 2))
    segments = np.concatenate(every)
    length = np.linalg.norm(segments[:, 1] - segments[:, 0], axis=1)
    order = np.argsort(-length)
    kept = order[length[order] > LEAST_LINE * max(small.shape)][: 3 * MOST_LINES]
    return _apart(segments[kept])[:MOST_LINES]


def _apart(segments: Array) -> Array:
    """The segments without those that lie along a longer one: a side that is broken into pieces counts once."""
    kept: list[Array] = []
    for one in segments:
        for other in kept:
            along = (other[1] - other[0]) / np.linalg.norm(other[1] - other[0])
            off = (one - other[0]) @ np.array([-along[1], along[0]])
            if np.abs(off).max() < 2.0:
                break
        else:
            kept.append(one)
    return np.array(kept) if kept else np.empty((0, 2, 2))


def quads(small: npt.NDArray[np.uint8], most: int = 20) -> list[Array]:
    """Corners (4, 2) [px] of shapes of about a card's proportion whose four sides are edges, best seen first."""
    segments = lines(small)
    if len(segments) < 4:
        return []
    run = segments[:, 1] - segments[:, 0]
    turn = np.arctan2(run[:, 1], run[:, 0]) % np.pi
    i, j = np.triu_indices(len(segments), 1)
    apart = np.abs((turn[i] - turn[j] + np.pi / 2) % np.pi - np.pi / 2)
    parallel = apart < np.radians(14)
    i, j = i[parallel], j[parallel]
    starts, ends = (np.column_stack([segments[:, end], np.ones(len(segments))]) for end in (0, 1))
    through, edge = np.cross(starts, ends), _edges(small)
    shapes, shares = [np.empty((0, 4, 2))], [np.empty((0, 4))]
    for a, b in _squares(turn[i]):
        order = ((i[a], i[b]), (i[b], j[a]), (j[a], j[b]), (j[b], i[a]))
        corners = np.stack([_met(through[one], through[two]) for one, two in order], axis=1)
        corners = corners[_like_a_card(corners, *small.shape[:2])]
        shapes.append(corners)
        shares.append(_seen(edge, corners))
    corners, seen = np.concatenate(shapes), np.concatenate(shares)
    best = np.argsort(-(seen.min(axis=1) + seen.mean(axis=1)))[:most]
    return [np.asarray(corners[k]) for k in best if seen[k].min() > 0.3]


def _squares(turns: Array) -> Iterator[tuple[Ints, Ints]]:
    """Which pairs of lines stand about square to which later ones, part by part: a cluttered picture has millions."""
    every = np.arange(len(turns))
    for first in range(0, len(turns), AT_A_TIME):
        rows = every[first : first + AT_A_TIME, None]
        off = np.abs((turns[rows] - turns + np.pi / 2) % np.pi - np.pi / 2)
        a, b = np.nonzero((np.abs(off - np.pi / 2) < np.radians(16)) & (every > rows))
        yield a + first, b


def _like_a_card(corners: Array, height: int, width: int) -> npt.NDArray[np.bool_]:
    """Which shapes (n, 4, 2) lie in the picture and are of about a card's size and proportion."""
    sides = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=2)
    longer, shorter = (np.sort(sides[:, [0, 1]] + sides[:, [2, 3]], axis=1)[:, k] for k in (1, 0))
    inside = ((corners > -0.02 * width) & (corners < [1.02 * width, 1.02 * height])).all(axis=(1, 2))
    ratio = longer / np.maximum(shorter, 1.0)
    found = inside & (shorter / 2 > LEAST_SHORT * min(height, width)) & (ratio > RATIOS[0]) & (ratio < RATIOS[1])
    return np.asarray(found, dtype=np.bool_)


def _met(one: Array, two: Array) -> Array:
    """Where lines (n, 3) meet (n, 2); far away where they hardly do."""
    cross = np.cross(one, two)
    w = np.where(np.abs(cross[:, 2:]) < 1e-6, 1e-6, cross[:, 2:])
    return np.asarray(np.clip(cross[:, :2] / w, -1e6, 1e6))


def _edges(small: npt.NDArray[np.uint8]) -> npt.NDArray[np.uint8]:
    """Where a picture shows an edge, in brightness or in colour: 1 there and beside it (height, width)."""
    steep = np.zeros(small.shape[:2], np.float32)
    for plane in cv2.split(cv2.cvtColor(small, cv2.COLOR_RGB2LAB)):
        smooth = cv2.GaussianBlur(plane, (0, 0), 1.0).astype(np.float32)
        steep = np.maximum(steep, np.hypot(cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)))
    strong = (steep > max(20.0, float(np.percentile(steep, 93)))).astype(np.uint8)
    return np.asarray(cv2.dilate(strong, np.ones((3, 3), np.uint8)), dtype=np.uint8)


def _seen(edge: npt.NDArray[np.uint8], corners: Array) -> Array:
    """Share of each side along which an edge is seen: (shape, side)."""
    starts, ends = corners, np.roll(corners, -1, axis=1)
    points = starts[:, :, None] + PLACES[None, None, :, None] * (ends - starts)[:, :, None]
    x = np.clip(np.round(points[..., 0]).astype(int), 0, edge.shape[1] - 1)
    y = np.clip(np.round(points[..., 1]).astype(int), 0, edge.shape[0] - 1)
    return np.asarray(edge[y, x].mean(axis=2), dtype=np.float64)
