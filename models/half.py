"""One connector half as its table states it: frozen, in millimetres, each number with its source.

Axis: z = 0 at the reference plane, where the outer conductors butt, and +z out of the half's own face towards
the mate. Every diameter is named `d`; every z is a position on that axis. Bodies are described as a lathe hand
would: from the front rim backwards, step by step.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import RefusedError
from coaxtell.models.measure import Measure

Form = Literal["round", "hex", "knurl", "square"]
Gender = Literal["plug", "jack", "sexless"]
Tolerance = Literal["2A", "2B", "6g", "6H", "drawn-outside", "drawn-inside"]
Polarity = Literal["standard", "reverse"]


MOST = 64
"""More slots, lugs or notches than this no part has; a larger count is a slip of the pen."""


def _above_zero(what: str, **numbers: Measure | None) -> None:
    for name, measure in numbers.items():
        if measure is not None and measure.low <= 0:
            raise RefusedError("models.not_above_zero", what=what, number=Reason(f"number.{name}"))


def _counted(what: str, count: Measure | None) -> None:
    if count is not None and not (count.nominal == count.whole and 1 <= count.whole <= MOST):
        raise RefusedError("models.no_count", what=Reason(f"number.{what}"), count=count.nominal, most=MOST)


class Step(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One turned surface, from the end of the step before it back to `to` [mm].

    `d` is its diameter at the front and `d_end` at its rear where it tapers. For a hex or square, `d` is the
    width across flats. A step marked `thread` takes its diameter from the half's thread.

    Raises InputError where it has neither diameter nor thread, or both.
    """

    name: str
    to: Measure
    d: Measure | None = None
    d_end: Measure | None = None
    form: Form = "round"
    thread: bool = False

    def __post_init__(self) -> None:
        if self.thread == (self.d is not None):
            raise RefusedError("models.step_needs", name=self.name)
        _above_zero(self.name, d=self.d, d_end=self.d_end)


class Turned(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A hollow turned body: its front rim [z, mm] and the steps of its inside and outside, front to back.

    `give` is how far slotted spring fingers at its front may bend in the radius [mm]; none for solid metal.

    Raises InputError where a side has no step or a step does not end behind the one before.
    """

    rim: Measure
    inside: list[Step]
    outside: list[Step]
    give: Measure | None = None
    slots: Measure | None = None
    slot_length: Measure | None = None

    def __post_init__(self) -> None:
        _counted("slots", self.slots)
        if not self.inside or not self.outside:
            raise RefusedError("models.sides_bare")
        for steps in (self.inside, self.outside):
            z = self.rim.nominal
            for step in steps:
                if step.to.nominal >= z:
                    raise RefusedError("models.step_order", name=step.name, nominal=step.to.nominal, z=z)
                z = step.to.nominal


class Thread(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The coupling thread: its name, basic major diameter [mm], pitch, hand and tolerance class.

    `drawn-outside` and `drawn-inside` have no class: the basic form at that very size, as for a printed part.

    Raises InputError where the pitch is missing, given twice, or does not go with the major diameter.
    """

    size: str
    major: Measure
    tolerance: Tolerance
    tpi: Measure | None = None
    pitch: Measure | None = None
    hand: Literal["right", "left"] = "right"

    def __post_init__(self) -> None:
        if (self.tpi is None) == (self.pitch is None):
            raise RefusedError("models.thread_pitch", size=self.size)
        if self.tpi is not None and self.tpi.nominal <= 0:
            raise RefusedError("models.thread_tpi", size=self.size)
        if self.pitch_mm <= 0 or self.major.nominal <= 2 * self.pitch_mm:
            raise RefusedError("models.thread_major", size=self.size)

    @property
    def pitch_mm(self) -> float:
        """Axial distance of neighbouring crests [mm]."""
        if self.tpi is not None:
            return 25.4 / self.tpi.nominal
        assert self.pitch is not None
        return self.pitch.nominal


class Lugs(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Round bayonet studs on a collar: how many, diameter of one, diameter over the tips, z of the centre [mm]."""

    count: Measure
    d: Measure
    over: Measure
    centre: Measure

    def __post_init__(self) -> None:
        _counted("lugs", self.count)
        _above_zero("lugs", d=self.d, over=self.over)


class Ramps(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Ramped bayonet slots of a sleeve: how many, slot width [mm], turn to lock [deg], z of the lug when locked."""

    count: Measure
    width: Measure
    turn: Measure
    lock: Measure

    def __post_init__(self) -> None:
        _counted("ramps", self.count)
        _above_zero("ramps", width=self.width, turn=self.turn)


class Teeth(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Index teeth on the shoulder of a shell: how many, how far they stand out of it and how wide they are [mm]."""

    count: Measure
    height: Measure
    width: Measure

    def __post_init__(self) -> None:
        _counted("teeth", self.count)
        _above_zero("teeth", height=self.height, width=self.width)


class Notches(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Half-round index notches across the rim of a shell: how many, and their radius [mm]."""

    count: Measure
    r: Measure

    def __post_init__(self) -> None:
        _counted("notches", self.count)
        _above_zero("notches", r=self.r)


class Nut(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The moving part, at its foremost position: a threaded nut, a bayonet sleeve with ramped slots, or a sleeve
    that slides and locks.

    Raises InputError where it is none of these, or two at once.
    """

    body: Turned
    thread: Thread | None = None
    ramps: Ramps | None = None
    slides: bool = False

    def __post_init__(self) -> None:
        if [self.thread is not None, self.ramps is not None, self.slides].count(True) != 1:
            raise RefusedError("models.moving_twice")


class Snap(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A springing ring or slotted fingers with a bead: free diameter at the bead, its z, and its spring [mm].

    `over`: the bead looks inwards and rides over the mate; else it looks outwards and enters the mate's bore.
    """

    over: bool
    bead: Measure
    z: Measure
    spring: Measure


class Groove(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where a bead comes to rest: the lip it must pass, the groove's floor (diameters) and its z [mm].

    `outside`: cut into the outside of a barrel; else into a bore. Where floor and lip are equal there is no groove
    and only friction holds.

    Raises InputError where the floor stands proud of the lip.
    """

    outside: bool
    lip: Measure
    floor: Measure
    z: Measure
    grip: str = ""

    def __post_init__(self) -> None:
        deeper = self.lip.nominal - self.floor.nominal if self.outside else self.floor.nominal - self.lip.nominal
        if deeper < 0:
            raise RefusedError("models.groove_proud")

    @property
    def friction(self) -> bool:
        """True where there is no groove to rest in."""
        return self.lip.nominal == self.floor.nominal


class Key(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A keyed housing: its code letter and colour; a neutral one goes with every code of its kind."""

    kind: str
    code: str
    colour: str
    neutral: bool = False


class Pin(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A pin: its diameter, its tip and shoulder on the axis [mm], and how its end is shaped."""

    d: Measure
    tip: Measure
    shoulder: Measure
    end: Literal["round", "cone", "cut"] = "round"

    def __post_init__(self) -> None:
        _above_zero("pin", d=self.d)


class Socket(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A socket: hole as drawn, thinnest and thickest pin it grips, its tip and the bottom of its hole [mm].

    Raises InputError where the range of pins or the depth of the hole runs the wrong way.
    """

    hole: Measure
    takes_min: Measure
    takes_max: Measure
    tip: Measure
    bottom: Measure
    slots: Measure | None = None
    slot_length: Measure | None = None
    od: Measure | None = None
    """Outside diameter at the tip where it differs from the inner conductor [mm]."""

    def __post_init__(self) -> None:
        _counted("slots", self.slots)
        _above_zero("socket", hole=self.hole, takes_min=self.takes_min, od=self.od)
        if self.takes_max.nominal < self.takes_min.nominal:
            raise RefusedError("models.takes_reversed")
        if self.bottom.nominal >= self.tip.nominal:
            raise RefusedError("models.hole_before_tip")


class Ring(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One ring of insulator: its face and back on the axis and its diameters [mm].

    Without `inner` it touches the inner conductor, without `outer` the bore of the shell there.

    Raises InputError where it ends in front of its face.
    """

    name: str
    face: Measure
    back: Measure
    inner: Measure | None = None
    outer: Measure | None = None

    def __post_init__(self) -> None:
        _above_zero(self.name, inner=self.inner, outer=self.outer)
        if self.back.nominal >= self.face.nominal:
            raise RefusedError("models.ring_reversed", name=self.name)


class Butt(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A flat springing end that butts against its like: its face and how far it springs [mm]."""

    face: Measure
    spring: Measure


class Centre(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The inner conductor with its diameter in the line [mm] and what stands at its end.

    Raises InputError where not exactly one of pin, socket and flat end is given.
    """

    d: Measure
    pin: Pin | None = None
    socket: Socket | None = None
    butt: Butt | None = None

    def __post_init__(self) -> None:
        _above_zero("centre", d=self.d)
        if [self.pin is not None, self.socket is not None, self.butt is not None].count(True) != 1:
            raise RefusedError("models.centre_one")


class Back(msgspec.Struct, frozen=True):
    """The body behind a half, in one of the trade's styles: where it begins and the axial line ends [z, mm].

    `sizes` holds the numbers of the style by name; `states` what a person must know of it,
    such as the panel hole.
    """

    style: str
    front: float
    line_end: float
    sizes: dict[str, Measure]
    states: list[Reason]


class Half(msgspec.Struct, frozen=True):
    """One half of a connector, whole: what it is called, its line, its parts."""

    id: str
    family: str
    gender: Gender
    polarity: Polarity
    impedance: Measure | None
    """Nominal impedance [ohm]; none where the family has no constant one."""
    name: str
    trade_names: list[str]
    bore: Measure
    """Inside diameter of the outer conductor in the line, behind the reference plane [mm]."""
    top_ghz: Measure | None
    torque_nm: Measure | None
    er: Measure
    shell: Turned
    centre: Centre
    insulator: list[Ring]
    thread: Thread | None = None
    lugs: Lugs | None = None
    nut: Nut | None = None
    snap: Snap | None = None
    groove: Groove | None = None
    key: Key | None = None
    housing: Turned | None = None
    """A plastic housing round the metal shell, where the family has one."""
    teeth: Teeth | None = None
    """Index teeth on the foremost shoulder of the shell."""
    notches: Notches | None = None
    """Index notches in the rim of the shell."""
    wording: str = ""
    """What to know where the trade's words for this family disagree."""
    precision: bool = False
    """Whether nothing but its maker's own gauge may touch its face."""
    like_high_voltage: list[str] = []
    """Families for high voltage that look like it."""
    finish: Literal["gold", "nickel", "steel", "brass"] = "nickel"
    back: Back | None = None
    """The body behind it in a stated style; none for the plain tail of the table."""

    def __post_init__(self) -> None:
        _above_zero(
            self.id,
            impedance=self.impedance,
            bore=self.bore,
            top_ghz=self.top_ghz,
            torque_nm=self.torque_nm,
            er=self.er,
        )

    @property
    def impedance_ohm(self) -> float | None:
        """Nominal impedance [ohm]; none where the family has no constant one."""
        return None if self.impedance is None else self.impedance.nominal

    @property
    def coupling_thread(self) -> Thread | None:
        """The thread that holds this half to its mate, on the shell or in the nut; none for a bayonet."""
        if self.thread is not None:
            return self.thread
        return self.nut.thread if self.nut is not None else None
