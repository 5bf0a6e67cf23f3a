"""What speaks against a class on a run: what cannot be built, what is not sensible, what is worth knowing."""

from __future__ import annotations

from coaxtell.cables import mismatch
from coaxtell.cables.classes import CableClass
from coaxtell.cables.links import thickest_for
from coaxtell.cables.run import Run
from coaxtell.cables.sides import Side
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import dbm_to_watts
from coaxtell.models.half import Half


def jacket_for(run: Run, cable: CableClass, tables: CableTables) -> str | None:
    for key in cable.jackets:
        jacket = tables.practice.jackets[key]
        if (jacket.outdoor or not run.outdoor) and (jacket.riser or not run.riser):
            return key
    return None


def against_building(
    run: Run, cable: CableClass, sides: tuple[Side, Side], jacket: str | None, power_dbm: float
) -> list[str]:
    found = []
    for side, port, place in zip(sides, (run.reader, run.antenna), ("reader", "antenna"), strict=True):
        if side.end is None:
            found.append(
                f"no end usual for class {cable.name} mates with the {place} port ({port.name}), "
                "not even through adapters"
            )
    if jacket is None:
        wanted = " and ".join(word for word, on in (("outdoor", run.outdoor), ("riser", run.riser)) if on)
        found.append(
            f"class {cable.name} is not usually sold with a jacket for {wanted} use (from memory: ask the maker)"
        )
    if run.bend_mm is not None and run.bend_mm < cable.bend_once.nominal:
        found.append(
            f"the route bends to {run.bend_mm:g} mm, class {cable.name} wants at least "
            f"{cable.bend_once.nominal:g} mm{_soft(cable.bend_once.soft)}"
        )
    rating = cable.power_w(run.frequency_mhz)
    if rating is not None and dbm_to_watts(power_dbm) > rating:
        found.append(
            f"{dbm_to_watts(power_dbm):.3g} W is more than the {rating:.3g} W that class {cable.name} "
            f"carries at {run.frequency_mhz:g} MHz"
        )
    return found


def _soft(soft: bool) -> str:
    return " (from memory: check the maker's sheet)" if soft else ""


def against_sense(
    run: Run, cable: CableClass, sides: tuple[Side, Side], tables: CableTables, expected_dbm: float
) -> list[str]:
    found = []
    for side, port, place in zip(sides, (run.reader, run.antenna), ("reader", "antenna"), strict=True):
        limit = thickest_for(port, tables)
        if side.end is not None and limit is not None and cable.diameter.nominal > limit.nominal and not side.adapters:
            found.append(
                f"{cable.diameter.nominal:g} mm of cable is heavy for the {place} port ({port.name}): "
                f"put a short flexible jumper between (its own loss is not counted here), or take a cable up to "
                f"about {limit.nominal:g} mm [{limit.grade.value}]"
            )
    tops = {half.name: half.top_ghz.nominal * 1000 for half in _on_the_way(run, sides) if half.top_ghz is not None}
    slow = {name: top for name, top in tops.items() if top < run.frequency_mhz}
    if slow:
        found.append(
            f"{' and '.join(slow)} {'is' if len(slow) == 1 else 'are'} made for {min(slow.values()):g} MHz at most, "
            f"the run works at {run.frequency_mhz:g} MHz: loss and reflection there are not known"
        )
    longest = tables.practice.longest_assembly.nominal
    if run.length_m > longest:
        found.append(
            f"single assemblies are sold to about {longest:.0f} m (100 ft), this run has {run.length_m:.3g} m: "
            "have it made to order, or fit the ends on site (common practice)"
        )
    if run.want_dbm is not None and expected_dbm < run.want_dbm:
        found.append(
            f"about {expected_dbm:.1f} dBm reach the antenna, {run.want_dbm - expected_dbm:.1f} dB less than "
            f"the {run.want_dbm:g} dBm wanted"
        )
    return found


def _on_the_way(run: Run, sides: tuple[Side, Side]) -> list[Half]:
    """Every half that the wave passes on the run: both ports and all that joins onto them."""
    found = [run.reader, run.antenna]
    for side in sides:
        found += [half for adapter in side.adapters for half in (adapter.outer, adapter.inner)]
        found += [] if side.end is None else [side.end]
    return found


def _beside(
    run: Run, cable: CableClass, side: Side, other: Side, port: Half, place: str, tables: CableTables
) -> list[str]:
    """What is to be said of the adapters or the jumper at one side."""
    chain = ", ".join(f"{a.outer.name} to {a.inner.name}" for a in side.adapters)
    limit = thickest_for(port, tables)
    if limit is None or cable.diameter.nominal <= limit.nominal:
        return [f"no end usual for class {cable.name} goes onto the {place} port: adapter {chain} (assumed to be sold)"]
    found = [
        f"no end usual for class {cable.name} goes onto the {place} port: jumper {chain} (assumed to be sold)",
        f"the {place} port ({port.name}) carries cable up to about {limit.nominal:g} mm [{limit.grade.value}]: never a "
        "solid adapter there, but a short flexible jumper with its far end held fast (its own loss is not counted "
        "here)",
    ]
    if run.length_m <= tables.practice.longest_jumper.nominal and other.end is not None:
        far = other.adapters[0].outer if other.adapters else other.end
        ends = f"{side.adapters[0].outer.name} to {far.name}"
        found.append(f"so short a run can be that jumper alone, {ends}: ask for it by these ends")
    return found


def notes(run: Run, cable: CableClass, sides: tuple[Side, Side], jacket: str | None, tables: CableTables) -> list[str]:
    found = []
    both = zip(sides, reversed(sides), (run.reader, run.antenna), ("reader", "antenna"), strict=True)
    for side, other, port, place in both:
        if side.adapters:
            found += _beside(run, cable, side, other, port, place, tables)
        facing = [port, *(adapter.inner for adapter in side.adapters)]
        found += [
            f"at the {place} port {joint.half.name} on {half.name} mates with limits: "
            f"`coaxtell mate {joint.half.id} {half.id}` names them"
            for half, joint in zip(facing if side.joints else [], side.joints, strict=True)
            if joint.limited
        ]
        if side.reflection > 0.05:
            found.append(
                f"mismatch at the {place} port: return loss about {mismatch.return_loss_db(side.reflection):.0f} dB"
            )
    if run.bend_mm is not None and cable.bend_once.nominal <= run.bend_mm < cable.bend_repeated.nominal:
        found.append(
            f"{run.bend_mm:g} mm is allowed once, when laid; moved again and again it wants "
            f"{cable.bend_repeated.nominal:g} mm{_soft(cable.bend_repeated.soft)}"
        )
    if run.bend_mm is not None and cable.bend_once.nominal <= run.bend_mm < cable.bend_once.high:
        found.append(
            f"some makers want {cable.bend_once.high:g} mm even once: check the sheet before the bend of "
            f"{run.bend_mm:g} mm"
        )
    if jacket is not None and (run.outdoor or run.riser):
        place = " and ".join(word for word, on in (("outdoors", run.outdoor), ("a riser", run.riser)) if on)
        found.append(f"jacket to order for {place}: {tables.practice.jackets[jacket].name}")
    if cable.only_maxima:
        found.append("its loss rows are permitted maxima, so limits are judged with the least such a cable may lose")
    if cable.note:
        found.append(cable.note)
    return found
