"""Halves for a fused-filament printer: surfaces moved apart, thin walls thickened, parts split and laid flat.

A printer lays lines that come out a little wide, and a printed socket does not spring. So every surface is moved
into its material by half of the clearance: two faces that meet gain the whole clearance between them, measured
square to the surface. A thread's flank stands at sixty degrees to the axis, so its radius moves twice as far.
Line growth moves every surface the other way. Along the axis all front faces move together, and the reference
plane is set to z = 0 again, so their distances do not change.

Clearance, growth and walls are given at the printed size [mm]; the half keeps its life size until it is scaled.
"""

from __future__ import annotations

from typing import NamedTuple

import msgspec

from coaxtell.models.catalogue import Reason, Value
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import (
    Back,
    Centre,
    Groove,
    Half,
    Lugs,
    Notches,
    Nut,
    Pin,
    Ring,
    Snap,
    Socket,
    Step,
    Teeth,
    Thread,
    Turned,
)
from coaxtell.models.measure import Measure
from coaxtell.models.surfaces import ring_radii, surfaces
from coaxtell.models.threads import depth

CLEARANCE, MOST_CLEARANCE = 0.3, 2.0
"""Usual gap between two printed surfaces that must pass each other [mm] (common practice, no source)."""
LINE_GROWTH = 0.2
"""How much two facing surfaces come out too near each other on a printer that is not tuned [mm] (assumed)."""
THIN_WALL = 0.8
"""Least printed wall: two lines of a 0.4 mm nozzle [mm] (common practice, no source)."""
FLANK = 2.0
"""Radial way of a sixty degree flank for a way square to it: 1 / sin 30 degrees."""
HOLDS = 0.5
"""Least share of the thread's depth that must stay engaged after the clearance is opened (assumed)."""


class Printable(NamedTuple):
    """A half changed for the printer and what a person must know of it, in sentences."""

    half: Half
    notes: list[Reason]


def _at(measure: Measure, change: float) -> Measure:
    """The nominal number moved by `change` [mm], without limits: a print is drawn to one size."""
    value = measure.nominal + change
    if value <= 0:
        raise RefusedError("models.used_up", mm=measure.nominal)
    return measure.at(value)


def _steps(steps: list[Step], change: float) -> list[Step]:
    return [
        msgspec.structs.replace(
            step,
            to=step.to.at(step.to.nominal),
            d=None if step.d is None else _at(step.d, change),
            d_end=None if step.d_end is None else _at(step.d_end, change),
        )
        for step in steps
    ]


def _withdrawn(body: Turned, away: float) -> Turned:
    return msgspec.structs.replace(
        body,
        rim=body.rim.at(body.rim.nominal),
        inside=_steps(body.inside, 2 * away),
        outside=_steps(body.outside, -2 * away),
    )


def _thread(thread: Thread | None, away: float, inside: bool) -> Thread | None:
    """The basic form of a thread moved away from its mate's; no class of tolerance holds for a print."""
    if thread is None:
        return None
    change = 2 * FLANK * away * (1 if inside else -1)
    return msgspec.structs.replace(
        thread, major=_at(thread.major, change), tolerance="drawn-inside" if inside else "drawn-outside"
    )


def _socket(socket: Socket, away: float) -> Socket:
    """A printed socket: it does not spring, so any pin thinner than its hole enters, and is held by being guided."""
    hole = max(socket.hole.nominal, socket.takes_max.nominal)
    return msgspec.structs.replace(
        socket,
        hole=socket.hole.at(hole + 2 * away),
        takes_max=socket.takes_max.at(hole + 2 * away),
        takes_min=socket.takes_min.at(max(0.01, socket.takes_min.nominal - 2 * abs(away) - 0.001)),
        od=None if socket.od is None else _at(socket.od, -2 * away),
    )


def _centre(centre: Centre, away: float) -> Centre:
    pin: Pin | None = None
    if centre.pin is not None:
        pin = msgspec.structs.replace(centre.pin, d=_at(centre.pin.d, -2 * away))
    socket = None if centre.socket is None else _socket(centre.socket, away)
    return msgspec.structs.replace(centre, d=_at(centre.d, -2 * away), pin=pin, socket=socket)


def _nut(nut: Nut | None, away: float) -> Nut | None:
    if nut is None:
        return None
    ramps = nut.ramps
    if ramps is not None:
        ramps = msgspec.structs.replace(ramps, width=_at(ramps.width, 2 * away))
    return msgspec.structs.replace(
        nut, body=_withdrawn(nut.body, away), thread=_thread(nut.thread, away, inside=True), ramps=ramps
    )


def _lugs(lugs: Lugs | None, away: float) -> Lugs | None:
    if lugs is None:
        return None
    return msgspec.structs.replace(lugs, d=_at(lugs.d, -2 * away), over=_at(lugs.over, -2 * away))


def _snap(snap: Snap | None, away: float) -> Snap | None:
    if snap is None:
        return None
    return msgspec.structs.replace(snap, bead=_at(snap.bead, 2 * away if snap.over else -2 * away))


def _groove(groove: Groove | None, away: float) -> Groove | None:
    if groove is None:
        return None
    change = -2 * away if groove.outside else 2 * away
    return msgspec.structs.replace(groove, lip=_at(groove.lip, change), floor=_at(groove.floor, change))


def _teeth(teeth: Teeth | None, away: float) -> Teeth | None:
    """Index teeth grow narrower; how far they stand out is a length on the axis and stays."""
    return None if teeth is None else msgspec.structs.replace(teeth, width=_at(teeth.width, -2 * away))


def _notches(notches: Notches | None, away: float) -> Notches | None:
    return None if notches is None else msgspec.structs.replace(notches, r=_at(notches.r, away))


def _back(back: Back | None, away: float) -> Back | None:
    """A bulkhead's panel nut gets room on its bushing like any other thread."""
    if back is None or "nut_outer" not in back.sizes:
        return back
    sizes = dict(back.sizes)
    for name, change in (("outer", -2 * FLANK * away), ("nut_outer", 2 * FLANK * away)):
        sizes[name] = _at(sizes[name], change)
    return msgspec.structs.replace(back, sizes=sizes)


def moved(half: Half, away: float) -> Half:
    """The half with every surface moved `away` [mm, life size] into its material; below zero it grows.

    Raises InputError where a part would be used up.
    """
    rings: list[Ring] = []
    for ring in half.insulator:
        inner, outer = ring_radii(half, ring)
        rings.append(
            msgspec.structs.replace(
                ring, inner=half.bore.at(2 * (inner + away)), outer=half.bore.at(2 * (outer - away))
            )
        )
    return msgspec.structs.replace(
        half,
        shell=_withdrawn(half.shell, away),
        centre=_centre(half.centre, away),
        insulator=rings,
        thread=_thread(half.thread, away, inside=False),
        lugs=_lugs(half.lugs, away),
        nut=_nut(half.nut, away),
        snap=_snap(half.snap, away),
        groove=_groove(half.groove, away),
        teeth=_teeth(half.teeth, away),
        notches=_notches(half.notches, away),
        housing=None if half.housing is None else _withdrawn(half.housing, away),
        back=_back(half.back, away),
    )


def _spans(body: Turned, thread: Thread | None) -> list[tuple[int, int, float]]:
    """Overlapping inside and outside steps of a body, by index, with the least wall between them [mm]."""
    outside = surfaces(body, body.outside, thread, inside=False)
    inside = surfaces(body, body.inside, thread, inside=True)
    deep = 0.0 if thread is None else depth(thread.pitch_mm)
    found: list[tuple[int, int, float]] = []
    for i, bore in enumerate(inside):
        for k, skin in enumerate(outside):
            if min(bore.z_front, skin.z_front) - max(bore.z_back, skin.z_back) > 1e-6:
                outer = min(skin.r_front, skin.r_back) - (deep if skin.thread else 0.0)
                inner = max(bore.r_front, bore.r_back) + (deep if bore.thread else 0.0)
                found.append((i, k, outer - inner))
    return found


def _thickened(half: Half, least: float) -> tuple[Half, int, float]:
    """The half with walls of at least `least` [mm, life size] where the bore behind the face gives way.

    Only the line bore moves, since no mate reaches it. Returns how many walls were thickened and the thinnest
    that is left.
    """
    shell, last = half.shell, len(half.shell.inside) - 1
    short = [least - wall for i, _, wall in _spans(shell, half.thread) if i == last and wall < least]
    changed = 0
    if short:
        bore = shell.inside[last]
        assert bore.d is not None
        floor = half.centre.d.nominal + 2 * least
        narrowed = max(bore.d.nominal - 2 * max(short), min(floor, bore.d.nominal))
        if narrowed < bore.d.nominal and bore.d_end is None:
            changed = len(short)
            inside = [*shell.inside[:-1], msgspec.structs.replace(bore, d=bore.d.at(narrowed))]
            half = msgspec.structs.replace(half, shell=msgspec.structs.replace(shell, inside=inside))
    left = [wall for _, _, wall in _spans(half.shell, half.thread)]
    if half.nut is not None:
        left += [wall for _, _, wall in _spans(half.nut.body, half.nut.thread)]
    return half, changed, min(left)


def printable(half: Half, scale: float, clearance: float = CLEARANCE, growth: float = 0.0) -> Printable:
    """The half for printing at `scale` with that clearance [mm at the printed size], drawn for a life-size profile.

    `growth`: how much nearer two facing surfaces come out of the printer [mm at the printed size]; for a print it
    stays zero, for a trial of the fit it is what the printer does.
    Raises InputError where the scale is too small for the clearance.
    """
    if scale <= 0:
        raise RefusedError("models.scale", scale=scale)
    if not 0 <= clearance <= MOST_CLEARANCE:
        raise RefusedError("models.clearance", clearance=clearance)
    thread = half.coupling_thread
    if thread is not None and 2 * clearance / scale > (1 - HOLDS) * depth(thread.pitch_mm):
        fits = 2 * clearance / ((1 - HOLDS) * depth(thread.pitch_mm))
        raise RefusedError("models.thread_left", scale=scale, clearance=clearance, id=half.id, fits=fits)
    plain, thick, thinnest = _thickened(half, (THIN_WALL + clearance) / scale)
    made = moved(plain, (clearance - growth) / 2 / scale)
    told: dict[str, Value] = {"id": half.id, "clearance": clearance, "scale": scale, "wall": THIN_WALL}
    notes = [Reason("print.clearance", told)]
    if thick:
        notes.append(Reason("print.narrowed", told))
    thinnest = (thinnest * scale) - clearance
    if thinnest < THIN_WALL - 1e-9:
        notes.append(Reason("print.thin", {**told, "thinnest": max(thinnest, 0.0)}))
    return Printable(made, notes)
