"""The dialog in which a half is chosen: type a part of its name, take it from the list."""

from __future__ import annotations

import re
from collections.abc import Callable

from coaxtell.models import called
from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.lists import Row
from coaxtell.window.kit.stack import Stack


def matching(halves: list[Half], words: str) -> list[Half]:
    """The halves meant as the terminal understands a name, in their order; then those whose names hold what was typed.

    Of these what begins so comes first, then what holds every word whole.
    """
    typed = " ".join(words.lower().split())
    parts = re.split(r"[\s-]+", typed)

    def rank(half: Half) -> int | None:
        own = [name.lower() for name in (half.id, half.name, *half.trade_names)]
        if any(name.startswith(typed) for name in own):
            return 1
        held = " ".join([*own, half.family, f"{half.polarity} polarity", "" if half.key is None else half.key.colour])
        every, whole = held.lower(), re.split(r"[\s-]+", held.lower())
        if not all(part in every for part in parts):
            return None
        return 2 if all(part in whole for part in parts) else 3

    first = called.meant(halves, words)
    found = [(place, half) for half in halves if half not in first and (place := rank(half)) is not None]
    return [*first, *(half for _, half in sorted(found, key=lambda row: row[0]))]


class Picker:
    """One choice of a half; `taken` is told which."""

    def __init__(self, desk: Desk, title: str, current: str, taken: Callable[[str], None], typed: str = "") -> None:
        """The list starts at the half in force."""
        self.desk, self.taken = desk, taken
        self.edit = Edit(typed)
        named = [n.half_id for n in desk.named if n.half_id in desk.tables.halves]
        self.halves = [*(desk.half(i) for i in named), *(h for h in desk.usual if h.id not in named)]
        self.named = set(named)
        ids = [h.id for h in self.halves]
        self.at = ids.index(current) if current in ids else 0
        self.dialog = Dialog(title, self._fill)

    def open(self) -> None:
        """Show it."""
        self.desk.ask(self.dialog)

    def _found(self) -> list[Half]:
        return matching(self.halves, self.edit.text)

    def _typed(self) -> None:
        self.at = 0

    def _move(self, at: int) -> None:
        self.at = at

    def _take(self) -> None:
        found = self._found()
        if found:
            self.desk.close_dialog()
            self.taken(found[min(self.at, len(found) - 1)].id)

    def _fill(self, stack: Stack) -> None:
        found = self._found()
        self.at = max(0, min(self.at, len(found) - 1))
        stack.field("find", "Part of a name, such as rp-sma or N jack", self.edit, self._typed, self._take)
        if not found:
            stack.say("No half is called that; take a word out.", role="harm")
            return
        rows = [Row(h.id, h.name, "named here" if h.id in self.named else ", ".join(h.trade_names[:1])) for h in found]
        stack.rows("halves", rows, self.at, self._move, self._take)
