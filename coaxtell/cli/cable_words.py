"""What `coaxtell cable` tells a person: what to order first, then every class, then what to mind."""

from __future__ import annotations

from coaxtell.cables.answer import STAYS, alternatives, answer, minded, nothing, radiated, verdict
from coaxtell.cables.answer import asked as asked_words
from coaxtell.cables.assembly import ASSUMED_GAIN, Assembly
from coaxtell.cables.order import beside_orders, cable_orders, cables_short, link_short, orders
from coaxtell.cables.ranking import Choice, Ranked
from coaxtell.cables.reasons import because
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.catalogue import Reason
from coaxtell.models.lines import wrapped

HIGH = 24
"""Lines that any terminal has."""
_ROOM = 11
"""Lines of it that order words may take; longer ones are told in short."""


def screen(
    choice: Choice,
    found: CableTables,
    cautions: list[Reason],
    doubts: tuple[Reason, ...] = (),
    on_it: tuple[Reason, ...] = (),
) -> str:
    """The answer on one screen of 80 by 24: order, setting, what arrives, alternatives, the cautions that matter.

    What was said to be on the ports stands before all.
    """
    first, told_to_mind = choice.first, minded(choice, cautions)
    mind = [say(one) for one in told_to_mind]
    stay = sum(isinstance(c := one.values["caution"], Reason) and c.code in STAYS for one in told_to_mind)
    head = _head(choice, (*on_it, *doubts))
    if first is None:
        why = [say(because("screen.why", reason=r.reasons[0])) for r in choice.ranked[:1]]
        return _fitted([*head, "", say(nothing(choice)), *why], [], mind, stay, "screen.more_no_order")
    told = answer(choice, first, found)
    if doubts:
        order = [say(because("doubt.not_ordered", cable=first.assembly.cable.name))]
    else:
        a = first.assembly
        beside = [link_short(link) for side in a.links for link in side] + beside_orders(a, choice.run.frequency_mhz)
        parts = [*cable_orders(a, found), *beside]
        if len(_folded([say(part) for part in parts])) > _ROOM:
            parts = [*cables_short(a), *beside]
        order = [say(told.heading), *(f"  {say(part)}" for part in parts)]
    body = [*head, "", *order, "", *(say(one) for one in (told.setting, told.arrives, told.why))]
    more = "screen.more_no_order" if doubts else "screen.more"
    return _fitted(body, [say(other) for other in alternatives(choice)], mind, stay, more)


def _fitted(body: list[str], others: list[str], minded: list[str], stay: int, more: str) -> str:
    """The parts one below the other; what the screen has no room for is left to --why, alternatives before cautions,
    of which the first so many stay."""
    body, last = _folded(body), _folded([say(Reason(more))])
    minded_lines = [_folded([line]) for line in minded]
    other_lines = [_folded([line]) for line in others]
    going = [*minded_lines[max(stay, 1) :], *other_lines]
    while going and sum(map(len, [body, last, *minded_lines, *other_lines])) > HIGH:
        (other_lines or minded_lines).pop()
        going.pop()
    if sum(map(len, [body, last, *minded_lines, *other_lines])) > HIGH:
        body = [line for line in body if line]
    return "\n".join([*body, *(line for part in (*other_lines, *minded_lines) for line in part), *last])


def _folded(lines: list[str]) -> list[str]:
    return [part for line in lines for part in wrapped(line).split("\n")]


def _head(choice: Choice, told: tuple[Reason, ...]) -> list[str]:
    """What is on the ports and what is not settled of them before all, then the run as it was asked."""
    return [*map(say, told), *([""] if told else []), *map(say, asked_words(choice))]


def words(
    choice: Choice,
    found: CableTables,
    cautions: list[Reason],
    doubts: tuple[Reason, ...] = (),
    on_it: tuple[Reason, ...] = (),
) -> str:
    """The whole of it: what to order first, then every class, then what to mind."""
    asked, first = choice.run, choice.first
    lines = [*_head(choice, (*on_it, *doubts)), "", *map(say, choice.advice), ""]
    if first is None:
        lines.append(say(nothing(choice)))
    else:
        told = answer(choice, first, found)
        if doubts:
            lines.append(say(because("doubt.not_ordered", cable=first.assembly.cable.name)))
        else:
            lines += [
                say(told.heading),
                *(f"  {say(one)}" for one in orders(first.assembly, asked.frequency_mhz, found)),
            ]
        lines += ["", say(told.setting), say(told.arrives), *_settings_words(first.assembly, asked)]
        lines += ["", *map(say, alternatives(choice))]
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
    linear = []
    if settings.by_linear_dbm is not None:
        other = because("setting.linear", linear_dbm=settings.by_linear_dbm, reading=asked.region.linear_reading)
        linear = [f"  or {say(other)}"]
    if settings.by_whole_dbm is not None:
        other = because("setting.whole", whole_dbm=settings.by_whole_dbm)
        linear = [f"  or {say(other)}"]
    return [
        "",
        f"Highest setting of the reader with class {best.cable.name}{assumed}:",
        f"  by the letter: {letter}{say(settings.by_letter_why)}",
        *linear,
        f"  by radiated power at the antenna: {settings.by_radiated_dbm:.2f} dBm, {say(settings.by_radiated_why)}",
        "  Up to the lower both are kept; between the two the equipment's grant and local rules decide."
        if settings.by_letter_dbm is not None
        else "  The equipment's grant and local rules decide; they may ask for less.",
    ]


def _assembly_words(number: int, ranked: Ranked, asked: Run) -> list[str]:
    a = ranked.assembly
    ends = " to ".join(end.name if end is not None else "no end" for end in a.ends)
    kept = say(verdict(a, asked)) + ("" if a.buildable else ", not buildable")
    adapters = f", adapters {a.loss.adapters_db:.2f}" if a.adapter_count else ""
    adapters += f", parts in the run {a.loss.inline_db:.2f}" if a.loss.inline_db else ""
    lines = [
        f"{number:2}. class {a.cable.name}, {ends}: {kept}",
        f"    {say(ranked.reasons[0])}",
        f"    loss: cable {a.loss.cable_db:.2f}, joints {a.loss.joints_db:.2f}{adapters}, "
        f"mismatch {a.loss.mismatch_db:.2f}; together {a.loss.total_db:.2f} dB, plus or minus "
        f"{a.loss.plus_minus_db:.2f} dB",
        f"    reader set to {a.power_dbm:.2f} dBm: {a.at_antenna_dbm:.2f} dBm at the antenna (about "
        f"{a.expected_dbm:.1f} dBm behind joints and mismatch), {say(radiated(a, asked.region))}",
    ]
    return lines + [f"    - {say(reason)}" for reason in ranked.reasons[1:]]
