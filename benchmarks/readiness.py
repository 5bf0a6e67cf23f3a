"""The readiness model: fitted on simulated learners, judged on those of a model that it has not seen.

`python -m benchmarks.readiness OUT [PEOPLE]`: six models of a learner (`tests/quiz/people`), each judged by weights
that come from the five others, and by spreads that come from how far those were off when they were left out: the chance
to be right in more than 0.90 of the blueprint now, its Brier score beside that of the mean alone, and the calibration
error; as shipped, and after ten of a team's own people, three teams of each, with the error that such a team's own
record shows and whether the program would state chances to it. What ships (`quiz/readiness.json`) comes from all six.
People sit down on some days, with gaps, and practise by the program's policy or at random. Seeded.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import numpy as np

from benchmarks.practice import START, Facts
from benchmarks.study import dated
from coaxtell.models import tables
from coaxtell.quiz import readiness, team
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import Answered
from coaxtell.quiz.practice import Practice
from coaxtell.quiz.readiness import BAR, FEW, Cell, Model, Told, Weights
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock
from tests.quiz.people.learners import LEARNERS
from tests.quiz.people.teachers import TEACHERS

GAPS = (1, 1, 1, 1, 2, 3, 5, 10, 20)
"""Days between two sittings."""
TEAMS = 3
MOST = 260
"""Most answers of a person."""
BUCKETS = {"under 8": (1, 8), "8 to 24": (8, 25), "25 to 59": (25, 60), "60 and more": (60, 10**6)}


class Look(NamedTuple):
    """A moment at which a person is judged: answers so far, the day, the true rate now and 30 days on."""

    answers: int
    day: float
    rate: float
    ahead: float


class Life(NamedTuple):
    """One simulated person: their answers, probes (facts of the blueprint asked and not told), and looks."""

    told: list[Told]
    probes: list[tuple[int, Told]]
    looks: list[Look]


def lived(facts: Facts, make: Any, seed: str) -> Life:
    """A person's answers, by the program's policy or, for one in three, as the blueprint draws."""
    rng = Random(seed)
    person = make(facts.skills, rng)
    practice, own = Practice(facts), rng.random() < 2 / 3
    told: list[Told] = []
    probes: list[tuple[int, Told]] = []
    looks: list[Look] = []
    day, begun = 0.0, START.timestamp() / readiness.DAY
    while len(told) < MOST:
        for place in range(rng.randint(4, 16)):
            now = START + timedelta(days=day + 0.0005 * place)
            task = practice.ask(now, rng)[0] if own else facts.draw(rng)
            correct = rng.random() < person.right(task.a, day)
            person.is_told(task.a, day, correct)
            skill = facts.skills[task.a]
            answer = Answered(
                id=str(len(told)), time=now, person="p", sitting="s", number=1, kind="fact", a=task.a, b=task.b,
                question="", options=["r", "w"], right="r", chosen="r" if correct else "w", sure=0.9,
                skills=[Skill(skill)], cell=task.a,
            )  # fmt: skip
            practice = practice.tell(answer, task) if own else practice
            told.append(Told(begun + day + 0.0005 * place, readiness.names(task.a, skill), correct))
        day += rng.choice(GAPS)
        after = day + rng.choice((0, 0, 0, 3, 8, 20))
        for _ in range(6):
            fact = facts.draw(rng).a
            probe = Told(begun + after, readiness.names(fact, facts.skills[fact]),
                         rng.random() < person.right(fact, after))  # fmt: skip
            probes.append((len(told), probe))
        looks.append(Look(len(told), begun + after, facts.rate(person, after), facts.rate(person, after + 30)))
    return Life(told, probes, looks)


def figures(lives: Sequence[Life]) -> tuple[readiness.Array, readiness.Array]:
    """The curve's figures of every answer and every probe, with what came."""
    found, came = [], []
    for life in lives:
        history, waiting = readiness.History(), list(life.probes)
        for place, one in enumerate(life.told):
            while waiting and waiting[0][0] <= place:
                probe = waiting.pop(0)[1]
                found.append(history.row(probe.names, probe.day))
                came.append(probe.right)
            found.append(history.row(one.names, one.day))
            came.append(one.right)
            history.tell(one)
    return np.array(found), np.array(came, dtype=float)


def curve(lives: Sequence[Life]) -> list[float]:
    """The weights from these people alone."""
    rows, came = figures(lives)
    firm = np.full(rows.shape[1], 1.0)
    return [float(one) for one in readiness.fit(rows, came, np.zeros(rows.shape[1]), firm)]


def errors(model: Model, lives: Sequence[Life], plan: Sequence[Cell]) -> list[tuple[int, float]]:
    """By how much the rate is off [logit], with the number of answers."""
    found = []
    for life in lives:
        for look in life.looks[::2]:
            if look.answers >= FEW:
                said = model.forecast(life.told[: look.answers], plan, look.day)
                assert said.rate is not None
                found.append((look.answers, readiness._logit(said.rate) - readiness._logit(look.rate)))
    return found


def judged(model: Model, lives: Sequence[Life], plan: Sequence[Cell]) -> list[dict[str, Any]]:
    """Brier score, base and calibration error by number of answers, and how the band and the words hold."""
    found: dict[str, list[tuple[float, bool, bool, float, float]]] = {name: [] for name in BUCKETS}
    for life in lives:
        for look in life.looks:
            bucket = next(name for name, (low, high) in BUCKETS.items() if low <= look.answers < high)
            said = model.forecast(life.told[: look.answers], plan, look.day)
            if said.rate is None or said.ahead is None:
                continue
            chance = readiness._normal((readiness._logit(said.rate) - readiness._logit(BAR)) / said.off)
            low, high = said.band
            found[bucket].append((chance, look.rate > BAR, low <= look.rate <= high, said.ahead, look.ahead))
    rows = []
    for bucket, held in found.items():
        if not held:
            continue
        chance, came = np.array([one[0] for one in held]), np.array([float(one[1]) for one in held])
        rows.append({
            "answers": bucket, "looks": len(held), "share above": float(came.mean()),
            "brier": float(((chance - came) ** 2).mean()), "base": float(came.mean() * (1 - came.mean())),
            "calibration error": readiness.gap(chance, came),
            "in band": float(np.mean([one[2] for one in held])),
            "ahead off": float(np.mean([abs(one[3] - one[4]) for one in held])),
        })  # fmt: skip
    return rows


def spreads(off: Sequence[tuple[int, float]]) -> list[float]:
    """By how much rates were off [logit] by number of answers, root of the mean square."""
    bands = list(BUCKETS.values())[1:]
    return [float(np.sqrt(np.mean([error**2 for n, error in off if low <= n < high]))) for low, high in bands]


def pooled(rows: Sequence[dict[str, Any]]) -> dict[str, float]:
    """The Brier score over all models together beside that of their common mean."""
    weights = [row["looks"] for row in rows]
    share = float(np.average([row["share above"] for row in rows], weights=weights))
    brier = float(np.average([row["brier"] for row in rows], weights=weights))
    return {"brier": brier, "base": share * (1 - share)}


def main() -> None:
    out, people = Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 60
    blueprint = Blueprint(Stock(tables.load().halves))
    facts, plan = Facts(blueprint), readiness.cells(blueprint)
    models = {**TEACHERS, **LEARNERS}
    lives = {name: [lived(facts, make, f"{name}/{n}") for n in range(people)] for name, make in models.items()}
    print("lived", flush=True)
    flat = [1.0] * 3
    without = {name: curve([life for other in models if other != name for life in lives[other]]) for name in models}
    unseen = {name: Model(Weights(without[name], flat, flat)) for name in models}
    teams = {
        name: [
            {str(n): lived(facts, make, f"team {k}/{name}/{n}").told for n in range(team.TEAM)} for k in range(TEAMS)
        ]
        for name, make in models.items()
    }
    owns = {name: [team.fitted(unseen[name], one) for one in teams[name]] for name in models}
    off = {name: errors(unseen[name], lives[name], plan) for name in models}
    off_own = {
        name: [one for model in owns[name] for one in errors(model, lives[name], plan)] for name in models
    }  # fmt: skip
    for name in models:
        rounded = [[round(one, 2) for one in spreads(found[name])] for found in (off, off_own)]
        print(name, "off", *rounded, flush=True)
    whole = curve([life for held in lives.values() for life in held])
    spread, own_spread = (spreads([one for held in found.values() for one in held]) for found in (off, off_own))
    shipped = {"curve": [round(one, 4) for one in whole], "off": [round(one, 3) for one in spread],
               "off_own": [round(one, 3) for one in own_spread]}  # fmt: skip
    rows: list[dict[str, Any]] = []
    for name in models:
        of_others = [
            spreads([one for other in models if other != name for one in found[other]]) for found in (off, off_own)
        ]
        unseen[name] = Model(Weights(without[name], *of_others))
        said: list[tuple[str, Model, dict[str, Any]]] = [("unseen", unseen[name], {})]
        for place, people_of in enumerate(teams[name]):
            parts = {one: readiness.rows(given) for one, given in people_of.items()}
            own = {"team": place, "by its record": team.error(unseen[name], parts)}
            own["stated"] = own["by its record"] <= team.CLOSE
            weights = owns[name][place].weights.curve
            said.append(("ten of a team", Model(Weights(weights, *of_others), True), own))
        for label, model, own in said:
            for row in judged(model, lives[name], plan):
                rows.append({"learner": name, "weights": label, **own, **row})
                print(name, label, *(f"{key} {one:.3f}" if isinstance(one, float) else f"{key} {one}"
                                     for key, one in {**own, **row}.items()), flush=True)  # fmt: skip
        text = {"tables": facts.tables, "people": people, "rows": rows}
        out.write_text(json.dumps(dated(text), indent=1, default=float) + "\n", encoding="utf-8")
    for label in ("unseen", "ten of a team"):
        later = [row for row in rows if row["weights"] == label and row["answers"] in list(BUCKETS)[2:]]
        print(label, "from 25 answers", pooled(later))
    Path("quiz/readiness.json").write_text(json.dumps(shipped) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
