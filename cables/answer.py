"""A choice in short, for terminal and window alike: order, setting, what arrives, why, what else, what to mind."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from coaxtell.cables.assembly import ASSUMED_GAIN, Assembly
from coaxtell.cables.cautions import UNKNOWN_MATE, UNKNOWN_MATE_HARM
from coaxtell.cables.limits import PRINTED_DB, Legal, Region
from coaxtell.cables.order import link_count, order_length
from coaxtell.cables.ranking import Choice, Ranked
from coaxtell.cables.reasons import because
from coaxtell.cables.rows import OF_NAMES
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.models.catalogue import Reason

_THICKER = 2
"""Thicker cables that are told."""
_LEAST_TOLD = 2
"""Fewer alternatives than these are filled up with cables that need adapters or jumpers."""
_WORTH_DB = 0.1
"""A thicker cable that saves less than this buys nothing worth telling [dB]."""


_MATTER = (
    "caution.lossy",
    "caution.beyond_any",
    "caution.no_gain",
    "caution.no_reader",
    "caution.usual_budget",
    "caution.usual_with_part",
    "caution.assumed_region",
    "caution.region_of_frequency",
    "caution.dbic_grant",
)
"""What was not said or is not sure, the weightiest first: the first of these is to be minded."""
SUPPOSED = "caution.no_gain"
"""The code of what is told of a gain that was supposed: setting, levels and distance rest on it."""
STAYS = (UNKNOWN_MATE, UNKNOWN_MATE_HARM, "caution.no_class_of_ohm", *OF_NAMES, SUPPOSED)
"""The codes of what is to be minded whatever else there is to tell; it stands first."""


class Answer(msgspec.Struct, frozen=True):
    """What there is to say of one assembly of a choice, each part a reason of its own."""

    heading: Reason
    """Whether it is to be ordered, or only the nearest."""
    setting: Reason
    arrives: Reason
    why: Reason


def answer(choice: Choice, ranked: Ranked, tables: CableTables) -> Answer:
    """The short answer on one assembly of a choice."""
    a = ranked.assembly
    levels = {"expected_dbm": a.expected_dbm, "plus_minus_db": a.loss.plus_minus_db}
    heading = "screen.order" if ranked.meets else "screen.beyond" if choice.target.beyond_any else "screen.nearest"
    reason = ranked.reasons[0]
    if ranked is choice.ranked[0] and reason.code in ("why.meets", "why.meets_own_ends"):
        reason = because(reason.code.replace("why.meets", "screen.thinnest"), loss=reason.values["loss"])
    told = {"radiated": radiated(a, choice.run.region), "verdict": verdict(a, choice.run)}
    return Answer(
        heading=Reason(heading),
        setting=_setting(a, choice.run, tables),
        arrives=because("screen.arrives", **told, **levels),
        why=because("screen.why", reason=reason),
    )


def nothing(choice: Choice) -> Reason:
    """Why there is nothing to order, where that is so: the reader that cannot be set low enough, or no class at all."""
    if any(r.assembly.buildable and r.too_strong for r in choice.ranked):
        lowest = min(r.assembly.power_dbm for r in choice.ranked)
        return because("screen.nothing_reader", lowest_dbm=lowest)
    return Reason("screen.nothing")


def asked(choice: Choice) -> tuple[Reason, Reason]:
    """The run as it was asked: its two ports, then length, radio and target."""
    run = choice.run
    names = {"reader": run.reader.name, "antenna": run.antenna.name}
    ports = because("screen.ports", **names, reader_id=run.reader.id, antenna_id=run.antenna.id)
    gain = Reason("screen.no_gain") if run.gain is None else because("screen.antenna_gain", gain=str(run.gain))
    radio = {"mhz": run.frequency_mhz, "celsius": run.temperature_c}
    length, aim = order_length(run.cable_m), choice.target.reason
    return ports, because("screen.run", length=length, region=run.region.name, gain=gain, aim=aim, **radio)


def minded(choice: Choice, cautions: Sequence[Reason]) -> tuple[Reason, ...]:
    """The cautions that matter: how the ports were named, what is not known to mate, that a gain was supposed, one of
    what else rests on a guess, how far people keep away."""
    notes = () if choice.best is None else choice.best.notes
    shown = [because("screen.mismatch", **note.values) for note in notes if note.code == "note.mismatch"]
    shown = [*shown, *(c for code in _MATTER for c in cautions if c.code == code)][:1]
    people = []
    if choice.best is not None:
        exposure = choice.best.exposure
        sized, keep = exposure.far_field_m is not None, {"keep_m": exposure.keep_m}
        if choice.run.gain is None:
            code = "screen.people_gain" if sized else "screen.people_size_gain"
            people.append(because(code, gain=str(ASSUMED_GAIN), **keep))
        else:
            people.append(because("screen.people" if sized else "screen.people_size", **keep))
    stay = [c for c in cautions if c.code in STAYS]
    told = (*stay, *people, *(c for c in shown if c not in stay))
    return tuple(because("screen.mind", caution=caution) for caution in told)


def radiated(assembly: Assembly, region: Region) -> Reason:
    """What the antenna radiates, in the measure of the region's limit first."""
    code = "screen.erp" if region.radiated_as == "erp" else "screen.eirp"
    return because(code, erp_dbm=assembly.erp_dbm, eirp_dbm=assembly.eirp_dbm)


def verdict(assembly: Assembly, run: Run) -> Reason:
    """Whether the limits are kept; nothing is claimed of an antenna whose gain is not known."""
    if run.gain is None and assembly.legal is Legal.BY_GRANT:
        return because("screen.not_judged", gain=str(ASSUMED_GAIN))
    at_port = any(check.name == "conducted" and not check.passed for check in assembly.checks)
    if run.gain is None and assembly.legal is Legal.NO and not at_port:
        return because("screen.supposed_over", gain=str(ASSUMED_GAIN))
    if assembly.legal is Legal.YES and _by_grant(assembly):
        return Reason("screen.by_linear")
    return assembly.legal.reason


def _by_grant(a: Assembly) -> bool:
    """Whether the setting rests on a grant that counts the linear gain: with the whole one it would be lower."""
    whole = a.settings.by_whole_dbm
    return whole is not None and a.power_dbm > whole + PRINTED_DB


def _setting(a: Assembly, run: Run, tables: CableTables) -> Reason:
    """What to set the reader to, and what keeps it there."""
    if run.gain is None:
        return _supposed(a, run, tables)
    held: Reason | str = because("screen.held_limit", highest_dbm=a.settings.highest_dbm)
    if abs(a.power_dbm - a.settings.highest_dbm) < PRINTED_DB:
        linear = a.settings.by_linear_dbm
        held = Reason("screen.held_allowed") if linear is None else because("screen.held_linear", linear_dbm=linear)
    if a.power_dbm >= (run.power or tables.usual_reader).highest_dbm:
        held = Reason("screen.held_reader")
    if _by_grant(a):
        whole = a.settings.by_whole_dbm
        assert whole is not None
        held = because("screen.held_grant", held=held, grant=run.region.grant, whole_dbm=whole)
    return because("screen.set", power_dbm=a.power_dbm, held=held)


def _supposed(a: Assembly, run: Run, tables: CableTables) -> Reason:
    """The same where no gain was given: nothing is called allowed on the gain that was supposed."""
    held: Reason | str = because("screen.supposed_limit", highest_dbm=a.settings.highest_dbm)
    if abs(a.power_dbm - a.settings.highest_dbm) < PRINTED_DB:
        held = Reason("screen.supposed_most")
    if a.power_dbm >= (run.power or tables.usual_reader).highest_dbm:
        held = Reason("screen.held_reader")
    return because("screen.supposed", gain=str(ASSUMED_GAIN), power_dbm=a.power_dbm, held=held)


def alternatives(choice: Choice) -> tuple[Reason, ...]:
    """Up to three: two thicker with what they buy, and the next thinner with what it misses.

    Where fewer than two have ends of their own, thicker ones that need adapters or jumpers are told with these.
    """
    first = choice.first
    if first is None:
        return ()
    own = first.assembly
    offered = [r for r in choice.ranked if r is not first and r.assembly.buildable]
    size = own.cable.diameter.nominal
    thicker = [
        r
        for r in offered
        if r.assembly.cable.diameter.nominal > size
        and not r.too_strong
        and own.loss.worst_db - r.assembly.loss.worst_db > _WORTH_DB
    ]
    thinner = [r for r in offered if _own_ends(r, first) and r.assembly.cable.diameter.nominal <= size and not r.meets]
    thicker.sort(key=lambda r: (not _own_ends(r, first), r.assembly.cable.diameter.nominal, r.assembly.loss.worst_db))
    thinner.sort(key=lambda r: (r.miss_db, r.assembly.over_limit_db))
    fitting = sum(_own_ends(r, first) for r in thicker)
    next_thinner = thinner[:1]
    told = thicker[: max(min(fitting, _THICKER), _LEAST_TOLD - len(next_thinner))]
    found = [_bought(first, r) for r in told] + [_missed(r) for r in next_thinner]
    too = [r.assembly.cable.name for r in offered if r.meets]
    if not found and too and first.meets:
        return (because("screen.else_none", classes=", ".join(too)),)
    return tuple(because("screen.else", other=other) for other in found)


def _own_ends(ranked: Ranked, first: Ranked) -> bool:
    return ranked.assembly.adapter_count <= first.assembly.adapter_count


def _bought(first: Ranked, other: Ranked) -> Reason:
    """What a thicker cable buys over the first, and what it asks for."""
    own, thick = first.assembly, other.assembly
    more = thick.expected_dbm - own.expected_dbm
    parts = None if _own_ends(other, first) else link_count(part for side in thick.links for part in side)
    code = "else.more_power" if more > _WORTH_DB else "else.lower_setting"
    return because(
        code,
        cable=thick.cable.name,
        diameter_mm=thick.cable.diameter.nominal,
        more_db=more if more > _WORTH_DB else own.power_dbm - thick.power_dbm,
        setting_dbm=thick.power_dbm,
        expected_dbm=thick.expected_dbm,
        bend_mm=thick.cable.bend_once.nominal,
        own_bend_mm=own.cable.bend_once.nominal,
        needs="" if parts is None else because("else.needs", parts=parts),
    )


def _missed(ranked: Ranked) -> Reason:
    a = ranked.assembly
    # over the limits weighs more than short of the target
    why = ranked.missed if ranked.missed is not None and a.legal is not Legal.NO else ranked.reasons[0]
    return because("else.misses", cable=a.cable.name, diameter_mm=a.cable.diameter.nominal, why=why)
