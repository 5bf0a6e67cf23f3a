"""A half in the (z, r) half plane: its cut regions, and the faces that meet a mate.

Regions are closed outlines for drawing and for solids. Faces are what looks out of the half towards its mate:
each a straight line over a range of radii. Their radii are taken at the most material that the sourced limits
allow, since that is what decides whether one part enters another. z and r in mm.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

import msgspec

from coaxtell.models.errors import InputError
from coaxtell.models.half import Centre, Form, Half, Key, Nut, Ring, Step, Thread, Turned
from coaxtell.models.measure import Measure
from coaxtell.models.threads import limits

Role = Literal["outer", "finger", "thread", "insulator", "pin", "socket", "lug", "nut", "housing"]
Point = tuple[float, float]

FRAGILE: frozenset[Role] = frozenset({"pin", "socket", "finger", "insulator"})
"""Roles that bend, break or crumble before solid metal does."""

ON_PLANE = 1e-6
"""A face this near to z = 0 lies on the reference plane [mm]."""


class Surface(NamedTuple):
    """One turned surface from front to back at nominal size [mm]; `thread` marks the threaded length."""

    name: str
    z_front: float
    z_back: float
    r_front: float
    r_back: float
    form: Form
    thread: bool


class Region(NamedTuple):
    """One cut region: its name, role, whether it moves with the nut, and its closed outline of (z, r) [mm]."""

    name: str
    role: Role
    moving: bool
    outline: tuple[Point, ...]


class Face(NamedTuple):
    """A surface that looks towards the mate: z at its inner and at its outer radius [mm]."""

    name: str
    role: Role
    r0: float
    r1: float
    z0: float
    z1: float
    reference: bool = False


class ThreadZone(NamedTuple):
    """A coupling thread along the axis [mm]."""

    thread: Thread
    front: float
    rear: float
    inside: bool


class LugZone(NamedTuple):
    """Bayonet lugs: how many, stud diameter, collar and over-tips diameters, z of the centre [mm]."""

    number: int
    stud: float
    collar: float
    over: float
    centre: float


class RampZone(NamedTuple):
    """A bayonet sleeve: how many slots, slot width, bore, turn to lock [deg], z of the locked lug, front z [mm]."""

    number: int
    width: float
    bore: float
    turn: float
    lock: float
    front: float


class SnapZone(NamedTuple):
    """A springing bead: whether it rides over its mate, free diameter, z and spring in the radius [mm]."""

    over: bool
    bead: float
    z: float
    spring: float


class GrooveZone(NamedTuple):
    """A groove for a bead: outside or in a bore, diameters of lip and floor, z [mm], and its grip in words."""

    outside: bool
    lip: float
    floor: float
    z: float
    friction: bool
    grip: str


class ButtEnd(NamedTuple):
    """A flat butt end: its face and spring [mm]."""

    tip: float
    spring: float


class PinEnd(NamedTuple):
    """A pin end: diameter at nominal, tip z [mm]."""

    d: float
    tip: float


class SocketEnd(NamedTuple):
    """A socket end: thinnest and thickest pin taken, tip z [mm]."""

    takes_min: float
    takes_max: float
    tip: float


class Profile(msgspec.Struct, frozen=True):
    """All that mating needs of one half: faces of the fixed and of the moving part, coupling, contact."""

    fixed: tuple[Face, ...]
    moving: tuple[Face, ...]
    thread: ThreadZone | None
    lugs: LugZone | None
    ramps: RampZone | None
    nut_bore: float | None
    snap: SnapZone | None
    groove: GrooveZone | None
    key: Key | None
    contact: PinEnd | SocketEnd | ButtEnd
    rim: float
    has_nut: bool
    own_thread: ThreadZone | None
    """The thread on the fixed shell, where a half carries one beside its nut."""

    @property
    def coupling(self) -> tuple[object, ...]:
        """What decides whether two couplings fit; equal for profiles that couple alike."""
        return (self.thread, self.lugs, self.ramps, self.nut_bore, self.has_nut, self.snap, self.groove)


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


def _most_material(step: Step, thread: Thread | None, inside: bool) -> tuple[float, float]:
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


def _level(name: str, role: Role, r0: float, r1: float, z: float) -> list[Face]:
    if r1 - r0 <= ON_PLANE:
        return []
    on_plane = role in ("outer", "finger") and abs(z) < ON_PLANE
    return [Face(name, role, r0, r1, z, z, on_plane)]


def _side_faces(
    steps: list[Step], thread: Thread | None, rim: float, role: Role, inside: bool
) -> tuple[float, list[Face]]:
    """Radius at the rim and the faces of one side of a turned body."""
    faces: list[Face] = []
    radii = [_most_material(step, thread, inside) for step in steps]
    z = rim
    for i, step in enumerate(steps):
        front, rear = radii[i]
        end = step.to.nominal
        narrows = rear < front - ON_PLANE if inside else rear > front + ON_PLANE
        if narrows:
            low, high = (rear, end), (front, z)
            if not inside:
                low, high = (front, z), (rear, end)
            faces.append(Face(step.name, role, low[0], high[0], low[1], high[1]))
        if i + 1 < len(steps):
            after = radii[i + 1][0]
            face_role: Role = "thread" if steps[i + 1].thread else role
            if inside:
                name = "thread" if steps[i + 1].thread else f"bottom of the {step.name}"
                faces += _level(name, face_role, after, rear, end)
            else:
                faces += _level(steps[i + 1].name, face_role, rear, after, end)
        z = end
    return radii[0][0], faces


def _sprung(face: Face, inwards: float, outwards: float) -> Face:
    """A face of spring fingers as it yields: its outer edge bends in, its inner edge out [mm]."""
    r0, r1 = face.r0 + outwards, max(face.r1 - inwards, face.r0)
    return face._replace(role="finger", r0=min(r0, r1), r1=r1)


def _body_faces(body: Turned, thread: Thread | None, role: Role, name: str, spring: float = 0.0) -> list[Face]:
    """Faces of a turned body; a bead that rides over its mate springs outwards by `spring`, one that goes inside
    springs inwards by -`spring` [mm]."""
    rim = body.rim.nominal
    r_in, inner = _side_faces(body.inside, thread, rim, role, inside=True)
    r_out, outer = _side_faces(body.outside, thread, rim, role, inside=False)
    faces = [*_level(name, role, r_in, r_out, rim), *inner, *outer]
    if body.give is None and not spring:
        return faces
    give = 0.0 if body.give is None else body.give.nominal
    reach = rim - (0.0 if body.slot_length is None else body.slot_length.nominal)
    inwards, outwards = (give, spring) if spring >= 0 else (-spring, 0.0)
    return [_sprung(f, inwards, outwards) if min(f.z0, f.z1) >= reach else f for f in faces]


def shell_radius(half: Half, z: float) -> float:
    """Nominal inside radius of the shell at z [mm]."""
    for surface in surfaces(half.shell, half.shell.inside, half.thread, inside=True):
        if surface.z_front >= z > surface.z_back - ON_PLANE:
            span = surface.z_front - surface.z_back
            return surface.r_back + (surface.r_front - surface.r_back) * (z - surface.z_back) / span
    last = half.shell.inside[-1]
    assert last.d is not None
    return last.d.nominal / 2


def _size(measure: Measure) -> float:
    return measure.nominal


def ring_radii(half: Half, ring: Ring) -> tuple[float, float]:
    """Nominal inner and outer radius of an insulator ring [mm]."""
    socket = half.centre.socket
    widest = half.centre.d if socket is None or socket.od is None else max(half.centre.d, socket.od, key=_size)
    inner = (widest if ring.inner is None else ring.inner).nominal / 2
    outer = ring.outer.nominal / 2 if ring.outer is not None else shell_radius(half, ring.face.nominal - ON_PLANE)
    return inner, outer


def _ring_faces(half: Half) -> list[Face]:
    faces: list[Face] = []
    for ring in half.insulator:
        inner, outer = ring_radii(half, ring)
        if ring.inner is not None:
            inner = ring.inner.sourced_low / 2
        if ring.outer is not None:
            outer = ring.outer.sourced_high / 2
        faces += _level(ring.name, "insulator", inner, outer, ring.face.nominal)
    return faces


def _centre_faces(centre: Centre) -> list[Face]:
    conductor = centre.d.sourced_high / 2
    if centre.butt is not None:
        return _level("centre", "socket", 0.0, conductor, centre.butt.face.nominal - centre.butt.spring.nominal)
    if centre.pin is not None:
        pin = centre.pin
        r = pin.d.sourced_high / 2
        return [
            *_level("pin", "pin", 0.0, r, pin.tip.nominal),
            *_level("pin shoulder", "pin", r, conductor, pin.shoulder.nominal),
        ]
    socket = centre.socket
    assert socket is not None
    outer = conductor if socket.od is None else socket.od.sourced_high / 2
    hole = socket.hole.nominal / 2
    return [
        *_level("socket", "socket", hole, outer, socket.tip.nominal),
        *_level("bottom of the socket hole", "socket", 0.0, hole, socket.bottom.nominal),
    ]


def nut_name(nut: Nut) -> str:
    """What the moving part is called."""
    if nut.thread is not None:
        return "nut"
    return "bayonet sleeve" if nut.ramps is not None else "locking sleeve"


def _shell_name(half: Half) -> str:
    return "outer contact sleeve" if half.gender == "plug" else "rim"


def _threaded(body: Turned, steps: list[Step], thread: Thread, inside: bool) -> ThreadZone:
    for surface in surfaces(body, steps, thread, inside):
        if surface.thread:
            return ThreadZone(thread, surface.z_front, surface.z_back, inside)
    raise AssertionError("a half with a thread has a threaded step")


def _shell_zone(half: Half) -> ThreadZone | None:
    return None if half.thread is None else _threaded(half.shell, half.shell.outside, half.thread, inside=False)


def _zone(half: Half) -> ThreadZone | None:
    """The coupling thread: that of the nut where there is one, else that of the shell."""
    if half.nut is not None and half.nut.thread is not None:
        return _threaded(half.nut.body, half.nut.body.inside, half.nut.thread, inside=True)
    return _shell_zone(half)


def profile(half: Half) -> Profile:
    """The faces, coupling and contact of a half for mating, at nominal size within sourced limits."""
    snap = half.snap
    spring = 0.0 if snap is None else snap.spring.nominal * (1 if snap.over else -1)
    on_sleeve = half.nut is not None and half.nut.slides
    fixed = _body_faces(half.shell, half.thread, "outer", _shell_name(half), 0.0 if on_sleeve else spring)
    fixed += _ring_faces(half)
    fixed += _centre_faces(half.centre)
    if half.housing is not None:
        fixed += _body_faces(half.housing, None, "housing", "housing")
    lugs = ramps = nut_bore = None
    if half.lugs is not None:
        lug = half.lugs
        collar = shell_outside(half, lug.centre.nominal) * 2
        lugs = LugZone(
            lug.count, lug.d.sourced_high, collar, lug.over.sourced_high, lug.centre.nominal
        )
        front = lug.centre.nominal + lug.d.sourced_high / 2
        fixed += _level("lug", "lug", collar / 2, lug.over.sourced_high / 2, front)
    moving: list[Face] = []
    if half.nut is not None:
        body = half.nut.body
        moving = _body_faces(
            body, half.nut.thread, "nut", nut_name(half.nut), spring if half.nut.slides else 0.0
        )
        nut_bore = 2 * min(_most_material(s, half.nut.thread, inside=True)[0] for s in body.inside[:2])
        if half.nut.ramps is not None:
            ramp = half.nut.ramps
            nut_bore = 2 * _most_material(body.inside[0], None, inside=True)[0]
            ramps = RampZone(
                ramp.count, ramp.width.sourced_low, nut_bore, ramp.turn.nominal, ramp.lock.nominal,
                body.rim.nominal,
            )  # fmt: skip
    if half.centre.pin is not None:
        contact: PinEnd | SocketEnd | ButtEnd = PinEnd(half.centre.pin.d.nominal, half.centre.pin.tip.nominal)
    elif half.centre.socket is not None:
        socket = half.centre.socket
        contact = SocketEnd(socket.takes_min.nominal, socket.takes_max.nominal, socket.tip.nominal)
    else:
        butt = half.centre.butt
        assert butt is not None
        contact = ButtEnd(butt.face.nominal, butt.spring.nominal)
    groove = half.groove
    return Profile(
        fixed=tuple(fixed),
        moving=tuple(moving),
        thread=_zone(half),
        lugs=lugs,
        ramps=ramps,
        nut_bore=nut_bore,
        snap=None if snap is None else SnapZone(snap.over, snap.bead.nominal, snap.z.nominal, snap.spring.nominal),
        groove=None
        if groove is None
        else GrooveZone(
            groove.outside, groove.lip.nominal, groove.floor.nominal, groove.z.nominal, groove.friction, groove.grip
        ),
        key=half.key,
        contact=contact,
        rim=half.shell.rim.nominal,
        has_nut=half.nut is not None,
        own_thread=_shell_zone(half),
    )


def shell_outside(half: Half, z: float) -> float:
    """Most-material outside radius of the shell at z [mm]."""
    front = half.shell.rim.nominal
    for step in half.shell.outside:
        if front >= z >= step.to.nominal:
            return max(_most_material(step, half.thread, inside=False))
        front = step.to.nominal
    raise InputError(f"{half.id}: its lugs stand at z {z:g} mm, outside its shell; correct one of the two.")


def _body_outline(body: Turned, thread: Thread | None) -> tuple[Point, ...]:
    outside = surfaces(body, body.outside, thread, inside=False)
    inside = surfaces(body, body.inside, thread, inside=True)
    end = outside[-1].z_back
    out = [p for s in outside for p in ((s.z_front, s.r_front), (s.z_back, s.r_back))]
    back: list[Point] = []
    for i, s in enumerate(inside):
        z_back = end if i + 1 == len(inside) else s.z_back
        back += [(s.z_front, s.r_front), (z_back, s.r_back)]
    return _tidy([*out, *reversed(back)])


def _tidy(points: list[Point]) -> tuple[Point, ...]:
    kept: list[Point] = []
    for point in points:
        if not kept or point != kept[-1]:
            kept.append(point)
    if len(kept) > 1 and kept[0] == kept[-1]:
        kept.pop()
    return tuple(kept)


PIN_NOSE = 0.45
"""Length of a pin's shaped end in pin diameters; drawn so, no number of the table."""
CONE_TIP = 0.35
"""Tip of a coned pin in pin diameters."""


def _pin_nose(r: float, tip: float, end: str) -> list[Point]:
    """Outline of the pin's end from its tip on the axis to its full radius."""
    if end == "cut":
        return [(tip, 0.0), (tip, r * 0.8), (tip - r * 0.2, r)]
    if end == "cone":
        return [(tip, 0.0), (tip, r * CONE_TIP), (tip - 2 * r * PIN_NOSE, r)]
    flat = 0.3 * r
    length = 2 * r * PIN_NOSE
    arc = [
        (tip - length * (1 - (1 - t * t) ** 0.5), flat + (r - flat) * t)
        for t in (0.0, 0.25, 0.5, 0.7, 0.85, 0.95, 1.0)
    ]
    return [(tip, 0.0), *arc]


def centre_outline(half: Half) -> tuple[Point, ...]:
    """Cut outline of the inner conductor with its pin or socket, closed along the axis [mm]."""
    centre = half.centre
    back = min(s.to.nominal for s in (half.shell.inside[-1], half.shell.outside[-1]))
    r = centre.d.nominal / 2
    if centre.butt is not None:
        face = centre.butt.face.nominal
        return ((face, 0.0), (face, r), (back, r), (back, 0.0))
    if centre.pin is not None:
        pin = centre.pin
        points = _pin_nose(pin.d.nominal / 2, pin.tip.nominal, pin.end)
        points += [(pin.shoulder.nominal, pin.d.nominal / 2), (pin.shoulder.nominal, r), (back, r), (back, 0.0)]
        return _tidy(points)
    socket = centre.socket
    assert socket is not None
    tip, bottom, hole = socket.tip.nominal, socket.bottom.nominal, socket.hole.nominal / 2
    outer = r if socket.od is None else socket.od.nominal / 2
    lead = min(0.1 * hole + 0.02, (outer - hole) * 0.6)
    # a drill leaves a cone of 118 degrees at the bottom of the hole
    cone = max(bottom - hole / 1.664, back)
    points = [(cone, 0.0), (bottom, hole), (tip - lead, hole), (tip, hole + lead), (tip, outer)]
    if socket.od is not None and socket.od.nominal < centre.d.nominal:
        neck = tip - 0.35 * (tip - bottom)
        points += [(neck, outer), (neck, r)]
    points += [(back, r), (back, 0.0)]
    return _tidy(points)


def regions(half: Half) -> list[Region]:
    """The cut regions of a half for drawing and for solids, at nominal size: shell, insulators, centre, nut."""
    found = [Region("shell", "outer", False, _body_outline(half.shell, half.thread))]
    back = min(half.shell.inside[-1].to.nominal, half.shell.outside[-1].to.nominal)
    for ring in half.insulator:
        inner, outer = ring_radii(half, ring)
        face, end = ring.face.nominal, max(ring.back.nominal, back)
        outline = ((face, inner), (face, outer), (end, outer), (end, inner))
        found.append(Region(ring.name, "insulator", False, outline))
    role: Role = "pin" if half.centre.pin is not None else "socket"
    name = role if half.centre.butt is None else "centre"
    found.append(Region(name, role, False, centre_outline(half)))
    if half.lugs is not None:
        lug = half.lugs
        collar, over = shell_outside(half, lug.centre.nominal), lug.over.nominal / 2
        low, high = (lug.centre.nominal + sign * lug.d.nominal / 2 for sign in (-1, 1))
        found.append(Region("lug", "lug", False, ((high, collar), (high, over), (low, over), (low, collar))))
    if half.housing is not None:
        found.append(Region("housing", "housing", False, _body_outline(half.housing, None)))
    if half.nut is not None:
        found.append(Region(nut_name(half.nut), "nut", True, _body_outline(half.nut.body, half.nut.thread)))
    return found
