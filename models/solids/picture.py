"""Pictures of halves on the bench, at one common scale, so that the scale bar holds for every part in them."""

from __future__ import annotations

import math
from typing import Literal

import msgspec
import numpy as np
from PIL import Image

from coaxtell.models.cuts import quarter_away
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Half
from coaxtell.models.solids import bench
from coaxtell.models.solids.camera import Camera, camera_at
from coaxtell.models.solids.part import Part
from coaxtell.models.solids.shine import CLAY, Shine, shine
from coaxtell.models.solids.solid import solid
from coaxtell.models.solids.studio import Staged, Studio

View = Literal["three-quarter", "face", "side", "cut"]
VIEWS: tuple[View, ...] = ("three-quarter", "face", "side", "cut")

SLEEVE_TURN = np.array([[0.5, math.sqrt(0.75), 0.0], [-math.sqrt(0.75), 0.5, 0.0], [0.0, 0.0, 1.0]])
"""A bayonet sleeve lies turned by 60 degrees counter-clockwise, so that one ramped slot faces the camera."""
CUT_COLOURS: dict[str, tuple[float, float, float]] = {
    "outer": (0.36, 0.50, 0.58),
    "nut": (0.55, 0.62, 0.66),
    "lug": (0.36, 0.50, 0.58),
    "tooth": (0.36, 0.50, 0.58),
    "insulator": (0.96, 0.94, 0.88),
    "pin": (0.87, 0.60, 0.16),
    "socket": (0.87, 0.60, 0.16),
    "housing": (0.54, 0.57, 0.60),
}
"""Colour of a cut face by role, the same as in the drawings."""
SHADE = Shine((0.030, 0.022, 0.010), 0.0, 0.9)
"""The inside of a socket: hardly any light comes back out of so narrow a hole, whatever the mirrored walls would do."""
SHADED_FROM = 0.1
"""Depth behind the tip from which a socket's inside lies in its own shade, in widths of the hole."""


def camera(view: View) -> Camera:
    """The camera of a view, the same for every half."""
    if view == "side":
        # the mating face looks to the right
        return Camera(np.array([0, 0, 1.0]), np.array([0, 1.0, 0]), np.array([-1.0, 0, 0]))
    return camera_at(0, 0) if view == "face" else camera_at(35, 24)


def _split_cut(part: Part, lit: frozenset[str] | None) -> list[Staged]:
    """A part with its quarter cut away: the outside as it is, the cut faces in their section colour."""
    points, faces = quarter_away((part.points, part.faces))
    if not len(faces):
        return []
    corners = points[faces]
    cut = np.zeros(len(faces), dtype=bool)
    for axis, other in ((0, 1), (1, 0)):
        cut |= (np.abs(corners[:, :, axis]).max(axis=1) < 1e-7) & (corners[:, :, other].min(axis=1) > -1e-7)
    own = shine(part, lit=lit)
    found = [Staged(points, faces[~cut], own, True)]
    if cut.any():
        face = own if own is CLAY else Shine(CUT_COLOURS[part.role], 0.0, 1.0)
        found.append(Staged(points, faces[cut], face, own is CLAY))
    return found


def shaded_hole(half: Half, part: Part, own: Shine) -> list[Staged]:
    """A socket with its hole in the shade: face on, a hole must not shine like the end of a pin."""
    socket = half.centre.socket
    assert socket is not None
    middles = part.points[part.faces].mean(axis=1)
    width = socket.hole.nominal
    inside = (np.hypot(middles[:, 0], middles[:, 1]) <= 0.515 * width) & (
        middles[:, 2] <= socket.tip.nominal - SHADED_FROM * width
    )
    found = [Staged(part.points, part.faces[~inside], own, True)]
    if inside.any():
        found.append(Staged(part.points, part.faces[inside], SHADE, True))
    return found


def staged(half: Half, view: View, lit: frozenset[str] | None = None) -> list[Staged]:
    """The parts of a half in its own axes, as they look; those not `lit` as clay."""
    parts = solid(half)
    placed: list[Staged] = []
    for part in parts:
        if part.moving and half.nut is not None and half.nut.ramps is not None:
            part = msgspec.structs.replace(part, points=part.points @ SLEEVE_TURN)
        if view == "cut":
            placed += _split_cut(part, lit)
        elif part.role == "socket" and half.centre.socket is not None:
            placed += shaded_hole(half, part, shine(part, lit=lit))
        else:
            placed.append(Staged(part.points, part.faces, shine(part, lit=lit), True))
    return placed


def lying(half: Half, view: View, lit: frozenset[str] | None = None) -> list[Staged]:
    """The same lying with its front edge on z = 0 and its lowest point on y = 0."""
    return on_bench(staged(half, view, lit))


def on_bench(parts: list[Staged]) -> list[Staged]:
    """Parts that go together, moved so that their front is on z = 0 and their lowest point on y = 0."""
    everything = np.concatenate([part.points for part in parts])
    move = np.array([0.0, -everything[:, 1].min(), -everything[:, 2].max()])
    return [part._replace(points=part.points + move) for part in parts]


def picture(
    halves: list[Half],
    view: View = "three-quarter",
    width: int = 1280,
    height: int = 800,
    *,
    studio: Studio | None = None,
    theme: bench.Theme = bench.LIGHT,
    names: bool = True,
) -> Image.Image:
    """The halves side by side on the bench at one common scale, with scale bar and names.

    `width` and `height` in pixels.

    Raises InputError where there is no half or too many, or view or size is none; RuntimeError where no picture can be
    drawn on this machine.
    """
    if view not in VIEWS:
        raise RefusedError("models.view", view=view, known=", ".join(VIEWS))
    bench.check(len(halves), width, height)
    if studio is None:
        with Studio() as own:
            return picture(halves, view, width, height, studio=own, theme=theme, names=names)
    eye = camera(view)
    groups = [lying(half, view) for half in halves]
    layout = bench.lay_out(
        [np.concatenate([p.points for p in group]) for group in groups],
        eye.right, eye.up, (width, height), names,
    )  # fmt: skip
    colour = np.zeros((height, width, 3))
    cover = np.zeros((height, width))
    # each half in its own frame, so that equal halves take the light equally wherever they lie
    for group, shift, points in zip(groups, layout.shifts, layout.points, strict=True):
        left, top, right, bottom = bench.frame(layout, (width, height), points @ eye.right, points @ eye.up)
        middle = bench.place(layout, (width, height), (left + right) / 2, (top + bottom) / 2)
        centre = eye.right * middle[0] + eye.up * middle[1]
        moved = [p._replace(points=p.points + eye.right * shift) for p in group]
        tile = studio.render(moved, eye, centre, layout.px_per_mm, (right - left, bottom - top))
        colour[top:bottom, left:right] = tile[0] - (1 - tile[1])[..., None] * tile[0][0, 0]
        cover[top:bottom, left:right] = tile[1]
    ground = eye if view in ("three-quarter", "cut") else None
    return bench.compose(
        colour, cover, layout, theme,
        names=[half.name for half in halves] if names else [],
        ground=None if ground is None else (ground.right, ground.up),
    )  # fmt: skip
