"""Movements that explain: a value that glides to its goal in under a quarter of a second, or jumps."""

from __future__ import annotations


class Glide:
    """A number on its way."""

    def __init__(self, value: float) -> None:
        """At rest."""
        self.value = value
        self.goal = value
        self._from = value
        self._start = 0.0
        self._lasts = 0.0

    def set(self, value: float) -> None:
        """Be there at once."""
        self.value = self.goal = self._from = value
        self._lasts = 0.0

    def to(self, goal: float, now: float, lasts: float) -> None:
        """Go there within `lasts` [s] from `now` [s]."""
        if lasts <= 0:
            self.set(goal)
            return
        self._from, self.goal, self._start, self._lasts = self.value, goal, now, lasts

    def tick(self, now: float) -> bool:
        """Move on to the time `now` [s]; true while it moves."""
        if self._lasts <= 0:
            return False
        share = max(0.0, min(1.0, (now - self._start) / self._lasts))
        eased = share * share * (3 - 2 * share)
        self.value = self._from + (self.goal - self._from) * eased
        if share >= 1:
            self.set(self.goal)
        return True
