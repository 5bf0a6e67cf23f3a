"""The process that renders: takes one job at a time, leaves the pixels in shared memory, keeps them on disk.

It runs at a lower priority with one thread for the graphics, so that the window always comes first, and ends when
the window does.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
from multiprocessing.connection import Connection
from multiprocessing.shared_memory import SharedMemory
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from coaxtell import streams
from coaxtell.kept import keep, marks_of, named, prune

if TYPE_CHECKING:
    from coaxtell.models.half import Half
    from coaxtell.models.solids.turntable import Turntable


class Job(NamedTuple):
    """One picture asked for: which half, from where [deg], how far opened [deg], side [px], scale [px per mm], quality.

    With a `mate` it shows both on one axis, their reference planes `distance` [mm] apart, the nuts turned [turns].
    """

    half_id: str
    azimuth: float
    elevation: float
    opened: float
    side: int
    px_per_mm: float
    quick: bool
    finish: str = ""
    """Another finish than the table's; empty for its own."""
    lit: tuple[str, ...] = ()
    """Roles whose parts keep their look while the others turn to clay; empty for all."""
    near: bool = False
    """Whether the middle of the mating face is the middle of the picture, else that of the half."""
    apart: float = 0.0
    """How far it is taken apart, 0 to 1."""
    style: str = ""
    """Another body style than the table's; empty for its own."""
    panel: tuple[str, ...] = ()
    """The row of halves in one plate among which it stands, itself among them; empty where it stands alone."""
    mate: str = ""
    distance: float = 0.0
    turns: tuple[float, float] = (0.0, 0.0)
    hurt: tuple[str, str] = ("", "")
    """Parts of the half and of its mate that the pair harms, shown in the colour of harm and bent."""

    @property
    def subject(self) -> Job:
        """The same in whatever pose, size and quality."""
        return self._replace(azimuth=0.0, elevation=0.0, side=0, px_per_mm=0.0, quick=False)


class Done(NamedTuple):
    """A picture made: its job and how long it took [s]; the reason where it could not be made."""

    job: Job | None
    seconds: float
    why: str = ""


def file_of(folder: Path, job: Job, marks: dict[str, str]) -> Path | None:
    """Where a finished picture is kept: named by a hash of the half's own numbers, the code and the view."""
    mark = marks.get(job.half_id)
    if mark is None or job.mate or job.panel:
        return None
    view = f"{job.azimuth:.1f} {job.elevation:.1f} {job.opened:.0f} {job.side} {job.px_per_mm:.3f} {job.finish}"
    view += f" {job.lit} {job.near} {job.apart:.2f} {job.style}"
    return named(folder, mark, view)


def _lower() -> None:
    """Step back behind the window; where the system does not let us, nothing is lost."""
    if sys.platform == "win32":
        import ctypes

        below_normal = 0x4000
        kernel = ctypes.windll.kernel32
        kernel.SetPriorityClass(kernel.GetCurrentProcess(), below_normal)
    else:
        with contextlib.suppress(OSError):
            os.nice(10)


M_MMAP_THRESHOLD, M_ARENA_MAX = -3, -8
"""Choices of the GNU C library's `mallopt`, as its header numbers them."""
LARGE_BYTES = 256 * 1024
"""A block of memory this large goes back to the system when it is let go."""


def _lean() -> None:
    """Keep no large blocks that were let go: buffers of one picture in full come to tens of megabytes.

    Other C libraries have no such choice; there nothing is done.
    """
    if sys.platform.startswith("linux"):
        import ctypes

        with contextlib.suppress(OSError, AttributeError):
            choose = ctypes.CDLL(None).mallopt
            choose(M_MMAP_THRESHOLD, LARGE_BYTES)
            choose(M_ARENA_MAX, 1)


def work(pipe: Connection, memory_name: str, extra: Path | None, cache: Path) -> None:
    """Render jobs from the pipe until it closes or says none."""
    import time

    from PIL import Image

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    streams.unheard()
    os.environ["LP_NUM_THREADS"] = "1"
    _lower()
    _lean()
    memory = SharedMemory(memory_name)
    try:
        table = None
        try:
            from coaxtell.models import tables
            from coaxtell.models.solids.turntable import Turntable

            halves = tables.load(extra).halves
            marks = marks_of(halves)
            table = Turntable()
        except Exception as error:  # no graphics, no library: drawings take the place of pictures
            pipe.send(Done(None, 0.0, str(error) or type(error).__name__))
            return
        pipe.send(Done(None, 0.0))
        prune(cache)
        while True:
            job = pipe.recv()
            if job is None:
                return
            start = time.perf_counter()
            try:
                rgba = _picture(table, halves, job)
            except Exception as error:  # one picture that fails must not end the others
                pipe.send(Done(job, 0.0, str(error) or type(error).__name__))
                continue
            assert memory.buf is not None
            memory.buf[: rgba.nbytes] = rgba.tobytes()
            pipe.send(Done(job, time.perf_counter() - start))
            if not job.quick:
                path = file_of(cache, job, marks)
                if path is not None:
                    keep(path, Image.fromarray(rgba))
    except (EOFError, OSError, BrokenPipeError):
        return  # the window has gone
    finally:
        memory.close()
        if table is not None:
            table.close()


def _dressed(half: Half, job: Job) -> Half:
    """The half in another finish or body style, where one is asked for."""
    import msgspec

    from coaxtell.models import body

    if job.finish:
        half = msgspec.structs.replace(half, finish=job.finish)
    return body.styled(half, job.style) if job.style else half


def _picture(table: Turntable, halves: dict[str, Half], job: Job) -> Any:
    from coaxtell.models.solids import panel
    from coaxtell.models.solids.display import Display
    from coaxtell.models.solids.turntable import Pose

    pose = Pose(job.azimuth, job.elevation, job.side, job.px_per_mm)
    if job.panel:
        row = [_dressed(halves[half_id], job) for half_id in job.panel]
        return table.square(panel.stood(row, job.panel.index(job.half_id), job.azimuth), pose)
    half = _dressed(halves[job.half_id], job)
    shown = Display(half, job.opened, job.apart, frozenset(job.lit), job.near, halves.get(job.mate), job.distance,
                    job.turns, job.hurt)  # fmt: skip
    return table.quick(shown, pose) if job.quick else table.full(shown, pose)
