"""The turned surfaces of a half, front to back, and the radii that one part leaves to the next. z and r in mm."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Form, Half, Ring, Step, Thread, Turned
from coaxtell.models.measure import Measure
from coaxtell.models.threads import limits

ON_PLANE = 1e-6
"""Lengths below this count as none, and a face this near to z = 0 lies on the reference plane [mm]."""


class Surface(NamedTuple):
    """One turned surface from front to back at nominal size [mm]; `thread` marks the threaded length."""

    name: str
    z_front: float
    z_back: float
    r_front: float
    r_back: float
    form: Form
    thread: bool


CORNERS = {"hex": 2 / math.sqrt(3), "square": math.sqrt(2)}
"""Radius over the corners of a form, in its half width over flats."""


def surfaces(body: Turned, steps: list[Step], thread: Thread | None, inside: bool) -> list[Surface]:
    """The turned surfaces of one side of a body, front to back, at nominal size [mm].

    A thread shows its crest: the basic major diameter outside, the basic minor diameter inside.
    """
    found: list[Surface] = []
    z = body.rim.nominal
    for step in steps:
        if step.thread:
            assert thread is not None
            size = limits(thread)
            r = r_back = (size.minor_min if inside else thread.major.nominal) / 2
        else:
            assert step.d is not None
            r = step.d.nominal / 2
            r_back = r if step.d_end is None else step.d_end.nominal / 2
        found.append(Surface(step.name, z, step.to.nominal, r, r_back, step.form, step.thread))
        z = step.to.nominal
    return found


def most_material(step: Step, thread: Thread | None, inside: bool) -> tuple[float, float]:
    """Front and rear radius [mm] of a step at the most material its sourced limits allow."""
    if step.thread:
        assert thread is not None
        size = limits(thread)
        r = (size.minor_min if inside else size.major_max) / 2
        return r, r
    assert step.d is not None
    ends = (step.d, step.d_end or step.d)
    front, rear = ((m.sourced_low if inside else m.sourced_high) / 2 for m in ends)
    return front, rear


def crossing(body: Turned, thread: Thread | None) -> float | None:
    """Where the inside of a body is as wide as its outside [z, mm]; none for a body that can be turned."""
    outside = surfaces(body, body.outside, thread, inside=False)
    inside = surfaces(body, body.inside, thread, inside=True)
    inside[-1] = inside[-1]._replace(z_back=min(inside[-1].z_back, outside[-1].z_back))
    ends = {s.z_front for s in (*outside, *inside)} | {s.z_back for s in (*outside, *inside)}
    for z in sorted(ends, reverse=True):
        for near in (z + ON_PLANE, z - ON_PLANE):
            outer, inner = _radius(outside, near), _radius(inside, near)
            if outer is not None and inner is not None and inner >= outer:
                return z
    return None


def _radius(found: list[Surface], z: float) -> float | None:
    for s in found:
        if s.z_front >= z >= s.z_back:
            return s.r_back + (s.r_front - s.r_back) * (z - s.z_back) / (s.z_front - s.z_back)
    return None


def shell_radius(half: Half, z: float) -> float:
    """Nominal inside radius of the shell at z [mm]."""
    for surface in surfaces(half.shell, half.shell.inside, half.thread, inside=True):
        if surface.z_front >= z > surface.z_back - ON_PLANE:
            span = surface.z_front - surface.z_back
            return surface.r_back + (surface.r_front - surface.r_back) * (z - surface.z_back) / span
    last = half.shell.inside[-1]
    assert last.d is not None
    return last.d.nominal / 2


def shell_outside(half: Half, z: float) -> float:
    """Most-material outside radius of the shell at z [mm].

    Raises InputError where the shell does not reach there: its lugs stand in the air.
    """
    front = half.shell.rim.nominal
    for step in half.shell.outside:
        if front >= z >= step.to.nominal:
            return max(most_material(step, half.thread, inside=False))
        front = step.to.nominal
    raise RefusedError("models.lugs_outside", id=half.id, z=z)


def tooth_place(half: Half) -> tuple[float, float, float]:
    """Where index teeth stand: z of the shoulder and its inner and outer radius [mm].

    Raises InputError where the shell has no shoulder to carry them.
    """
    found = surfaces(half.shell, half.shell.outside, half.thread, inside=False)
    for nose, shoulder in pairwise(found):
        if shoulder.r_front > nose.r_back + ON_PLANE:
            return nose.z_back, nose.r_back, shoulder.r_front
    raise RefusedError("models.no_shoulder", id=half.id)


def _size(measure: Measure) -> float:
    return measure.nominal


def ring_radii(half: Half, ring: Ring) -> tuple[float, float]:
    """Nominal inner and outer radius of an insulator ring [mm]."""
    socket = half.centre.socket
    widest = half.centre.d if socket is None or socket.od is None else max(half.centre.d, socket.od, key=_size)
    inner = (widest if ring.inner is None else ring.inner).nominal / 2
    outer = ring.outer.nominal / 2 if ring.outer is not None else shell_radius(half, ring.face.nominal - ON_PLANE)
    return inner, outer
