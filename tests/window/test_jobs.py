"""Every job by real keys alone and by a real mouse alone: what the last run of all kept, and one job done anew."""

import json
import re
from datetime import date
from pathlib import Path

import pytest

from benchmarks import window_jobs
from coaxtell.window.desk.errands import ERRANDS
from coaxtell.window.jobs import ALL
from tests.window.virtual import screen


def test_each_job_was_done_by_keys_alone_and_by_mouse_alone() -> None:
    row = json.loads(window_jobs.RESULTS.read_text(encoding="utf-8"))
    # when, with what and on which tables: a run that ends alike leaves its trace too
    assert date.fromisoformat(row["date"])
    assert {"python", "coaxtell", "pygame"} <= set(row["versions"])
    assert re.fullmatch(r"[0-9a-f]{16}", row["tables"])
    kept = row["done"]
    assert list(kept) == list(window_jobs.jobs()), "run python -m benchmarks.window_jobs anew"
    assert [f"{job} by {way}" for job, ways in kept.items() for way, done in ways.items() if not done] == []
    assert all(set(ways) == {"keys", "mouse"} for ways in kept.values())
    # no scene and no paper is left out
    assert len(kept) >= len(ALL) + len(ERRANDS)


@pytest.mark.needs("Xvfb", "xdotool", "xclip")
@pytest.mark.parametrize("by_keys", [True, False])
def test_a_job_is_done_by_hand_and_read_by_another_program(by_keys: bool, tmp_path: Path) -> None:
    with screen(1500, 960) as display:
        told = window_jobs.done(display, tmp_path, by_keys, ["cable"])
    assert told == {"cable": ""}
