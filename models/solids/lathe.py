"""A turned body as a mesh: rows of points round the axis, laid one after the other and sewn together.

A row is one closed curve round the axis: a circle, the edge of a hexagon, a line of knurl points or a row of a
thread. The mesh is the chain of rows round the cut outline, so it is watertight by construction.
Axes: x to the right and y up as seen from the front, z out of the mating face. Lengths in mm.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from coaxtell.models.helix import NEAR, Array, Helix, Index, rows


class Lathe:
    """Collects rows of points at fixed angles and sews each to the one before it."""

    def __init__(self, angles: Array) -> None:
        """Angles [rad] of the columns, rising from 0 and below a full turn."""
        self.angles = angles
        self._round = np.column_stack([np.cos(angles), np.sin(angles)])
        self._points: list[Array] = []
        self._count = 0
        self._faces: list[Index] = []
        self._first: Index | None = None
        self._last: Index | None = None
        self._here: Array = np.empty((0, 3))

    def _add(self, z: Array, radius: Array) -> Index:
        """Store points at every angle; returns their numbers."""
        points = np.empty((len(self.angles), 3))
        points[:, :2] = self._round * radius[:, None]
        points[:, 2] = z
        self._points.append(points)
        start = self._count
        self._count += len(points)
        return np.arange(start, self._count)

    def _add_rows(self, z: Array, radius: Array) -> Index:
        """Store rows of points at every angle; returns their numbers, rows x angles."""
        points = np.empty((*z.shape, 3))
        points[..., :2] = self._round[None, :, :] * radius[..., None]
        points[..., 2] = z
        self._points.append(points.reshape(-1, 3))
        start = self._count
        self._count += z.size
        return np.arange(start, self._count).reshape(z.shape)

    def _sew(self, row: Index, flip: NDArray[np.bool_] | None = None) -> None:
        if self._first is None:
            self._first = row
        if self._last is not None and self._last is not row:
            a, b = self._last, row
            flip = np.zeros(len(self.angles), dtype=bool) if flip is None else flip
            c = np.where(flip, a[1:], b[1:])
            d = np.where(flip, b[:-1], a[:-1])
            self._faces.append(np.column_stack([a[:-1], b[:-1], c]))
            self._faces.append(np.column_stack([d, b[1:], a[1:]]))
        self._last = row

    def row(self, z: Array | float, radius: Array | float, flip: NDArray[np.bool_] | None = None) -> None:
        """Add one closed row; z and radius [mm] are one number or one per angle.

        `flip` turns the diagonal of the squares between the row before and this one.
        """
        n = len(self.angles)
        if np.ndim(radius) == 0 and float(radius) < NEAR:
            self._points.append(np.array([[0.0, 0.0, float(np.mean(z))]]))
            self._here = np.repeat(self._points[-1], n, axis=0)
            self._sew(np.full(n + 1, self._count))
            self._count += 1
            return
        z, radius = np.broadcast_to(z, n).astype(float), np.broadcast_to(radius, n).astype(float)
        new = self._add(z, radius)
        here = self._points[-1]
        if self._last is not None:
            # where the new row touches the last one both share the point
            same = np.linalg.norm(self._here - here, axis=1) < NEAR
            new = np.where(same, self._last[:-1], new)
            here = np.where(same[:, None], self._here, here)
        self._here = here
        self._sew(np.append(new, new[0]), flip)

    def thread(self, thread: Helix, forwards: bool) -> None:
        """Add a thread with both its end circles, from rear to front or, as outside, from front to rear."""
        ends = [(thread.rear, thread.end_radius(thread.rear_end)), (thread.front, thread.end_radius(thread.front_end))]
        z, radius, shown = rows(thread, self.angles)
        if forwards:
            self.row(*ends[0])
            assert self._last is not None
            rear = self._last
            numbers = self._add_rows(z, radius)
            for row in self._numbered(shown, numbers, rear):
                self._sew(row)
            self.row(*ends[1])
            return
        self.row(*ends[1])
        numbers = self._add_rows(z, radius)
        circle = self._add(np.full(len(self.angles), ends[0][0]), np.full(len(self.angles), ends[0][1]))
        self._here = self._points[-1]
        rear = np.append(circle, circle[0])
        for row in reversed(self._numbered(shown, numbers, rear)):
            self._sew(row)
        self._sew(rear)

    def _numbered(self, shown: Index, numbers: Index, rear: Index) -> list[Index]:
        """The rows of a thread as point numbers, -1 standing for the circle at its rear."""
        columns = np.append(np.arange(numbers.shape[1]), 0)
        found = np.where(shown >= 0, numbers[shown, columns[None, :]], rear[None, :])
        distinct = [found[0]]
        for row in found[1:]:
            if not np.array_equal(row, distinct[-1]):
                distinct.append(row)
        return distinct

    def mesh(self) -> tuple[Array, Index]:
        """Close the chain and return points and triangles, outward normals counter-clockwise."""
        assert self._first is not None
        assert self._last is not None
        if not np.array_equal(self._first, self._last):
            self._sew(self._first)
        faces = np.concatenate(self._faces)
        kept = (faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])
        faces = faces[kept]
        used = np.zeros(self._count, dtype=bool)
        used[faces] = True
        number = np.cumsum(used) - 1
        return np.concatenate(self._points)[used], number[faces].astype(np.int64)


def polygon_radius(angles: Array, sides: int, flat: float, corner: float) -> Array:
    """Radius [mm] of a regular polygon with a flat on angle 0, `flat` to a side, cut at `corner` [mm]."""
    step = math.tau / sides
    off = (angles + step / 2) % step - step / 2
    return np.minimum(flat / np.cos(off), corner)


def volume(points: Array, faces: Index) -> float:
    """Volume enclosed by a mesh [mm3], positive where its normals point outwards."""
    a, b, c = (points[faces[:, i]] for i in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)
