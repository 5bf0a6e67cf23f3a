"""Photographs with known truth, drawn by plain ray casting: a card, a port and a ground under a phone's camera.

Shares no code with what measures, nor with what a reading is trained on: planes are warped, the port is a stack of
cones and discs hit by rays, light is a made-up surrounding. Lengths in mm, z towards the camera; the card's upper
side lies at z = 0.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import cv2
import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Float = npt.NDArray[np.float32]
LONG, SHORT, CORNER = 85.60, 53.98, 3.18
"""ISO/IEC 7810, ID-1 [mm]."""


class Scene(NamedTuple):
    """A picture (height, width, 3; sRGB) and its truth: card corners [px], face centre and radius [px], width [mm]."""

    picture: npt.NDArray[np.uint8]
    corners: Array
    centre: Array
    radius: float
    width_mm: float
    height_mm: float
    focal_mm: float


class Port(NamedTuple):
    """A turned port: cones (r0, z0, r1, z1, colour) from its face at z = 0 back, and the diameter that is its width."""

    cones: list[tuple[float, float, float, float, int]]
    width_mm: float


GOLD, NICKEL, WHITE, DARK, BRASS = range(5)
COLOURS = np.array([[0.95, 0.72, 0.35], [0.75, 0.73, 0.70], [0.92, 0.92, 0.88], [0.03, 0.03, 0.03], [0.85, 0.70, 0.40]])


def port(rng: np.random.Generator, width_mm: float) -> Port:
    """A port of that width over its rim: a jack with a thread, or a plug's nut, with a bore, an insulator, a centre."""
    r = width_mm / 2
    shell = int(rng.choice([GOLD, NICKEL, BRASS]))
    bore = r * rng.uniform(0.62, 0.8)
    sunk = rng.uniform(0.2, 2.5)
    pin = r * rng.uniform(0.12, 0.3)
    broken = min(0.12, 0.03 * r) * rng.uniform(0.2, 1.0)
    cones: list[tuple[float, float, float, float, int]] = []

    def add(r0: float, z0: float, r1: float, z1: float, colour: int) -> None:
        cones.append((r0, z0, r1, z1, colour))

    add(bore, 0.0, r - broken, 0.0, shell)
    add(r - broken, 0.0, r, -broken, shell)
    if rng.random() < 0.6:  # a thread: crests and roots down the outside
        pitch = rng.uniform(0.5, 1.1)
        z = -broken
        for _ in range(int(8 / pitch)):
            add(r, z, r, z - pitch * 0.25, shell)
            add(r, z - pitch * 0.25, r - 0.55 * pitch, z - pitch * 0.6, shell)
            add(r - 0.55 * pitch, z - pitch * 0.6, r, z - pitch, shell)
            z -= pitch
    else:
        z = -rng.uniform(5, 10)
        add(r, -broken, r, z, shell)
    wide = r * rng.uniform(1.15, 1.6)
    add(r, z, wide, z, shell)
    add(wide, z, wide, z - 2.5, shell)
    add(bore, 0.0, bore, -sunk, shell)
    add(pin if rng.random() < 0.5 else 0.0, -sunk, bore, -sunk, WHITE)
    if cones[-1][0] > 0:
        tip = -sunk + rng.uniform(-0.5, 1.2)
        add(pin, -sunk, pin * 0.9, tip, GOLD)
        add(0.0, tip, pin * 0.9, tip, GOLD)
    else:
        add(0.0, -sunk + 0.01, pin, -sunk + 0.01, DARK)
    return Port(cones, width_mm)


def texture(rng: np.random.Generator, size: int = 1024) -> npt.NDArray[np.float32]:
    """A ground: blotches, grain, sometimes lines or letters, in linear light (size, size, 3)."""
    base = rng.uniform(0.05, 0.75, 3) if rng.random() < 0.5 else np.full(3, rng.uniform(0.05, 0.8))
    grain = cv2.resize(rng.random((24, 24)).astype(np.float32), (size, size), interpolation=cv2.INTER_CUBIC)
    fine = rng.random((size, size)).astype(np.float32)
    ground = base * (0.8 + 0.35 * grain[..., None] + rng.uniform(0.0, 0.12) * (fine[..., None] - 0.5))
    ground = np.ascontiguousarray(ground.astype(np.float32))
    for _ in range(int(rng.integers(0, 12))):
        one, two = rng.integers(0, size, (2, 2)).tolist()
        cv2.line(ground, one, two, rng.uniform(0, 0.8, 3).tolist(), int(rng.integers(1, 6)))
    for _ in range(int(rng.integers(0, 8))):
        x, y = rng.integers(0, size, 2).tolist()
        dx, dy = rng.integers(8, 120, 2).tolist()
        cv2.rectangle(ground, (x, y), (x + dx, y + dy), rng.uniform(0, 0.9, 3).tolist(), int(rng.choice([-1, 2, 3])))
    return np.asarray(ground.clip(0.01, 1.0), dtype=np.float32)


def card_face(rng: np.random.Generator, scale: int = 20) -> tuple[npt.NDArray[np.float32], npt.NDArray[np.float32]]:
    """The card's print and its shape, `scale` pixels to a millimetre: colours (h, w, 3) and cover (h, w)."""
    w, h = round(LONG * scale), round(SHORT * scale)
    base = rng.uniform(0.03, 0.9, 3) if rng.random() < 0.7 else np.full(3, rng.uniform(0.7, 0.95))
    face = np.empty((h, w, 3), np.float32)
    face[:] = base
    face *= (1 + rng.uniform(-0.3, 0.3) * np.linspace(-1, 1, w, dtype=np.float32))[None, :, None]
    for _ in range(int(rng.integers(2, 9))):
        x, y = int(rng.integers(0, w)), int(rng.integers(0, h))
        dx, dy = int(rng.integers(w // 20, w // 3)), int(rng.integers(h // 20, h // 4))
        cv2.rectangle(face, (x, y), (x + dx, y + dy), rng.uniform(0, 0.9, 3).tolist(), -1)
    if rng.random() < 0.3:  # a stripe along the whole card
        y = int(h * rng.uniform(0.1, 0.3))
        face[y : y + h // 5] = 0.02
    cover = np.zeros((h, w), np.float32)
    r = round(CORNER * scale)
    cv2.rectangle(cover, (r, 0), (w - r - 1, h - 1), 1.0, -1)
    cv2.rectangle(cover, (0, r), (w - 1, h - r - 1), 1.0, -1)
    for cx in (r, w - 1 - r):
        for cy in (r, h - 1 - r):
            cv2.circle(cover, (cx, cy), r, 1.0, -1)
    return face.clip(0.005, 1.0), cover


class Camera(NamedTuple):
    """A camera without distortion: where it stands, its axes (rows: right, down, forward), focal length [px], size."""

    eye: Array
    axes: Array
    focal: float
    width: int
    height: int

    def px(self, points: Array) -> Array:
        seen = (points - self.eye) @ self.axes.T
        return np.asarray(seen[:, :2] / seen[:, 2:] * self.focal + [(self.width - 1) / 2, (self.height - 1) / 2])

    def plane(self, z: float, scale: float, origin: Array) -> Array:
        """The map from pixels of a flat picture at height z to this picture (3 x 3)."""
        corners = np.array([[0, 0], [1000, 0], [1000, 1000], [0, 1000]], dtype=np.float64)
        there = np.column_stack([corners / scale + origin, np.full(4, z)])
        return np.asarray(cv2.getPerspectiveTransform(corners.astype(np.float32), self.px(there).astype(np.float32)))


def camera(rng: np.random.Generator, width: int, height: int, middle: Array) -> tuple[Camera, float]:
    """A phone held 180 to 380 mm away, tilted up to 15 degrees; with its focal length on a frame 36 mm wide."""
    focal_mm = float(rng.uniform(23, 29))
    focal = focal_mm / 36 * width
    tilt, way = np.radians(rng.uniform(0, 15)), rng.uniform(0, 2 * np.pi)
    back = np.array([np.sin(tilt) * np.cos(way), np.sin(tilt) * np.sin(way), np.cos(tilt)])
    far = rng.uniform(180, 380)
    aim = np.array([*(middle + rng.uniform(-8, 8, 2)), 0.0])
    roll = rng.uniform(-0.3, 0.3) + rng.choice([0.0, np.pi / 2, np.pi])
    up = np.array([np.cos(roll), np.sin(roll), 0.0])
    right = np.cross(up, back)
    right /= np.linalg.norm(right)
    down = np.cross(-back, right)
    return Camera(aim + far * back, np.array([right, down, -back]), focal, width, height), focal_mm


def surroundings(rng: np.random.Generator) -> npt.NDArray[np.float32]:
    """What mirrors in the metal: a panorama (64, 128) of boxes, bright and dark."""
    around = np.full((64, 128), rng.uniform(0.1, 0.5), np.float32)
    for _ in range(int(rng.integers(4, 14))):
        y, x = rng.integers(0, 60), rng.integers(0, 120)
        around[y : y + rng.integers(3, 24), x : x + rng.integers(3, 40)] = rng.choice(
            [rng.uniform(0, 0.2), rng.uniform(1, 5)]
        )
    return np.asarray(cv2.GaussianBlur(around, (0, 0), rng.uniform(0.8, 3)), dtype=np.float32)


def cast(
    rng: np.random.Generator, view: Camera, part: Port, at: Array, sub: int = 3
) -> tuple[slice, slice, Array, Array]:
    """The port at `at` (x, y, z of its face) through the camera: rows, columns, colours and cover of that window."""
    reach = max(max(c[0], c[2]) for c in part.cones)
    depth = min(min(c[1], c[3]) for c in part.cones)
    box = np.array([[x, y, z] for x in (-reach, reach) for y in (-reach, reach) for z in (0.0, depth)]) + at
    px = view.px(box)
    x0, y0 = np.floor(px.min(axis=0)).astype(int) - 2
    x1, y1 = np.ceil(px.max(axis=0)).astype(int) + 3
    x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, view.width), min(y1, view.height)
    n = sub
    xs = (np.arange((x1 - x0) * n) + 0.5) / n - 0.5 + x0
    ys = (np.arange((y1 - y0) * n) + 0.5) / n - 0.5 + y0
    gx, gy = np.meshgrid((xs - (view.width - 1) / 2) / view.focal, (ys - (view.height - 1) / 2) / view.focal)
    ray = gx[..., None] * view.axes[0] + gy[..., None] * view.axes[1] + view.axes[2]
    ray /= np.linalg.norm(ray, axis=-1, keepdims=True)
    eye = view.eye - at
    nearest = np.full(gx.shape, np.inf)
    normal = np.zeros((*gx.shape, 3))
    colour = np.zeros(gx.shape, int)
    for r0, za, r1, zb, tone in part.cones:
        if za == zb:  # a disc
            t = (za - eye[2]) / ray[..., 2]
            hit = eye + ray * t[..., None]
            rr = np.hypot(hit[..., 0], hit[..., 1])
            good = (rr >= r0) & (rr <= r1) & (t < nearest)
            facing = np.zeros_like(normal)
            facing[..., 2] = 1.0
        else:
            k = (r1 - r0) / (zb - za)
            d0 = r0 + k * (eye[2] - za)
            a = ray[..., 0] ** 2 + ray[..., 1] ** 2 - (k * ray[..., 2]) ** 2
            b = 2 * (eye[0] * ray[..., 0] + eye[1] * ray[..., 1] - d0 * k * ray[..., 2])
            c = eye[0] ** 2 + eye[1] ** 2 - d0**2
            under = b * b - 4 * a * c
            root = np.sqrt(np.where(under > 0, under, 0.0))
            t = np.full(gx.shape, np.inf)
            for sign in (-1.0, 1.0):
                one = (-b + sign * root) / np.where(np.abs(a) < 1e-12, 1e-12, 2 * a)
                z = eye[2] + ray[..., 2] * one
                ok = (under > 0) & (one > 0) & (z <= max(za, zb)) & (z >= min(za, zb)) & (one < t)
                t = np.where(ok, one, t)
            good = t < nearest
            hit = eye + ray * np.where(np.isfinite(t), t, 0.0)[..., None]
            rr = np.maximum(np.hypot(hit[..., 0], hit[..., 1]), 1e-6)
            facing = np.stack([hit[..., 0] / rr, hit[..., 1] / rr, np.full(gx.shape, -k)], axis=-1)
            facing /= np.linalg.norm(facing, axis=-1, keepdims=True)
        nearest = np.where(good, t, nearest)
        normal = np.where(good[..., None], facing, normal)
        colour = np.where(good, tone, colour)
    seen = np.isfinite(nearest)
    hit = eye + ray * np.where(seen, nearest, 0.0)[..., None]
    # what lies below the face stands in the shade of what stands before it, and each turned face shines in its own way
    rise = np.hypot(hit[..., 0], hit[..., 1]) - part.width_mm / 2
    shade = np.where(hit[..., 2] < -1.0, 1 - 0.55 * np.exp(-np.maximum(rise, 0.0) / (0.35 * -hit[..., 2] + 0.1)), 1.0)
    shade *= np.where(hit[..., 2] < -1.0, rng.uniform(0.55, 1.25), 1.0)
    towards = np.sum(ray * normal, axis=-1, keepdims=True)
    normal = np.where(towards > 0, -normal, normal)
    mirrored = ray - 2 * np.sum(ray * normal, axis=-1, keepdims=True) * normal
    around = surroundings(rng)
    u = ((np.arctan2(mirrored[..., 1], mirrored[..., 0]) / (2 * np.pi) + 0.5) * 127).astype(np.float32)
    v = ((0.5 - mirrored[..., 2] / 2) * 63).astype(np.float32)
    shine = cv2.remap(around, u, v, cv2.INTER_LINEAR)
    metal = np.isin(colour, (GOLD, NICKEL, BRASS))
    shone = COLOURS[colour] * np.where(metal, 0.15 + 0.85 * shine, 0.35 + 0.35 * np.abs(normal[..., 2]))[..., None]
    shone = np.where(seen[..., None], shone * shade[..., None], 0.0)
    blocks = (y1 - y0, n, x1 - x0, n)
    cover = seen.reshape(blocks).mean(axis=(1, 3))
    mean = shone.reshape(*blocks, 3).mean(axis=(1, 3))
    return slice(y0, y1), slice(x0, x1), mean, cover


def scene(seed: int, width: int, height: int, widths_mm: Array, off_plane: bool) -> Scene:
    """One photograph: the card level with the face (within 0.5 mm), or the face 0 to 12 mm above it."""
    rng = np.random.default_rng(seed)
    part = port(rng, float(rng.choice(widths_mm)))
    up = float(rng.uniform(0, 12) if off_plane else rng.uniform(-0.5, 0.5))
    gap = part.width_mm / 2 * 1.7 + rng.uniform(3, 18)
    beside = (
        np.array([LONG / 2 + rng.uniform(-25, 25), SHORT + gap])
        if rng.random() < 0.5
        else np.array([LONG + gap, SHORT / 2 + rng.uniform(-15, 15)])
    )
    at = np.array([*beside, up])
    view, focal_mm = camera(rng, width, height, (beside + np.array([LONG, SHORT]) / 2) / 2)
    ground_z = -rng.uniform(0.76, 8.0)
    flat = texture(rng)
    big = 2.4
    to_px = view.plane(ground_z, big, beside - 220.0)
    light: Any = cv2.warpPerspective(
        flat, to_px, (width, height), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT
    )
    face, cover = card_face(rng)
    card_px = view.plane(0.0, 20.0, np.array([0.5 / 20, 0.5 / 20]))
    shade = cv2.GaussianBlur(
        cv2.warpPerspective(cover, card_px, (width, height), flags=cv2.INTER_AREA), (0, 0), 0.006 * width
    )
    light *= 1 - 0.35 * shade[..., None]
    window = view.px(np.column_stack([np.array([[0, 0], [LONG, 0], [LONG, SHORT], [0, SHORT]]), np.zeros(4)]))
    light, mask = _laid(light, face, cover, card_px, window)
    if rng.random() < 0.3:  # a glare on the card
        spot = np.array([window[:, 0].mean(), window[:, 1].mean()]) + rng.normal(0, 0.06 * width, 2)
        gy, gx = np.mgrid[0:height, 0:width].astype(np.float32)
        light += (0.6 * np.exp(-((gx - spot[0]) ** 2 + (gy - spot[1]) ** 2) / (2 * (0.03 * width) ** 2)))[
            ..., None
        ] * mask
    rows, columns, tone, seen = cast(rng, view, part, at)
    light[rows, columns] = light[rows, columns] * (1 - seen[..., None]) + tone
    if rng.random() < 0.25:  # a finger over a corner
        corner = window[int(rng.integers(0, 4))]
        out = corner - window.mean(axis=0)
        end = corner + out * 1.2
        skin = [0.55, 0.33, 0.24]
        start = corner - out * 0.04
        cv2.line(light, start.astype(int).tolist(), end.astype(int).tolist(), skin, int(0.035 * width))
    return _photographed(rng, light, view, window, at, part, focal_mm)


def _laid(light: Float, face: Float, cover: Float, card_px: Array, window: Array) -> tuple[Float, Float]:
    """The card laid on the ground, drawn at twice the size and averaged, so that its edge is as soft as a camera
    draws it; with its cover (height, width, 1)."""
    height, width = light.shape[:2]
    x0, y0 = np.clip(np.floor(window.min(axis=0)).astype(int) - 4, 0, [width, height])
    x1, y1 = np.clip(np.ceil(window.max(axis=0)).astype(int) + 5, 0, [width, height])
    there = np.array([[2.0, 0, 0.5 - 2 * x0], [0, 2.0, 0.5 - 2 * y0], [0, 0, 1]]) @ card_px
    big, size = (int(2 * (x1 - x0)), int(2 * (y1 - y0))), (int(x1 - x0), int(y1 - y0))
    drawn = cv2.resize(
        cv2.warpPerspective(face, there, big, flags=cv2.INTER_LINEAR), size, interpolation=cv2.INTER_AREA
    )
    part = cv2.resize(
        cv2.warpPerspective(cover, there, big, flags=cv2.INTER_LINEAR), size, interpolation=cv2.INTER_AREA
    )
    mask = np.zeros((height, width, 1), np.float32)
    mask[y0:y1, x0:x1, 0] = part
    laid = light.copy()
    laid[y0:y1, x0:x1] = light[y0:y1, x0:x1] * (1 - part[..., None]) + drawn.clip(0, 1) * part[..., None]
    return laid, mask


def _photographed(
    rng: np.random.Generator,
    light: Any,
    view: Camera,
    window: Array,
    at: Array,
    part: Port,
    focal_mm: float,
) -> Scene:
    """Lens, blur, noise, tone and JPEG; the truth in pixels of the distorted picture."""
    height, width = light.shape[:2]
    k1 = float(rng.uniform(-0.015, 0.015))
    half = np.array([(width - 1) / 2, (height - 1) / 2])
    norm = np.hypot(*half)
    gy, gx = np.mgrid[0:height, 0:width].astype(np.float32)
    rr = ((gx - half[0]) ** 2 + (gy - half[1]) ** 2) / norm**2
    bend = (1 + k1 * rr).astype(np.float32)
    xs, ys = (gx - half[0]) * bend + half[0], (gy - half[1]) * bend + half[1]
    light = cv2.remap(light, xs.astype(np.float32), ys.astype(np.float32), cv2.INTER_CUBIC)

    def bent(points: Array) -> Array:
        out = points.copy()
        for _ in range(20):
            r2 = np.sum((out - half) ** 2, axis=1, keepdims=True) / norm**2
            out = (points - half) / (1 + k1 * r2) + half
        return out

    light = cv2.GaussianBlur(light, (0, 0), rng.uniform(0.6, 1.6) * width / 4000 + 0.35)
    light = np.asarray(light * (rng.uniform(0.7, 1.3) * (1 + rng.normal(0, 0.05, 3))), dtype=np.float32)
    light += (
        rng.standard_normal(light.shape, dtype=np.float32) * rng.uniform(0.002, 0.02) * np.sqrt(light.clip(0.01, 1))
    )
    tone = (light.clip(0, 1) ** (1 / 2.2) * 255).round().astype(np.uint8)
    _, packed = cv2.imencode(".jpg", tone[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(80, 97))])
    again: Any = cv2.imdecode(packed, cv2.IMREAD_COLOR)
    picture = np.asarray(again[..., ::-1], dtype=np.uint8).copy()
    centre = bent(view.px(at[None]))[0]
    round_about = at + part.width_mm / 2 * np.array([[np.cos(a), np.sin(a), 0.0] for a in np.linspace(0, 6.28, 16)])
    radius = float(np.linalg.norm(bent(view.px(round_about)) - centre, axis=1).mean())
    return Scene(picture, bent(window), centre, radius, part.width_mm, float(at[2]), focal_mm)
