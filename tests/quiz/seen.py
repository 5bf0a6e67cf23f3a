"""What a picture of a half really shows: read off the meshes that are drawn, by rays towards the eye.

A reading of its own: it knows nothing of `quiz/visible.py`, which works on the numbers of the table. Points are laid on
every triangle that faces the eye; one is seen where no other triangle stands between it and the eye. The projection
has no perspective, as in the pictures.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Any, NamedTuple

import msgspec
import numpy as np

from coaxtell.models import body
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.panel import row as layout
from coaxtell.models.solids import panel
from coaxtell.models.solids.part import Part
from coaxtell.models.solids.solid import solid
from coaxtell.quiz import words
from coaxtell.quiz.item import Item, Picture
from coaxtell.quiz.stock import Stock
from tests.halves import half as a_half

Array = np.ndarray[Any, np.dtype[np.float64]]

POINTS = 120
"""Points that are laid on the parts of one role."""

DEPTHS = (0.4, 1.0, 2.0, 3.0, 4.0, 6.0)
"""Depths behind the rim in front of which a shell's width is taken [mm]."""
SLIVER = 0.02
"""Less than this of a part is not seen [mm2]."""
MOST = 0.4
"""A contact is seen where at least this share of its end is."""
ALIKE = 0.03
"""How far a stated width may lie from one that is read."""


class Seen(NamedTuple):
    """What is seen of one half."""

    centre: float
    """Share that is seen of the end of the pin or of the socket, of what would be with nothing else in the way."""
    plastic_mm2: float
    """Area of plastic of the face, a coloured housing left out [mm2]."""
    near_mm2: float
    """The same, of plastic that stands in front of the rim or up to 3 mm behind it [mm2]."""
    hole: bool
    """True where a ray along the axis goes into the centre contact instead of ending on its front."""
    pin: bool
    """True where the centre contact has a solid front."""
    nut: bool
    lugs: bool
    housing: bool
    widths_mm: tuple[float, ...]
    """Least width over all turns, end on, of what lies in front of growing depths behind the rim [mm]: a flange or a
    body behind comes in late. One value where a nut or a housing surrounds the face."""


def read(half: Half, style: str, picture: Picture) -> Seen:
    """What a picture shows of one of its halves, with the body it is drawn with."""
    parts = solid(body.styled(half, style) if style else half)
    others = _in_panel(half, picture) if picture.panel else []
    turn, lift = math.radians(picture.azimuth), math.radians(picture.elevation)
    eye = np.array([math.sin(turn) * math.cos(lift), math.sin(lift), math.cos(turn) * math.cos(lift)])
    right = np.array([math.cos(turn), 0.0, -math.sin(turn)])
    axes = np.stack([right, np.cross(eye, right), eye])
    centre = [part for part in parts if part.role in ("pin", "socket")]
    plastic = [part for part in parts if part.role == "insulator"]
    tip = max((float(part.points[:, 2].max()) for part in centre), default=0.0)
    rim = max(float(part.points[:, 2].max()) for part in parts if part.role == "outer")
    front, all_ = _first_on_axis(parts), [*parts, *others]
    return Seen(
        centre=_area(all_, centre, axes, tip - 0.05) / max(1e-9, _area(centre, centre, axes, tip - 0.05)),
        plastic_mm2=_area(all_, plastic, axes, -np.inf),
        near_mm2=_area(all_, plastic, axes, rim - 3.0),
        hole=bool(centre) and (front is None or front < tip - 0.3),
        pin=bool(centre) and front is not None and front >= tip - 0.3,
        nut=any(part.role == "nut" for part in parts),
        lugs=any(part.role == "lug" for part in parts),
        housing=any(part.role == "housing" for part in parts),
        widths_mm=_widths(solid(half)),
    )


def _in_panel(half: Half, picture: Picture) -> list[Part]:
    """All meshes of its panel, in the half's own axes: plate, neighbours, ring, and the half as it stands there."""
    row = [a_half(half_id) for half_id in picture.panel]
    asked = picture.panel.index(half.id)
    found = layout(row, asked, picture.azimuth)
    back = np.array([(found.left + found.right) / 2, 0.0, found.standing[asked].seat])
    meshes = panel.stood(row, asked, picture.azimuth)
    like = solid(half)[0]
    return [msgspec.structs.replace(like, role="nut", points=one.points + back, faces=one.faces) for one in meshes]


def _widths(parts: Sequence[Part]) -> tuple[float, ...]:
    roles = {part.role for part in parts}
    role = next((one for one in ("housing", "nut") if one in roles), "outer")
    points = np.concatenate([part.points for part in parts if part.role == role])
    if role != "outer":
        return (_least_width(points[:, :2]),)
    rim = points[:, 2].max()
    return tuple(_least_width(points[points[:, 2] > rim - depth][:, :2]) for depth in DEPTHS)


def _triangles(parts: Sequence[Part]) -> Array:
    return np.concatenate([part.points[part.faces] for part in parts])


def _first_on_axis(parts: Sequence[Part]) -> float | None:
    """The height of the foremost metal of the contact that lies on the axis [mm]; none where nothing does."""
    centre = [part for part in parts if part.role in ("pin", "socket")]
    if not centre:
        return None
    corners = _triangles(centre)
    found = _heights(corners, np.array([0.013, 0.007]))
    return None if not len(found) else float(found.max())


def _heights(corners: Array, at: Array) -> Array:
    """Heights at which triangles lie over a point of the plane."""
    a, b, c = (corners[:, i, :2] - at for i in range(3))
    parts = [u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0] for u, v in ((b, c), (c, a), (a, b))]
    whole = parts[0] + parts[1] + parts[2]
    inside = ((parts[0] >= 0) & (parts[1] >= 0) & (parts[2] >= 0)) | (
        (parts[0] <= 0) & (parts[1] <= 0) & (parts[2] <= 0)
    )
    inside &= np.abs(whole) > 1e-12
    weights = np.stack([part[inside] / whole[inside] for part in parts], axis=1)
    return np.asarray((weights * corners[inside][:, :, 2]).sum(axis=1))


def _area(parts: Sequence[Part], wanted: Sequence[Part], axes: Array, above: float) -> float:
    """Area in the picture of what is seen of some parts, in front of a height [mm2]."""
    if not wanted:
        return 0.0
    corners = _triangles(wanted)
    corners = corners[corners[:, :, 2].mean(axis=1) >= above]
    turned = corners @ axes.T
    across = np.cross(turned[:, 1] - turned[:, 0], turned[:, 2] - turned[:, 0])[:, 2] / 2
    facing = across > 1e-9  # triangles turn counter-clockwise towards who sees their outside
    turned, across = turned[facing], across[facing]
    if not len(turned):
        return 0.0
    rng = np.random.default_rng(0)
    chosen = rng.choice(len(turned), POINTS, p=across / across.sum())
    u = np.sort(rng.random((POINTS, 2)), axis=1)
    weights = np.stack([u[:, 0], u[:, 1] - u[:, 0], 1 - u[:, 1]], axis=1)
    points = (weights[:, :, None] * turned[chosen]).sum(axis=1)
    all_turned = _triangles(parts) @ axes.T
    low, high = all_turned[:, :, :2].min(axis=1), all_turned[:, :, :2].max(axis=1)
    near = ((low <= points[:, :2].max(axis=0)) & (high >= points[:, :2].min(axis=0))).all(axis=1)
    near &= all_turned[:, :, 2].max(axis=1) > points[:, 2].min()
    all_turned, low, high = all_turned[near], low[near], high[near]
    seen = 0
    for point in points:
        box = (low <= point[:2]) & (high >= point[:2])
        before = _heights(all_turned[box.all(axis=1)], point[:2])
        seen += not np.any(before > point[2] + 0.01)
    return float(across.sum() * seen / POINTS)


def _least_width(points: Array) -> float:
    angles = np.radians(np.arange(0, 180, 1.0))
    along = points @ np.stack([np.cos(angles), np.sin(angles)])
    return float(np.ptp(along, axis=0).min())


class Held(NamedTuple):
    """One half of an item: what is said of it in words, what its picture shows, and where the two disagree."""

    half: str
    said: str
    seen: Seen
    faults: list[str]


def held(item: Item, stock: Stock) -> list[Held]:
    """The words that stand for an item's picture against what the picture shows, half by half."""
    assert item.picture is not None
    assert item.in_words is not None
    whole = item.in_words
    if whole.code == "shown.run":
        assert isinstance(whole.values["port"], Reason)
        whole = whole.values["port"]
    codes = whole.values
    sides = [codes["clauses"]] if whole.code == "shown.port" else [codes["one"], codes["two"]]
    bodies = item.picture.bodies or ("",) * len(item.picture.halves)
    found = []
    for half_id, style, clauses in zip(item.picture.halves, bodies, sides, strict=True):
        assert isinstance(clauses, list)
        seen, said = read(stock.half(half_id), style, item.picture), " / ".join(map(words.say, clauses))
        found.append(Held(half_id, said, seen, _faults(said, seen)))
    return found


def disagreements(item: Item, stock: Stock) -> list[str]:
    """Where words and picture disagree; nothing where they agree."""
    return [f"{one.half}: {fault}" for one in held(item, stock) for fault in one.faults]


def _faults(said: str, seen: Seen) -> list[str]:
    """Words and reading held against each other; the words are read as a person reads them."""
    checks = {
        "a pin": seen.centre > MOST and seen.pin,
        "a hole to take a pin": seen.centre > MOST and seen.hole,
        "plastic level with": seen.near_mm2 > SLIVER,
        "plastic sunk": seen.near_mm2 > SLIVER,
        "no plastic near": seen.near_mm2 <= SLIVER,
        "a tube of plastic": seen.plastic_mm2 > SLIVER,
        "in a nut that turns": seen.nut,
        "a sleeve that turns": seen.nut,
        "nothing that turns": not seen.nut and not seen.lugs,
        "small studs": seen.lugs,
        "a plastic housing": seen.housing,
    }
    found = [f"{clause!r} is said and not seen: {seen}" for clause, holds in checks.items()
             if re.search(clause + r"\b", said.replace("to take a pin", "to take one") if clause == "a pin" else said)
             and not holds]  # fmt: skip
    width = re.search(r"([\d.]+) mm", said.split("by up to 3 mm")[-1])
    if width is not None and min(abs(float(width[1]) / mm - 1) for mm in seen.widths_mm) > ALIKE:
        found.append(f"{width[1]} mm is said, {seen.widths_mm} read")
    return found
