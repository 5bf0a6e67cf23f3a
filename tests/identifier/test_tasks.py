"""Whole sessions as a technician meets them: the dialogue of each task kept as a story, and how it ends checked.

The stories stand in `told`; percentages are left out of them, since every number of a table moves them. After a change
that is meant: COAXTELL_ACCEPT_STORIES=1 pytest tests/identifier/test_tasks.py, then read them.
"""

from __future__ import annotations

import builtins
import os
import re
from pathlib import Path

import pytest

from coaxtell.cli.main import main
from coaxtell.identifier.features import LIKENED, SEEN, Feature
from tests.halves import half
from tests.identifier.kit import truths
from tests.identifier.tasks import TASKS, Task

TOLD = Path(__file__).parent / "told"
ACCEPT = "COAXTELL_ACCEPT_STORIES"


class Technician:
    """Who answers each question by the part in the hand, or by what the task says instead."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.true = truths(half(task.half))
        self.asked: list[Feature] = []

    def answer(self, prompt: str) -> str:
        typed = self._typed(prompt)
        print(f"{prompt}{typed}")
        return typed

    def _typed(self, prompt: str) -> str:
        if prompt.startswith("y or n"):
            return self.task.voltage
        if prompt.startswith("b to change"):
            return ""
        feature = Feature(prompt.removesuffix("> "))
        said = self.task.says.get(feature)
        times = self.asked.count(feature)
        self.asked.append(feature)
        if said is not None:
            return said[min(times, len(said) - 1)]
        true = self.true[feature]
        if feature is Feature.MARKED:
            return "none"
        if feature in SEEN or feature in LIKENED:
            return "u" if true is None else str(true)
        return "n" if true is None else f"{float(true):.2f}"


@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.name)
def test_a_task(task: Task, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    technician = Technician(task)
    monkeypatch.setattr(builtins, "input", technician.answer)
    assert main(["identify", *task.options, *task.given]) == 0
    out = capsys.readouterr().out
    told = (
        f"{task.scene}\nGround: {task.ground}.\n\n$ coaxtell identify {' '.join((*task.options, *task.given))}".rstrip()
        + "\n"
        + out
    )
    assert "Not settled:" in out if task.state.value == "not settled" else "settled" in out
    flat = " ".join(out.split())
    named = half(task.half).name
    if task.state.value == "settled":
        assert f"{named} ({task.half})" in flat
    for words in task.told:
        assert words in flat, words
    assert not set(technician.asked) & set(task.never)
    kept = re.sub(r"(over |under )?\d+ %( +#+)?", "… %", told)
    path = TOLD / f"{task.name}.txt"
    if os.environ.get(ACCEPT) or not path.is_file():
        path.write_text(kept, encoding="utf-8")
    assert path.read_text(encoding="utf-8") == kept
