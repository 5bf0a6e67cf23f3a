"""A user's own prices; coaxtell ships none."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from coaxtell.models.errors import RefusedError


class Prices(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Prices in one currency: cable by class [per m], fitted end by half id, adapter by its two half ids.

    An adapter's key is its two ids joined by a plus sign, in either order: "n-50-plug+rp-tnc-jack".

    Raises InputError where a price is below zero or no number.
    """

    currency: str
    per_metre: dict[str, float] = {}
    ends: dict[str, float] = {}
    adapters: dict[str, float] = {}
    note: str = ""

    def __post_init__(self) -> None:
        for table in (self.per_metre, self.ends, self.adapters):
            for key, price in table.items():
                if not 0 <= price < 1e9:
                    raise RefusedError("cables.price", key=key, price=price)

    def of(self, cable: str, length_m: float, ends: Sequence[str], adapters: Sequence[tuple[str, str]]) -> float | None:
        """Price of an assembly [currency]; none where the table lacks one of its parts."""
        metre = self.per_metre.get(cable)
        parts = [self.ends.get(end) for end in ends]
        for outer, inner in adapters:
            parts.append(self.adapters.get(f"{outer}+{inner}", self.adapters.get(f"{inner}+{outer}")))
        known = [part for part in parts if part is not None]
        if metre is None or len(known) < len(parts):
            return None
        return metre * length_m + sum(known)
