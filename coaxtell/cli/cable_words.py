"""What `coaxtell cable` tells a person: what to order first, then every class, then what to mind."""

from __future__ import annotations

from coaxtell.cables.alternatives import alternatives
from coaxtell.cables.assembly import ASSUMED_GAIN, Assembly
from coaxtell.cables.limits import PRINTED_DB, Legal, Region
from coaxtell.cables.order import assembly_order, link_short, order_length, orders
from coaxtell.cables.ranking import Choice, Ranked
from coaxtell.cables.reasons import because
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.catalogue import Reason
from coaxtell.models.lines import wrapped

HIGH = 24
"""Lines that any terminal has."""


def screen(choice: Choice, found: CableTables, cautions: list[Reason], doubts: tuple[Reason, ...] = ()) -> str:
    """The answer on one screen of 80 by 24: order, setting, what arrives, alternatives, the cautions that matter."""
    first = choice.first
    head = [*map(say, doubts), *([""] if doubts else []), _head(choice.run), _asked_words(choice)]
    if first is None:
        why = [say(because("screen.why", reason=choice.ranked[0].reasons[0]))] if choice.ranked else []
        return _fitted([*head, "", say(Reason("screen.nothing")), *why], [], _minded(choice, cautions))
    a = first.assembly
    body = [*head, ""]
    if doubts:
        body.append(say(because("doubt.not_ordered", cable=a.cable.name)))
    else:
        body.append(say(Reason("screen.order" if first.meets else "screen.nearest")))
        body.append(f"  {say(assembly_order(a, found))}")
        body += [f"  {say(link_short(link))}" for side in a.links for link in side]
    body += ["", _set_words(a, choice.run, found)]
    radiated, verdict = radiated_words(a, choice.run.region), verdict_words(a, choice.run)
    levels = {"expected_dbm": a.expected_dbm, "plus_minus_db": a.loss.plus_minus_db}
    body.append(say(because("screen.arrives", radiated=radiated, verdict=verdict, **levels)))
    reason = first.reasons[0]
    if reason.code in ("why.meets", "why.meets_own_ends"):
        reason = because(reason.code.replace("why.meets", "screen.thinnest"), loss=reason.values["loss"])
    body.append(say(because("screen.why", reason=reason)))
    others = [say(because("screen.else", other=other)) for other in alternatives(choice)]
    return _fitted(body, others, _minded(choice, cautions))


def _fitted(body: list[str], others: list[str], minded: list[str]) -> str:
    """The parts one below the other; what the screen has no room for is left to --why, alternatives last."""
    body, last = _folded(body), _folded([say(Reason("screen.more"))])
    minded_lines = [_folded([line]) for line in minded]
    other_lines = [_folded([line]) for line in others]
    while sum(map(len, [body, last, *minded_lines, *other_lines])) > HIGH and (other_lines or len(minded_lines) > 1):
        (other_lines if len(other_lines) > 1 or len(minded_lines) < 2 else minded_lines).pop()
    return "\n".join([*body, *(line for part in (*other_lines, *minded_lines) for line in part), *last])


def _folded(lines: list[str]) -> list[str]:
    return [part for line in lines for part in wrapped(line).split("\n")]


_MATTER = ("caution.beyond_any", "caution.no_gain", "caution.no_reader", "caution.usual_budget",
           "caution.assumed_region", "caution.region_of_frequency")  # fmt: skip
"""What was not said or is not sure, the weightiest first: the first of these stands on the screen."""


def _minded(choice: Choice, cautions: list[Reason]) -> list[str]:
    """The two cautions that matter here: what rests on a guess, and how far people keep away."""
    guessed = [c for code in _MATTER for c in cautions if c.code == code]
    shown = guessed[:1]
    if choice.best is not None:
        exposure = choice.best.exposure
        code = "screen.people_size" if exposure.far_field_m is None else "screen.people"
        shown.append(because(code, keep_m=exposure.keep_m))
    return [say(because("screen.mind", caution=caution)) for caution in shown]


def _head(asked: Run) -> str:
    names = {"reader": asked.reader.name, "antenna": asked.antenna.name}
    return say(because("screen.ports", **names, reader_id=asked.reader.id, antenna_id=asked.antenna.id))


def _asked_words(choice: Choice) -> str:
    asked, target = choice.run, choice.target
    gain = Reason("screen.no_gain") if asked.gain is None else because("screen.antenna_gain", gain=str(asked.gain))
    radio = {"mhz": asked.frequency_mhz, "celsius": asked.temperature_c}
    length = order_length(asked.cable_m)
    return say(because("screen.run", length=length, region=asked.region.name, gain=gain, aim=target.reason, **radio))


def _set_words(a: Assembly, asked: Run, found: CableTables) -> str:
    highest = (asked.power or found.usual_reader).highest_dbm
    held: Reason | str = because("screen.held_limit", highest_dbm=a.settings.highest_dbm)
    if abs(a.power_dbm - a.settings.highest_dbm) < PRINTED_DB:
        held = Reason("screen.held_allowed")
    if a.power_dbm >= highest:
        held = Reason("screen.held_reader")
    return say(because("screen.set", power_dbm=a.power_dbm, held=held))


def words(choice: Choice, found: CableTables, cautions: list[Reason], doubts: tuple[Reason, ...] = ()) -> str:
    """The whole of it: what to order first, then every class, then what to mind."""
    asked, best = choice.run, choice.best
    lines = [
        *map(say, doubts),
        *([""] if doubts else []),
        _head(asked),
        _asked_words(choice),
        "",
        *(say(one) for one in choice.advice),
        "",
    ]
    if choice.first is not None and best is not None:
        if doubts:
            lines.append(say(because("doubt.not_ordered", cable=best.cable.name)))
        else:
            lines.append(say(Reason("screen.order" if choice.first.meets else "screen.nearest")))
            lines += [f"  {say(one)}" for one in orders(best, found)]
        lines += ["", _set_words(best, asked, found)]
        lines += _settings_words(best, asked)
        lines += ["", *(say(because("screen.else", other=other)) for other in alternatives(choice))]
    else:
        lines.append(say(Reason("screen.nothing")))
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
