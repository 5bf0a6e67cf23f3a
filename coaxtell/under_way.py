"""Identifications under way: each is kept as its answers are given, so that none goes with the process or terminal."""

from __future__ import annotations

import json
import os
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from coaxtell import files, folders
from coaxtell.identifier import record
from coaxtell.identifier.answers import State
from coaxtell.models.errors import InputError

MOST = 20
"""So many that were left are kept; the oldest go."""


def _folder() -> Path:
    return folders.folder("data") / "under-way"


def left() -> list[Path]:
    """The files of identifications that were begun and not ended, newest first."""
    with suppress(OSError):
        return sorted(_folder().glob("*.json"), key=lambda path: path.name, reverse=True)
    return []


def newest() -> Path:
    """The file of the identification that was left last; raises InputError where none was."""
    found = left()
    if not found:
        raise InputError("No identification was left unfinished; `coaxtell identify` begins one.")
    return found[0]


class UnderWay:
    """One identification in a file of its own, from its first answer until it is ended."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @classmethod
    def begun(cls, moment: datetime) -> UnderWay:
        """A new one; nothing is written before its first answer."""
        return cls(_folder() / f"{moment:%Y%m%d-%H%M%S-%f}-{os.getpid()}.json")

    def keep(self, state: State) -> None:
        """Write the answers down; they stay when this returns. Raises InputError where they cannot be kept."""
        new = not self.path.exists()
        files.make_folder(self.path.parent, f"set {folders.HOME} to a folder of yours")
        files.write_text(self.path, json.dumps(record.answers_of(state), indent=1) + "\n")
        if new:
            for old in left()[MOST:]:
                with suppress(OSError):
                    old.unlink()

    def end(self) -> None:
        """It is ended and not offered again."""
        with suppress(OSError):
            self.path.unlink(missing_ok=True)
