"""Normals for a shaded mesh: smooth over gentle bends, sharp where two faces turn by more than an edge's angle."""

from __future__ import annotations

import math

import numpy as np

from coaxtell.models.helix import Array, Index

SHARP = math.radians(24.0)
"""Faces that turn by more than this against each other meet in an edge [rad]."""


def shaded(points: Array, faces: Index) -> tuple[Array, Array, Index]:
    """Points, a unit normal for each, and triangles; a point on an edge stands there once for each side.

    Normals are the mean of the neighbouring faces on the same side of the edges, weighted by the angle at the point.
    """
    a, b, c = (points[faces[:, i]] for i in range(3))
    cross = np.cross(b - a, c - a)
    face = cross / np.linalg.norm(cross, axis=1)[:, None]
    angle = np.column_stack([_angle(b - a, c - a), _angle(c - b, a - b), _angle(a - c, b - c)]).ravel()
    corner = faces.ravel()
    owner = np.repeat(np.arange(len(faces)), 3)
    order = np.argsort(corner, kind="stable")
    counts = np.bincount(corner, minlength=len(points))
    starts = np.concatenate([[0], np.cumsum(counts)[:-1]])
    # every corner with every corner at the same point
    mine = np.repeat(order, counts[corner[order]])
    first = np.repeat(starts[corner[order]], counts[corner[order]])
    within = np.arange(len(mine)) - np.repeat(np.cumsum(counts[corner[order]]) - counts[corner[order]],
                                              counts[corner[order]])  # fmt: skip
    other = order[first + within]
    near = np.einsum("ij,ij->i", face[owner[mine]], face[owner[other]]) >= math.cos(SHARP)
    mine, other = mine[near], other[near]
    weighted = face[owner[other]] * angle[other][:, None]
    summed = np.column_stack([np.bincount(mine, weights=weighted[:, k], minlength=len(corner)) for k in range(3)])
    length = np.linalg.norm(summed, axis=1)
    normal = np.where(length[:, None] > 1e-12, summed / np.maximum(length, 1e-12)[:, None], face[owner])
    key = np.column_stack([corner, np.round(normal * 4096).astype(np.int64)])
    _, kept, index = np.unique(key, axis=0, return_index=True, return_inverse=True)
    return points[corner[kept]], normal[kept], index.reshape(-1, 3).astype(np.int64)


def _angle(u: Array, v: Array) -> Array:
    cosine = np.einsum("ij,ij->i", u, v) / (np.linalg.norm(u, axis=1) * np.linalg.norm(v, axis=1))
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)))
