"""How many who were cleared have fallen below the bar after some days without practice, by model of the learner.

`python -m benchmarks.expiry OUT [PEOPLE]`: people practise ten items a day by the program's policy until they are right
in 0.95 of the blueprint, are cleared then, and do nothing more. Below the bar: right in less than 0.80 of it. Learners
as in `benchmarks/practice.py`; their memory is assumed, so the days are too. Seeded.
"""

from __future__ import annotations

import json
import sys
from datetime import timedelta
from pathlib import Path
from random import Random
from typing import Any

from benchmarks.practice import A_DAY, MOST, START, Facts
from benchmarks.study import Tally
from coaxtell.models import tables
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.practice import Practice
from coaxtell.quiz.stock import Stock
from tests.quiz.people.learners import LEARNERS, Learner

CLEARED, BELOW = 0.95, 0.80
DAYS = (7, 14, 21, 30, 60, 90)


def fallen(facts: Facts, name: str, seed: str) -> dict[int, bool] | None:
    """Whether a person lies below the bar so many days after being cleared; none who is never cleared."""
    rng = Random(seed)
    person: Learner = LEARNERS[name](facts.skills, rng)
    practice = Practice(facts)
    for count in range(MOST):
        day = count // A_DAY + 0.0005 * (count % A_DAY)
        if count % A_DAY == 0 and facts.rate(person, day) >= CLEARED:
            return {days: facts.rate(person, day + days) < BELOW for days in DAYS}
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
            tally = Tally(sum(one[days] for one in found), len(found))
            low, high = tally.interval()
            rows.append(
                {"learner": name, "days": days, "cleared": len(found), "below": tally.mean, "low": low, "high": high}
            )
        said = "  ".join(f"{row['days']} d {row['below']:.0%}" for row in rows[-len(DAYS) :])
        print(f"{name:<16} {len(found)} cleared of {people}  {said}", flush=True)
        out.write_text(json.dumps({"tables": facts.tables, "rows": rows}, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
