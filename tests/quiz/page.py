"""The tables of `docs/training.md`, made from the kept studies; `python -m tests.quiz.page` writes them anew.

A test sees to it that the page shows what the studies hold.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from coaxtell.quiz import operating

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "training.md"


def _rows(name: str) -> list[dict[str, Any]]:
    text = (ROOT / "benchmarks" / "results" / f"{name}.json").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = json.loads(text)["rows"]
    return found


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = ["| " + " | ".join(heads) + " |", "|" + "---|" * len(heads)]
    return "\n".join([*lines, *("| " + " | ".join(row) + " |" for row in rows)])


def practice() -> str:
    """Items to both bars, then the rate 30 and 90 days after 250 items, by policy and learner."""
    found = {(row["policy"], row["learner"]): row for row in _rows("quiz_practice")}
    learners = list(dict.fromkeys(learner for _, learner in found))
    rows = []
    for policy in dict.fromkeys(policy for policy, _ in found):
        cells = []
        for learner in learners:
            row = found[policy, learner]
            items = [f"{row[bar]['mean']:.0f} ± {row[bar]['plus_minus']:.0f}" for bar in ("to 0.88", "to 0.95")]
            later = [f"{row[f'after {days} d']['mean']:.2f}" for days in (30, 90)]
            cells.append(f"{items[0]}, {items[1]}; {later[0]}, {later[1]}")
        rows.append([policy, f"{found[policy, learners[0]]['people']}", *cells])
    return _table(["policy", "people", *learners], rows)


def readiness() -> str:
    """From 60 answers: Brier score, its base and calibration error, unseen and for three teams of ten."""
    rows = [row for row in _rows("quiz_readiness") if row["answers"] == "60 and more"]
    lines = []
    for learner in dict.fromkeys(row["learner"] for row in rows):
        own = [row for row in rows if row["learner"] == learner]
        (unseen,) = [row for row in own if row["weights"] == "unseen"]
        teams = [
            f"{row['by its record']:.3f}: {'chance' if row['stated'] else 'band'} ({row['calibration error']:.3f})"
            for row in own if row["weights"] != "unseen"
        ]  # fmt: skip
        score = f"{unseen['brier']:.3f} / {unseen['base']:.3f}"
        lines.append([learner, score, f"{unseen['calibration error']:.3f}", *teams])
    heads = ["learner left out", "Brier / base", "calibration error", *(f"team {n}" for n in (1, 2, 3))]
    return _table(heads, lines)


def assessment() -> str:
    """Share that passes with its 95 % interval, by number of harmful pairs; items of the first try."""
    table = operating.table()
    numbers = sorted({row.facts for row in table.rows})
    rows = []
    for who in dict.fromkeys(row.who for row in table.rows):
        own = {row.facts: row for row in table.rows if row.who == who}
        cells = [f"{own[n].passes:.2%} ({own[n].low:.2%} to {own[n].high:.2%})" if n in own else "–" for n in numbers]
        most = own[numbers[-1]]
        items = f"{most.mean_items:.0f}, {most.p95_items}, {most.at_cap:.1%}"
        rows.append([who, f"{most.tries}", *cells, items])
    heads = [f"{n or 'no'} pairs" for n in numbers]
    return _table(["who", "tries", *heads, f"items mean, p95, at the cap ({numbers[-1]} pairs)"], rows)


def expiry() -> str:
    """Share of cleared days below the bar with its bound, and of people below it on the last of them."""
    rows = _rows("quiz_expiry")
    days = list(dict.fromkeys(row["days"] for row in rows))
    lines = []
    for learner in dict.fromkeys(row["learner"] for row in rows):
        own = {row["days"]: row for row in rows if row["learner"] == learner}
        cells = [f"{own[one]['below']:.1%} (to {own[one]['high']:.1%}); {own[one]['on the last']:.0%}" for one in days]
        lines.append([learner, f"{own[days[0]]['cleared']}", *cells])
    return _table(["learner", "people", *(f"{one} days" for one in days)], lines)


def attackers() -> str:
    """What attackers without the picture get right."""
    rows = [
        [row["kind"], f"{row['right']:.1%} ({row['low']:.1%} to {row['high']:.1%})", f"{row['chance']:.1%}"]
        for row in _rows("quiz_attackers")
    ]
    return _table(["kind", "right", "chance"], rows)


TABLES: dict[str, Callable[[], str]] = {
    one.__name__: one for one in (practice, readiness, assessment, expiry, attackers)
}


def written(text: str) -> str:
    """The page with its tables as the studies hold them."""
    for name, made in TABLES.items():
        head, start, rest = text.partition(f"<!-- {name} -->\n")
        _, end, tail = rest.partition("<!-- end -->")
        if not (start and end):
            raise ValueError(f"the page has no place for the table {name}")
        text = head + start + made() + "\n" + end + tail
    return text


if __name__ == "__main__":
    PAGE.write_text(written(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
