"""What may be asked, kept on disk: worked out once for a set of halves, it serves until tables or code change."""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterator, Mapping, MutableMapping
from pathlib import Path

import msgspec

import coaxtell
from coaxtell import folders
from coaxtell.models.half import Half
from coaxtell.quiz.item import Task
from coaxtell.quiz.stock import Shares, Stock

ROOMS = ("models", "identifier", "cables", "quiz")
"""Whose code and tables decide what may be asked."""
MOST = 40
"""Files that are kept; the oldest go."""

Row = tuple[str, str, str, tuple[str, ...], float]


def stock(halves: Mapping[str, Half]) -> Stock:
    """The stock of these halves, which finds what was worked out before, and keeps what is worked out now."""
    return Stock(halves, shares=KeptShares(folders.folder("cache") / "items", mark(halves)))


def mark(halves: Mapping[str, Half]) -> str:
    """A hash of everything that what may be asked depends on: halves, tables and code."""
    found = hashlib.sha256(msgspec.json.encode(list(halves.values())))
    top = Path(coaxtell.__file__).parent
    for room in ROOMS:
        # in a checkout without links the rooms lie beside the package
        place = top / room if (top / room).is_dir() else top.parent / room
        for path in sorted(place.rglob("*")):
            if path.suffix in (".py", ".toml", ".json") and "texts" not in path.parts:
                found.update(path.read_bytes())
    return found.hexdigest()


class KeptShares(MutableMapping[str, Shares]):
    """What may be asked by its key, in files of a folder; where nothing can be kept, it is worked out each time."""

    def __init__(self, folder: Path, mark: str) -> None:
        self._folder, self._mark = folder, mark
        self._held: dict[str, Shares] = {}

    def _path(self, key: str) -> Path:
        return self._folder / f"{hashlib.sha256(f'{self._mark} {key}'.encode()).hexdigest()[:32]}.json"

    def __getitem__(self, key: str) -> Shares:
        if key not in self._held:
            try:
                rows = msgspec.json.decode(self._path(key).read_bytes(), type=list[Row])
            except (OSError, msgspec.MsgspecError):
                raise KeyError(key) from None
            found: Shares = {}
            for kind, a, b, among, share in rows:
                found.setdefault(kind, {})[Task(kind, a, b, among)] = share
            self._held[key] = found
        return self._held[key]

    def __setitem__(self, key: str, value: Shares) -> None:
        self._held[key] = value
        rows = [(t.kind, t.a, t.b, t.among, share) for shares in value.values() for t, share in shares.items()]
        with contextlib.suppress(OSError):  # a full disk is no reason to stop
            self._folder.mkdir(parents=True, exist_ok=True)
            aside = self._path(key).with_suffix(f".{os.getpid()}.tmp")
            try:
                aside.write_bytes(msgspec.json.encode(rows))
                aside.replace(self._path(key))
            finally:
                aside.unlink(missing_ok=True)
            for old in sorted(self._folder.glob("*.json"), key=lambda path: path.stat().st_mtime)[:-MOST]:
                old.unlink(missing_ok=True)

    def __delitem__(self, key: str) -> None:
        del self._held[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._held)

    def __len__(self) -> int:
        return len(self._held)
