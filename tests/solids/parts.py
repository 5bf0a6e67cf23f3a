"""Solids for tests, built once, and what the tests measure on them."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coaxtell.models.half import Half
from coaxtell.models.regions import Region, regions
from coaxtell.models.solids.part import Level, Part
from coaxtell.models.solids.solid import solid
from tests.halves import all_halves, half

Array = NDArray[np.float64]

IDS = tuple(all_halves())


@cache
def parts(half_id: str, level: Level = "fine") -> tuple[tuple[Part, Region], ...]:
    return tuple(zip(solid(half(half_id), level), regions(half(half_id)), strict=True))


def part(half_id: str, role: str) -> Part:
    return next(p for p, _ in parts(half_id) if p.role == role)


def cylindrical(points: Array) -> tuple[Array, Array, Array]:
    """z, radius and angle [rad] of points."""
    return points[:, 2], np.hypot(points[:, 0], points[:, 1]), np.arctan2(points[:, 1], points[:, 0])


def samples(found: Part, each: int = 2, seed: int = 7) -> Array:
    """Points between the vertices: some inside every triangle."""
    rng = np.random.default_rng(seed)
    weights = rng.dirichlet((1, 1, 1), size=(len(found.faces), each))
    return np.asarray(np.einsum("fek,fkx->fex", weights, found.points[found.faces]).reshape(-1, 3))


def distance_to_outline(z: Array, r: Array, outline: tuple[tuple[float, float], ...]) -> Array:
    """Distance of points in the half plane to a closed outline [mm]."""
    best = np.full(len(z), math.inf)
    for (z0, r0), (z1, r1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        length = math.hypot(z1 - z0, r1 - r0)
        t = np.clip(((z - z0) * (z1 - z0) + (r - r0) * (r1 - r0)) / length**2, 0, 1)
        best = np.minimum(best, np.hypot(z - z0 - t * (z1 - z0), r - r0 - t * (r1 - r0)))
    return best


def plain(of: Half, region: Region) -> bool:
    """True where the part is turned only: no thread, no flats, no knurl, no cut."""
    if region.role == "insulator" or region.role == "pin":
        return True
    if region.role == "socket":
        return of.centre.socket is None or of.centre.socket.slots is None
    return False


def hand(half_id: str) -> int:
    """+1 for a half with a right-hand thread, -1 for a left-hand one."""
    thread = half(half_id).coupling_thread
    return -1 if thread is not None and thread.hand == "left" else 1


def flanges(of: Half) -> list[tuple[float, float]]:
    """Width and thickness of the mounting flanges of a shell [mm]: squares of 10 mm and more, thinner than a quarter of
    their width; anything smaller is soldered or pressed in and has no holes."""
    found: list[tuple[float, float]] = []
    front = of.shell.rim.nominal
    for step in of.shell.outside:
        if step.form == "square" and step.d is not None and 10 <= step.d.nominal >= 4 * (front - step.to.nominal):
            found.append((step.d.nominal, front - step.to.nominal))
        front = step.to.nominal
    return found


def threaded(half_id: str) -> bool:
    return half(half_id).coupling_thread is not None


THREADED = tuple(h for h in IDS if threaded(h))


def thread_zone(half_id: str) -> tuple[Part, float, float, bool]:
    """The threaded part of a half, the z of front and rear of its thread, and whether it is inside."""
    of = half(half_id)
    inside = of.nut is not None and of.nut.thread is not None
    body = of.shell if not inside else of.nut.body if of.nut is not None else None
    assert body is not None
    front = body.rim.nominal
    for step in body.inside if inside else body.outside:
        if step.thread:
            return part(half_id, "nut" if inside else "outer"), front, step.to.nominal, inside
        front = step.to.nominal
    raise AssertionError("no thread")


def basic_height(away: Array, pitch: float, inside: bool) -> Array:
    """Height over the root of the sixty degree form at a distance from the middle of a crest [mm].

    Written from ISO 68-1, clause 4 (the basic profile: 5/8 H deep, flats P/8 at the major and P/4 at the minor
    diameter), not from the code under test.
    """
    full = 5 / 8 * math.sqrt(3) / 2 * pitch
    crest_flat = pitch / 4 if inside else pitch / 8
    away = np.abs((away + pitch / 2) % pitch - pitch / 2)
    return np.clip(full - np.maximum(0, away - crest_flat / 2) * math.tan(math.radians(60)), 0, full)


def crest_phase(half_id: str, angle: float) -> float:
    """z of a crest's middle at an angle [rad], modulo the pitch, read off the mesh's vertices."""
    found, front, rear, inside = thread_zone(half_id)
    thread = half(half_id).coupling_thread
    assert thread is not None
    pitch = thread.pitch_mm
    full = 5 / 8 * math.sqrt(3) / 2 * pitch
    crest = thread.major.nominal / 2 - (full if inside else 0.0)
    z, r, turn = cylindrical(found.points)
    on = (np.abs(r - crest) < 1e-6) & (np.abs(turn - angle) < 1e-6) & (z < front - full - 1e-6) & (z > rear + pitch)
    edges = np.sort(z[on])
    flat = pitch / 4 if inside else pitch / 8
    for a, b in pairwise(edges):
        if abs(b - a - flat) < 1e-6:
            return float((a + b) / 2 % pitch)
    raise AssertionError(f"{half_id}: no whole crest at {math.degrees(angle):g} degrees")
