"""What is stated of an assessment: what it draws from and how often it errs, before it starts; its result."""

from __future__ import annotations

from coaxtell.models.catalogue import Reason
from coaxtell.quiz.assessment import BARS, Result
from coaxtell.quiz.blueprint import APART, Blueprint, Part
from coaxtell.quiz.item import Said
from coaxtell.quiz.readiness import CLAIM
from coaxtell.quiz.sequential import operating
from coaxtell.quiz.words import kind, say


def supports() -> str:
    """What an assessment is no substitute for."""
    return say(Reason("terms.supports"))


def prior() -> str:
    """What P assumes before the first answer."""
    return say(Reason("terms.prior"))


def terms(plan: Blueprint) -> list[str]:
    """The blueprint and the error rates in sentences, as stated before the first item."""
    return [*drawn_from(plan), *error_rates()]


def drawn_from(plan: Blueprint) -> list[str]:
    """The blueprint in sentences."""
    if plan.ports:
        ports = ", ".join(f"{half_id} ({count})" for half_id, count in plan.ports.items())
        lines = [say(Reason("terms.ports", {"ports": ports}))]
    else:
        lines = [
            say(Reason("terms.no-list", {"shares": ", ".join(f"{name} {share:.0%}" for name, share in plan.often)}))
        ]
    for part, groups in plan.parts.items():
        kinds: dict[str, int] = {}
        for group in groups:
            kinds[group.kind] = kinds.get(group.kind, 0) + len({task.key for task in group.tasks})
        listed = ", ".join(f"{kind(name)} {number}" for name, number in kinds.items())
        lines.append(say(Reason("terms.kinds", {"part": _part(part), "kinds": listed})))
    lines.append(say(Reason("terms.alike")))
    if plan.widened:
        lines.append(say(Reason("terms.widened")))
    return lines


def error_rates() -> list[str]:
    """The error rates of the two tests, worked out exactly, in sentences."""
    lines = []
    for part, bar in BARS.items():
        low, high = operating(bar, bar.low), operating(bar, bar.high)
        values: dict[str, Said | float] = {
            "part": _part(part), "low": bar.low, "high": bar.high, "passes": low.passes, "fails": high.fails,
            "false_pass": bar.false_pass, "false_fail": bar.false_fail, "items_low": low.mean_items,
            "items_high": high.mean_items, "most": high.p95_items,
        }  # fmt: skip
        lines.append(say(Reason("terms.errs", values)))
    fails = sum(operating(bar, bar.high).fails for bar in BARS.values())
    lines.append(say(Reason("terms.both", {"fails": fails})))
    lines.append(say(Reason("terms.apart", {"items": APART})))
    return lines


def came_to(result: Result, part: Part) -> str:
    """What one class of an assessment came to."""
    count = result.counts[part]
    values: dict[str, Said | float] = {
        "part": _part(part), "right": count.right, "wrong": count.wrong, "decision": result.decisions[part].value,
        "claim": CLAIM, "above": result.above[part],
    }  # fmt: skip
    return say(Reason("terms.came-to", values))


def apart() -> str:
    """What P rests on, and that it decides nothing."""
    return say(Reason("terms.stated-apart", {"prior": prior()}))


def changed(how: str) -> str:
    """Why an assessment that was left cannot go on, and how to begin a new one."""
    return say(Reason("terms.changed", {"how": how}))


def _part(part: Part) -> Reason:
    return Reason(f"part-of-test.{part.value}")
