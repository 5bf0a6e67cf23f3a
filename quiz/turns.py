"""Whose turn it is to write: processes at one file wait in the order in which they came.

SQLite alone lets each writer try again after pauses that grow, so that a busy record passes some of them over for half
a minute. A lock on a file beside the record, for which the system keeps a queue, hands the turn on.
"""

from __future__ import annotations

import os
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import uniform

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

PAUSE_S = (0.001, 0.008)
"""Pause between two tries where the system keeps no queue [s]."""


@contextmanager
def turn(path: Path, wait_s: float) -> Iterator[None]:
    """Hold the turn at a file, which is made; after `wait_s` [s], or where there can be no such file, go on without it:
    the turn keeps waits short and fair, and what is written is safe without it."""
    try:
        handle = os.open(path, os.O_CREAT | (os.O_RDWR if sys.platform == "win32" else os.O_RDONLY), 0o666)
    except OSError:
        yield
        return
    try:
        _wait(handle, wait_s)
        yield
    finally:
        os.close(handle)  # which hands the turn on, as the end of a killed process does


if sys.platform == "win32":

    def _wait(handle: int, wait_s: float) -> None:
        until = time.monotonic() + wait_s
        while time.monotonic() < until:
            try:
                msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
            except OSError:
                time.sleep(uniform(*PAUSE_S))
            else:
                return

else:

    def _wait(handle: int, wait_s: float) -> None:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            # the queue has no patience of its own that ends: a thread stands in it, and leaves it when its turn comes
            own = os.dup(handle)
            waiting = threading.Thread(target=_stand, args=(own,), daemon=True)
            waiting.start()
            waiting.join(wait_s)
        except OSError:
            return  # a file system without such locks

    def _stand(own: int) -> None:
        try:
            fcntl.flock(own, fcntl.LOCK_EX)
        except OSError:
            pass
        finally:
            os.close(own)  # the turn stays with the other handle, if that is still open
