"""Pictures that come with the package, so that the first view is never flat: drawn by a build step, held to the tables.

A picture is used only while its half's numbers are those it was drawn from.
"""

from __future__ import annotations

import hashlib
import io
import json
from importlib import resources
from typing import Any

import msgspec
import pygame

from coaxtell.models.half import Half
from coaxtell.models.numbers import SHAPELESS, walk
from coaxtell.window.desk.render_worker import Job

FOLDER, INDEX = "shipped", "index.json"


def mark_of(half: Half) -> str:
    """A hash of what a half's shape and colours depend on: its numbers and forms, not their sources."""
    numbers = [(path, measure.nominal) for path, measure in walk(half) if not SHAPELESS.intersection(path)]
    forms = _forms(msgspec.to_builtins(half))
    return hashlib.sha256(json.dumps([numbers, forms]).encode()).hexdigest()[:16]


WORDS = frozenset({"name", "trade_names", "notes", "states", "uses", "marks"})
"""Fields of a half that stand in no picture of it."""


def _forms(part: Any) -> Any:
    """What a struct says besides its measures and words."""
    if isinstance(part, dict):
        if "grade" in part:
            return None
        return {key: _forms(value) for key, value in part.items() if key not in WORDS | SHAPELESS}
    return [_forms(item) for item in part] if isinstance(part, list) else part


def key_of(job: Job) -> str:
    """What a picture shows, whatever its size: the half, from where, how far opened, what is lit, how centred."""
    return f"{job.half_id} {job.azimuth:g} {job.elevation:g} {job.opened:g} {','.join(job.lit)} {job.near}"


class Shipped:
    """The pictures of the package, loaded when they are first shown."""

    def __init__(self, halves: dict[str, Half]) -> None:
        """Read the list; without one there are none."""
        self._halves = halves
        self._folder = resources.files("coaxtell.window") / FOLDER
        try:
            self._list: dict[str, dict[str, Any]] = json.loads((self._folder / INDEX).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            self._list = {}
        self._loaded: dict[str, tuple[Job, pygame.Surface] | None] = {}

    def find(self, job: Job) -> tuple[Job, pygame.Surface] | None:
        """The picture of what a job shows, at the size it was drawn; none where the package has none of it."""
        if job.finish or job.style or job.mate or job.apart:
            return None
        key = key_of(job)
        if key not in self._loaded:
            self._loaded[key] = self._load(key, job)
        return self._loaded[key]

    def _load(self, key: str, job: Job) -> tuple[Job, pygame.Surface] | None:
        row = self._list.get(key)
        half = self._halves.get(job.half_id)
        if row is None or half is None or row["mark"] != mark_of(half):
            return None
        try:
            data = (self._folder / row["file"]).read_bytes()
            surface = pygame.image.load(io.BytesIO(data), row["file"])
        except (OSError, pygame.error):
            return None
        return job._replace(side=row["side"], px_per_mm=row["px_per_mm"], quick=False), surface
