"""Pictures for the scenes: ready ones at once, others as the worker makes them; the window never waits.

One job is under way at a time. Turning comes first and only its newest place counts, then a quick sketch of whatever
has no picture yet, then all in full in the order they were wanted.
"""

from __future__ import annotations

import contextlib
import multiprocessing
from collections import OrderedDict
from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.shared_memory import SharedMemory
from pathlib import Path

import pygame

from coaxtell.kept import marks_of
from coaxtell.models.half import Half
from coaxtell.window.desk.render_worker import Done, Job, file_of, work
from coaxtell.window.desk.shipped import Shipped
from coaxtell.window.kit.ready import Ready

LARGEST = 1600
"""Largest side of a picture [px]."""
HELD_PIXELS = 6_000_000
"""Pixels of pictures kept at hand."""
MOST_ENDS, ENDS_WITHIN_S = 3, 120.0
"""A worker that ends is replaced, so many times at most within so long [s]."""
MOST_NEWEST, NEWEST_PIXELS = 1000, 4_000_000
"""Halves and pairs and pixels of the newest pictures of halves and pairs, remembered whatever their quality."""
START_S = 60.0
"""How long the worker may take to say that it stands [s]."""


class Pictures:
    """Where no pictures can be drawn: drawings take their place and a line says so."""

    why = "Drawings take the place of pictures: pictures are off."
    quick_s = 0.0
    """How long the last quick picture took [s]."""

    def poll(self) -> bool:
        """Take in what has come; true where something new can be shown."""
        return False

    @property
    def busy(self) -> bool:
        """Whether a picture is under way."""
        return False

    def ready(self, job: Job) -> pygame.Surface | None:
        """The picture of a job if it is at hand; never asks for it."""
        return None

    def want(self, job: Job, first: bool = False) -> pygame.Surface | None:
        """The picture of a job, or none yet: then it is made, before all others with `first`."""
        return None

    def failed(self, job: Job) -> bool:
        """Whether a picture cannot be made."""
        return False

    def turn(self, job: Job) -> None:
        """Make a quick picture; an older one that has not been begun is dropped."""

    def newest(self, job: Job) -> tuple[Job, pygame.Surface] | None:
        """The newest picture of the same subject, of whatever pose, size and quality."""
        return None

    def shipped(self, job: Job) -> tuple[Job, pygame.Surface] | None:
        """The picture that comes with the package of what a job shows, from the same side; at whatever size."""
        return None

    def forget(self) -> None:
        """Nothing is wanted any more but what the next frame asks for."""

    def rest(self) -> None:
        """Nothing is shown in the round for a while: memory is given back until a picture is wanted again."""

    def close(self) -> None:
        """Leave nothing running."""


class Rendered(Pictures):
    """Pictures by a worker process."""

    why = ""

    def __init__(self, halves: dict[str, Half], extra: Path | None, cache: Path, clock: Callable[[], float]) -> None:
        """Start the worker; the window goes on meanwhile."""
        self._cache = cache
        self._clock = clock
        self._halves = halves
        self._marks: dict[str, str] | None = None
        self._shipped = Shipped(halves)
        self._held = Ready(HELD_PIXELS)
        self._newest = Ready(NEWEST_PIXELS)
        self._newest_jobs: dict[Job, Job] = {}
        """What the newest picture of a subject was asked for as."""
        self._turn: Job | None = None
        self._sketches: OrderedDict[Job, None] = OrderedDict()
        self._wanted: OrderedDict[Job, None] = OrderedDict()
        self._turning = False
        """Whether the job under way is one of turning."""
        self._under_way: Job | None = None
        self._standing = self._resting = False
        self._begun = clock()
        self._failed: set[Job] = set()
        self.frames = 0
        self._extra = extra
        self._ends: list[float] = []
        """When the worker ended before its time [s]."""
        self._memory: SharedMemory | None = None
        self._pipe: Connection | None = None
        self._process: multiprocessing.process.BaseProcess | None = None
        self._start()

    def _start(self) -> None:
        """Start the worker; it says when it stands."""
        self._standing, self._resting, self._begun = False, False, self._clock()
        try:
            self._memory = SharedMemory(create=True, size=LARGEST * LARGEST * 4)
            context = multiprocessing.get_context("spawn")
            here, there = context.Pipe()
            process = context.Process(
                target=work, args=(there, self._memory.name, self._extra, self._cache), daemon=True
            )
            process.start()
            there.close()
            self._pipe, self._process = here, process
        except OSError as error:
            self._stop(f"Drawings take the place of pictures: the worker cannot start ({error}).")

    @property
    def busy(self) -> bool:
        """Whether a picture is under way or wanted, or the worker is still starting."""
        wanted = self._under_way is not None or bool(self._wanted or self._sketches)
        return self._pipe is not None and (not self._standing or wanted)

    @property
    def process_id(self) -> int | None:
        """The worker's process, for measurements."""
        return None if self._process is None else self._process.pid

    def ready(self, job: Job) -> pygame.Surface | None:
        """The picture of a job if it is at hand or kept on disk."""
        found = self._held.get(job)
        if found is not None:
            return found
        if job.quick or job in self._wanted or job == self._under_way:
            return None
        if self._marks is None:
            self._marks = marks_of(self._halves)
        path = file_of(self._cache, job, self._marks)
        if path is None or not path.is_file():
            return None
        try:
            kept = pygame.image.load(str(path))
        except (pygame.error, OSError):
            return None
        if kept.get_size() != (job.side, job.side):
            return None
        return self._held.put(job, kept)

    def want(self, job: Job, first: bool = False) -> pygame.Surface | None:
        """The picture of a job, its sketch, or none yet."""
        found = self.ready(job)
        if found is None and self._resting:
            self._start()
        if found is not None or self._pipe is None or job in self._failed:
            return found
        sketch = job._replace(quick=True)
        found = self._held.get(sketch)
        if job != self._under_way and job not in self._wanted:
            self._wanted[job] = None
            if found is None:
                self._sketches[sketch] = None
        if first and job in self._wanted:
            self._wanted.move_to_end(job, last=False)
            if sketch in self._sketches:
                self._sketches.move_to_end(sketch, last=False)
        self._next()
        return found

    def failed(self, job: Job) -> bool:
        """Whether the worker could not make it."""
        return job in self._failed

    def turn(self, job: Job) -> None:
        """Make a quick picture of the newest place."""
        if self._resting:
            self._start()
        self._turn = job
        self._next()

    def shipped(self, job: Job) -> tuple[Job, pygame.Surface] | None:
        """The picture of the package, from the same side."""
        return self._shipped.find(job)

    def newest(self, job: Job) -> tuple[Job, pygame.Surface] | None:
        """The newest picture of the same subject."""
        surface = self._newest.get(job.subject)
        return None if surface is None else (self._newest_jobs[job.subject], surface)

    def forget(self) -> None:
        """Nothing that has not been begun is wanted any more; a half that turns goes on turning."""
        self._wanted.clear()
        self._sketches.clear()

    def _next(self) -> None:
        if self._pipe is None or not self._standing or self._under_way is not None:
            return
        job = self._turn
        self._turn = None
        self._turning = job is not None
        if job is None and (self._sketches or self._wanted):
            job, _ = (self._sketches or self._wanted).popitem(last=False)
        if job is None:
            return
        try:
            self._pipe.send(job)
        except OSError:
            self._ended()
            return
        self._under_way = job

    def poll(self) -> bool:
        """Take in what the worker has made and give it the next job."""
        came = False
        while self._pipe is not None:
            try:
                if not self._pipe.poll():
                    break
                done: Done = self._pipe.recv()
            except (EOFError, OSError):
                self._ended()
                return True
            came = self._take(done) or came
            self._next()
        if self._pipe is not None and not self._standing and self._clock() - self._begun > START_S:
            self._stop("Drawings take the place of pictures: the graphics did not start.")
            return True
        return came

    def _take(self, done: Done) -> bool:
        if done.job is None:
            if done.why:
                self._stop(f"Drawings take the place of pictures: the graphics cannot start ({done.why}).")
            self._standing = True
            return True
        self._under_way = None
        if done.why:
            self._failed.add(done.job)
            return True
        job = done.job
        assert self._memory is not None
        assert self._memory.buf is not None
        size = job.side * job.side * 4
        surface = pygame.image.frombuffer(bytes(self._memory.buf[:size]), (job.side, job.side), "RGBA")
        if self._turning:
            self.quick_s = done.seconds
            self.frames += 1
        else:
            self._held.put(job, surface)
            if not job.quick:
                self._held.drop(job._replace(quick=True))
        if not (job.near or job.lit or job.finish):
            self._newest.put(job.subject, surface)
            self._newest_jobs[job.subject] = job
            if len(self._newest_jobs) > MOST_NEWEST:
                kept = [one for one in self._newest_jobs if self._newest.get(one) is not None]
                self._newest_jobs = {one: self._newest_jobs[one] for one in kept}
        return True

    def _ended(self) -> None:
        """The worker is gone: another takes its place, unless they end one after the other."""
        now = self._clock()
        under_way, wanted = self._under_way, list(self._wanted)
        self._ends = [end for end in self._ends if now - end < ENDS_WITHIN_S] + [now]
        if len(self._ends) > MOST_ENDS:
            self._stop("Drawings take the place of pictures: the worker that renders has ended again and again.")
            return
        self._let_go()
        if under_way is not None and len(self._ends) > 1:
            self._failed.add(under_way)  # what it was busy with may be what ends it
        elif under_way is not None and not under_way.quick:
            wanted.insert(0, under_way)
        self._wanted.update(dict.fromkeys(wanted))
        self._start()

    def _stop(self, why: str) -> None:
        """No more pictures; the reason stands in the window."""
        self.why = why
        self.close()

    def rest(self) -> None:
        """End the worker until a picture is wanted; what it made is kept."""
        if self._pipe is None:
            return
        if self._process is not None:
            self._process.terminate()  # a picture under way is not waited for
        self._let_go()
        self._standing, self._resting, self._turn = False, True, None

    def close(self) -> None:
        """End the worker and give the memory back."""
        self._resting = False
        self._let_go()

    def _let_go(self) -> None:
        if self._pipe is not None:
            with contextlib.suppress(OSError):
                self._pipe.send(None)
            self._pipe.close()
            self._pipe = None
        if self._process is not None:
            self._process.join(1.5)
            if self._process.is_alive():
                self._process.terminate()
                self._process.join(1.0)
            self._process = None
        if self._memory is not None:
            self._memory.close()
            with contextlib.suppress(FileNotFoundError):
                self._memory.unlink()
            self._memory = None
        self._under_way = None
        self._wanted.clear()
        self._sketches.clear()
