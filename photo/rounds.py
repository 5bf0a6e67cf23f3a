"""Round things beside the card that may be the face of a port, likeliest first; a person chooses.

Every edge votes for the middles that it may belong to, radius by radius. A port shows several rings about one middle
(contact, insulator, shell, rim), which lines, letters and blotches do not. Of its rings the likeliest is one that has
another close within it about the same middle: a flange lies deeper, so its middle is seen beside that.
"""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
import numpy.typing as npt

from coaxtell.photo.card import Array, Card
from coaxtell.photo.circle import least_squares

Picture = npt.NDArray[np.uint8]
Float = npt.NDArray[np.float32]

RADII = (1.2, 13.0)
"""Radii of the rings that are looked for [mm]: from the contact of a small coupling to the flange of a large one."""
COARSE, FINE = (18, 3.0, 3.0), (48, 8.0, 2.0)
"""In the whole picture, and about one middle: how many radii, at how many pixels to a millimetre at most, and from what
change of brightness from pixel to pixel on there is an edge (set on scenes 21000 to 21049, as is what follows)."""
LARGEST = 1200
"""Longest side of the picture in which all is looked for [px]."""
RINGS = 3
"""So many rings about a middle count for it."""
PLACES, APART, LEAST = 3, 4.0, 0.55
"""So many places are looked at, no nearer to each other than this [mm], each with so many shares of a ring at least."""
REACH = 14.0
"""How far about a middle its rings are looked for [mm]."""
OFF = 0.45
"""How far a ring's middle may lie from where it was looked for, as a share of its radius."""
SHOWS, WHOLE = 0.25, 0.8
"""A ring has so much of its round in edges at least; more than the other makes it no likelier."""
WITHIN = (0.5, 0.9)
"""Radii of a ring within another, as shares of its radius."""
SAME = 0.04
"""Spread of how far the middles of two rings of one face lie apart, as a share of the radius."""
ALONE = 0.05
"""What a ring without another within it counts."""
USUAL, SIZES = 10.0, 0.6
"""Middle and spread of the diameters of couplings [mm; of the logarithm]: half of the families lie within 6.5 to 15."""
BAND, RADIAL = 0.07, 0.85
"""A ring's edges lie so near to it, as a share of its radius, and run across its rays to this cosine or nearer."""


class Ring(NamedTuple):
    """A ring in the picture: its share of a whole round in edges, middle and radius [px]."""

    share: float
    middle: Array
    radius: float


class Edges(NamedTuple):
    """The places of edges [px] and their directions from dark to light."""

    at: Array
    way: Array


def proposals(picture: Picture, card: Card, most: int = 5) -> list[tuple[Array, float]]:
    """Circles beside the card that may be a face: middle and radius [px], likeliest first.

    A screw head, a fan or a coin is as round: a person chooses.
    """
    found = [_by_likelihood(_rings(picture, card, place), card) for place in _places(picture, card)]
    # two of the likeliest place, then of each place by turns: the place itself may be the wrong one
    turns = [(0, 0), (0, 1), (1, 0), (0, 2), (2, 0), (1, 1), (0, 3)]
    kept: list[tuple[Array, float]] = []
    for place, which in turns:
        if place < len(found) and which < len(found[place]) and len(kept) < most:
            ring = found[place][which]
            kept.append((ring.middle, ring.radius))
    return kept


def _edges(picture: Float, least: float) -> Edges:
    """Edges one pixel wide, by the channel that changes most."""
    smooth = cv2.GaussianBlur(picture, (0, 0), 1.0)
    across, down = (np.asarray(cv2.Sobel(smooth, cv2.CV_32F, *way, ksize=3, scale=1 / 8)) for way in ((1, 0), (0, 1)))
    steep = np.hypot(across, down)
    channel = steep.argmax(axis=2)[..., None]
    steep, across, down = (np.take_along_axis(one, channel, 2)[..., 0] for one in (steep, across, down))
    y, x = np.nonzero(steep > least)
    here = steep[y, x]
    at = np.column_stack([x, y]).astype(np.float64)
    way = np.column_stack([across[y, x] / here, down[y, x] / here]).astype(np.float64)
    ridge = np.ones(len(here), dtype=np.bool_)
    for side in (1, -1):
        columns, rows = np.round(at + side * way).astype(int).T
        beside = steep[rows.clip(0, steep.shape[0] - 1), columns.clip(0, steep.shape[1] - 1)]
        ridge &= here >= beside
    return Edges(at[ridge], way[ridge])


def _votes(edges: Edges, shape: tuple[int, int], radius: float) -> Float:
    """For each pixel, which share of a whole ring of that radius [px] about it is edges that point to or from it."""
    tall, wide = shape
    votes = np.zeros(tall * wide, dtype=np.float32)
    for side in (radius, -radius):
        columns, rows = np.round(edges.at + side * edges.way).astype(int).T
        inside = (columns >= 0) & (rows >= 0) & (columns < wide) & (rows < tall)
        votes += np.bincount(rows[inside] * wide + columns[inside], minlength=tall * wide)
    spread = max(1.0, SAME * radius)
    smooth = cv2.GaussianBlur(votes.reshape(shape), (0, 0), spread)
    return np.asarray(smooth * np.float32(spread**2 / radius), dtype=np.float32)


def _places(picture: Picture, card: Card) -> list[Array]:
    """Middles of several rings, those with most of them first [px]."""
    count, per_mm, least = COARSE
    shrink = min(1.0, per_mm / card.px_per_mm, LARGEST / max(picture.shape))
    small = cv2.resize(picture, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA).astype(np.float32)
    scale = card.px_per_mm * shrink
    edges, shape = _edges(small, least), (small.shape[0], small.shape[1])
    best = np.zeros((RINGS, *shape), dtype=np.float32)
    for radius in np.geomspace(*RADII, count) * scale:
        now = np.minimum(_votes(edges, shape, float(radius)), 1.0)
        for rank in best:  # each gives what it was to the next, where the new one is more
            held = np.minimum(rank, now)
            np.maximum(rank, now, out=rank)
            now = held
    several = np.asarray(cv2.GaussianBlur(best.sum(axis=0), (0, 0), 0.6 * scale))
    on_card = np.zeros(shape, dtype=np.uint8)
    cv2.fillConvexPoly(on_card, np.round(card.corners * shrink).astype(np.int32), 1)
    several[cv2.dilate(on_card, np.ones((5, 5), np.uint8)) > 0] = 0.0
    found: list[Array] = []
    while len(found) < PLACES:
        y, x = np.unravel_index(int(several.argmax()), shape)
        if several[y, x] < LEAST:
            break
        found.append(np.array([x, y]) / shrink)
        cv2.circle(several, (int(x), int(y)), int(APART * scale), (0.0,), -1)
    return found


def _rings(picture: Picture, card: Card, place: Array) -> list[Ring]:
    """The rings about a place [px]."""
    count, per_mm, least = FINE
    half = REACH * card.px_per_mm
    corner = np.floor(place - half).astype(int).clip(min=0)
    x1, y1 = np.ceil(place + half).astype(int)
    shrink = min(1.0, per_mm / card.px_per_mm)
    cut = picture[corner[1] : y1, corner[0] : x1]
    small = cv2.resize(cut, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA).astype(np.float32)
    scale, shape = card.px_per_mm * shrink, (small.shape[0], small.shape[1])
    edges, middle = _edges(small, least), (place - corner) * shrink
    down, across = np.mgrid[: shape[0], : shape[1]]
    away = np.hypot(across - middle[0], down - middle[1])
    found: list[Ring] = []
    for radius in np.geomspace(*RADII, count) * scale:
        votes = np.where(away <= max(OFF * radius, 2.0), _votes(edges, shape, float(radius)), 0.0)
        y, x = np.unravel_index(int(votes.argmax()), shape)
        found.append(Ring(float(votes[y, x]), np.array([x, y], dtype=np.float64), float(radius)))
    shares = np.array([0.0, *(ring.share for ring in found), 0.0])
    peaks = [
        ring for i, ring in enumerate(found, 1) if ring.share > SHOWS and ring.share >= shares[i - 1 : i + 2].max()
    ]
    fitted = [_fitted(edges, ring) for ring in peaks]
    return [Ring(one.share, one.middle / shrink + corner, one.radius / shrink) for one in fitted]


def _fitted(edges: Edges, ring: Ring) -> Ring:
    """The circle through the edges of a ring."""
    for _ in range(2):
        away = edges.at - ring.middle
        far = np.linalg.norm(away, axis=1).clip(min=1e-6)
        near = np.abs(far - ring.radius) < BAND * ring.radius
        near &= np.abs((away * edges.way).sum(axis=1)) > RADIAL * far
        if near.sum() < 8:
            break
        middle, radius = least_squares(edges.at[near])
        if np.linalg.norm(middle - ring.middle) > 2 * BAND * ring.radius or abs(radius / ring.radius - 1) > 2 * BAND:
            break
        ring = Ring(ring.share, middle, radius)
    return ring


def _by_likelihood(rings: list[Ring], card: Card) -> list[Ring]:
    """Rings of one place, the likeliest to be a coupling's first."""

    def nested(ring: Ring) -> float:
        most = 0.0
        for other in rings:
            if WITHIN[0] < other.radius / ring.radius < WITHIN[1]:
                off = float(np.linalg.norm(other.middle - ring.middle)) / (SAME * ring.radius)
                most = max(most, min(other.share, WHOLE) * float(np.exp(-0.5 * off**2)))
        return most

    def likely(ring: Ring) -> float:
        size = float(np.log(2 * ring.radius / card.px_per_mm / USUAL)) / SIZES
        return float(min(ring.share, WHOLE) ** 0.5 * (nested(ring) + ALONE) * np.exp(-0.5 * size**2))

    return sorted(rings, key=likely, reverse=True)
