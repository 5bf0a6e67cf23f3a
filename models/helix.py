"""A screw thread as a surface: the sixty degree basic form wound round the axis, with its two ends.

Source of the form: ISO 68-1 and ASME B1.1, basic profile: 5/8 H deep, flats of P/8 at the major and P/4 at the
minor diameter. Rows of points follow the helix and the corners of the form, so that light runs along the crests
as it does on a cut thread and few triangles suffice.
"""

from __future__ import annotations

import math
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from coaxtell.models.half import Thread
from coaxtell.models.threads import depth

Array = NDArray[np.float64]
Index = NDArray[np.int64]
End = Literal["chamfer", "fade"]

NEAR = 1e-6
"""Points nearer than this count as one [mm]; the mesh stands on the profile within it."""
FADE_PITCHES = 0.75
"""Length over which a thread runs out towards a shoulder, in pitches; drawn so, no number of a table."""


class Helix(NamedTuple):
    """A thread between two planes: radii, ends and hand. Lengths in mm, +z towards the mate.

    `chamfer`: the end is turned off at 45 degrees down to the root. `fade`: the cut runs out, the end stands at
    the crest.
    """

    pitch: float
    crest: float
    root: float
    crest_flat: float
    root_flat: float
    front: float
    rear: float
    turn: int
    front_end: End
    rear_end: End

    @property
    def side(self) -> int:
        """+1 for a thread outside, -1 for one inside."""
        return 1 if self.crest > self.root else -1

    @property
    def height(self) -> float:
        """Depth of the form [mm]."""
        return abs(self.crest - self.root)

    def end_length(self, end: End) -> float:
        """Axial length of one end [mm], never more than a third of the thread."""
        wanted = self.height if end == "chamfer" else FADE_PITCHES * self.pitch
        return min(wanted, (self.front - self.rear) / 3)

    @property
    def start(self) -> float:
        """z of the middle of a crest at angle 0 [mm]."""
        return self.front - self.end_length(self.front_end) - 0.27 * self.pitch

    def end_radius(self, end: End) -> float:
        """Radius of the circle in which an end of the thread runs out [mm]."""
        return self.root if end == "chamfer" else self.crest

    def _envelope(self, z: Array, height: Array) -> Array:
        """Height over the root after the ends have had their way."""
        for end, inward in ((self.front_end, self.front - z), (self.rear_end, z - self.rear)):
            slope = self.height / self.end_length(end)
            if end == "chamfer":
                height = np.minimum(height, inward * slope)
            else:
                height = np.maximum(height, self.height - inward * slope)
        return np.clip(height, 0.0, self.height)

    def radius(self, z: Array | float, angle: Array | float) -> Array:
        """Radius of the surface [mm] at z [mm] and angle [rad], counter-clockwise seen from the front."""
        z, angle = np.asarray(z, dtype=float), np.asarray(angle, dtype=float)
        along = (z - self.start - self.turn * self.pitch * angle / math.tau) / self.pitch
        away = np.abs(along - np.round(along)) * self.pitch
        flank = (self.pitch - self.crest_flat - self.root_flat) / 2
        height = self.height * np.clip((self.crest_flat / 2 + flank - away) / flank, 0.0, 1.0)
        return np.asarray(self.root + self.side * self._envelope(z, height))


def helix(thread: Thread, front: float, rear: float, inside: bool, ends: tuple[End, End]) -> Helix:
    """The basic form of a thread between two planes [z, mm], with its front and rear end."""
    pitch = thread.pitch_mm
    major = thread.major.nominal / 2
    minor = major - depth(pitch)
    return Helix(
        pitch=pitch,
        crest=minor if inside else major,
        root=major if inside else minor,
        crest_flat=pitch / 4 if inside else pitch / 8,
        root_flat=pitch / 8 if inside else pitch / 4,
        front=front,
        rear=rear,
        turn=1 if thread.hand == "right" else -1,
        front_end=ends[0],
        rear_end=ends[1],
    )


def _crossing(thread: Helix, end: End, sign: int, z0: Array, z1: Array, h0: Array, h1: Array) -> Array:
    """z where a stretch of the form meets the line of one end; nan where it does not."""
    edge = thread.front if sign > 0 else thread.rear
    slope = thread.height / thread.end_length(end)
    rise = (h1 - h0) / (z1 - z0)
    # the end's line as a + b z
    if end == "chamfer":
        a, b = sign * edge * slope, -sign * slope
    else:
        a, b = thread.height - sign * edge * slope, sign * slope
    with np.errstate(divide="ignore", invalid="ignore"):
        z: Array = (a - h0 + rise * z0) / (rise - b)
    inward = sign * (edge - z)
    good = (z > z0 + NEAR) & (z < z1 - NEAR) & (inward > NEAR) & (inward < thread.end_length(end) + NEAR)
    return np.where(good, z, np.nan)


def rows(thread: Helix, angles: Array) -> tuple[Array, Array, Index]:
    """Points of the surface in rows along the helix, and which point each row shows at each angle.

    Returns z and radius (rows x angles) and an index (rows x angles + 1): the row whose point stands there, or
    -1 for the circle in which the thread ends at its rear. Rows run from rear to front. The last column closes
    the turn: there a row meets the one that is a pitch further on.
    """
    pitch = thread.pitch
    first = math.floor((thread.rear - thread.start) / pitch) - 2
    last = math.ceil((thread.front - thread.start) / pitch) + 2
    half_crest, half_root = thread.crest_flat / 2, thread.root_flat / 2
    offsets = np.array([-half_crest, half_crest, pitch / 2 - half_root, pitch / 2 + half_root])
    heights = np.array([1.0, 1.0, 0.0, 0.0]) * thread.height
    turns = np.arange(first, last + 1)
    base = (thread.start + turns[:, None] * pitch + offsets[None, :]).ravel()
    height = np.tile(heights, len(turns))
    z0 = base[:, None] + thread.turn * pitch * angles[None, :] / math.tau
    h0 = np.broadcast_to(height[:, None], z0.shape)
    z1 = np.vstack([z0[1:], z0[:1] + len(turns) * pitch])
    h1 = np.vstack([h0[1:], h0[:1]])
    crossings = (
        _crossing(thread, thread.rear_end, -1, z0, z1, h0, h1),
        _crossing(thread, thread.front_end, 1, z0, z1, h0, h1),
    )
    z = np.stack([z0, *crossings], axis=1).reshape(-1, len(angles))
    with np.errstate(invalid="ignore"):
        inside = (z > thread.rear + NEAR) & (z < thread.front - NEAR)
    z = np.where(inside, z, thread.rear)
    radius = thread.radius(z, angles[None, :])
    numbers: NDArray[Any] = np.where(inside, np.arange(len(z))[:, None], -1)
    shown = np.maximum.accumulate(numbers, axis=0)
    step = 3 * len(offsets)
    closing = np.full(len(z), -1)
    if thread.turn > 0:
        closing[:-step] = shown[step:, 0]
        closing[-step:] = shown[-1, 0]
    else:
        closing[step:] = shown[:-step, 0]
    return z, radius, np.column_stack([shown, closing]).astype(np.int64)
