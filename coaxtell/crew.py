"""Work shared out to processes of its own, as many as there are cores; what they cannot do is done here.

They end with whoever started them, however that ends: each reads from a pipe whose other end then closes.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from typing import Any

if sys.platform == "win32":
    import ctypes
else:
    from multiprocessing import resource_tracker

MOST_HANDS = 4
"""So many processes at most: each takes the memory of a command."""

Make = Callable[..., Callable[[Any], Any]]
"""A function of a module, which makes what does the work; what it and that are given must be fit to be sent."""


def hands() -> int:
    """How many processes may work at a time; one where this process has to do it all."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(cores, MOST_HANDS)


def shared_out(make: Make, given: tuple[Any, ...], works: Sequence[Any], number: int) -> Iterator[Any]:
    """What `make(*given)` makes of each work, in the order of the works, by so many processes; whatever it raises must
    be foreseen in it."""
    idle = _started(make, given, number)
    busy: dict[Connection, int] = {}
    found: dict[int, Any] = {}
    left = deque(range(len(works)))
    own: Callable[[Any], Any] | None = None
    try:
        for place in range(len(works)):
            while place not in found:
                while idle and left:
                    _sent(idle.pop(), works, left, busy)
                if not busy:  # none of them is left
                    own = own or make(*given)
                    now = left.popleft()
                    found[now] = own(works[now])
                    continue
                for pipe in wait([*busy]):
                    assert isinstance(pipe, Connection)
                    done = busy.pop(pipe)
                    try:
                        found[done] = pipe.recv()
                    except (EOFError, OSError):  # it was ended: another does its work
                        left.appendleft(done)
                    else:
                        idle.append(pipe)
            yield found.pop(place)
    finally:
        for pipe in (*idle, *busy):
            pipe.close()


def _sent(pipe: Connection, works: Sequence[Any], left: deque[int], busy: dict[Connection, int]) -> None:
    """Give the next work to a process, if it is still there."""
    with contextlib.suppress(OSError):
        pipe.send(works[left[0]])
        busy[pipe] = left.popleft()


def _started(make: Make, given: tuple[Any, ...], number: int) -> list[Connection]:
    """The pipes to the processes, as many as can be had; none for one alone."""
    pipes: list[Connection] = []
    context = get_context("spawn")  # a fork would share threads of libraries
    with contextlib.suppress(OSError):
        for _ in range(number if number > 1 else 0):
            here, there = context.Pipe()
            process = context.Process(target=_serve, args=(there, make, given), daemon=True)
            with _deaf_children():
                process.start()
            there.close()
            pipes.append(here)
    return pipes


if sys.platform == "win32":

    @contextmanager
    def _deaf_children() -> Iterator[None]:
        """What is started meanwhile never hears Ctrl-C, which is for the person's own process alone; that ends it."""
        kernel = ctypes.windll.kernel32
        kernel.SetConsoleCtrlHandler(None, True)  # a process hands this on to those it starts
        try:
            yield
        finally:
            kernel.SetConsoleCtrlHandler(None, False)

else:

    @contextmanager
    def _deaf_children() -> Iterator[None]:
        """What is started meanwhile never hears Ctrl-C, which is for the person's own process alone; that ends it.

        A Ctrl-C of just then is held back and reaches the person's process afterwards.
        """
        resource_tracker.ensure_running()  # whose own start would let signals in again
        pressed: list[int] = []
        main = threading.current_thread() is threading.main_thread()
        # threads of libraries let the signal in whatever is blocked here, so that it is held by a handler as well
        handler = signal.signal(signal.SIGINT, lambda number, _: pressed.append(number)) if main else None
        before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})  # handed on to what is started
        try:
            yield
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, before)
            if main:
                signal.signal(signal.SIGINT, handler)
            if pressed:
                signal.raise_signal(signal.SIGINT)


def _serve(pipe: Connection, make: Make, given: tuple[Any, ...]) -> None:
    """Do what comes through the pipe until the other end is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # if a library lets it in again
    with contextlib.suppress(EOFError, OSError):
        do = make(*given)
        while True:
            pipe.send(do(pipe.recv()))
