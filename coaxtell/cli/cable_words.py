"""What `coaxtell cable` tells a person: what to order first, then every class, then what to mind."""

from __future__ import annotations

from coaxtell.cables.assembly import ASSUMED_GAIN, Assembly
from coaxtell.cables.limits import Legal, Region
from coaxtell.cables.order import order_length, orders
from coaxtell.cables.ranking import Choice, Ranked
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.catalogue import Reason
from coaxtell.models.lines import wrapped


def words(choice: Choice, found: CableTables, cautions: list[Reason]) -> str:
    """The choice as lines of text for a person: what to order first, then every class, then what to mind."""
    asked = choice.run
    gain = "no gain given" if asked.gain is None else f"antenna {asked.gain}"
    lines = [
        f"{asked.reader.name} ({asked.reader.id}) to {asked.antenna.name} ({asked.antenna.id})",
        f"{say(order_length(asked.length_m))} at {asked.frequency_mhz:g} MHz and {asked.temperature_c:g} °C, "
        f"{asked.region.name}, {gain}",
        "",
        *(say(one) for one in choice.advice),
        "",
    ]
    best, turned_down = choice.best, choice.turned_down
    if turned_down is not None:
        lines.append(f"To order, with the reader turned down to {turned_down.power_dbm:.2f} dBm:")
        lines += [*(f"  {say(one)}" for one in orders(turned_down, found)), *_settings_words(turned_down, asked)]
        kept = "no class is" if best is None else f"class {best.cable.name} comes first,"
        verdict = say((Legal.YES if best is None else best.legal).reason)
        lines += ["", f"The list below holds at the {asked.power_dbm:.2f} dBm asked for: {kept} {verdict}."]
    elif best is not None:
        only = "" if best.legal is Legal.YES else f" (at {best.power_dbm:.2f} dBm: {verdict_words(best, asked)})"
        lines += [f"To order{only}:", *(f"  {say(one)}" for one in orders(best, found))]
        lines += _settings_words(best, asked)
    else:
        lines.append("Nothing to order: no class can be built within the limits on this run, see the reasons below.")
    lines += ["", "Every class, best first:"]
    for number, ranked in enumerate(choice.ranked, start=1):
        lines += ["", *_assembly_words(number, ranked, asked)]
    if choice.not_ranked:
        lines += ["", "Listed, not ranked:"]
        lines += [f"  class {n.name}: {say(n.reason)}" for n in choice.not_ranked]
    lines += ["", "Cautions:"]
    lines += [f"  - {say(caution)}" for caution in cautions]
    return wrapped("\n".join(lines))


def _settings_words(best: Assembly, asked: Run) -> list[str]:
    settings = best.settings
    letter = "" if settings.by_letter_dbm is None else f"{settings.by_letter_dbm:.2f} dBm, "
    assumed = f", if its antenna has {ASSUMED_GAIN}" if asked.gain is None else ""
    return [
        "",
        f"Highest setting of the reader with class {best.cable.name}{assumed}:",
        f"  by the letter: {letter}{say(settings.by_letter_why)}",
        f"  by radiated power at the antenna: {settings.by_radiated_dbm:.2f} dBm, {say(settings.by_radiated_why)}",
        "  Up to the lower both are kept; between the two the equipment's grant and local rules decide."
        if settings.by_letter_dbm is not None
        else "  The equipment's grant and local rules decide; they may ask for less.",
    ]


def radiated_words(assembly: Assembly, region: Region) -> str:
    """What the antenna radiates, in the measure of the region's limit first."""
    if region.radiated_as == "erp":
        return f"{assembly.erp_dbm:.2f} dBm e.r.p. ({assembly.eirp_dbm:.2f} dBm EIRP)"
    return f"{assembly.eirp_dbm:.2f} dBm EIRP"


def verdict_words(assembly: Assembly, asked: Run) -> str:
    """Whether the limits are kept, in words; nothing is claimed where the antenna's gain is not known."""
    if asked.gain is None and assembly.legal is Legal.BY_GRANT:
        return "limits not judged, no gain given"
    return say(assembly.legal.reason)


def _assembly_words(number: int, ranked: Ranked, asked: Run) -> list[str]:
    a = ranked.assembly
    ends = " to ".join(end.name if end is not None else "no end" for end in a.ends)
    verdict = verdict_words(a, asked) + ("" if a.buildable else ", not buildable")
    adapters = f", adapters {a.loss.adapters_db:.2f}" if a.adapter_count else ""
    lines = [
        f"{number:2}. class {a.cable.name}, {ends}: {verdict}",
        f"    {say(ranked.reasons[0])}",
        f"    loss: cable {a.loss.cable_db:.2f}, joints {a.loss.joints_db:.2f}{adapters}, "
        f"mismatch {a.loss.mismatch_db:.2f}; together {a.loss.total_db:.2f} dB, plus or minus "
        f"{a.loss.plus_minus_db:.2f} dB",
        f"    reader set to {a.power_dbm:.2f} dBm: {a.at_antenna_dbm:.2f} dBm at the antenna (about "
        f"{a.expected_dbm:.1f} dBm behind joints and mismatch), {radiated_words(a, asked.region)}",
    ]
    return lines + [f"    - {say(reason)}" for reason in ranked.reasons[1:]]
