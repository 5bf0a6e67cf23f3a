"""Who has a file in hand: a lock of the system, held beside the file, that ends with the process however it ends.

The lock stands on a file of its own, since what is kept is replaced whole with every answer.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

ENDING = ".in-hand"


class Held:
    """A file that this process has in hand, until it lets go or ends."""

    def __init__(self, beside: Path, handle: int | None) -> None:
        self._beside = beside
        self._handle = handle

    def let_go(self, whole: bool = False) -> None:
        """Leave the file to others; with `whole` it is done with and the lock's own file goes too."""
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None
        if whole:
            with suppress(OSError):
                self._beside.unlink(missing_ok=True)


def taken(path: Path) -> Held | None:
    """The file in hand, or none where another has it. A disk or system without locks leaves it to whoever asks."""
    beside = path.with_name(path.name + ENDING)
    try:
        handle = os.open(beside, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError:
        return Held(beside, None)
    if _locked(handle):
        return Held(beside, handle)
    os.close(handle)
    return None


if sys.platform == "win32":

    def _locked(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except PermissionError:
            return False
        except OSError:
            return True
        return True

else:

    def _locked(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except (BlockingIOError, PermissionError):
            return False
        except OSError:
            return True
        return True
