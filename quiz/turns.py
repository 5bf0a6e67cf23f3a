"""Whose turn it is to write: processes at one file wait in the order in which they came.

SQLite alone lets each writer try again after pauses that grow, so that a busy record passes some of them over for half
a minute. Here each takes the next place in a queue and waits for the one before it alone (the queue lock of Craig and
of Landin and Hagersten, 1993 and 1994, with a locked byte of a file for each place). A process that dies gives its
place up, since the system lets go of its locks.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import sleep

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

PAUSE_S = 0.003
"""Pause between two looks at the place before one's own [s]."""
NEXT, FIRST = 0, 64
"""Where the file says which place is the next, a byte that whoever reads it holds, and the byte of the first place."""
PLACES = 2**40


@contextmanager
def turn(path: Path, wait_s: float) -> Iterator[None]:
    """Hold the turn at a file, which is made; after `wait_s` [s], or where there can be no such file, go on without it:
    the turn keeps waits short and even, and what is written is safe without it."""
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError:
        yield
        return
    try:
        _stand(handle, round(wait_s / PAUSE_S))
        yield
    finally:
        os.close(handle)  # which hands the turn on


def _stand(handle: int, looks: int) -> None:
    """Take the next place and wait for the one before it."""
    try:
        if not _got(handle, NEXT, looks):
            return
        os.lseek(handle, NEXT, os.SEEK_SET)
        place = int.from_bytes(os.read(handle, 8), "little") % PLACES
        os.lseek(handle, NEXT, os.SEEK_SET)
        os.write(handle, (place + 1).to_bytes(8, "little"))
        _lock(handle, FIRST + place + 1)
        _let_go(handle, NEXT)
        _got(handle, FIRST + place, looks)
    except OSError:
        return  # a file system without locks, or none that serves here


def _got(handle: int, byte: int, looks: int) -> bool:
    """Whether a byte was got within so many looks."""
    for _ in range(looks):
        if _lock(handle, byte):
            return True
        sleep(PAUSE_S)
    return _lock(handle, byte)


if sys.platform == "win32":

    def _lock(handle: int, byte: int) -> bool:
        try:
            os.lseek(handle, byte, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except PermissionError:
            return False
        return True

    def _let_go(handle: int, byte: int) -> None:
        os.lseek(handle, byte, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)

else:

    def _lock(handle: int, byte: int) -> bool:
        try:
            fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB, 1, byte)
        except (BlockingIOError, PermissionError):  # POSIX leaves it open which of them it is
            return False
        return True

    def _let_go(handle: int, byte: int) -> None:
        fcntl.lockf(handle, fcntl.LOCK_UN, 1, byte)
