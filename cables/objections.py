"""What speaks against a class on a run: what cannot be built, what is not sensible, what is worth knowing."""

from __future__ import annotations

from coaxtell.cables import mismatch
from coaxtell.cables.classes import CableClass
from coaxtell.cables.links import thickest_for
from coaxtell.cables.reasons import because, chained
from coaxtell.cables.run import Run
from coaxtell.cables.sides import Side
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import dbm_to_watts
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure

Ports = tuple[Half, Half]
"""The two halves that a cable goes onto: the reader's, or its enclosure's, and the antenna's."""
WORTH_SAYING = 0.05
"""A reflection at one end that is smaller than this is not told (assumed): 26 dB."""
_READER, _ANTENNA = Reason("place.reader"), Reason("place.antenna")


def jacket_for(run: Run, cable: CableClass, tables: CableTables) -> str | None:
    for key in cable.jackets:
        jacket = tables.practice.jackets[key]
        if (jacket.outdoor or not run.outdoor) and (jacket.riser or not run.riser):
            return key
    return None


def against_building(
    run: Run, cable: CableClass, ports: Ports, sides: tuple[Side, Side], jacket: str | None, power_dbm: float
) -> list[Reason]:
    found = []
    for side, port, place in zip(sides, ports, (_READER, _ANTENNA), strict=True):
        if side.end is None:
            found.append(because("build.no_end", cable=cable.name, place=place, port=port.name))
    if jacket is None:
        use = _use(run, "use.outdoor", "use.riser")
        found.append(because("build.no_jacket", cable=cable.name, use=use))
    if run.bend_mm is not None and run.bend_mm < cable.bend_once.nominal:
        least, soft = cable.bend_once.nominal, _soft(cable.bend_once.soft)
        found.append(because("build.bend", bend_mm=run.bend_mm, cable=cable.name, least_mm=least, soft=soft))
    rating = cable.power_w(run.frequency_mhz)
    if rating is not None and dbm_to_watts(power_dbm) > rating:
        watts = dbm_to_watts(power_dbm)
        found.append(because("build.power", cable=cable.name, power_w=watts, rating_w=rating, mhz=run.frequency_mhz))
    return found


def _use(run: Run, outdoor: str, riser: str) -> Reason:
    """What the jacket is wanted for, by the codes of the two uses."""
    return chained("list.and", [Reason(code) for code, on in ((outdoor, run.outdoor), (riser, run.riser)) if on])


def _carried(code: str, place: Reason, port: Half, most: Measure, tables: CableTables, **more: float) -> Reason:
    """What is to be said of the thickest cable that a port carries, and of the jumper that takes a thicker one."""
    told = {"limit_mm": most.nominal, "grade": most.grade.value, "jumper_db": tables.joints.jumper_loss.nominal}
    return because(code, place=place, port=port.name, **told, **more)


def _soft(soft: bool) -> Reason | str:
    return Reason("soft.sheet") if soft else ""


def against_sense(
    run: Run, cable: CableClass, ports: Ports, sides: tuple[Side, Side], tables: CableTables, power_dbm: float
) -> list[Reason]:
    found = []
    for side, port, place in zip(sides, ports, (_READER, _ANTENNA), strict=True):
        limit = thickest_for(port, tables)
        if side.end is not None and limit is not None and cable.diameter.nominal > limit.nominal and not side.adapters:
            found.append(_carried("sense.heavy", place, port, limit, tables, cable_mm=cable.diameter.nominal))
    tops = {half.name: half.top_ghz.nominal * 1000 for half in _on_the_way(ports, sides) if half.top_ghz is not None}
    slow = {name: top for name, top in tops.items() if top < run.frequency_mhz}
    if slow:
        halves, top = chained("list.and", list(slow)), min(slow.values())
        code = "sense.slow_one" if len(slow) == 1 else "sense.slow_several"
        found.append(because(code, halves=halves, top_mhz=top, mhz=run.frequency_mhz))
    longest = tables.practice.longest_assembly.nominal
    if run.cable_m > longest:
        found.append(because("sense.long", longest_m=longest, length_m=run.cable_m))
    if cable.power_w(run.frequency_mhz) is None:
        least_w, power_w = tables.least_rating_w(run.frequency_mhz), dbm_to_watts(power_dbm)
        if power_w > least_w:
            found.append(because("sense.unrated", cable=cable.name, power_w=power_w, least_w=least_w))
    return found


def _on_the_way(ports: Ports, sides: tuple[Side, Side]) -> list[Half]:
    """Every half that the wave passes on the run: both ports and all that joins onto them."""
    found = [*ports]
    for side in sides:
        found += [half for adapter in side.adapters for half in (adapter.outer, adapter.inner)]
        found += [] if side.end is None else [side.end]
    return found


def _beside(
    run: Run, cable: CableClass, side: Side, other: Side, port: Half, place: Reason, tables: CableTables
) -> list[Reason]:
    """What is to be said of the adapters or the jumper at one side."""
    pairs = [because("note.pair", outer=a.outer.name, inner=a.inner.name) for a in side.adapters]
    chain = chained("list.row", pairs)
    limit = thickest_for(port, tables)
    if limit is None or cable.diameter.nominal <= limit.nominal:
        return [because("note.adapter", cable=cable.name, place=place, chain=chain)]
    found = [
        because("note.jumper", cable=cable.name, place=place, chain=chain),
        _carried("note.never_solid", place, port, limit, tables),
    ]
    if run.cable_m <= tables.practice.longest_jumper.nominal and other.end is not None:
        far = other.adapters[0].outer if other.adapters else other.end
        ends = because("note.pair", outer=side.adapters[0].outer.name, inner=far.name)
        found.append(because("note.jumper_alone", ends=ends))
    return found


def _torque(place: Reason, port: Half, onto: Half) -> Reason:
    """How firmly a joint is turned: to the gentler half, where a source says how firmly that is."""
    known = [half.torque_nm for half in (port, onto) if half.torque_nm is not None]
    if known:
        least = min(known, key=lambda torque: torque.nominal)
        return because("note.torque", place=place, port=port.name, nm=least.nominal, grade=least.grade.value)
    threaded = any(half.thread is not None or (half.nut is not None and half.nut.thread) for half in (port, onto))
    return because("note.torque_practice" if threaded else "note.no_torque", place=place, port=port.name)


def _limited(place: Reason, one: Half, other: Half) -> Reason:
    code = "note.joint_limited"
    return because(code, place=place, one=one.name, other=other.name, one_id=one.id, other_id=other.id)


def notes(
    run: Run, cable: CableClass, ports: Ports, sides: tuple[Side, Side], jacket: str | None, tables: CableTables
) -> list[Reason]:
    found = []
    both = zip(sides, reversed(sides), ports, (_READER, _ANTENNA), strict=True)
    for side, other, port, place in both:
        if side.adapters:
            found += _beside(run, cable, side, other, port, place, tables)
        facing = [port, *(adapter.inner for adapter in side.adapters)]
        for half, joint in zip(facing if side.joints else [], side.joints, strict=True):
            if joint.limited:
                found.append(_limited(place, joint.half, half))
        if side.reflection > WORTH_SAYING:
            loss = mismatch.return_loss_db(side.reflection)
            found.append(because("note.mismatch", place=place, return_loss_db=loss))
    bend, once, repeated = run.bend_mm, cable.bend_once, cable.bend_repeated
    if bend is not None and once.nominal <= bend < repeated.nominal:
        soft = _soft(repeated.soft)
        found.append(because("note.bend_once", bend_mm=bend, repeated_mm=repeated.nominal, soft=soft))
    if bend is not None and once.nominal <= bend < once.high:
        found.append(because("note.bend_makers", most_mm=once.high, bend_mm=bend))
    for side, port, place in zip(sides, ports, (_READER, _ANTENNA), strict=True):
        onto = side.adapters[0].outer if side.adapters else side.end
        if onto is not None:
            found.append(_torque(place, port, onto))
    if run.inline is not None:
        found.append(Reason(f"note.{run.inline.kind.value}"))
    if run.outdoor and not run.drip_loop_m:
        found.append(Reason("note.drip_loop"))
    if jacket is not None and (run.outdoor or run.riser):
        use = _use(run, "use.outdoors", "use.a_riser")
        found.append(because("note.jacket", use=use, jacket=tables.practice.jackets[jacket].name))
    if cable.by_maxima:
        found.append(Reason("note.maxima"))
    if cable.note:
        found.append(because("note.table", note=cable.note))
    return found
