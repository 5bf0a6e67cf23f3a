"""What is stated of an assessment: what it draws from and how often it errs, before it starts; its result."""

from __future__ import annotations

from collections.abc import Sequence

from coaxtell.models.catalogue import Reason, called
from coaxtell.quiz import operating, recheck, tries
from coaxtell.quiz.assessment import UNTIL_DAYS, Result
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Said
from coaxtell.quiz.log import Stated
from coaxtell.quiz.sequential import Decision
from coaxtell.quiz.trial import Part
from coaxtell.quiz.tries import Try
from coaxtell.quiz.words import BESIDE, kind, pair_words, say, stratum

HALF_KNOWN = "one harmful fact half known, 0.50"
HALF_KNOWN_A_YEAR = "one harmful fact half known, 0.50, over a year"
"""The rows that a certificate tells in words."""


def supports() -> str:
    """What an assessment is no substitute for."""
    return say(Reason("terms.supports"))


def of_kinds(strata: Sequence[str]) -> list[str]:
    """Those of some strata that ask of everything, in words."""
    return [stratum(name) for name in strata if BESIDE not in name]


def of_look_alikes(strata: Sequence[str]) -> list[str]:
    """Those of some strata that ask one port and what it is taken for, in words."""
    return [stratum(name) for name in strata if BESIDE in name]


def terms(plan: Blueprint, stated: Stated) -> list[str]:
    """What is drawn from and how often the test errs, in sentences, as stated before the first item."""
    counted = {"number": stated.number - 1, "most": tries.MOST, "days": tries.WINDOW.days}
    left = [] if stated.recheck else [say(Reason("terms.tries", counted))]
    return [*drawn_from(plan), *([] if stated.recheck else asked(plan, stated)), *errs(stated), *left]


def errs(stated: Stated) -> list[str]:
    """How often what was stated errs: a re-check or a whole assessment, in sentences."""
    if stated.recheck:
        return of_recheck(len(stated.facts))
    apart = [say(Reason("terms.without-twins"))] if stated.facts and not stated.twins else []
    return [*error_rates(len(stated.facts)), *apart]


def of_recheck(facts: int) -> list[str]:
    """What a re-check asks and how often it errs, exactly, in sentences."""
    harmful = sum(fact is not None for fact in recheck.facts_asked(facts))
    values: dict[str, Said | float] = {
        "items": recheck.ITEMS, "harmful": harmful, "wrong": recheck.WRONG, "days": UNTIL_DAYS,
        "bar": recheck.passes([0.98] * facts, 0.95), "low": recheck.passes([0.80] * facts, 0.80),
        "harm": recheck.passes([0.80] * facts, 0.95),
        "guessed": recheck.passes([0.25, *[0.98] * (facts - 1)] if facts else [], 0.95),
    }  # fmt: skip
    chain: dict[str, Said | float] = {
        "most": tries.RECHECKS, "days": UNTIL_DAYS * (1 + tries.RECHECKS),
        "bar": recheck.both([0.98] * facts, 0.95), "low": recheck.both([0.80] * facts, 0.80),
        "harm": recheck.both([0.80] * facts, 0.95),
        "second": recheck.passes([0.98] * facts, 0.95) * recheck.passes([0.80] * facts, 0.80),
    }  # fmt: skip
    told = {"recheck": values, "recheck-errs": values, "recheck-chain": chain}
    return [say(Reason(f"terms.{code}{'' if facts else '-without'}", of)) for code, of in told.items()]


def drawn_from(plan: Blueprint) -> list[str]:
    """The blueprint in sentences."""
    if plan.ports:
        ports = ", ".join(f"{half_id} ({count})" for half_id, count in plan.ports.items())
        lines = [say(Reason("terms.ports", {"ports": ports}))]
    else:
        shares = ", ".join(f"{name} {share:.0%}" for name, share in plan.often)
        lines = [say(Reason("terms.no-list", {"shares": shares}))]
    kinds = ", ".join(f"{kind(name)} {len({task.key for task in tasks})}" for name, tasks in plan.shares.items())
    return [*lines, say(Reason("terms.kinds", {"kinds": kinds}))]


def asked(plan: Blueprint, stated: Stated) -> list[str]:
    """What one try asks; which pairs are its harmful facts is not said, since that would be their answer."""
    kinds, apart = of_kinds(stated.strata), of_look_alikes(stated.strata)
    harmful = "terms.no-facts" if not stated.facts else "terms.facts" if stated.twins else "terms.facts-alone"
    lines = [
        say(Reason(harmful, {"number": len(stated.facts), "twins": len(stated.twins)})),
        say(Reason("terms.strata", {"number": len(kinds), "strata": ", ".join(kinds)})),
    ]
    if apart:
        lines.append(say(Reason("terms.alike", {"number": len(apart), "ports": "; ".join(apart)})))
    if stated.left_out:
        lines.append(say(Reason("terms.left-out", {"number": len(stated.left_out)})))
    if plan.unsettled:
        lines.append(say(Reason("terms.unsettled", {"facts": "; ".join(map(pair_words, plan.unsettled))})))
    lost = dict.fromkeys(stated.harder)
    pairs = [name for name in lost if name in (*stated.facts, *stated.twins)]
    strata = [name for name in lost if name in stated.strata]
    if pairs:
        lines.append(say(Reason("terms.harder-facts", {"number": len(pairs)})))
    if strata:
        lines.append(say(Reason("terms.harder", {"names": "; ".join(map(stratum, strata))})))
    return lines


def error_rates(facts: int) -> list[str]:
    """How often the test errs for this many facts, from its simulation, in sentences."""
    table = operating.of(facts)
    held: dict[str, Said | float] = {"people": table[0].people, "facts": table[0].facts}
    lines = [say(Reason("terms.simulated" if facts else "terms.simulated-without", held))]
    for row in table:
        values: dict[str, Said | float] = {
            "who": row.who, "passes": row.passes, "low": row.low, "high": row.high, "tries": row.tries,
            "mean": row.mean_items, "most": row.p95_items,
        }  # fmt: skip
        code = "row-once" if row.tries == 1 else "row" if row.tries <= tries.MOST else "row-year"
        lines.append(say(Reason(f"terms.{code}", values)))
    if facts:
        half, year = (next(row for row in table if row.who == who) for who in (HALF_KNOWN, HALF_KNOWN_A_YEAR))
        told = {"passes": half.passes, "tries": half.tries, "year": year.passes, "most": year.tries}
        lines.append(say(Reason("terms.half-known", told)))
    return [*lines, say(Reason("terms.until", {"days": UNTIL_DAYS}))]


def came_to(result: Result, part: Part) -> str:
    """What one class of an assessment came to."""
    count = result.counts[part]
    if not (count.right or count.wrong) and result.decisions[part] is Decision.READY:
        return say(Reason("terms.nothing-asked", {"part": _part(part)}))
    values: dict[str, Said | float] = {
        "part": _part(part), "right": count.right, "wrong": count.wrong, "decision": called(result.decisions[part]),
    }  # fmt: skip
    return say(Reason("terms.came-to", values))


def lost(result: Result) -> str:
    """What was lost, and is asked harder next time; empty where nothing was."""
    return say(Reason("terms.lost", {"names": "; ".join(map(pair_words, result.lost))})) if result.lost else ""


def taken(one: Try) -> list[str]:
    """What to know of how a try was taken, in words; empty where there is nothing."""
    return [say(Reason(f"taken.{what.name.lower()}", {"number": number})) for what, number in one.remarks]


def changed(how: str) -> str:
    """Why an assessment that was left cannot go on, and how to begin a new one."""
    return say(Reason("terms.changed", {"how": how}))


def _part(part: Part) -> Reason:
    return Reason(f"part-of-test.{part.value}")
