"""The dialog in which a file is chosen from its folder, by mouse or keys; typing and dropping it go on working."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.lists import Row
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import SMALL

MOST, MOST_FILES = 300, 200
"""Most rows shown of a folder, and most files among them."""


def _so(ask: Callable[[], bool]) -> bool:
    """The answer of a path about itself; no where it may not be looked at."""
    try:
        return ask()
    except OSError:
        return False


def _age(file: os.DirEntry[str]) -> float:
    """When a file was changed last [s]; one that is gone by now comes last."""
    try:
        return file.stat().st_mtime
    except OSError:
        return 0.0


class FileList:
    """One choice of a file with one of these endings; `taken` is told its path."""

    def __init__(self, desk: Desk, title: str, endings: tuple[str, ...], taken: Callable[[str], None]) -> None:
        """The list starts where the last file was chosen, else where sheets are saved."""
        self.desk, self.endings, self.taken = desk, endings, taken
        self.trouble = ""
        self.at = 0
        self.dialog = Dialog(title, self._fill)
        self.folder = desk.folder if desk.folder is not None and _so(desk.folder.is_dir) else desk.sheets
        # where it is missing or closed, the way up stands open
        self.paths = [one for one in self.folder.parents if _so(one.is_dir)][:1]
        self._files: set[Path] = set()
        """Those of the paths that are files to take; the others are folders."""
        self.left_out = 0
        """How many of a folder have no row."""
        self._look_into(self.folder)

    def open(self) -> None:
        """Show it."""
        self.desk.ask(self.dialog)

    def _look_into(self, folder: Path) -> None:
        """List a folder: the one above, those in it, then its files of these endings, the newest first."""
        try:
            # what kind each is comes with its name: thousands of files are listed at once
            with os.scandir(folder) as entries:
                inside = [one for one in entries if not one.name.startswith(".")]
        except OSError as error:
            self.trouble = f"{folder} cannot be looked into ({error.strerror}); choose another folder."
            return
        below = sorted((one for one in inside if _so(one.is_dir)), key=lambda one: one.name.lower())
        named = [one for one in inside if one.name.lower().endswith(self.endings) and _so(one.is_file)]
        files = [Path(one) for one in sorted(named, key=_age, reverse=True)[:MOST_FILES]]
        folders = [Path(one) for one in below[: MOST - len(files)]]
        self.folder, self.trouble, self._files = folder, "", set(files)
        self.left_out = len(below) + len(named) - len(folders) - len(files)
        above = [] if folder.parent == folder else [folder.parent]
        self.paths = [*above, *folders, *files]
        self.at = self.paths.index(files[0]) if files else 0

    def _words(self, path: Path) -> str:
        if path in self.folder.parents:
            return "\N{UPWARDS ARROW} the folder above"
        return path.name

    def _note(self, path: Path) -> str:
        return "" if path in self._files else "folder"

    def _move(self, at: int) -> None:
        self.at = at

    def _take(self) -> None:
        path = self.paths[self.at]
        if path not in self._files:
            self._look_into(path)
            return
        self.desk.close_dialog()
        self.desk.folder = path.parent
        self.taken(str(path))

    def _fill(self, stack: Stack) -> None:
        stack.say(str(self.folder), SMALL, "quiet")
        if self.trouble:
            stack.check(self.trouble, False, key="trouble")
        rows = [Row(f"row-{i}", self._words(path), self._note(path)) for i, path in enumerate(self.paths)]
        stack.rows("files", rows, self.at, self._move, self._take)
        if not self._files and not self.trouble:
            stack.say(f"No file here ends in {' or '.join(self.endings)}.", SMALL, "quiet")
        if self.left_out:
            stack.say(f"{self.left_out} more lie here than are listed; leave this and type the place of one.", SMALL)
        stack.button("leave", "Leave it", self.desk.close_dialog)
