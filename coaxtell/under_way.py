"""Identifications under way: each is kept as its answers are given, so that none goes with the process or terminal."""

from __future__ import annotations

import json
import os
import re
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from coaxtell import files, folders, in_hand
from coaxtell.identifier import record
from coaxtell.identifier.answers import State
from coaxtell.in_hand import Held
from coaxtell.models.errors import InputError

MOMENT = "%Y%m%d-%H%M%S-%f"
"""When one was begun, by the world's clock: its file's name begins so."""
_NAME = re.compile(r"([0-9]{8}-[0-9]{6}-[0-9]{6})-[0-9]+\.json")
"""That moment, and the process that began it."""
MOST = 20
"""So many are kept; the oldest of them that are asked nowhere go."""


def _folder() -> Path:
    return folders.folder("data") / "under-way"


def _kept() -> list[Path]:
    """The files of all that were begun and not ended, newest first; what somebody else laid there is left alone."""
    with suppress(OSError):
        own = [path for path in _folder().glob("*.json") if _moment(path) is not None]
        return sorted(own, key=lambda path: path.name, reverse=True)
    return []


def _moment(path: Path) -> datetime | None:
    """When a file was begun, by this place's clock; none where its name says none that a calendar has."""
    named = _NAME.fullmatch(path.name)
    if named is None:
        return None
    try:
        return datetime.strptime(named[1], MOMENT).replace(tzinfo=UTC).astimezone()
    except (ValueError, OverflowError, OSError):
        return None


def left() -> list[Path]:
    """The files of identifications that were left and are asked nowhere now, newest first."""
    found = []
    for path in _kept():
        held = in_hand.taken(path)
        if held is not None:
            held.let_go()
            found.append(path)
    return found


class UnderWay:
    """One identification in a file of its own, from its first answer until it is ended; no other process goes on with
    it meanwhile."""

    def __init__(self, path: Path, held: Held | None = None, newer: int = 0) -> None:
        self.path = path
        self.newer = newer
        """How many begun later are asked elsewhere now."""
        self._held = held

    def begun_at(self) -> datetime:
        """When its first question was asked, by this place's clock."""
        found = _moment(self.path)
        assert found is not None, "only what is named so is gone on with"
        return found

    @classmethod
    def begun(cls, moment: datetime) -> UnderWay:
        """A new one; nothing is written before its first answer."""
        return cls(_folder() / f"{moment:{MOMENT}}-{os.getpid()}.json")

    @classmethod
    def newest(cls) -> UnderWay:
        """The one that was left last and is asked nowhere now; raises InputError where there is none."""
        kept = _kept()
        elsewhere = 0
        for path in kept:
            held = in_hand.taken(path)
            if held is not None and path.exists():
                return cls(path, held, elsewhere)
            if held is None:
                elsewhere += 1
            else:
                held.let_go(whole=True)  # it was ended just now
        if kept:
            raise InputError(
                "The identification that is not ended is being asked in another terminal; leave it there with q, then "
                "--resume goes on with it."
            )
        raise InputError("No identification was left unfinished; `coaxtell identify` begins one.")

    def keep(self, state: State) -> None:
        """Write the answers down; they stay when this returns. Raises InputError where they cannot be kept."""
        new = not self.path.exists()
        files.make_folder(self.path.parent, f"set {folders.HOME} to a folder of yours")
        if self._held is None:
            self._held = in_hand.taken(self.path)
        files.write_text(self.path, json.dumps(record.answers_of(state), indent=1) + "\n")
        if new:
            for old in _kept()[MOST:]:
                held = in_hand.taken(old)
                if held is not None:  # what somebody has gone on with stays
                    self._drop(old, held)

    def leave(self) -> None:
        """It is left as it stands, for whoever goes on with it."""
        if self._held is not None:
            self._held.let_go()
            self._held = None

    def end(self) -> None:
        """It is ended and not offered again."""
        self._drop(self.path, self._held)
        self._held = None

    @staticmethod
    def _drop(path: Path, held: Held | None) -> None:
        with suppress(OSError):
            path.unlink(missing_ok=True)
        if held is not None:
            held.let_go(whole=True)
