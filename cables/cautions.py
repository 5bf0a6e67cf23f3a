"""What to do first on a run, and what to mind: power, people, rules, the figures' own limits."""

from __future__ import annotations

from collections.abc import Sequence

from coaxtell.cables.assembly import ASSUMED_GAIN, Assembly
from coaxtell.cables.limits import Legal
from coaxtell.cables.reasons import because, chained
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import GainUnit
from coaxtell.models.catalogue import Reason

SAFETY = tuple(Reason(f"caution.{what}") for what in ("off_first", "dc", "outdoors", "force"))


def advice(run: Run, ranked: Sequence[Assembly], turned_down: Assembly | None) -> list[Reason]:
    """What to do first, the shortest cable before all; `turned_down` is the choice at the highest setting allowed."""
    found = [Reason("advice.shortest")]
    best = ranked[0] if ranked else None
    if turned_down is not None:
        found.append(because("advice.turn_down", power_dbm=turned_down.power_dbm, cable=turned_down.cable.name))
        best = turned_down
    if best is not None:
        metre = best.loss.cable_db / run.length_m
        found.append(because("advice.metre", db=metre, cable=best.cable.name))
        reaches = [
            (a.reach_m, a.cable.name)
            for a in ranked
            if a.reach_m is not None and a.buildable and a.legal is not Legal.NO
        ]
        if reaches and run.want_dbm is not None:
            longest_first = sorted(reaches, reverse=True)
            lengths = [because("advice.length", cable=name, reach_m=reach) for reach, name in longest_first]
            chain = chained("list.comma", lengths)
            found.append(because("advice.reach", want_dbm=run.want_dbm, lengths=chain))
    return found


def cautions(run: Run, tables: CableTables, ranked: Sequence[Assembly]) -> list[Reason]:
    found = []
    spread = {"spread": tables.joints.maker_spread.nominal}
    if run.power_dbm is None:
        found.append(Reason("caution.no_power_letter" if run.region.conducted else "caution.no_power_radiated"))
    if run.gain is None:
        found.append(because("caution.no_gain", gain=str(ASSUMED_GAIN)))
    elif run.gain.unit is GainUnit.DBIC:
        found.append(Reason("caution.dbic_linear" if run.region.radiated_as == "erp" else "caution.dbic_whole"))
    longest = tables.practice.longest_assembly.nominal
    if run.length_m > longest:
        found.append(because("caution.long", longest_m=longest))
    best = ranked[0] if ranked else None
    if best is not None:
        found.append(people(best))
        if best.settings.by_letter_dbm is None and best.power_dbm > best.settings.by_radiated_dbm - 0.5:
            found.append(because("caution.loss_counted", **spread))
    found += [because("caution.region", words=words) for words in run.region.cautions]
    found.append(because("caution.not_advice", rule=run.region.rule))
    return [*found, *SAFETY, because("caution.class_values", **spread)]


def people(assembly: Assembly) -> Reason:
    """How far people keep from the antenna."""
    return because("caution.people", advice=assembly.exposure.advice, rule=assembly.exposure.rule)
