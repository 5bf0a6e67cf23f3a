"""Where a calliper may go on a half, and where not: nothing enters a spring contact or rests on a pin.

Geometry decides: what is reached from the front or side, on metal that does not spring, wide enough for the tool.
"""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from importlib import resources
from typing import NamedTuple

import msgspec

from coaxtell.models import toml
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half, Ring, Turned
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import SHAPELESS, Path, walk
from coaxtell.models.surfaces import ON_PLANE, Surface, ring_radii, surfaces

CLEAR = 0.5
"""What a tool keeps away from a pin, in the radius [mm]."""
DEEP = 30.0
"""How far a calliper's rod reaches [mm]."""


class Tool(StrEnum):
    """What is set on the part."""

    OUTSIDE = "outside_jaws"
    INSIDE = "inside_jaws"
    DEPTH = "depth_rod"


class Row(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One tool: seconds for a reading, and the least room it needs [mm]."""

    seconds: Measure
    needs: Measure


class Tools(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All tools."""

    outside_jaws: Row
    inside_jaws: Row
    depth_rod: Row

    def row(self, tool: Tool) -> Row:
        """The figures of a tool."""
        found: Row = getattr(self, tool.value)
        return found


class Place(NamedTuple):
    """A number that may be measured: with what, in how many seconds, and from where its reading counts.

    A diameter reads as it is; a place on the axis reads as the distance behind `origin` [z, mm].
    """

    path: Path
    tool: Tool
    seconds: float
    origin: float | None

    def size(self, reading: float) -> float:
        """The table's number that a reading stands for [mm]."""
        return reading if self.origin is None else self.origin - reading

    def reading(self, number: float) -> float:
        """What a part of this number reads [mm]."""
        return number if self.origin is None else self.origin - number


class Refusal(NamedTuple):
    """A number that is not to be measured here, and why not."""

    path: Path
    why: Reason


@cache
def tools() -> Tools:
    """The shipped figures of the tools."""
    text = (resources.files("coaxtell.models.gauging") / "tools.toml").read_text(encoding="utf-8")
    return msgspec.convert(toml.loads(text), Tools)


def places(half: Half) -> tuple[list[Place], list[Refusal]]:
    """What of a half may be measured here, and what may not with the reason; numbers of shape only."""
    found: list[Place] = []
    refused: list[Refusal] = []
    for path, measure in walk(half):
        if path[0] in SHAPELESS or measure.unit != "mm":
            continue
        answer = _place(half, path)
        if isinstance(answer, str):
            refused.append(Refusal(path, Reason(f"gauge.not_{answer}")))
        else:
            tool, origin = answer
            found.append(Place(path, tool, tools().row(tool).seconds.nominal, origin))
    return found, refused


Answer = tuple[Tool, float | None] | str
"""A tool with the origin of its reading, or the code of the refusal."""


def _place(half: Half, path: Path) -> Answer:
    if half.precision:
        return "precision"
    if path[0] == "centre":
        return _centre(half, path)
    if path[0] == "insulator":
        return _insulator(half, path)
    if path[0] in ("shell", "nut", "housing") and path[-1] in ("d", "d_end", "to", "rim"):
        return _body(half, path)
    if path in (("lugs", "over"), ("lugs", "d")):
        return Tool.OUTSIDE, None
    if path == ("groove", "lip") and half.groove is not None and half.groove.outside:
        return Tool.OUTSIDE, None
    if path[0] == "snap" or path[-1] in ("give", "slot_length"):
        return "spring"
    if "thread" in path:
        return "thread"
    return "reached"


def _centre(half: Half, path: Path) -> Answer:
    if half.centre.socket is not None and path[1] == "socket":
        return "socket"
    if half.centre.butt is not None and path[1] == "butt":
        return "spring"
    return "pin" if path[1] == "pin" else "reached"


def _insulator(half: Half, path: Path) -> Answer:
    if path[-1] != "face":
        return "reached"
    index = path[1]
    assert isinstance(index, int)
    ring = half.insulator[index]
    inner, outer = ring_radii(half, ring)
    front = half.shell.rim.nominal
    if _covered(half, front):
        return "hidden"
    if ring.face.nominal > front - ON_PLANE or front - ring.face.nominal > DEEP:
        return "reached"
    if any(other.face.nominal > ring.face.nominal and _over(half, other, ring) for other in half.insulator):
        return "reached"
    return _ledge(half, inner, outer, front)


def _over(half: Half, one: Ring, other: Ring) -> bool:
    """Whether one ring hides another from the front."""
    a, b = ring_radii(half, one), ring_radii(half, other)
    return a[0] < b[1] and b[0] < a[1]


def _ledge(half: Half, inner: float, outer: float, origin: float) -> Answer:
    """Depth to a ledge between two radii, where the rod finds room clear of the pin."""
    pin = half.centre.pin
    if pin is not None:
        inner = max(inner, pin.d.nominal / 2 + CLEAR)
    return (Tool.DEPTH, origin) if outer - inner >= tools().depth_rod.needs.nominal else "narrow"


def _whose(half: Half, path: Path) -> Turned:
    if path[0] == "nut":
        assert half.nut is not None
        return half.nut.body
    if path[0] == "housing":
        assert half.housing is not None
        return half.housing
    return half.shell


def _body(half: Half, path: Path) -> Answer:
    body = _whose(half, path)
    thread = None if path[0] == "housing" else half.nut.thread if path[0] == "nut" and half.nut else half.thread
    key = path[-1]
    front = body.rim.nominal
    if key == "rim":
        return _rim(half, path, body)
    inside = "inside" in path
    steps = body.inside if inside else body.outside
    index = path[-2]
    assert isinstance(index, int)
    found = surfaces(body, steps, thread, inside)
    surface = found[index]
    if _springs(half, path, body, surface):
        return "spring"
    if index == len(found) - 1 and path[0] == "shell":
        return "tail"
    if key == "d_end" or (key == "d" and steps[index].d_end is not None):
        return "taper"
    counted = key == "to" and path[0] == "shell" and _covered(half, front)
    if counted or (not inside and path[0] == "shell" and _covered(half, surface.z_front)):
        return "hidden"
    if inside:
        return _bore(half, found, index, key, front)
    if key == "to" and (surface.thread or (index + 1 < len(found) and found[index + 1].thread)):
        return "thread"
    if key == "to" and index + 1 < len(found) and found[index + 1].r_front > surface.r_back + ON_PLANE:
        room = found[index + 1].r_front - surface.r_back
        return (Tool.DEPTH, front) if room >= tools().depth_rod.needs.nominal else "narrow"
    if key == "to":
        return (Tool.OUTSIDE, front) if front - surface.z_back >= tools().outside_jaws.needs.nominal else "narrow"
    long = surface.z_front - surface.z_back >= tools().outside_jaws.needs.nominal
    return (Tool.OUTSIDE, None) if long else "narrow"


def _bore(half: Half, found: list[Surface], index: int, key: object, front: float) -> Answer:
    """A bore's diameter by inside jaws, or the depth of its end by the rod; both from the front."""
    surface = found[index]
    if any(s.r_back < surface.r_front - ON_PLANE for s in found[:index]) or front - surface.z_back > DEEP:
        return "reached"
    if key == "d":
        deep = front - surface.z_front
        wide = 2 * surface.r_front >= tools().inside_jaws.needs.nominal
        return (Tool.INSIDE, None) if wide and deep < 2.0 else "narrow" if not wide else "reached"
    after = found[index + 1].r_front if index + 1 < len(found) else 0.0
    return _ledge(half, after, surface.r_back, front)


def _rim(half: Half, path: Path, body: Turned) -> Answer:
    """The rim of a jack's shell by the depth from it to the reference plane, where that is a ledge."""
    if path[0] != "shell" or body.rim.nominal <= ON_PLANE:
        return "plane" if path[0] == "shell" else "moves"
    if _covered(half, body.rim.nominal):
        return "hidden"
    found = surfaces(body, body.inside, half.thread, inside=True)
    for index, surface in enumerate(found[:-1]):
        if abs(surface.z_back) < ON_PLANE:
            answer = _bore(half, found, index, "to", body.rim.nominal)
            # the depth to the plane is the rim's own number
            return answer if isinstance(answer, str) else (Tool.DEPTH, None)
    return "reached"


def _springs(half: Half, path: Path, body: Turned, surface: Surface) -> bool:
    """Whether a surface lies on fingers that bend."""
    fingers = body.give is not None or body.slots is not None
    snaps = half.snap is not None and (path[0] == "nut") == (half.nut is not None and half.nut.slides)
    if path[0] == "housing" or not (fingers or snaps):
        return False
    reach = body.rim.nominal - (body.slot_length.nominal if body.slot_length is not None else DEEP)
    return surface.z_front > reach + ON_PLANE


def _covered(half: Half, z: float) -> bool:
    """Whether nut or housing stands round the shell there."""
    covers = [half.nut.body] if half.nut is not None else []
    if half.housing is not None:
        covers.append(half.housing)
    return any(body.outside[-1].to.nominal <= z <= body.rim.nominal for body in covers)
