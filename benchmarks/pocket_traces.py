"""The page's engine under node beside Python's: in how many states of seeded traces the two think the same.

Run: python -m benchmarks.study pocket_traces
"""

from __future__ import annotations

from benchmarks.study import Study, Tally
from coaxtell.pocket.build import PAGE
from tests.pocket.node import thinking
from tests.pocket.traces import differences, given, traces


def play(block: int, size: int) -> dict[str, Tally]:
    """States in which belief (1e-12), name, next look, contradiction, misfits, wear and state are the same."""
    states, thought = traces(size, 1000 * STUDY.seed + block)
    with thinking(given()) as think:
        wrong = differences(think(states, PAGE), thought)
    return {"states alike": Tally(float(len(states) - len(wrong)), len(states))}


STUDY = Study(
    name="pocket_traces",
    about="Share of states in which the page's engine and Python's think the same",
    rooms=("models", "identifier"),
    seed=16,
    blocks=20,
    play=play,
    size=100,
    sample=60,
)
