"""On how many of the days for which they are cleared people are below the bar, by model of the learner.

`python -m benchmarks.expiry OUT [PEOPLE]`: people practise ten items a day by the program's policy until they are right
in 0.95 of the blueprint, are cleared then for so many days, and do nothing more. Below the bar: right in less than 0.80
of it. Beside the share of cleared days stands the share of people who are below it on the last of them. Learners as in
`benchmarks/practice.py`; their memory is assumed, so the days are too. Seeded.
"""

from __future__ import annotations

import bisect
import json
import statistics
import sys
from datetime import timedelta
from pathlib import Path
from random import Random
from typing import Any

from benchmarks.practice import A_DAY, MOST, START, Facts
from benchmarks.study import Tally, dated
from coaxtell.models import tables
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.practice import Practice
from coaxtell.quiz.stock import Stock
from tests.quiz.people.learners import LEARNERS, Learner

CLEARED, BELOW = 0.95, 0.80
DAYS = (7, 14, 21, 30, 60, 90)


def fallen(facts: Facts, name: str, seed: str) -> list[bool] | None:
    """Whether a person lies below the bar on each day after being cleared; none who is never cleared."""
    rng = Random(seed)
    person: Learner = LEARNERS[name](facts.skills, rng)
    practice = Practice(facts)
    for count in range(MOST):
        day = count // A_DAY + 0.0005 * (count % A_DAY)
        if count % A_DAY == 0 and facts.rate(person, day) >= CLEARED:
            # who does nothing only forgets, so that whoever is below the bar stays there
            ahead = range(1, DAYS[-1] + 1)
            first = bisect.bisect(ahead, 0.5, key=lambda days: facts.rate(person, day + days) < BELOW)
            return [days > first for days in ahead]
        now = START + timedelta(days=day)
        task, _ = practice.ask(now, rng)
        correct = rng.random() < person.right(task.a, day)
        person.is_told(task.a, day, correct)
        practice = practice.tell(facts.answered(task, correct, count, now), task)
    return None


def main() -> None:
    out, people = Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 300
    facts = Facts(Blueprint(Stock(tables.load().halves)))
    rows: list[dict[str, Any]] = []
    for name in LEARNERS:
        found = [one for n in range(people) if (one := fallen(facts, name, f"expiry/{name}/{n}")) is not None]
        for days in DAYS:
            shares = [sum(one[:days]) / days for one in found]
            mean = statistics.fmean(shares)
            wide = 1.96 * statistics.stdev(shares) / len(shares) ** 0.5
            last = Tally(sum(one[days - 1] for one in found), len(found))
            rows.append({
                "learner": name, "days": days, "cleared": len(found), "below": mean, "low": max(0.0, mean - wide),
                "high": mean + wide, "on the last": last.mean,
            })  # fmt: skip
        said = "  ".join(f"{row['days']} d {row['below']:.1%} ({row['on the last']:.0%})" for row in rows[-len(DAYS) :])
        print(f"{name:<16} {len(found)} cleared of {people}  {said}", flush=True)
        out.write_text(json.dumps(dated({"tables": facts.tables, "rows": rows}), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
