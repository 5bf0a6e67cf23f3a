"""What of a half meets its mate: faces, coupling and contact in the (z, r) half plane.

Faces are what looks out of the half towards its mate: each a straight line over a range of radii. Their radii are
taken at the most material that the sourced limits allow, since that decides whether one part enters another.
z and r in mm.
"""

from __future__ import annotations

from typing import NamedTuple

import msgspec

from coaxtell.models.catalogue import piece
from coaxtell.models.half import Centre, Half, Key, Step, Thread, Turned
from coaxtell.models.regions import Role, nut_name
from coaxtell.models.surfaces import ON_PLANE, most_material, ring_radii, shell_outside, surfaces, tooth_place

SEATS: frozenset[Role] = frozenset({"outer", "finger"})
"""Roles of the outer conductor: where two of them meet first, wherever that is, the halves seat."""
BENDS: frozenset[Role] = frozenset({"pin", "socket"})
"""Roles that bend or break under a push by hand."""
YIELDS: frozenset[Role] = frozenset({"finger", "insulator"})
"""Roles that stand a push along the axis and give way where a coupling drives what presses on them."""


class Annulus(NamedTuple):
    """A surface that looks towards the mate: z at its inner and at its outer radius [mm]."""

    name: str
    role: Role
    r0: float
    r1: float
    z0: float
    z1: float

    @property
    def seats(self) -> bool:
        """Whether the outer conductor makes contact here when another outer conductor meets it."""
        return self.role in SEATS


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


class ToothZone(NamedTuple):
    """Index teeth: how many, how far they stand out and how wide they are [mm]."""

    number: int
    height: float
    width: float


class NotchZone(NamedTuple):
    """Half-round index notches in a rim: how many, and their radius [mm]."""

    number: int
    r: float


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

    fixed: tuple[Annulus, ...]
    moving: tuple[Annulus, ...]
    thread: ThreadZone | None
    lugs: LugZone | None
    ramps: RampZone | None
    nut_bore: float | None
    snap: SnapZone | None
    groove: GrooveZone | None
    key: Key | None
    contact: PinEnd | SocketEnd | ButtEnd
    rim: float
    housing: Annulus | None
    """The front of a keyed housing, closed to all that its keys keep out."""
    has_nut: bool
    teeth: ToothZone | None
    notches: NotchZone | None
    own_thread: ThreadZone | None
    """The thread on the fixed shell, where a half carries one beside its nut."""

    @property
    def coupling(self) -> tuple[object, ...]:
        """What decides whether two couplings fit; equal for profiles that couple alike."""
        return (self.thread, self.lugs, self.ramps, self.nut_bore, self.has_nut, self.snap, self.groove)


def _level(name: str, role: Role, r0: float, r1: float, z: float) -> list[Annulus]:
    if r1 - r0 <= ON_PLANE:
        return []
    return [Annulus(name, role, r0, r1, z, z)]


def _side_faces(
    steps: list[Step], thread: Thread | None, rim: float, role: Role, inside: bool
) -> tuple[float, list[Annulus]]:
    """Radius at the rim and the faces of one side of a turned body."""
    faces: list[Annulus] = []
    radii = [most_material(step, thread, inside) for step in steps]
    z = rim
    for i, step in enumerate(steps):
        front, rear = radii[i]
        end = step.to.nominal
        narrows = rear < front - ON_PLANE if inside else rear > front + ON_PLANE
        if narrows:
            low, high = (rear, end), (front, z)
            if not inside:
                low, high = (front, z), (rear, end)
            faces.append(Annulus(step.name, role, low[0], high[0], low[1], high[1]))
        if i + 1 < len(steps):
            after = radii[i + 1][0]
            face_role: Role = "thread" if steps[i + 1].thread else role
            if inside:
                name = "thread" if steps[i + 1].thread else piece("bottom", step=step.name)
                faces += _level(name, face_role, after, rear, end)
            else:
                faces += _level(steps[i + 1].name, face_role, rear, after, end)
        z = end
    return radii[0][0], faces


def _sprung(face: Annulus, inwards: float, outwards: float) -> Annulus:
    """A face of spring fingers as it yields: its outer edge bends in, its inner edge out [mm]."""
    r0, r1 = face.r0 + outwards, max(face.r1 - inwards, face.r0)
    return face._replace(role="finger", r0=min(r0, r1), r1=r1)


def _body_faces(body: Turned, thread: Thread | None, role: Role, name: str, spring: float = 0.0) -> list[Annulus]:
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


def _ring_faces(half: Half) -> list[Annulus]:
    faces: list[Annulus] = []
    for ring in half.insulator:
        inner, outer = ring_radii(half, ring)
        if ring.inner is not None:
            inner = ring.inner.sourced_low / 2
        if ring.outer is not None:
            outer = ring.outer.sourced_high / 2
        faces += _level(ring.name, "insulator", inner, outer, ring.face.nominal)
    return faces


def _centre_faces(centre: Centre) -> list[Annulus]:
    conductor = centre.d.sourced_high / 2
    if centre.butt is not None:
        return _level("centre", "socket", 0.0, conductor, centre.butt.face.nominal - centre.butt.spring.nominal)
    if centre.pin is not None:
        pin = centre.pin
        r = pin.d.sourced_high / 2
        return [
            *_level("pin", "pin", 0.0, r, pin.tip.nominal),
            *_level(piece("pin_shoulder"), "pin", r, conductor, pin.shoulder.nominal),
        ]
    socket = centre.socket
    assert socket is not None
    outer = conductor if socket.od is None else socket.od.sourced_high / 2
    hole = socket.hole.nominal / 2
    return [
        *_level("socket", "socket", hole, outer, socket.tip.nominal),
        *_level(piece("hole_bottom"), "socket", 0.0, hole, socket.bottom.nominal),
    ]


def _housing_front(half: Half) -> Annulus | None:
    if half.housing is None:
        return None
    z = half.housing.rim.nominal
    return Annulus("housing", "housing", 0.0, most_material(half.housing.outside[0], None, inside=False)[0], z, z)


def _shell_name(half: Half) -> str:
    return piece("outer_sleeve") if half.gender == "plug" else "rim"


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
        lugs = LugZone(lug.count.whole, lug.d.sourced_high, collar, lug.over.sourced_high, lug.centre.nominal)
        front = lug.centre.nominal + lug.d.sourced_high / 2
        fixed += _level("lug", "lug", collar / 2, lug.over.sourced_high / 2, front)
    teeth = half.teeth
    if teeth is not None:
        z, inner, outer = tooth_place(half)
        fixed += _level(piece("index_tooth"), "tooth", inner, outer, z + teeth.height.sourced_high)
    moving: list[Annulus] = []
    if half.nut is not None:
        body = half.nut.body
        moving = _body_faces(body, half.nut.thread, "nut", nut_name(half.nut), spring if half.nut.slides else 0.0)
        nut_bore = 2 * min(most_material(s, half.nut.thread, inside=True)[0] for s in body.inside[:2])
        if half.nut.ramps is not None:
            ramp = half.nut.ramps
            nut_bore = 2 * most_material(body.inside[0], None, inside=True)[0]
            ramps = RampZone(
                ramp.count.whole, ramp.width.sourced_low, nut_bore, ramp.turn.nominal, ramp.lock.nominal,
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
        housing=_housing_front(half),
        has_nut=half.nut is not None,
        teeth=None
        if teeth is None
        else ToothZone(teeth.count.whole, teeth.height.sourced_high, teeth.width.sourced_high),
        notches=None if half.notches is None else NotchZone(half.notches.count.whole, half.notches.r.sourced_low),
        own_thread=_shell_zone(half),
    )
