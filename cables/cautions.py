"""What to do first on a run, and what to mind: power, people, rules, the figures' own limits."""

from __future__ import annotations

from collections.abc import Sequence

from coaxtell.cables.assembly import ASSUMED_GAIN, Assembly
from coaxtell.cables.rules import Legal
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import GainUnit

SHORTEST_FIRST = "Use the shortest cable that reaches: move the reader before you thicken the cable (common practice)."

SAFETY = (
    "Switch the transmitter off before a cable is opened: never disconnect or touch an energised port.",
    "Some ports carry DC for a remote part: check before a meter, terminator or shorted antenna goes on.",
    "Outdoors: lightning protection, earthing and work at height belong to people qualified for it.",
    "Never force a coupling: if it does not start by hand, the halves are not a pair.",
)


def _lossless(assembly: Assembly) -> tuple[int, float]:
    return assembly.adapter_count, assembly.loss.total_db


def advice(run: Run, ranked: Sequence[Assembly]) -> list[str]:
    found = [SHORTEST_FIRST]
    best = ranked[0] if ranked else None
    lowered = min((a for a in ranked if a.legal is Legal.NO and a.buildable), key=_lossless, default=None)
    if lowered is not None:
        found.append(
            f"Do not pick a lossy cable to meet the law: set at most {lowered.settings.highest_dbm:.2f} dBm "
            f"instead, and class {lowered.cable.name} with the least loss is legal too."
        )
    if best is not None:
        metre = best.loss.cable_db / run.length_m
        found.append(f"Each metre less saves {metre:.2f} dB with class {best.cable.name}.")
        if run.want_dbm is not None:
            found += [
                f"Class {a.cable.name} keeps {run.want_dbm:g} dBm at the antenna up to {a.reach_m:.1f} m."
                for a in ranked
                if a.reach_m is not None and a.buildable and a.legal is not Legal.NO
            ]
    return found


def cautions(run: Run, tables: CableTables, ranked: Sequence[Assembly]) -> list[str]:
    found = []
    if run.power_dbm is None:
        highest = "by the letter" if run.region.conducted else "by radiated power (there is no conducted limit)"
        found.append(f"No power given: worked at the highest setting {highest}; the reader itself may not reach it.")
    if run.gain is None:
        found.append(
            f"No antenna gain given: worked with {ASSUMED_GAIN}, and nothing is called legal on that; "
            "give --gain from the antenna's label."
        )
    if run.gain is not None and run.gain.unit is GainUnit.DBIC:
        found.append(
            "A dBic gain counts both polarisations: for e.r.p. the linear component is 3 dB less"
            + (", used here." if run.region.radiated_as == "erp" else "; here the whole gain is counted.")
        )
    longest = tables.practice.longest_assembly.nominal
    if run.length_m > longest:
        found.append(
            f"The run of {run.length_m:.3g} m is longer than single assemblies are sold, about {longest:.0f} m "
            "(100 ft, common practice)."
        )
    best = ranked[0] if ranked else None
    if best is not None:
        found.append(f"People and radio power: {best.exposure.advice} ({best.exposure.rule}).")
    found += run.region.cautions
    found.append(
        f"Limits from {run.region.rule} are facts, not legal advice: the edition in force, the equipment's "
        "grant and local rules decide, and where a licence is asked for, its holder."
    )
    found += SAFETY
    found.append(
        "Class values: makers of one class differ by up to about "
        f"{tables.joints.maker_spread.nominal:g} %, so the maker's own sheet decides. Joints and mismatch "
        "are assumed figures with their range; the law is judged without them."
    )
    return found
