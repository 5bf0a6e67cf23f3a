"""What to do first on a run, and what to mind: power, people, rules, the figures' own limits."""

from __future__ import annotations

from collections.abc import Sequence

from coaxtell.cables.assembly import ASSUMED_GAIN, Assembly
from coaxtell.cables.ends import Matings
from coaxtell.cables.limits import Legal
from coaxtell.cables.reasons import because, chained
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.cables.target import Aim, Target
from coaxtell.cables.units import GainUnit
from coaxtell.models.acts import Act, before
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half


def safety(*ports: Half) -> tuple[Reason, ...]:
    """What holds before a cable is joined to these ports: by the table of acts, of DC, and of force."""
    return (*before([Act.JOIN], ports), Reason("caution.dc"), Reason("caution.never_force"))


def advice(run: Run, ranked: Sequence[Assembly], target: Target) -> list[Reason]:
    """What to do first, the shortest cable before all, and how far each class reaches."""
    found = [Reason("advice.shortest")]
    buildable = [a for a in ranked if a.buildable and a.legal is not Legal.NO]
    if buildable:
        best = buildable[0]
        found.append(because("advice.metre", db=best.loss.cable_db / best.length_m, cable=best.cable.name))
    if buildable and not target.beyond_any:
        reaches = sorted(((target.reach_m(a), a.cable.name) for a in buildable), reverse=True)
        lengths = [because("advice.length", cable=name, reach_m=reach) for reach, name in reaches]
        found.append(because("advice.reach", lengths=chained("list.row", lengths)))
    return found


def not_known(run: Run, matings: Matings) -> list[Reason]:
    """Of each port of a run what is not ordered for it, though by its numbers it mates, since that is not known."""
    found = []
    for place, port in ((Reason("place.reader"), run.reader), (Reason("place.antenna"), run.antenna)):
        if others := matings.left_open(port):
            code = UNKNOWN_MATE_HARM if any(one.may_harm for one in others) else UNKNOWN_MATE
            names = chained("list.either", [one.half.name for one in others])
            found.append(because(code, place=place, port=port.name, others=names))
    return found


UNKNOWN_MATE, UNKNOWN_MATE_HARM = "caution.unknown_mate", "caution.unknown_mate_harm"
"""The codes of what is said of halves of which it is not known that they mate."""


def cautions(run: Run, tables: CableTables, ranked: Sequence[Assembly], target: Target) -> list[Reason]:
    found = []
    ohm = run.reader.impedance_ohm
    if ohm is not None and ohm == run.antenna.impedance_ohm and all(a.cable.impedance.nominal != ohm for a in ranked):
        found.append(because("caution.no_class_of_ohm", ohm=ohm))
    if target.beyond_any and run.want_dbm is not None:
        found.append(because("caution.beyond_any", want_dbm=run.want_dbm, budget_db=target.usual_db))
    elif target.aim is Aim.USUAL and run.inline is not None:
        budget_db, part_db = tables.practice.loss_budget.nominal, run.inline.loss(tables).nominal
        kind = Reason(f"part.{run.inline.kind.value}")
        found.append(because("caution.usual_with_part", budget_db=budget_db, part=kind, part_db=part_db))
    elif target.aim is Aim.USUAL:
        found.append(because("caution.usual_budget", budget_db=target.most_db))
    spread = {"spread": tables.joints.maker_spread.nominal}
    if too_strong(ranked):
        found.append(because("caution.lossy", lowest_dbm=min(a.power_dbm for a in ranked)))
    if run.power is None or run.power.assumed:
        usual = run.power or tables.usual_reader
        steps = {"lowest_dbm": usual.lowest_dbm, "highest_dbm": usual.highest_dbm, "step_db": usual.step_db}
        found.append(because("caution.no_reader", **steps))
    if run.gain is None:
        found.append(because("caution.no_gain", gain=str(ASSUMED_GAIN)))
    elif run.gain.unit is GainUnit.DBIC:
        found.append(_circular(run))
    longest = tables.practice.longest_assembly.nominal
    if run.cable_m > longest:
        found.append(because("caution.long", longest_m=longest))
    best = ranked[0] if ranked else None
    if best is not None:
        found.append(people(best, run))
        if best.settings.by_letter_dbm is None and best.power_dbm > best.settings.by_radiated_dbm - 0.5:
            found.append(because("caution.loss_counted", **spread))
    found += [because("caution.region", words=words) for words in run.region.cautions]
    found.append(because("caution.not_advice", rule=run.region.rule))
    return [*found, *safety(run.reader, run.antenna), because("caution.class_values", **spread)]


def _circular(run: Run) -> Reason:
    """Which part of a dBic gain is counted, and who reads the rule otherwise."""
    region = run.region
    if region.grant:
        return because("caution.dbic_grant", reading=region.linear_reading, grant=region.grant)
    if region.counts_linear:
        return Reason("caution.dbic_linear")
    return because("caution.dbic_other", reading=region.linear_reading) if region.linear_reading else _WHOLE


_WHOLE = Reason("caution.dbic_whole")


def too_strong(worked: Sequence[Assembly]) -> bool:
    """True where the reader's lowest setting keeps the limits with no class, or only with those that lose enough."""
    return any(a.buildable and a.over_limit_db for a in worked)


def people(assembly: Assembly, run: Run) -> Reason:
    """How far people keep from the antenna, and on what gain that rests where none was given."""
    supposed = because("exposure.supposed", gain=str(ASSUMED_GAIN)) if run.gain is None else ""
    return because("caution.people", supposed=supposed, advice=assembly.exposure.advice, rule=assembly.exposure.rule)
