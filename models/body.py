"""Body styles: what stands behind the mating face, from tables of sizes per group of families.

A style changes only the tail of a half, behind everything that meets a mate: cable crimp, clamp, bulkhead, flange
with two or four holes, board edge, board through-hole, right angle. The sizes come from `bodies/*.toml`, each with
its grade and source; what no table states is drawn so and named here. Lengths in mm.
"""

from __future__ import annotations

from typing import Any

import msgspec

from coaxtell.models.body_tables import STYLES, BodySizes, BulkheadSizes, load, sources
from coaxtell.models.catalogue import Reason, Value, piece
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Back, Half, Ring, Step, Turned
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.measure import said as measured
from coaxtell.models.surfaces import ON_PLANE, Surface, surfaces

__all__ = ["STYLES", "cable_of", "load", "panel_hole", "shoulder", "sizes", "sources", "styled"]

WALL = 0.12
"""Least wall of a tail round its bore, in bore radii, and never under LEAST_WALL; drawn so."""
LEAST_WALL = 0.2
COLLAR = 0.2
"""Length of a wrench collar in its diameters; drawn so."""


def sizes(half: Half) -> BodySizes:
    """The sizes for a half: those of its family, else those of the nearest body diameter."""
    groups = load()
    for group in groups.values():
        if half.family in group.families:
            return group
    widest = max(s.r_front for s in surfaces(half.shell, half.shell.outside, half.thread, inside=False))
    return min(groups.values(), key=lambda g: abs(g.body.nominal - 2 * widest))


def _seat(half: Half) -> float:
    """The rearmost z of all that meets a mate or turns round the shell [mm]."""
    shell = half.shell
    places = [shell.rim.nominal]
    if shell.slots is not None and shell.slot_length is not None:
        places.append(shell.rim.nominal - shell.slot_length.nominal)
    places += [s.z_back for s in surfaces(shell, shell.outside, half.thread, inside=False) if s.thread]
    if half.nut is not None:
        places.append(half.nut.body.outside[-1].to.nominal)
    if half.lugs is not None:
        places.append(half.lugs.centre.nominal - half.lugs.d.nominal / 2)
    if half.groove is not None and half.groove.outside:
        places.append(half.groove.z.nominal)
    if half.snap is not None:
        places.append(half.snap.z.nominal)
    if half.housing is not None:
        places.append(half.housing.outside[-1].to.nominal)
    return min(places)


def _last(half: Half, found: list[Surface]) -> int:
    """Which of the outside surfaces of the shell is the last before the body's first shoulder."""
    seat = _seat(half)
    last = next((i for i, s in enumerate(found) if s.z_back <= seat + ON_PLANE), len(found) - 1)
    while last + 2 < len(found) and found[last + 1].r_front <= found[last].r_back:
        last += 1
    return last


def shoulder(half: Half) -> float:
    """z behind which nothing meets a mate or turns round the shell, of a plain barrel its first shoulder [mm]."""
    seat = _seat(half)
    if seat < half.shell.rim.nominal:
        return seat
    found = surfaces(half.shell, half.shell.outside, half.thread, inside=False)
    return found[_last(half, found)].z_back


def _kept(half: Half) -> list[Step]:
    """The outside steps of the shell that stay, front to rear: all down to the body's first shoulder."""
    seat = _seat(half)
    steps = half.shell.outside
    found = surfaces(half.shell, steps, half.thread, inside=False)
    last = _last(half, found)
    kept = steps[: last + 1]
    after = found[last + 1] if last + 1 < len(found) else None
    if after is not None and after.form != "square" and after.r_front > found[last].r_back:
        # the front of the body stays as it is, so that whatever comes near it meets the same face
        step = steps[last + 1]
        if last + 2 == len(found):
            step = msgspec.structs.replace(
                step, to=step.to.at(max(after.z_back, after.z_front - 2 * COLLAR * after.r_front)), d_end=None
            )
        kept = [*kept, step]
    if kept[-1].to.nominal > seat:
        # a tail that ends inside its housing is drawn out to the housing's rear
        kept = [*kept[:-1], msgspec.structs.replace(kept[-1], to=kept[-1].to.at(seat))]
    return kept


def _step(name: str, d: Measure, to: float, form: Any = "round") -> Step:
    return Step(name=name, d=d, to=d.at(to), form=form)


def _wall(r: float) -> float:
    return max(LEAST_WALL, WALL * r)


def _deepest(half: Half) -> float:
    """z in front of which the line cannot end: behind steps of the bore, contacts and insulators [mm]."""
    places = [ring.face.nominal - 0.3 for ring in half.insulator]
    places += [step.to.nominal - 0.1 for step in half.shell.inside[:-1]]
    socket = half.centre.socket
    if socket is not None:
        places.append(socket.bottom.nominal - 0.5 * socket.hole.nominal)
        if socket.slot_length is not None:
            places.append(socket.tip.nominal - socket.slot_length.nominal - 0.1)
    if half.centre.pin is not None:
        places.append(half.centre.pin.shoulder.nominal - 0.3)
    return min(places)


class _Tail:
    """The shell behind the kept steps while a style is put on it."""

    def __init__(self, half: Half, own: BodySizes) -> None:
        self.half, self.own = half, own
        self.outside = _kept(half)
        self.front = self.outside[-1].to.nominal
        self.z = self.front
        bores = surfaces(half.shell, half.shell.inside, half.thread, inside=True)
        self.bore = bores[-1].r_back
        # bores that open behind the body's front, such as a cup, need a wall round them too
        self.widest = max([self.bore, *(s.r_front for s in bores if s.z_back < self.front - ON_PLANE)])
        self.narrow: list[Step] = []
        self.line_end: float | None = None

    def at_least(self, measure: Measure) -> Measure:
        """A diameter, grown where it would leave no wall round the bore."""
        least = 2 * (self.widest + _wall(self.widest))
        return measure if measure.nominal >= least else measure.at(least)

    def add(self, name: str, d: Measure, length: float, form: Any = "round") -> Measure:
        """One step further back; returns the diameter it got."""
        d = self.at_least(d)
        self.z -= length
        self.outside.append(_step(name, d, self.z, form))
        return d

    def end_line(self) -> None:
        """Where the bore of the line ends; the step behind it is lengthened until the line has its length."""
        deepest = _deepest(self.half)
        if self.z > deepest:
            last = self.outside[-1]
            self.outside[-1] = msgspec.structs.replace(last, to=last.to.at(deepest))
            self.z = deepest
        self.line_end = self.z

    def half_with(self, style: str, used: dict[str, Measure], states: list[Reason]) -> Half:
        half = self.half
        if self.line_end is None:
            self.end_line()
        assert self.line_end is not None
        end = self.line_end
        bore = half.shell.inside[-1]
        inside = [*half.shell.inside[:-1], msgspec.structs.replace(bore, to=bore.to.at(end)), *self.narrow]
        old = min(bore.to.nominal, half.shell.outside[-1].to.nominal)
        rings = [_reaching(ring, end, old) for ring in half.insulator]
        shell = Turned(
            rim=half.shell.rim, inside=inside, outside=self.outside, give=half.shell.give,
            slots=half.shell.slots, slot_length=half.shell.slot_length,
        )  # fmt: skip
        back = Back(style=style, front=self.front, line_end=end, sizes=used, states=states)
        return msgspec.structs.replace(half, name=f"{half.name}, {style}", shell=shell, insulator=rings, back=back)


def _reaching(ring: Ring, end: float, old: float) -> Ring:
    """An insulator that filled the old tail to its end fills the new one; none reaches past it."""
    if ring.back.nominal <= old + 1.0 or ring.back.nominal < end:
        return msgspec.structs.replace(ring, back=ring.back.at(min(end, ring.face.nominal - 0.05)))
    return ring


def _crimp(tail: _Tail, cable: Measure) -> Half:
    own = tail.own
    d = cable.nominal
    body = tail.add(piece("cable_body"), own.body, own.body.nominal * 0.35)
    tail.end_line()
    length = own.cable.ferrule.nominal * d / own.cable.d.nominal
    bore = min(0.55 * d, 2 * tail.bore)
    barrel = cable.at(min(max(0.8 * d, bore + 2 * LEAST_WALL), 0.9 * d))
    tail.z -= 0.75 * length
    tail.outside.append(_step(piece("crimp_barrel"), barrel, tail.z))
    tail.narrow.append(_step(piece("cable_entry"), cable.at(bore), tail.z))
    used = {"cable": cable, "barrel": barrel, "wall": own.cable.wall, "ferrule": cable.at(length), "body": body}
    over = d + 2 * own.cable.wall.nominal
    told: dict[str, Value] = {"cable": measured(cable), "over": over, "ferrule": length}
    return tail.half_with("cable-crimp", used, [Reason("body.crimp", told)])


def _clamp(tail: _Tail, cable: Measure) -> Half:
    own = tail.own.clamp
    body = tail.add(piece("clamp_body"), tail.own.body, own.nut.nominal * 0.6, "round")
    tail.end_line()
    thread = body.at(max(0.8 * min(body.nominal, own.hex.nominal), 2 * (tail.bore + LEAST_WALL)))
    bore = min(cable.nominal, thread.nominal - 3 * LEAST_WALL, 2 * tail.bore)
    tail.z -= 0.7 * own.nut.nominal
    tail.outside.append(_step(piece("clamp_thread"), thread, tail.z))
    tail.narrow.append(_step(piece("cable_entry"), cable.at(bore), tail.z))
    hexagon = own.hex.at(max(own.hex.nominal, thread.nominal + 1.0, cable.nominal + 1.2))
    used = {"cable": cable, "hex": hexagon, "nut": own.nut, "thread": thread}
    told: dict[str, Value] = {"cable": measured(cable), "flats": hexagon.nominal}
    return tail.half_with("clamp", used, [Reason("body.clamp", told)])


def panel_hole(own: BulkheadSizes) -> Reason:
    """The panel hole, with limits and a mark where nothing backs them."""
    told: dict[str, Value] = {"hole": measured(own.hole), "panel": measured(own.panel)}
    if own.flat is None:
        return Reason("body.hole_round", told)
    told["flat"] = measured(own.flat)
    return Reason("body.hole_flat" if own.flats is None else "body.hole_flats", told)


def _bulkhead(tail: _Tail, cable: Measure) -> Half:
    own = tail.own.bulkhead
    tail.add(piece("panel_hex"), own.hex, COLLAR * own.hex.nominal, "hex")
    shoulder = tail.z
    least = 2 * (tail.widest + _wall(tail.widest))
    outer = max(own.hole.nominal - 0.15, least + 1.4 * own.pitch.nominal)
    states = [panel_hole(own)]
    if outer > own.hole.nominal:
        states = [Reason("body.hole_drawn", {"hole": outer + 0.15})]
    tail.z -= own.bushing.nominal
    tail.outside.append(_step("bushing", own.hole.at(outer - 1.25 * own.pitch.nominal), tail.z))
    used = {
        "outer": own.hole.at(outer), "nut_outer": own.hole.at(outer), "pitch": own.pitch,
        "shoulder": own.hex.at(shoulder), "nut_hex": own.nut_hex,
        "nut": own.nut, "washer": own.washer, "panel": own.panel,
    }  # fmt: skip
    if own.flats is not None:
        used["flats"] = own.flats
    if own.flat is not None:
        used["flat"] = own.flat.at(max(own.flat.nominal - 0.1, least))
    return tail.half_with("bulkhead", used, states)


def _flange(tail: _Tail, cable: Measure) -> Half:
    own = tail.own.flange_4
    tail.add("boss", tail.own.body, own.thick.nominal)
    tail.add("tail", tail.own.body.at(0.7 * tail.own.body.nominal), 3 * own.thick.nominal)
    used = {"width": own.width, "height": own.width, "spacing": own.spacing, "hole": own.hole, "thick": own.thick}
    told: dict[str, Value] = {"width": own.width.nominal, "spacing": measured(own.spacing), "hole": measured(own.hole)}
    return tail.half_with("flange-4", used, [Reason("body.flange_4", told)])


def _long_flange(tail: _Tail, cable: Measure) -> Half:
    own = tail.own.flange_2
    tail.add("boss", own.height.at(0.95 * own.height.nominal), own.thick.nominal)
    tail.add("tail", own.height.at(0.8 * own.height.nominal), 3 * own.thick.nominal)
    used = {"width": own.length, "height": own.height, "spacing": own.spacing, "hole": own.hole, "thick": own.thick}
    told: dict[str, Value] = {
        "length": own.length.nominal, "height": own.height.nominal, "spacing": measured(own.spacing),
        "hole": measured(own.hole),
    }  # fmt: skip
    return tail.half_with("flange-2", used, [Reason("body.flange_2", told)])


def _board(tail: _Tail, style: str, length: float) -> Half:
    own = tail.own.board
    # a wall of block all round the tail, and legs that stand within the block
    tube = tail.at_least(own.block.at(0.7 * own.block.nominal))
    block = own.block.at(max(own.block.nominal, tube.nominal + 1.0, own.pitch.nominal + own.leg.nominal + 0.1))
    tail.add(piece("block_core"), tube, length * block.nominal)
    tail.end_line()
    used = {
        "block": block, "pitch": own.pitch, "leg": own.leg, "leg_length": own.leg_length,
        "pin": own.pin.at(min(own.pin.nominal, 1.6 * tail.bore)), "thick": own.thick,
    }  # fmt: skip
    told: dict[str, Value] = {"thick": measured(own.thick), "leg": measured(own.leg), "pitch": measured(own.pitch)}
    return tail.half_with(style, used, [Reason("body.board", told)])


def _board_edge(tail: _Tail, cable: Measure) -> Half:
    return _board(tail, "board-edge", 0.45)


def _through_hole(tail: _Tail, cable: Measure) -> Half:
    return _board(tail, "through-hole", 0.5)


def _right_angle(tail: _Tail, cable: Measure) -> Half:
    own = tail.own.angle
    least = 2 * (tail.bore + _wall(tail.bore))
    tube = tail.at_least(own.block.at(0.75 * own.block.nominal))
    block = own.block.at(max(own.block.nominal, tube.nominal + 0.6, least + 1.0))
    # the line ends where the bore of the tail begins, half a block behind its front
    ahead = max(0.3, block.nominal / 2 - tail.bore)
    tail.add(piece("block_core"), tube, ahead)
    tail.end_line()
    used = {"block": block, "drop": own.drop, "tube": own.block.at(max(0.8 * block.nominal, least))}
    return tail.half_with("right-angle", used, [Reason("body.angle", {"block": measured(own.block)})])


_MAKERS = {
    "cable-crimp": _crimp, "clamp": _clamp, "bulkhead": _bulkhead, "flange-2": _long_flange, "flange-4": _flange,
    "board-edge": _board_edge, "through-hole": _through_hole, "right-angle": _right_angle,
}  # fmt: skip


def styled(half: Half, style: str, cable: Measure | None = None) -> Half:
    """The half with a body of that style behind it; its mating face and its coupling stay as they are.

    `cable`: diameter over the jacket [mm] for the crimp and the clamp; without it the usual one of the family.
    Raises InputError for a style that does not exist and for a cable that is no cable.
    """
    if style not in _MAKERS:
        raise RefusedError("models.no_style", style=style, styles=", ".join(STYLES))
    if half.back is not None:
        raise RefusedError("models.has_body", id=half.id, style=half.back.style)
    own = sizes(half)
    over = own.cable.d if cable is None else cable
    if over.nominal <= 0.3:
        raise RefusedError("models.thin_cable", mm=over.nominal)
    made = _MAKERS[style](_Tail(half, own), over)
    if style not in own.usual:
        assert made.back is not None
        unusual = Reason("body.unusual", {"family": half.family})
        back = msgspec.structs.replace(made.back, states=[*made.back.states, unusual])
        return msgspec.structs.replace(made, back=back)
    return made


def cable_of(diameter_mm: float) -> Measure:
    """A cable's diameter over its jacket as a person gave it [mm]."""
    return Measure(mm=diameter_mm, grade=Grade.DERIVED, source=["geometry"])
