"""The solid of a body style: plates, blocks and bushings joined to the shell, and the loose parts behind it.

Follows `models.solids.solid`: same axes, same levels, one closed mesh per part. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import msgspec

from coaxtell.models import cuts
from coaxtell.models.body import cable_of
from coaxtell.models.catalogue import piece
from coaxtell.models.cut_threads import bushing_thread, nut_front
from coaxtell.models.half import Back, Half, Step, Thread, Turned
from coaxtell.models.regions import Role
from coaxtell.models.solids.part import COLUMNS, Level, Material, Part
from coaxtell.models.solids.turned import turned

if TYPE_CHECKING:
    from manifold3d import Manifold

BITE = 0.05
"""How far a plate or block reaches into the shell it is one piece with [mm]."""
CRIMPED = 0.93
"""Width across flats of a crimped ferrule in its outside diameters; drawn so."""


def _size(back: Back, name: str) -> float:
    return back.sizes[name].nominal


def _cylinder(radius: float, front: float, rear: float, columns: int) -> Manifold:
    """A cylinder on the axis between two planes [z]."""
    import manifold3d

    return manifold3d.Manifold.cylinder(front - rear, radius, radius, columns).translate((0, 0, rear))


def _box(width: float, height: float, front: float, rear: float) -> Manifold:
    import manifold3d

    return manifold3d.Manifold.cube((width, height, front - rear)).translate((-width / 2, -height / 2, rear))


def _tube(name: str, front: float, steps: list[tuple[float, float, str]], bore: list[tuple[float, float]]) -> Turned:
    """A turned body from plain numbers: outside (diameter, rear z, form), bore (diameter, rear z)."""

    def step(d: float, rear: float, form: str) -> Step:
        return msgspec.convert(
            {"name": name, "to": cable_of(rear), "d": cable_of(d), "form": form}, Step, from_attributes=True
        )

    return Turned(
        rim=cable_of(front),
        outside=[step(d, rear, form) for d, rear, form in steps],
        inside=[step(d, rear, "round") for d, rear in bore],
    )


def _outer_radius(half: Half) -> float:
    """Outside radius of the shell's last step [mm]."""
    d = half.shell.outside[-1].d
    assert d is not None
    return d.nominal / 2


def _bore(half: Half) -> float:
    d = half.shell.inside[-1].d
    assert d is not None
    return d.nominal / 2


class _Dressing:
    """Collects what joins the shell and what stands beside it."""

    def __init__(self, half: Half, level: Level) -> None:
        assert half.back is not None
        self.half, self.back, self.level = half, half.back, level
        self.columns = COLUMNS[level] // 2
        self.joined: list[Manifold] = []
        self.loose: list[Part] = []

    def part(self, name: str, role: Role, material: Material, mesh: cuts.Mesh) -> None:
        self.loose.append(Part(name, role, False, material, *mesh))

    def turned(self, name: str, role: Role, material: Material, body: Turned, thread: Thread | None = None) -> None:
        self.part(name, role, material, turned(body, thread, self.level))

    def contact(self, length: float) -> None:
        """The centre contact behind the body, for a board."""
        end = self.back.line_end
        rod = _cylinder(_size(self.back, "pin") / 2, end, end - length, self.columns)
        self.part(piece("board_contact"), "pin", "gold", cuts.as_mesh(rod))


def _crimp(made: _Dressing) -> None:
    back = made.back
    d, wall, length = (_size(back, name) for name in ("cable", "wall", "ferrule"))
    front = back.line_end - 0.02 * length
    over = d + 2 * wall
    steps = [(over, front - 0.25 * length, "round"), (CRIMPED * over, front - 0.8 * length, "hex"),
             (over, front - length, "round")]  # fmt: skip
    made.turned(piece("crimp_ferrule"), "outer", "nickel", _tube("ferrule", front, steps, [(d, front - length)]))


def _clamp(made: _Dressing) -> None:
    back = made.back
    length, thread, wide = (_size(back, name) for name in ("nut", "thread", "hex"))
    front = back.line_end - 0.05 * length
    bore = [(thread + 0.02, front - 0.75 * length), (_size(back, "cable") + 0.1, front - length)]
    if bore[1][0] >= bore[0][0]:
        bore = [(max(thread, bore[1][0]) + 0.02, front - length)]
    made.turned(
        piece("clamp_nut"), "outer", made.half.finish, _tube("nut", front, [(wide, front - length, "hex")], bore)
    )


def _bulkhead(made: _Dressing) -> None:
    back = made.back
    shoulder, outer, pitch = (_size(back, name) for name in ("shoulder", "outer", "pitch"))
    inner = 2 * (_outer_radius(made.half) - BITE)
    thread = bushing_thread(outer, pitch)
    long = shoulder - back.line_end
    relief = 0.4 * pitch
    body = _tube("bushing", shoulder + BITE, [(outer - 1.2 * pitch, shoulder - relief, "round"),
                                              (1.0, back.line_end + BITE, "round")],
                 [(inner, back.line_end + BITE)])  # fmt: skip
    cut_step = msgspec.structs.replace(body.outside[1], d=None, thread=True)
    body = msgspec.structs.replace(body, outside=[body.outside[0], cut_step])
    bushing = cuts.as_manifold(turned(body, thread, made.level))
    if "flat" in back.sizes:
        count = 2 if "flats" in back.sizes else 1
        across = _size(back, "flat")
        # one flat: from it to the round opposite; two: from flat to flat
        off = across / 2 if count == 2 else across - outer / 2
        box = _box(outer, outer, shoulder - relief, back.line_end - 1).translate((0, off + outer / 2, 0))
        for k in range(count):
            bushing -= box.rotate((0, 0, 180 * k))
    made.joined.append(bushing)
    panel, tall = min(_size(back, "panel"), 0.25 * long), _size(back, "nut")
    washer_front = shoulder - panel
    thick = 0.12 * tall + 0.1
    wide_thread = _size(back, "nut_outer")
    ring = _tube("washer", washer_front, [(_size(back, "washer"), washer_front - thick, "round")],
                 [(wide_thread + 0.1, washer_front - thick)])  # fmt: skip
    made.turned(piece("lock_washer"), "outer", made.half.finish, ring)
    front = nut_front(thread, shoulder - relief, back.line_end + BITE, washer_front - thick)
    wide = max(_size(back, "nut_hex"), 1.18 * wide_thread)
    nut = _tube(piece("panel_nut"), front, [(wide, front - tall, "hex")], [(1.0, front - tall)])
    hole = msgspec.structs.replace(nut.inside[0], d=None, thread=True)
    nut = msgspec.structs.replace(nut, inside=[hole])
    made.turned(piece("panel_nut"), "outer", made.half.finish, nut, bushing_thread(wide_thread, pitch, inside=True))


def _flange(made: _Dressing) -> None:
    back = made.back
    width, height, spacing, hole, thick = (
        _size(back, name) for name in ("width", "height", "spacing", "hole", "thick")
    )
    # a hair behind the shell's last shoulder, so that the plate stands on the round boss alone
    front, rear = back.front - BITE, back.front - thick
    boss = made.half.shell.outside[-2].d
    assert boss is not None
    plate = _box(width, height, front, rear) - _cylinder(boss.nominal / 2 - BITE, front + 1, rear - 1, made.columns)
    places = [(x, 0.0) for x in (-spacing / 2, spacing / 2)]
    if back.style == "flange-4":
        places = [(x, y) for x in (-spacing / 2, spacing / 2) for y in (-spacing / 2, spacing / 2)]
    for x, y in places:
        plate -= _cylinder(hole / 2, front + 1, rear - 1, made.columns).translate((x, y, 0))
    made.joined.append(plate)


def _block(made: _Dressing, rear: float) -> Manifold:
    """A square block round the shell's core, from the body's front to a plane [z]."""
    width, front = _size(made.back, "block"), made.back.front - BITE
    core = _cylinder(_outer_radius(made.half) - BITE, front + 1, made.back.line_end - BITE, made.columns)
    return _box(width, width, front, rear) - core


def _board_edge(made: _Dressing) -> None:
    back = made.back
    pitch, leg, long, thick = (_size(back, name) for name in ("pitch", "leg", "leg_length", "thick"))
    end = back.line_end
    block = _block(made, end + BITE)
    top = -_size(back, "pin") / 2
    for x in (-pitch / 2, pitch / 2):
        for y in (top + leg / 2, top - thick - leg / 2):
            block += _box(leg, leg, end + 2 * BITE, end - long).translate((x, y, 0))
    made.joined.append(block)
    made.contact(0.7 * long)


def _through_hole(made: _Dressing) -> None:
    back = made.back
    pitch, leg, long = (_size(back, name) for name in ("pitch", "leg", "leg_length"))
    end = back.line_end
    block = _block(made, end + BITE)
    for x in (-pitch / 2, pitch / 2):
        for y in (-pitch / 2, pitch / 2):
            block += _box(leg, leg, end + 2 * BITE, end - long).translate((x, y, 0))
    made.joined.append(block)
    made.contact(long)


def _right_angle(made: _Dressing) -> None:
    back, half = made.back, made.half
    bore, core, wide = _bore(half), half.centre.d.nominal / 2, _size(back, "block")
    middle = back.line_end - bore
    low = -(wide / 2 + _size(back, "drop"))

    def down(radius: float, top: float, bottom: float) -> Manifold:
        """A cylinder along the tail, between two heights [y]."""
        upright = _cylinder(radius, top, bottom, made.columns)
        return upright.rotate((-90.0, 0.0, 0.0)).translate((0.0, 0.0, middle))

    block = _block(made, middle - wide / 2) + down(_size(back, "tube") / 2, 0.0, low)
    block -= down(bore, 0.0, low - 1)
    block -= _cylinder(bore, back.line_end + BITE / 2, middle, made.columns)
    made.joined.append(block)
    rod = down(core, core, low) + _cylinder(core, back.line_end, middle, made.columns)
    made.part(piece("tail_contact"), "pin", "gold", cuts.as_mesh(rod))
    made.part(piece("tail_insulator"), "insulator", "ptfe", cuts.as_mesh(
        down(bore, -1.1 * core, low) - down(core, 0.0, low - 1)
    ))  # fmt: skip


_DRESS: dict[str, Callable[[_Dressing], None]] = {
    "cable-crimp": _crimp, "clamp": _clamp, "bulkhead": _bulkhead, "flange-2": _flange, "flange-4": _flange,
    "board-edge": _board_edge, "through-hole": _through_hole, "right-angle": _right_angle,
}  # fmt: skip


def dressed(half: Half, parts: list[Part], level: Level) -> list[Part]:
    """The parts of a half with its body: what is one piece joined to the shell, the loose parts after them."""
    made = _Dressing(half, level)
    _DRESS[made.back.style](made)
    found: list[Part] = []
    for part in parts:
        if part.role == "outer" and made.joined:
            points, faces = cuts.join((part.points, part.faces), made.joined)
            part = msgspec.structs.replace(part, points=points, faces=faces)
        found.append(part)
    return [*found, *made.loose]
