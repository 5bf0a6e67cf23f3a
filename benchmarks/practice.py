"""Items of practice until a person is right in 0.88 and 0.95 of the blueprint, by policy and by model of the learner.

`python -m benchmarks.practice OUT [PEOPLE [POLICY ...]]`: four learners (`tests/quiz/people/learners.py`), ten items a
day. Seeded; what stands in OUT already for the same tables is left, so that it can be resumed. Retention: the same rate
30 and 90 days after 250 items. Policies: the program's own; random over the blueprint; that of 0.1.0; the skill that is
due by FSRS; the fact answered worst. Nothing is tuned here: seeds are not those that constants were chosen on.
"""

from __future__ import annotations

import json
import statistics
import sys
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from itertools import accumulate
from pathlib import Path
from random import Random
from typing import Any

from benchmarks.study import dated
from coaxtell.models import tables
from coaxtell.quiz import items
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Task
from coaxtell.quiz.log import Answered
from coaxtell.quiz.practice import Practice
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock
from tests.quiz.people.learners import LEARNERS, Learner

A_DAY, MOST, LEARNED = 10, 1000, 250
BARS = (0.88, 0.95)
START = datetime(2026, 1, 5, 8, tzinfo=UTC)


class Facts:
    """The facts of a blueprint with their shares and skills; a task stands for its fact."""

    def __init__(self, plan: Blueprint) -> None:
        self.tables = plan.tables
        self.shares: dict[str, float] = {}
        self.skills: dict[str, str] = {}
        for found in plan.shares.values():
            for task, share in found.items():
                cell = plan.cell(task)
                self.shares[cell] = self.shares.get(cell, 0.0) + share / len(plan.shares)
                self.skills.setdefault(cell, items.skills_of(plan.stock, task)[0].value)
        self.names = list(self.shares)
        self._sums = list(accumulate(self.shares.values()))
        self.by_skill: dict[str, list[str]] = {}
        for fact, skill in self.skills.items():
            self.by_skill.setdefault(skill, []).append(fact)

    def draw(self, rng: Random, last: Sequence[str] = ()) -> Task:
        """As the blueprint draws."""
        return Task("fact", rng.choices(self.names, cum_weights=self._sums)[0], str(rng.randrange(1000)))

    def cell(self, task: Task) -> str:
        """The task's fact."""
        return task.a

    def answered(self, task: Task, correct: bool, count: int, now: datetime) -> Answered:
        """The answer of a simulated person, their `count`th from 0 on, as the record holds one."""
        return Answered(
            id=str(count), time=now, person="p", sitting="s", number=count + 1, kind="fact", a=task.a, b=task.b,
            question="", options=["r", "w"], right="r", chosen="r" if correct else "w", sure=0.9,
            skills=[Skill(self.skills[task.a])], cell=task.a,
        )  # fmt: skip

    def rate(self, person: Learner, day: float) -> float:
        """How often a person is right over the blueprint."""
        return sum(share * person.right(fact, day) for fact, share in self.shares.items()) / sum(self.shares.values())


Choose = Callable[[Facts, Practice, dict[str, list[bool]], datetime, Random], Task]


def own(facts: Facts, practice: Practice, given: dict[str, list[bool]], now: datetime, rng: Random) -> Task:
    """The program's own policy."""
    return practice.ask(now, rng)[0]


def at_random(facts: Facts, practice: Practice, given: dict[str, list[bool]], now: datetime, rng: Random) -> Task:
    """As the blueprint draws, whatever is known."""
    return facts.draw(rng)


def by_skill(facts: Facts, practice: Practice, given: dict[str, list[bool]], now: datetime, rng: Random) -> Task:
    """The skill that is due by FSRS or was not met yet, and any fact of it."""
    held = [one for one in practice.schedule.held(now) if one.name in facts.by_skill]
    due = [one.name for one in held if one.due <= now]
    new = [skill for skill in facts.by_skill if skill not in {one.name for one in held}]
    name = (due or new or [one.name for one in held])[0]
    return Task("fact", rng.choice(facts.by_skill[name]), "1")


def hardest(facts: Facts, practice: Practice, given: dict[str, list[bool]], now: datetime, rng: Random) -> Task:
    """The fact with the lowest share of right answers, one wrong and one right counted before."""
    share = {fact: (sum(given.get(fact, [])) + 1) / (len(given.get(fact, [])) + 2) for fact in facts.names}
    least = min(share.values())
    return Task("fact", rng.choice([fact for fact in facts.names if share[fact] == least]), "1")


def of_old(facts: Facts, practice: Practice, given: dict[str, list[bool]], now: datetime, rng: Random) -> Task:
    """The policy of 0.1.0, by facts: the skill that is due, those answered wrong before, else one not yet met, else the
    weakest; of its facts those met most first, further ones with every third right answer, each kind and verdict alike.
    """
    held = {one.name: one for one in practice.schedule.held(now) if one.name in facts.by_skill}
    due = sorted((one for one in held.values() if one.due <= now), key=lambda one: (not one.last_wrong, one.recall))
    new = [skill for skill in facts.by_skill if skill not in held]
    weak = sorted(held.values(), key=lambda one: (not one.last_wrong, (one.right + 1) / (one.right + one.wrong + 2)))
    name = due[0].name if due else new[0] if new else weak[0].name
    names = sorted(facts.by_skill[name], key=lambda fact: -facts.shares[fact])
    stages = [names[: len(names) // 4 or 1], names[len(names) // 4 or 1 :]]
    right = held[name].right if name in held else 0
    stage = rng.choice([one for one in stages[: 1 + right // 3] if one])
    groups: dict[str, list[str]] = {}
    for fact in stage:
        groups.setdefault("/".join(fact.split("/")[:2]), []).append(fact)
    return Task("fact", rng.choice(rng.choice(list(groups.values()))), "1")


POLICIES: dict[str, Choose] = {
    "program": own, "random": at_random, "program 0.1.0": of_old, "FSRS by skill": by_skill, "hardest first": hardest,
}  # fmt: skip


def learned(
    facts: Facts, name: str, choose: Choose, seed: str, bars: Sequence[float] = BARS, long: int = LEARNED
) -> dict[str, float]:
    """Items of one person to each bar (MOST where it is not reached), and the rate 30 and 90 days after `long` ones."""
    rng = Random(seed)
    person: Learner = LEARNERS[name](facts.skills, rng)
    practice, given, found = Practice(facts), {}, {}  # type: ignore[var-annotated]
    for count in range(MOST):
        day = count // A_DAY + 0.0005 * (count % A_DAY)
        if count % A_DAY == 0:
            rate = facts.rate(person, day)
            for bar in bars:
                if rate >= bar:
                    found.setdefault(f"to {bar}", float(count))
            if len(found) == len(bars) and count > long:
                break
        if count == long:
            found |= {f"after {days} d": facts.rate(person, day + days) for days in (30, 90)}
        now = START + timedelta(days=day)
        task = choose(facts, practice, given, now, rng)
        correct = rng.random() < person.right(task.a, day)
        person.is_told(task.a, day, correct)
        given.setdefault(task.a, []).append(correct)
        practice = practice.tell(facts.answered(task, correct, count, now), task)
    return {f"to {bar}": float(MOST) for bar in bars} | found


def main() -> None:
    out, people = Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 60
    facts = Facts(Blueprint(Stock(tables.load().halves)))
    held = json.loads(out.read_text(encoding="utf-8")) if out.is_file() else {}
    rows: list[dict[str, Any]] = held.get("rows", []) if held.get("tables") == facts.tables else []
    for policy in sys.argv[3:] or POLICIES:
        choose = POLICIES[policy]
        for name in LEARNERS:
            if any((row["policy"], row["learner"]) == (policy, name) and row["people"] >= people for row in rows):
                continue
            found = [learned(facts, name, choose, f"2027/{name}/{n}") for n in range(people)]
            row: dict[str, Any] = {"policy": policy, "learner": name, "people": people}
            for figure in sorted({key for one in found for key in one}):
                values = [one[figure] for one in found if figure in one]
                spread = 1.96 * statistics.stdev(values) / len(values) ** 0.5 if len(values) > 1 else 0.0
                row[figure] = {"mean": statistics.fmean(values), "plus_minus": spread}
            rows.append(row)
            said = "  ".join(
                f"{key} {row[key]['mean']:.3g} ± {row[key]['plus_minus']:.2g}" for key in row if " " in key
            )
            print(f"{policy:<14} {name:<16} {said}", flush=True)
            text = {"tables": facts.tables, "facts": len(facts.names), "rows": rows}
            out.write_text(json.dumps(dated(text), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
