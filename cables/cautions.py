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


def advice(run: Run, ranked: Sequence[Assembly], turned_down: Assembly | None) -> list[str]:
    """What to do first, the shortest cable before all; `turned_down` is the choice at the highest setting allowed."""
    found = [SHORTEST_FIRST]
    best = ranked[0] if ranked else None
    if turned_down is not None:
        found.append(
            f"Do not pick a lossy cable to meet the rules: turn the reader down to {turned_down.power_dbm:.2f} dBm, "
            f"and class {turned_down.cable.name} keeps the limits too."
        )
        best = turned_down
    if best is not None:
        metre = best.loss.cable_db / run.length_m
        found.append(f"Each metre less saves {metre:.2f} dB with class {best.cable.name}.")
        reaches = [
            (a.reach_m, a.cable.name)
            for a in ranked
            if a.reach_m is not None and a.buildable and a.legal is not Legal.NO
        ]
        if reaches:
            lengths = ", ".join(f"class {name} {reach:.1f} m" for reach, name in sorted(reaches, reverse=True))
            found.append(f"Longest run that keeps {run.want_dbm:g} dBm at the antenna: {lengths}.")
    return found


def cautions(run: Run, tables: CableTables, ranked: Sequence[Assembly]) -> list[str]:
    found = []
    if run.power_dbm is None:
        highest = "by the letter" if run.region.conducted else "by radiated power (there is no conducted limit)"
        found.append(f"No power given: worked at the highest setting {highest}; the reader itself may not reach it.")
    if run.gain is None:
        found.append(
            f"No antenna gain given: worked with {ASSUMED_GAIN}, and nothing is called legal on that; "
            "give the gain that the antenna's label states."
        )
    if run.gain is not None and run.gain.unit is GainUnit.DBIC:
        found.append(
            "A dBic gain counts both polarisations: for e.r.p. the linear component is 3 dB less"
            + (", used here." if run.region.radiated_as == "erp" else "; here the whole gain is counted.")
        )
    longest = tables.practice.longest_assembly.nominal
    if run.length_m > longest:
        found.append(
            f"A run over {longest:.0f} m is longer than single assemblies are sold, about {longest:.0f} m (100 ft, "
            "common practice)."
        )
    best = ranked[0] if ranked else None
    if best is not None:
        found.append(f"People and radio power: {best.exposure.advice} ({best.exposure.rule}).")
        if best.settings.by_letter_dbm is None and best.power_dbm > best.settings.by_radiated_dbm - 0.5:
            found.append(
                "A setting by radiated power counts the cable's loss. With a cable that loses "
                f"{tables.joints.maker_spread.nominal:g} % less than its class the antenna radiates more: measure the "
                "cable before you set the last tenths of a dB."
            )
    found += run.region.cautions
    found.append(
        f"Limits from {run.region.rule} are facts, not legal advice: the edition in force, the equipment's "
        "grant and local rules decide, and where a licence is asked for, its holder."
    )
    found += SAFETY
    found.append(
        "Class values: makers of one class differ by up to about "
        f"{tables.joints.maker_spread.nominal:g} %, so the maker's own sheet decides. Joints and mismatch "
        "are assumed figures with their range; the limits are judged without them. "
        "`coaxtell sources cables` shows each figure with its source."
    )
    return found
