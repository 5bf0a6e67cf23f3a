"""Items to 0.88 of learner C, by the program and at random, where 300 people could not tell the two apart.

`python -m benchmarks.practice_bar [PEOPLE]` (4,000; about ten minutes): the same people under both policies, on seeds
that no other study uses, and the mean difference with its 95 % interval over people. Goes on where it stopped, by
blocks of 500; keeps `results/quiz_practice_bar.json`.
"""

from __future__ import annotations

import json
import statistics
import sys
from typing import Any

from benchmarks.practice import POLICIES, Facts, learned
from benchmarks.study import RESULTS, Z, dated
from coaxtell.models import tables
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.stock import Stock

OUT = RESULTS / "quiz_practice_bar.json"
LEARNER, BAR, PEOPLE, BLOCK = "C stability", 0.88, 4000, 500


def mean(values: list[float]) -> dict[str, float]:
    """The mean and half its 95 % interval."""
    return {"mean": statistics.fmean(values), "plus_minus": Z * statistics.stdev(values) / len(values) ** 0.5}


def main() -> None:
    people = int(sys.argv[1]) if len(sys.argv) > 1 else PEOPLE
    facts = Facts(Blueprint(Stock(tables.load().halves)))
    held: dict[str, Any] = json.loads(OUT.read_text(encoding="utf-8")) if OUT.is_file() else {}
    items: dict[str, list[int]] = held["items"] if held.get("tables") == facts.tables else {"program": [], "random": []}
    while len(items["program"]) < people:
        first = len(items["program"])
        for policy, found in items.items():
            for n in range(first, first + BLOCK):
                one = learned(facts, LEARNER, POLICIES[policy], f"bar/{LEARNER}/{n}", (BAR,), 0)
                found.append(round(one[f"to {BAR}"]))
        apart = [float(a - b) for a, b in zip(items["program"], items["random"], strict=True)]
        row = {policy: mean([float(one) for one in found]) for policy, found in items.items()}
        text = {
            "tables": facts.tables,
            "learner": LEARNER,
            "bar": BAR,
            "people": len(apart),
            **row,
            "apart": mean(apart),
        }
        OUT.write_text(json.dumps(dated({**text, "items": items})) + "\n", encoding="utf-8")
        short = {name: {key: round(value, 2) for key, value in text[name].items()} for name in (*items, "apart")}
        print(len(apart), short, flush=True)


if __name__ == "__main__":
    main()
