"""Scenes for the renderer: the camera, what lies round the port, what it is made of, the light."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from coaxtell.photo.training import variants
from coaxtell.photo.training.variants import ROW, Shape, Variant

Rows = npt.NDArray[np.float32]
HEAD, COPY, LIGHT, MATERIAL, COPIES, LIGHTS, MATERIALS = 32, 10, 8, 8, 4, 12, 8
SCENE = HEAD + COPIES * COPY + LIGHTS * LIGHT + MATERIALS * MATERIAL
LABELS = ("face", "coupling", "centre", "plastic", "tilt", "x", "y", "share", "centre_r", "plastic_r")
"""Columns of what is true of a scene; x, y and share in halves of the picture's side, radii in those of the face."""

METALS = {
    "gold": (1.0, 0.72, 0.30), "pale gold": (0.98, 0.82, 0.52), "nickel": (0.67, 0.62, 0.55),
    "bright": (0.83, 0.81, 0.78), "steel": (0.57, 0.56, 0.55), "brass": (0.87, 0.74, 0.43),
    "white bronze": (0.79, 0.78, 0.74), "black": (0.08, 0.08, 0.08), "copper": (0.95, 0.64, 0.54),
    "tin": (0.70, 0.70, 0.71),
}  # fmt: skip
BODY = ("gold", "pale gold", "nickel", "bright", "steel", "brass", "white bronze", "black")
BODY_SHARE = (0.26, 0.08, 0.22, 0.15, 0.09, 0.09, 0.08, 0.03)
INNER = ("gold", "pale gold", "brass", "nickel", "bright", "copper", "tin")
INNER_SHARE = (0.52, 0.12, 0.12, 0.08, 0.08, 0.03, 0.05)


class Library(NamedTuple):
    """Variants in one table of shapes, with where each begins."""

    rows: Rows
    first: npt.NDArray[np.int64]
    variants: list[Variant]


def library(shapes: list[Shape], count: int, rng: np.random.Generator, negatives: float = 0.27) -> Library:
    """So many variants: every half alike often within its coupling, couplings evened out, the rest no faces."""
    by_coupling: dict[str, list[Shape]] = {}
    for shape in shapes:
        by_coupling.setdefault(shape["coupling"], []).append(shape)
    weight = {
        "thread-outside": 0.3,
        "thread-inside": 0.22,
        "lugs": 0.13,
        "bayonet-sleeve": 0.1,
        "smooth": 0.13,
        "sleeve": 0.12,
    }
    names = [name for name in weight if name in by_coupling]
    shares = np.array([weight[name] for name in names])
    made: list[Variant] = []
    for _ in range(count):
        if rng.random() < negatives:
            made.append(variants.nothing(rng))
        else:
            family = by_coupling[str(rng.choice(names, p=shares / shares.sum()))]
            made.append(variants.face(family[int(rng.integers(len(family)))], rng))
    sizes = np.array([len(one.rows) for one in made])
    return Library(np.concatenate([one.rows for one in made]), np.concatenate([[0], np.cumsum(sizes)[:-1]]), made)


def _metal(rng: np.random.Generator, names: tuple[str, ...], shares: tuple[float, ...]) -> npt.NDArray[np.float64]:
    base = np.array(METALS[names[int(rng.choice(len(names), p=shares))]])
    return np.asarray(np.clip(base * rng.uniform(0.85, 1.05) * (1 + rng.uniform(-0.05, 0.05, 3)), 0, 1))


def materials(rng: np.random.Generator) -> Rows:
    """Of what each part is made: kind, colour, roughness, lathe marks, tarnish, size of its spots."""
    table = np.zeros((MATERIALS, MATERIAL), np.float32)
    plating = _metal(rng, BODY, BODY_SHARE)
    worn = rng.uniform(0.1, 0.5) if rng.random() < 0.35 else 0.0
    rough, marks = rng.uniform(0.1, 0.55), float(rng.choice([0.0, 0.05, 0.15, 0.3]))
    for part in (variants.BACK, variants.SHELL, variants.NUT, variants.COUPLING):
        colour = plating if rng.random() < 0.7 else _metal(rng, BODY, BODY_SHARE)
        table[part] = [0, *colour, np.clip(rough * rng.uniform(0.7, 1.4), 0.08, 0.7), marks, worn, rng.uniform(0.3, 3)]
    # a thread is cut into what carries it
    table[variants.COUPLING] = table[variants.SHELL if rng.random() < 0.5 else variants.NUT]
    if rng.random() < 0.5:  # as where plain light falls on plain metal: no lathe marks, no spots
        table[:, 5:7] = 0
    dark = [rng.uniform(0.01, 0.07)] * 3 if rng.random() < 0.7 else rng.uniform(0.05, 0.8, 3).tolist()
    table[variants.HOUSING] = [1, *dark, rng.uniform(0.2, 0.7), 0, 0, 1]
    white = rng.uniform(0.72, 0.95)
    tint = rng.random()
    plastic = [white, white * rng.uniform(0.95, 1), white * rng.uniform(0.85, 1)] if tint < 0.82 else (
        [white * 0.9, white * 0.8, white * rng.uniform(0.5, 0.7)] if tint < 0.92 else [rng.uniform(0.05, 0.4)] * 3
    )  # fmt: skip
    dirt = rng.uniform(0.1, 0.4) if rng.random() < 0.2 else 0.0
    table[variants.PLASTIC] = [1, *plastic, rng.uniform(0.3, 0.8), 0, dirt, rng.uniform(0.3, 2)]
    table[variants.CENTRE] = [0, *_metal(rng, INNER, INNER_SHARE), rng.uniform(0.12, 0.5), marks * 0.5, worn * 0.5, 2]
    return table


def lights(rng: np.random.Generator) -> tuple[Rows, Rows, int]:
    """Colours above and below, and lights and dark things all round as caps: direction, edge, softness, colour."""
    bright = rng.uniform(0.03, 0.7) if rng.random() < 0.8 else rng.uniform(0.7, 1.4)
    tint = 1 + rng.uniform(-0.12, 0.12, 3)
    two = np.array([*(bright * tint), *(bright * rng.uniform(0.1, 1.0) * (1 + rng.uniform(-0.2, 0.2, 3)))], np.float32)
    count = int(rng.integers(2, LIGHTS + 1))
    table = np.zeros((LIGHTS, LIGHT), np.float32)
    for i in range(count):
        way = rng.normal(size=3) + np.array([0.0, 0.4, 0.5])
        way /= np.linalg.norm(way)
        if rng.random() < 0.35:
            give = np.full(3, -rng.uniform(0.5, 0.98))
            reach = rng.uniform(0.1, 0.6)
        else:
            reach = np.exp(rng.uniform(np.log(0.08), np.log(0.6)))
            give = min(rng.uniform(0.3, 2.0) * 0.25 / reach**1.5, 40.0) * (1 + rng.uniform(-0.2, 0.2, 3))
        edge = np.cos(reach)
        table[i] = [*way, edge, max((1 - edge) * rng.uniform(0.05, 0.8), 1e-4), *give]
    return two, table, count


def scene(lib: Library, rng: np.random.Generator) -> tuple[Rows, Rows]:
    """One scene as the renderer reads it, and what is true of it."""
    record = np.zeros(SCENE, np.float32)
    which = int(rng.integers(len(lib.variants)))
    it = lib.variants[which]
    steep = rng.random()
    tilt = (
        rng.uniform(0, 18)
        if steep < 0.3
        else rng.uniform(18, 46)
        if steep < 0.78
        else rng.uniform(46, 60)
        if steep < 0.9
        else rng.uniform(62, 110)
    )
    t, way = np.radians(tilt), rng.uniform(0, 2 * np.pi)
    back = np.array([np.sin(t) * np.cos(way), np.sin(t) * np.sin(way), np.cos(t)])
    far = np.exp(rng.uniform(np.log(max(35, 6 * it.rim_r)), np.log(400)))
    aim = np.array([0.0, 0.0, it.rim_z])
    share = np.exp(rng.uniform(np.log(0.25), np.log(0.95)))
    up = rng.normal(size=3) + (np.array([0, 3.0, 0]) if rng.random() < 0.5 else 0)
    right = np.cross(up, back)
    right /= np.linalg.norm(right) + 1e-9
    down = np.cross(-back, right)
    half = it.rim_r / (share * far)
    off = rng.uniform(-1, 1, 2) * min(0.4, max(0.08, 0.6 - 0.5 * share))
    record[0:3], record[3:6], record[6:9], record[9:12] = aim + far * back, right, down, -back
    record[12] = half
    record[13] = 0.0 if rng.random() < 0.3 else np.exp(rng.uniform(np.log(0.1), np.log(3))) * min(1, far / 120)
    record[14] = max(far + rng.normal() * 2.0, 10)
    record[15], record[16] = -off * half
    panel = it.rim_z - (rng.uniform(3, 12) if rng.random() < 0.7 else np.exp(rng.uniform(np.log(12), np.log(250))))
    if it.board is not None:
        panel = it.board
    record[17], record[18], record[19] = panel, rng.integers(1, 1 << 20), np.exp(rng.uniform(np.log(0.02), np.log(0.6)))
    two, table, count = lights(rng)
    record[21:27], record[27], record[28] = two, count, rng.uniform(0.4, 1.2)
    record[29] = rng.integers(1, 1 << 22)
    copies = [(which, np.zeros(3))]
    if rng.random() < 0.35:
        gap = it.rim_r * rng.uniform(2.6, 6)
        for i in range(int(rng.integers(1, COPIES))):
            other = which if rng.random() < 0.7 else int(rng.integers(len(lib.variants)))
            a = way + 2 * np.pi * i / 3
            copies.append((other, np.array([gap * np.cos(a), gap * np.sin(a), it.rim_z - lib.variants[other].rim_z])))
    record[20] = len(copies)
    for i, (other, place) in enumerate(copies):
        rows = lib.variants[other].rows
        reach, low, high = _bounds(rows)
        record[HEAD + i * COPY : HEAD + i * COPY + 8] = [lib.first[other], len(rows), *place, reach, low, high]
    record[HEAD + COPIES * COPY : HEAD + COPIES * COPY + LIGHTS * LIGHT] = table.ravel()
    record[-MATERIALS * MATERIAL :] = materials(rng).ravel()
    face = -1 if not it.face else 1 if tilt < 61 else -1 if tilt < 75 else 0
    if not it.face:
        face = 0
    truth = [
        face,
        it.coupling,
        it.centre,
        it.plastic,
        tilt,
        *off,
        share,
        it.centre_r / it.rim_r,
        it.plastic_r / it.rim_r,
    ]
    return record, np.array(truth, np.float32)


def _bounds(rows: Rows) -> tuple[float, float, float]:
    """Reach from the axis and lowest and highest z of shapes, with a little room."""
    reach, low, high = 0.0, 1e9, -1e9
    for row in rows:
        kind = int(row[0])
        if kind == 0:
            r, zs = max(row[2], row[4]), (row[3], row[5])
        elif kind == 1:
            r, zs = row[2] * 1.5, (row[3], row[4])
        elif kind == 2:
            r, zs = row[3] * 1.5, (row[4], row[4])
        else:
            r = max(np.hypot(row[2], row[3]), np.hypot(row[5], row[6])) + row[8]
            zs = (min(row[4], row[7]) - row[8], max(row[4], row[7]) + row[8])
        reach, low, high = max(reach, float(r)), min(low, float(min(zs))), max(high, float(max(zs)))
    return reach + 0.01, low - 0.01, high + 0.01


def many(job: tuple[list[Shape], int, int, int]) -> tuple[Library, Rows, Rows]:
    """A library and scenes from it: shapes, how many variants, how many scenes, and the seed."""
    shapes, kinds, count, seed = job
    rng = np.random.default_rng(seed)
    lib = library(shapes, kinds, rng)
    pairs: list[tuple[Any, Any]] = [scene(lib, rng) for _ in range(count)]
    return lib, np.stack([p[0] for p in pairs]), np.stack([p[1] for p in pairs])


assert ROW == 9  # as tracer.cu has it
