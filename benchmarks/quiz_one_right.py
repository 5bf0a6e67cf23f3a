"""Items of every kind, each held against the tables: exactly one option right, no two options alike.

Run: python -m benchmarks.study quiz_one_right
"""

from __future__ import annotations

from random import Random

from benchmarks.study import Study, Tally
from coaxtell.quiz import items, words
from tests.quiz.right import right_ones, stock, tasks


def play(block: int, size: int) -> dict[str, Tally]:
    """How many of so many items, by kind, have exactly one right option among options that differ."""
    rng = Random(f"{STUDY.seed}/{block}")
    kinds = {kind: [task for task in tasks() if task.kind == kind] for kind in items.KINDS}
    found: dict[str, Tally] = {}
    for _ in range(size):
        kind = rng.choice(list(items.KINDS))
        item = items.make(stock(), rng.choice(kinds[kind]), rng)
        ids = [option.id for option in item.options]
        differ = len(set(ids)) == len(set(words.of(item).options.values())) == len(ids) >= 2
        good = differ and right_ones(item.task, tuple(sorted(ids)), item.right) == [item.right]
        found[f"{kind}, one right"] = found.get(f"{kind}, one right", Tally(0, 0)).plus(Tally(float(good), 1))
    return found


STUDY = Study(
    name="quiz_one_right",
    about="Share of items with exactly one right option, by kind",
    rooms=("models", "identifier", "cables", "quiz"),
    seed=2025,
    blocks=20,
    play=play,
    size=5000,
    sample=600,
)
