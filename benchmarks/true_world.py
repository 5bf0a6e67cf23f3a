"""How sure the program says it is, beside the share of its verdicts that hold in worlds of another law.

Worlds come from `benchmarks.worlds`; those up to 999 are for tuning, and others are reported here. Of every pair that
nothing states, the share told is compared with the share of worlds in which its verdict holds, in bins of
what is told, joins and harms apart from what does not join. The pairs of a world hang together, so that intervals count
worlds, one trial each. Run: python -m benchmarks.true_world (the worlds first: python -m benchmarks.worlds 1000 1500)
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from itertools import pairwise
from statistics import mean, stdev
from typing import NamedTuple

from benchmarks import worlds
from benchmarks.study import RESULTS, Z, dated
from coaxtell.models import tables
from coaxtell.models.draws import TRIANGULAR
from coaxtell.models.mating.confidence import SURE, Book
from coaxtell.models.mating.outcome import Verdict
from coaxtell.models.statements import family_key

EDGES = (0.0, 0.5, 0.8, 0.9, 0.95, 0.99, 1.0001)
OFF = 0.03
"""What holds may lie so far below what is told."""
POOLED = 300
"""Pairs, over all worlds, that a bin must hold to say something."""
FRESH = 1000
"""From this world on they are reported."""


class Told(NamedTuple):
    """What the program says of a pair: its verdict, in what share of draws it holds, and whether it is known."""

    pair: str
    families: frozenset[str]
    verdict: Verdict
    share: float
    known: bool


class Bin(NamedTuple):
    """The pairs of a bin: how many, what was told, what share held over all worlds, with its interval over worlds."""

    pairs: int
    worlds: int
    told: float
    holds: float
    low: float
    high: float

    @property
    def weighty(self) -> bool:
        """Whether it holds enough pairs over all worlds to say something."""
        return self.pairs * self.worlds >= POOLED


def told(book: Book) -> list[Told]:
    """What the program says of every pair that nothing states."""
    found = []
    for a, b, verdict in worlds.pairs():
        sure = book.confidence(a, b, verdict)
        families = frozenset((family_key(a), family_key(b)))
        found.append(Told(f"{a.id} with {b.id}", families, verdict, sure.share, sure.low >= SURE))
    return found


def one_bin(pairs: Sequence[Told], kept: Sequence[worlds.Broken]) -> Bin:
    """What was told of some pairs and what held."""
    shares = [mean(one.pair not in world for one in pairs) for world in kept]
    middle = mean(shares)
    off = Z * stdev(shares) / len(shares) ** 0.5
    return Bin(len(pairs), len(kept), mean(one.share for one in pairs), middle, middle - off, min(1.0, middle + off))


def bins(said: Iterable[Told], kept: Sequence[worlds.Broken]) -> dict[str, Bin]:
    """By what is told, joins and harms apart from what does not join; and what is told as known, all together."""
    found: dict[str, list[Told]] = defaultdict(list)
    for one in said:
        low, high = next((low, high) for low, high in pairwise(EDGES) if low <= one.share < high)
        apart = "does not join" if one.verdict is Verdict.NO_JOIN else "joins or harms"
        found[f"{apart}, told {low:g} to {min(high, 1):g}"].append(one)
        if one.known:
            found[f"{apart}, told as known"].append(one)
    return {label: one_bin(found[label], kept) for label in sorted(found)}


def families(said: Sequence[Told], kept: Sequence[worlds.Broken]) -> dict[str, Bin]:
    """By family, all pairs of its halves."""
    names = sorted({family for one in said for family in one.families})
    return {name: one_bin([one for one in said if name in one.families], kept) for name in names}


def show(found: dict[str, Bin]) -> None:
    """Print bins, a line each."""
    for label, one in found.items():
        print(
            f"{label:<36}{one.pairs:>6} pairs  told {one.told:.4f}  holds {one.holds:.4f} "
            f"({one.low:.4f} to {one.high:.4f}, {one.worlds} worlds)"
        )


def main() -> None:
    """Report on the fresh worlds that were drawn, and keep the report."""
    kept = [one for number, one in sorted(worlds.held().items()) if number >= FRESH]
    said = told(Book(tables.load()))
    row = {"reach": TRIANGULAR.reach, "tables": worlds.rests_on(), "worlds": len(kept)}
    for what, found in (("bins", bins(said, kept)), ("families", families(said, kept))):
        show(found)
        row[what] = {
            label: {name: round(value, 5) for name, value in one._asdict().items()} for label, one in found.items()
        }
    (RESULTS / "true_world.json").write_text(json.dumps(dated(row), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
