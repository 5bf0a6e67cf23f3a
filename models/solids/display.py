"""What stands on the table: a half opened as far as wanted, taken apart, or together with its mate on one axis.

A display is a list of pieces, each a mesh in the axes of its own half and where it is put, so that what slides
or turns is moved and not made anew.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import msgspec
import numpy as np

from coaxtell.models import apart, cuts
from coaxtell.models.half import Half
from coaxtell.models.helix import Array
from coaxtell.models.solids.part import Part
from coaxtell.models.solids.picture import CUT_COLOURS, SLEEVE_TURN, shaded_hole
from coaxtell.models.solids.shine import CLAY, Shine, shine
from coaxtell.models.solids.solid import solid
from coaxtell.models.solids.studio import Staged

if TYPE_CHECKING:
    from manifold3d import Manifold

TOWARDS_EYE = 45.0
"""Middle of the opening of a half that stands alone [deg round the axis, from x towards y]."""
TO_THE_SIDE = 125.0
"""The same of a pair, which is seen from the side."""
TURN_STEPS = 24
"""A nut is made at so many places of one turn."""
HURT = Shine((0.95, 0.10, 0.07), 0.0, 0.5)
"""How a part looks that a pair harms."""
BENT = math.radians(16)
"""How far a harmed pin is drawn bent: a picture of harm, no prediction."""
FLARED = 0.22
"""How far harmed fingers and sockets are drawn spread, in their radii."""


class Piece(NamedTuple):
    """A mesh in the axes of its half, whether it is turned round to face the other way, and how far it is shifted."""

    key: tuple[object, ...]
    placed: Staged
    flipped: bool
    shift: float

    def points(self) -> Array:
        """Its points where it stands [mm]."""
        moved = self.placed.points * np.array([-1.0, 1.0, -1.0]) if self.flipped else self.placed.points
        found: Array = moved + np.array([0.0, 0.0, self.shift])
        return found


class Display(NamedTuple):
    """A half as it is shown, alone or with a mate.

    `opened`: angle of the piece cut out [deg], 0 to 180. `apart`: 0 to 1. `lit`: roles that keep their look while the
    others turn to clay; empty keeps all. `near`: whether the mating face is the middle. `distance` of the reference
    planes [mm] and `turns` of the nuts count with a `mate` only. `hurt`: names of the parts that the pair harms.
    """

    half: Half
    opened: float = 0.0
    apart: float = 0.0
    lit: frozenset[str] = frozenset()
    near: bool = False
    mate: Half | None = None
    distance: float = 0.0
    turns: tuple[float, float] = (0.0, 0.0)
    hurt: tuple[str, str] = ("", "")

    def pieces(self) -> list[Piece]:
        """All meshes with their places; raises InputError where a half cannot be built."""
        if self.mate is None:
            return _half(self.half, self, 0, TOWARDS_EYE, None)
        return [
            *_half(self.half, self, 0, TO_THE_SIDE, self.turns[0]),
            # turned round, its right is the other's left: the same opening as seen from outside
            *_half(self.mate, self, 1, 180.0 - TO_THE_SIDE, self.turns[1]),
        ]

    def middle(self, pieces: list[Piece]) -> Array:
        """What stands in the middle of the picture [mm]: the bounds' middle uncut, of a pair the middle of its axis."""
        if self.mate is not None:
            z = np.concatenate([piece.points()[:, 2] for piece in pieces])
            return np.array([0.0, 0.0, (z.min() + z.max()) / 2])
        whole = [(part, shift) for part, shift in _shifted(self.half, self.apart)]
        points = np.concatenate([part.points + np.array([0.0, 0.0, shift]) for part, shift in whole])
        low, high = points.min(axis=0), points.max(axis=0)
        middle: Array = (low + high) / 2
        if self.near:
            middle[2] = high[2]
        return middle


def _mark(half: Half) -> tuple[str, str, str]:
    return half.id, half.finish, "" if half.back is None else half.back.style


_parts: dict[tuple[str, str, str], list[Part]] = {}


def _solid(half: Half) -> list[Part]:
    """The parts of a half, kept for the next picture: a few halves at a time."""
    mark = _mark(half)
    if mark not in _parts:
        while len(_parts) >= 8:
            _parts.pop(next(iter(_parts)))
        made = solid(half)
        if half.nut is not None and half.nut.ramps is not None:
            # a ramped slot faces the eye
            made = [msgspec.structs.replace(p, points=p.points @ SLEEVE_TURN) if p.moving else p for p in made]
        _parts[mark] = made
    return _parts[mark]


def _shifted(half: Half, share: float) -> list[tuple[Part, float]]:
    moved = apart.shifts(half) if share else {}
    return [(part, share * moved.get(part.name, 0.0)) for part in _solid(half)]


def _half(half: Half, shown: Display, which: int, opening: float, turn: float | None) -> list[Piece]:
    found: list[Piece] = []
    for part, shift in _shifted(half, shown.apart if shown.mate is None else 0.0):
        place = round((turn or 0.0) * TURN_STEPS) % TURN_STEPS if part.moving else 0
        hurt = part.name == shown.hurt[which] and bool(part.name)
        key = (*_mark(half), part.name, round(shown.opened), opening, place, hurt, shown.lit)
        flipped = which == 1
        for i, placed in enumerate(_made(key, half, part, shown, opening, place, hurt)):
            found.append(Piece((*key, i), placed, flipped, shown.distance if flipped else shift))
    return found


_made_before: dict[tuple[object, ...], list[Staged]] = {}
KEPT_POINTS = 250_000
"""Points of meshes kept for the next picture: about 15 MB."""


def _made(
    key: tuple[object, ...], half: Half, part: Part, shown: Display, opening: float, place: int, hurt: bool
) -> list[Staged]:
    if key in _made_before:
        return _made_before[key]
    own = HURT if hurt else shine(part, lit=shown.lit or None)
    if place:
        a = math.tau * place / TURN_STEPS
        # clockwise for the person behind it, who turns it on
        turned = np.array([[math.cos(a), math.sin(a), 0.0], [-math.sin(a), math.cos(a), 0.0], [0.0, 0.0, 1.0]])
        part = msgspec.structs.replace(part, points=part.points @ turned)
    if hurt:
        part = msgspec.structs.replace(part, points=_bent(part))
    if shown.opened > 0:
        made = _opened(part, own, shown.opened, opening)
    elif part.role == "socket" and half.centre.socket is not None and not hurt:
        made = shaded_hole(half, part, own)
    else:
        made = [Staged(part.points, part.faces, own, True)]
    _made_before[key] = made
    held = sum(len(placed.points) for placeds in _made_before.values() for placed in placeds)
    while held > KEPT_POINTS and len(_made_before) > 1:
        oldest = _made_before.pop(next(iter(_made_before)))
        held -= sum(len(placed.points) for placed in oldest)
    return made


def _bent(part: Part) -> Array:
    """The points of a harmed part: a pin bent over at its end, anything else spread at its rim."""
    points = part.points.copy()
    front, rear = points[:, 2].max(), points[:, 2].min()
    radius = float(np.hypot(points[:, 0], points[:, 1]).max())
    length = min(front - rear, 5 * radius if part.role == "pin" else radius)
    share = np.clip((points[:, 2] - (front - length)) / length, 0.0, 1.0)
    if part.role == "pin":
        points[:, 1] += math.tan(BENT) * length * share**2
        points[:, 2] -= (1 - math.cos(BENT)) * length * share**2
    else:
        points[:, :2] *= (1 + FLARED * share**2)[:, None]
    return points


@lru_cache(maxsize=64)
def _wedge(opened: float, opening: float, reach: float) -> Manifold:
    import manifold3d

    angles = np.radians(np.linspace(opening - opened / 2, opening + opened / 2, 2 + int(opened // 30)))
    # the straight edges between these angles must lie outside the part
    far = 2 * reach
    outline = [(0.0, 0.0), *((far * math.cos(a), far * math.sin(a)) for a in angles)]
    return manifold3d.CrossSection([outline]).extrude(4 * reach).translate((0.0, 0.0, -2 * reach))


def _opened(part: Part, own: Shine, opened: float, opening: float) -> list[Staged]:
    """A part with a wedge cut out of it: the outside as it is, the cut faces in their section colour."""
    reach = float(2 ** math.ceil(math.log2(np.abs(part.points).max() + 1.0)))
    points, faces = cuts.cut((part.points, part.faces), [_wedge(float(opened), opening, reach)])
    if not len(faces):
        return []
    corners = points[faces]
    cut = np.zeros(len(faces), dtype=bool)
    for side in (-1, 1):
        angle = math.radians(opening + side * opened / 2)
        off = corners[:, :, 0] * -math.sin(angle) + corners[:, :, 1] * math.cos(angle)
        along = corners[:, :, 0] * math.cos(angle) + corners[:, :, 1] * math.sin(angle)
        cut |= (np.abs(off).max(axis=1) < 1e-6) & (along.min(axis=1) > -1e-6)
    found = [Staged(points, faces[~cut], own, True)]
    if cut.any():
        face = own if own in (CLAY, HURT) else Shine(CUT_COLOURS[part.role], 0.0, 1.0)
        found.append(Staged(points, faces[cut], face, own is CLAY))
    return found
