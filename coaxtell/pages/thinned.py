"""Shapes with no more corners than their picture shows: hundreds of pictures are a large file else."""

from __future__ import annotations

import cv2
import numpy as np

from coaxtell.models.drawings.drawing import Item, Point, Polygon

FINE = 0.01
"""So far an edge may lie from where it is: finer than any printer draws [mm]."""


def thinned(item: Item) -> Item:
    """The shape on paper with as few of its corners as keep every edge within FINE."""
    return item._replace(outlines=tuple(map(_outline, item.outlines))) if isinstance(item, Polygon) else item


def _outline(outline: tuple[Point, ...]) -> tuple[Point, ...]:
    kept = cv2.approxPolyDP(np.array(outline, np.float32), FINE, closed=True)
    return tuple((x, y) for x, y in kept.reshape(-1, 2).tolist())
