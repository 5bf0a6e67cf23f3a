"""How often an assessment errs: simulated people through its own rules, from no fact to eight.

`python -m benchmarks.assessment OUT [PEOPLE]` writes a JSON with every row, its number of people and its 95 %
interval (Wilson); rows that stand in OUT already under the same rules are left, so that it can be resumed.
The people are right with fixed chances and know nothing of the rules. Nothing is tuned here.
"""

from __future__ import annotations

import ast
import hashlib
import json
import math
import sys
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.many_trials import Many, Marks, play
from benchmarks.study import dated
from coaxtell.quiz import sequential, trial, tries
from coaxtell.quiz.trial import Asks, Part, Terms

MADE = {0: (0, 4), 2: (4, 8), 5: (8, 12), 8: (12, 12)}
"""By the number of facts, that of the twins beside them and of the strata of look-alikes: as with SMA jack alone, with
the ports of the handbook's example, with those of the tests' site and without a list."""
FACTS = tuple(MADE)
KINDS = tuple(f"s{n}" for n in range(10))
TRIES = tries.MOST
"""Tries that were not passed which a person may have within the window of `tries`."""
YEAR = TRIES * math.ceil(timedelta(days=365) / tries.WINDOW)
"""Tries that a year holds, when as many as may be are taken at once and the next when all of these have gone out of the
window: then the first of them is stated as a first one again, and what was lost stays harder."""

LEARNT = "at the bar, after one harmful fact was lost in three tries"
"""The row of those who begin with a fact that cannot be asked harder."""
FIRST, FOURTH = ((), 1), (("f0", "f0", "f0"), 4)
"""What was lost before the first try of a row, and which try that is."""

Person = Callable[[Asks], float]
"""The chance to be right in an item that is for this."""


def evenly(harmful: float, ordinary: float) -> Person:
    """Right with one chance in each part, whatever it is asked."""
    return lambda asked: harmful if asked.part is Part.HARMFUL else ordinary


def one_fact(chance: float, harmful: float = 0.98, ordinary: float = 0.95) -> Person:
    """As above, but one fact is known only with a chance of its own."""
    even = evenly(harmful, ordinary)
    return lambda asked: chance if asked.name == "f0" and not asked.foil else even(asked)


def blind(harmful: float = 0.98, ordinary: float = 0.95) -> Person:
    """Does not tell one half from its look-alike and says damages where either may: knows every fact, and is right
    about that fact's twins in a quarter."""
    even = evenly(harmful, ordinary)
    return lambda asked: 0.25 if asked.name in ("t0", "t1") else even(asked)


def mistaken(harmful: float = 0.98, ordinary: float = 0.95) -> Person:
    """Takes a look-alike for its port every time, but for a slip: nearly never right where the one is shown beside the
    other, and right in the rest."""
    even = evenly(harmful, ordinary)
    return lambda asked: 0.05 if asked.name == "a0" else even(asked)


def misconceived(harmful: float = 0.98, ordinary: float = 0.95) -> Person:
    """Takes plug for jack by the centre: wrong in the stratum of gender, and in a quarter of what leans on it."""
    even = evenly(harmful, ordinary)

    def chance(asked: Asks) -> float:
        if asked.part is Part.ORDINARY and asked.name == "s0":
            return 0.05
        return even(asked) * (0.75 if asked.part is Part.ORDINARY and asked.name in ("s1", "s2", "s7") else 1.0)

    return chance


ROWS: dict[str, tuple[Callable[[], Person], int]] = {
    "at the bar, 0.98 harmful and 0.95 ordinary": (lambda: evenly(0.98, 0.95), 1),
    LEARNT: (lambda: evenly(0.98, 0.95), 1),
    "above it, 0.99 and 0.98": (lambda: evenly(0.99, 0.98), 1),
    "ordinary 0.80": (lambda: evenly(0.98, 0.80), TRIES),
    "harmful 0.80": (lambda: evenly(0.80, 0.95), TRIES),
    "harmful 0.85": (lambda: evenly(0.85, 0.95), TRIES),
    "one harmful fact guessed, 0.25": (lambda: one_fact(0.25), TRIES),
    "one harmful fact half known, 0.50": (lambda: one_fact(0.50), TRIES),
    "one harmful fact by heart, its twins 0.25": (lambda: blind(), TRIES),
    "gender misconceived": (lambda: misconceived(), TRIES),
    "one look-alike taken for its port, 0.05": (lambda: mistaken(), TRIES),
    "says damages to everything": (lambda: lambda asked: 0.0 if asked.foil else 1.0, TRIES),
    "ordinary 0.80, over a year": (lambda: evenly(0.98, 0.80), YEAR),
    "harmful 0.80, over a year": (lambda: evenly(0.80, 0.95), YEAR),
    "one harmful fact half known, 0.50, over a year": (lambda: one_fact(0.50), YEAR),
}
"""Who takes the test, and how many tries they have."""
WITHOUT_FACTS = (
    "at the bar, 0.98 harmful and 0.95 ordinary", "above it, 0.99 and 0.98", "ordinary 0.80", "gender misconceived",
    "one look-alike taken for its port, 0.05", "ordinary 0.80, over a year",
)  # fmt: skip
"""Those of whom something is to be said where no pair of the ports harms."""


def terms_of(facts: int) -> Terms:
    """What a try asks that has so many facts."""
    twins, alike = MADE[facts]
    strata = (*KINDS, *(f"a{n}" for n in range(alike)))
    return Terms(tuple(f"f{n}" for n in range(facts)), strata, twins=tuple(f"t{n}" for n in range(twins)))


def taken(name: str, facts: int, people: int) -> tuple[Marks, Many]:
    """Who of so many people of a row passes within its tries, and the items of the first."""
    make, most = ROWS[name]
    before, begins = FOURTH if name == LEARNT else FIRST
    terms = terms_of(facts)
    rng = np.random.default_rng([*f"{name}/{facts}".encode()])
    lost = np.tile([before.count(one) for one in (*terms.facts, *terms.twins, *terms.strata)], (people, 1))
    passed, items, left = np.zeros(people, np.bool_), np.zeros(people, np.intp), np.arange(people)
    for number in range(begins, begins + most):
        outcome = play(terms._replace(number=(number - 1) % TRIES + 1), lost[left], make(), rng)
        if number == begins:
            items = outcome.items
        passed[left] = outcome.ready
        lost[left] += outcome.lost
        left = left[~outcome.ready]
    return passed, items


def wilson(count: int, of: int) -> tuple[float, float]:
    """The 95 % interval of a share (E. B. Wilson, JASA 22 (1927) 209-212)."""
    z, share = 1.959964, count / of
    middle = (share + z * z / (2 * of)) / (1 + z * z / of)
    half = z / (1 + z * z / of) * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    return min(share, max(0.0, middle - half)), max(share, min(1.0, middle + half))


def row(name: str, facts: int, people: int) -> dict[str, Any]:
    """One row of the table."""
    ready, items = taken(name, facts, people)
    cap = terms_of(facts).cap
    passed = int(ready.sum())
    low, high = wilson(passed, people)
    return {
        "people": people, "who": name, "facts": facts, "tries": ROWS[name][1], "passes": passed / people, "low": low,
        "high": high, "mean_items": float(items.mean()), "p95_items": int(np.sort(items)[int(0.95 * people)]),
        "at_cap": float((items >= cap).mean()),
    }  # fmt: skip


def rules() -> str:
    """Check sum of the rules that the rows stand for: of the code, not of what is said about it."""
    trees = [ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8")) for module in (trial, sequential)]
    for tree in trees:
        for node in ast.walk(tree):
            body = getattr(node, "body", None)
            if isinstance(body, list):  # what is only said of the rules changes none
                node.body = [  # type: ignore[attr-defined]
                    one for one in body if not (isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant))
                ]
    return hashlib.sha256("".join(map(ast.unparse, trees)).encode()).hexdigest()[:16]


def main() -> None:
    out, people = Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 20_000
    held = json.loads(out.read_text(encoding="utf-8")) if out.is_file() else {}
    rows = held.get("rows", []) if held.get("rules") == rules() else []
    rows = [one for one in rows if one["people"] >= people]
    done = {(one["who"], one["facts"]) for one in rows}
    wanted = [(name, facts) for facts in FACTS for name in (ROWS if facts else WITHOUT_FACTS)]
    left = [one for one in wanted if one not in done]
    for name, facts in left:
        one = row(name, facts, people)
        rows.append(one)
        print(
            f"{facts} facts  {name:<44} {one['passes']:8.3%} ({one['low']:.3%} to {one['high']:.3%})  "
            f"mean {one['mean_items']:.0f}  p95 {one['p95_items']}  cap {one['at_cap']:.1%}",
            flush=True,
        )
        out.write_text(json.dumps(dated({"rules": rules(), "rows": rows}), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
