"""`python -m benchmarks.keep_draws [CLAN ...]`: find the draws that agree with what is stated, and what they say.

Writes `models/kept.json` clan by clan, so that it can be broken off and taken up again (about twenty minutes from
nothing, and only what a change of tables has touched), and then `models/doubts.json`: every verdict that holds in
less than 99 of 100 of the draws. Prints the share of pairs that are not known, by family.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from itertools import combinations_with_replacement
from pathlib import Path

import msgspec

from coaxtell.models import statements, tables
from coaxtell.models.draws import samples
from coaxtell.models.mating import kept
from coaxtell.models.mating.clans import clans
from coaxtell.models.mating.confidence import FIRM, Book, Confidence
from coaxtell.models.mating.doubt_reasons import SETTLES
from coaxtell.models.mating.doubts import Doubt
from coaxtell.models.mating.mate import mate

MODELS = Path(__file__).parent.parent / "models"
LEAST = 3
"""So many numbers are listed with a verdict, however little they tell."""
KEPT, DOUBTS = MODELS / "kept.json", MODELS / "doubts.json"


def main() -> None:
    """Keep draws for every clan whose mark has changed and print how many of how many agreed."""
    found = dict(kept.shipped())
    known = tables.load()
    wanted = clans(known, statements.shipped())
    for clan in sorted(wanted, key=lambda c: len(c.halves)):
        if clan.name in found and found[clan.name].mark == kept.mark(clan):
            continue
        if sys.argv[1:] and clan.name not in sys.argv[1:]:
            continue
        begun = time.perf_counter()
        found[clan.name] = own = kept.keep(clan, samples(clan.halves.values()))
        tries = sum(sum(side) + len(side) for side in own.tries.values())
        took = time.perf_counter() - begun
        print(f"{clan.name}: {own.filled} kept of {tries} draws, {took:.0f} s", flush=True)
        _write({c.name: found[c.name] for c in wanted if c.name in found})
    if all(clan.name in found for clan in wanted):
        begun = time.perf_counter()
        listed = doubts(known, Book(known, found))
        print(f"all pairs with how sure they are: {time.perf_counter() - begun:.1f} s")
        lines = [msgspec.json.encode(one).decode() for one in listed]
        DOUBTS.write_text("[\n" + ",\n".join(lines) + "\n]\n", encoding="utf-8")
        not_known(known, listed)


def _write(found: dict[str, kept.Kept]) -> None:
    lines = [f'"{name}": {msgspec.json.encode(own).decode()}' for name, own in found.items()]
    KEPT.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")


def doubts(known: tables.Tables, book: Book) -> list[Doubt]:
    """Every pair whose verdict holds in less than 99 of 100 draws, in the order of the tables, shares rounded."""
    found: list[Doubt] = []
    for a, b in combinations_with_replacement(known.halves.values(), 2):
        sure = book.confidence(a, b, mate(a, b, doubt=False).geometry)
        if sure.share < FIRM:
            found.append(Doubt(a.id, b.id, rounded(sure)))
    return found


def rounded(sure: Confidence) -> Confidence:
    """A confidence as it is listed: figures to four places, the numbers that tell most."""
    return msgspec.structs.replace(
        sure,
        share=round(sure.share, 4),
        low=round(sure.low, 4),
        high=round(sure.high, 4),
        outcomes={verdict: round(share, 4) for verdict, share in sure.outcomes.items()},
        tells=[
            msgspec.structs.replace(tell, explains=round(tell.explains, 4))
            for place, tell in enumerate(sure.tells)
            if place < LEAST or tell.explains >= SETTLES
        ],
    )


def not_known(known: tables.Tables, listed: list[Doubt]) -> None:
    """Print how many pairs of each family are not known, of those that its halves make with all others."""
    pairs: Counter[str] = Counter()
    open_: Counter[str] = Counter()
    doubtful = {frozenset((one.a, one.b)) for one in listed if not one.confidence.known}
    for a, b in combinations_with_replacement(known.halves.values(), 2):
        for family in {statements.family_key(a), statements.family_key(b)}:
            pairs[family] += 1
            open_[family] += frozenset((a.id, b.id)) in doubtful
    for family, number in pairs.items():
        print(f"{family:<14}{open_[family]:>5} of {number:>5} not known, {open_[family] / number:.1%}")
    print(f"{'all':<14}{len(doubtful):>5} of {len(known.halves) * (len(known.halves) + 1) // 2:>5} not known")


if __name__ == "__main__":
    main()
