"""Writers at one record: each in its turn, none passed over, and none held up by one that died or stopped."""

from __future__ import annotations

import os
import time
from multiprocessing.connection import Connection
from pathlib import Path

from benchmarks.quiz_writers import played
from coaxtell.quiz.turns import turn
from tests.quiz.kill import PROCESSES


def _hold(path: Path, pipe: Connection, dies: bool) -> None:
    pipe.send("stands")
    with turn(path, 30):
        pipe.send(time.monotonic())
        pipe.recv()
        if dies:
            os._exit(9)


def line_up(path: Path, dies: bool) -> tuple[list[Connection], list[object]]:
    pipes, processes = [], []
    for _ in range(4):
        ours, theirs = PROCESSES.Pipe()
        # where a test fails, those that still wait end with it
        one = PROCESSES.Process(target=_hold, args=(path, theirs, dies), daemon=True)
        one.start()
        theirs.close()
        assert ours.recv() == "stands"
        time.sleep(0.05)  # so that they come in this order
        pipes.append(ours)
        processes.append(one)
    return pipes, list(processes)


def test_the_turn_goes_on_in_the_order_in_which_they_came_even_past_the_dead(tmp_path: Path) -> None:
    for dies in (False, True):
        pipes, processes = line_up(tmp_path / f"turn {dies}", dies)
        for place, pipe in enumerate(pipes):
            assert pipe.poll(10), "it has its turn"
            pipe.recv()
            assert not any(other.poll(0.02) for other in pipes[place + 1 :]), "one at a time"
            pipe.send("go on")
        for one in processes:
            one.join()  # type: ignore[attr-defined]


def test_who_waits_too_long_or_has_no_file_goes_on(tmp_path: Path) -> None:
    pipes, processes = line_up(tmp_path / "turn", False)
    assert pipes[0].poll(10)
    start = time.monotonic()
    with turn(tmp_path / "turn", 0.05):
        assert time.monotonic() - start < 5
    for pipe in pipes:
        pipe.poll(10)
        pipe.recv()
        pipe.send("go on")
    for one in processes:
        one.join()  # type: ignore[attr-defined]
    with turn(tmp_path / "no folder" / "turn", 30):
        pass
    (tmp_path / "broken").write_bytes(b"\xff" * 40)
    with turn(tmp_path / "broken", 1):
        pass


def test_many_writers_share_a_record_evenly_and_lose_nothing() -> None:
    """The figures of 32 writers are kept by benchmarks/quiz_writers.py; no wait is judged here, where others work."""
    found = played(6, 1.0)
    assert (found.lost, found.faults) == (0, 0)
    assert min(found.answers) >= max(found.answers) - 2
    assert min(found.answers) > 3
