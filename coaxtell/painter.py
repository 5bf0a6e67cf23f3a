"""Pictures are drawn in a process of their own: graphics that are missing or broken may end the process that asks for
them by a signal, and a command shall not end with it."""

from __future__ import annotations

import contextlib
import errno
import signal
from collections.abc import Callable
from functools import cache
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from coaxtell import streams
from coaxtell.models.errors import InputError

Work = Callable[..., None]
"""A function of a module, which draws; what it is given must be fit to be sent to another process."""

NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
"""What a disk says that takes no more: no fault of the graphics."""
END_S = 10.0
"""How long the process may take to finish what it draws when it is let go [s]."""


class Painter:
    """A process that draws, started when it is first needed and again after it has ended."""

    def __init__(self) -> None:
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._unread = 0
        """Works begun whose end has not been read yet."""

    def begin(self, work: Work, *given: Any) -> None:
        """Let the process do something while nobody waits for it; how it ends is not told."""
        with contextlib.suppress(OSError):
            self._sent(work, given)
            self._unread += 1

    def draw(self, work: Work, *given: Any) -> None:
        """Do the work there.

        Raises RuntimeError, which says why, where no picture can be drawn on this machine; InputError as the work does,
        OSError where what is drawn has no room.
        """
        try:
            pipe = self._sent(work, given)
            for _ in range(self._unread):
                pipe.recv()
            self._unread = 0
            wrong: Exception | None = pipe.recv()
        except (EOFError, OSError) as error:
            raise RuntimeError(self._ended() or str(error)) from None
        except BaseException:
            self.close()  # an answer that nobody reads would be taken for the next one
            raise
        if wrong is not None:
            raise wrong

    def close(self) -> None:
        """End the process once it is through with what it draws now."""
        self._ended()

    def _sent(self, work: Work, given: tuple[Any, ...]) -> Connection:
        if self._pipe is None:
            context = get_context("spawn")  # a fork would share the window and its threads
            self._pipe, there = context.Pipe()
            self._process = context.Process(target=_serve, args=(there,), daemon=True)
            self._process.start()
            there.close()
        self._pipe.send((work, given))
        return self._pipe

    def _ended(self) -> str:
        """Let go of the process; how it ended, empty where it did so by itself."""
        process, pipe = self._process, self._pipe
        self._process, self._pipe, self._unread = None, None, 0
        if pipe is not None:
            pipe.close()
        if process is None:
            return ""
        process.join(END_S)
        if process.exitcode is None:
            process.terminate()
            process.join(END_S)
        code = process.exitcode or 0
        return _by_signal(-code) if code < 0 else f"the graphics ended with status {code}" if code else ""


@cache
def shared() -> Painter:
    """The one painter of this process; it ends with it."""
    return Painter()


def _by_signal(number: int) -> str:
    try:
        return f"the graphics ended by {signal.Signals(number).name}"
    except ValueError:
        return f"the graphics ended by signal {number}"


def _serve(pipe: Connection) -> None:
    """Do what comes through the pipe and say how it went, until the other end is closed."""
    # Ctrl-C is for the person's own process, which then ends this one
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    streams.unheard()
    with contextlib.suppress(EOFError, OSError):
        while True:
            work, given = pipe.recv()
            pipe.send(_done(work, given))


def _done(work: Work, given: tuple[Any, ...]) -> Exception | None:
    try:
        work(*given)
    except InputError as error:
        return error
    except OSError as error:
        return error if error.errno in NO_ROOM else RuntimeError(str(error))
    except Exception as error:  # whatever graphics bring with them: a library, a driver
        return RuntimeError(str(error) or type(error).__name__)
    return None
