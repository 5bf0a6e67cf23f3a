"""What items are made of: the halves and their matings, each worked out once."""

from __future__ import annotations

from collections.abc import Mapping

from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating import Mating, mate


class Stock:
    """Halves by id with their matings, kept once asked for; it never changes what it was given."""

    def __init__(self, halves: Mapping[str, Half]) -> None:
        self.halves = dict(halves)
        self._matings: dict[tuple[str, str], Mating] = {}

    def half(self, half_id: str) -> Half:
        """The half of that id; raises InputError where there is none."""
        found = self.halves.get(half_id)
        if found is None:
            raise InputError(f"No half is called {half_id!r}; `coaxtell list` shows all ids.")
        return found

    def mating(self, a: str, b: str) -> Mating:
        """The mating of two halves with its sweep over soft numbers."""
        found = self._matings.get((a, b))
        if found is None:
            found = self._matings[a, b] = mate(self.half(a), self.half(b))
        return found

    def firm(self, a: str, b: str) -> bool:
        """True where the verdict stands whatever the memory and assumed numbers really are."""
        return not self.mating(a, b).depends_on
