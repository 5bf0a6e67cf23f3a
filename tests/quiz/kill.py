"""Processes that write into one record, and the rounds in which one of them is killed at a random moment."""

from __future__ import annotations

import multiprocessing
import os
import signal
import time
import uuid
from datetime import UTC, datetime, timedelta
from multiprocessing.connection import Connection
from random import Random

from coaxtell.quiz.log import Answered, Mode, Started
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.store import Store

START = datetime(2025, 3, 1, 8, tzinfo=UTC)
PROCESSES = multiprocessing.get_context("forkserver")
PROCESSES.set_forkserver_preload(["tests.quiz.kill", "coaxtell.quiz.server"])
LONGEST_S = 0.06
"""Longest wait before the kill [s]."""
WHILE_WRITING = 0.8
"""Share of rounds whose wait begins with the first answer told; the others are killed while they open, too."""


def started(sitting: str, person: str = "Ana", mode: Mode = Mode.PRACTICE) -> Started:
    return Started(id=sitting, time=START, person=person, mode=mode)


def left_on_other_tables(person: str) -> Started:
    """An assessment that was begun on tables that have changed since."""
    return Started(id="left", time=START, person=person, mode=Mode.ASSESSMENT, seed=5, blueprint="of other tables")


def answer(sitting: str, number: int, person: str = "Ana", right: bool = True, minutes: float = 0.0) -> Answered:
    return Answered(
        id=str(uuid.uuid4()),
        time=START + timedelta(minutes=minutes, seconds=number),
        person=person,
        sitting=sitting,
        number=number,
        kind="mates",
        a="sma-plug",
        b="rp-sma-jack",
        question="What becomes of it?",
        options=["mates", "damages"],
        right="damages",
        chosen="damages" if right else "mates",
        sure=0.8,
        skills=[Skill.POLARITY],
        harmful=True,
    )


def write(where: str, sitting: str, most: int, acknowledged: Connection) -> None:
    """Write answers one after the other and tell each once the record has it."""
    with Store(where) as store:
        store.add(started(sitting))
        acknowledged.send(0)
        for number in range(1, most + 1):
            store.add(answer(sitting, number))
            acknowledged.send(number)


def _drained(pipe: Connection) -> list[int]:
    found: list[int] = []
    try:
        while pipe.poll():
            found.append(pipe.recv())
    except EOFError:
        pass
    return found


def killed_round(where: str, rng: Random) -> tuple[int, int]:
    """Kill a writer at a random moment; returns how many answers it was told are safe, and how many are lost."""
    ours, theirs = PROCESSES.Pipe(duplex=False)
    sitting = str(uuid.uuid4())
    process = PROCESSES.Process(target=write, args=(where, sitting, 100_000, theirs))
    process.start()
    theirs.close()
    if rng.random() < WHILE_WRITING:
        ours.poll(60)
    time.sleep(rng.uniform(0.0, LONGEST_S))
    assert process.pid is not None
    os.kill(process.pid, signal.SIGKILL)
    process.join()
    assert process.exitcode == -signal.SIGKILL
    told = _drained(ours)
    ours.close()
    process.close()
    with Store(where) as store:
        held = {event.number for event in store.events(sitting=sitting)}
    # one more than was told may stand there: it was safe already when the process died before telling
    assert len(held) in (len(told), len(told) + 1)
    return len(told), len(set(told) - held)
