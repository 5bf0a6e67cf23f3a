"""Worlds in which every unsure number is what it is: drawn by another law than the engine's, kept for `true_world`.

In each world all soft numbers and constants are drawn evenly over ranges 1.3 times as wide, and kept where the stated
pairs mate. Of every pair that is not stated it is written down where the world's own verdict is another than that of
our tables, by the word that matters. That rests on the tables alone, not on how sure the program says it is.

Run: python -m benchmarks.worlds FIRST LAST, which goes on where it stopped (about a second a world).
"""

from __future__ import annotations

import json
import sys
import time
from datetime import date
from functools import cache
from hashlib import sha256
from itertools import combinations_with_replacement
from pathlib import Path

from coaxtell.models import statements, tables
from coaxtell.models.draws import Law, Sample, physics_of, samples
from coaxtell.models.half import Half
from coaxtell.models.mating.clans import Clan, clans
from coaxtell.models.mating.confidence import word
from coaxtell.models.mating.coupling import couple
from coaxtell.models.mating.kept import STRIDE, Agreement, mark
from coaxtell.models.mating.mate import mate
from coaxtell.models.mating.outcome import Verdict, judge
from coaxtell.models.physics import Physics
from coaxtell.models.profile import Profile

FILE = Path(__file__).parent / "results" / "worlds.json"
WIDER = Law(1.3, lambda share, low, nominal, high: low + share * (high - low))
"""Even, over ranges 1.3 times as wide: not the engine's law."""
BEYOND = 1_000_000
"""Worlds begin beyond all slots that the engine may keep."""

Broken = dict[str, str]
"""Pairs, as `a with b`, whose verdict in a world is another, and which."""


@cache
def wanted() -> list[tuple[Clan, dict[str, Sample], Agreement]]:
    """All clans with their samples by the wider law."""
    found = []
    for clan in clans(tables.load(), statements.shipped()):
        own = samples(clan.halves.values(), WIDER)
        found.append((clan, own, Agreement(clan, own)))
    return found


@cache
def pairs() -> list[tuple[Half, Half, Verdict]]:
    """Every pair that nothing states, of a keyed housing one code, with the verdict of our tables."""
    said = statements.shipped()
    halves = [half for clan, _, _ in wanted() for half in clan.halves.values()]
    return [
        (a, b, word(mate(a, b, doubt=False).geometry))
        for a, b in combinations_with_replacement(halves, 2)
        if said.fit(a, b) is None
    ]


def world(number: int) -> dict[str, tuple[Profile, Physics]]:
    """The halves of one world, each with the constants that its clan was drawn with.

    Raises ValueError where no draw of a clan agrees with what is stated.
    """
    found: dict[str, tuple[Profile, Physics]] = {}
    for clan, own, agrees in wanted():
        at, tried = agrees.search((BEYOND + number) * STRIDE)
        if at is None:
            raise ValueError(f"world {number}: none of {tried} draws of {clan.name} agrees")
        physics = physics_of(at[next(iter(agrees.sides))], WIDER)
        for side, members in agrees.sides.items():
            for sample in members:
                one = own[sample.half.id].profile(at[side])
                assert one is not None
                found[sample.half.id] = one, physics
    return found


def broken(number: int) -> Broken:
    """The pairs whose verdict is another in that world."""
    here = world(number)
    found: Broken = {}
    for a, b, told in pairs():
        (one, physics), (other, theirs) = here[a.id], here[b.id]
        constants = theirs if number % 2 else physics
        fits = couple(one, other, constants).fits
        verdict = word(judge(one, other, (), constants).verdict) if fits else Verdict.NO_JOIN
        if verdict is not told:
            found[f"{a.id} with {b.id}"] = verdict.value
    return found


def rests_on() -> str:
    """A mark of all that the worlds rest on."""
    return sha256("".join(mark(clan, WIDER) for clan, _, _ in wanted()).encode()).hexdigest()[:16]


def held() -> dict[int, Broken]:
    """The worlds that were kept for these tables, by number."""
    if not FILE.is_file():
        return {}
    row = json.loads(FILE.read_text(encoding="utf-8"))
    return {int(number): one for number, one in row["worlds"].items()} if row["mark"] == rests_on() else {}


def main() -> None:
    """Draw the worlds that are missing, and keep each ten of them."""
    first, last = int(sys.argv[1]), int(sys.argv[2])
    found = held()
    missing = [number for number in range(first, last) if number not in found]
    began = time.process_time()
    for done, number in enumerate(missing, 1):
        found[number] = broken(number)
        if done % 10 == 0 or done == len(missing):
            found = held() | found
            rows = ",\n".join(f'"{n}": {json.dumps(found[n])}' for n in sorted(found))
            new = FILE.with_suffix(".new")
            new.write_text(
                f'{{"date": "{date.today()}", "mark": "{rests_on()}", "worlds": {{\n{rows}\n}}}}\n', encoding="utf-8"
            )
            new.replace(FILE)
            print(f"{done} of {len(missing)} worlds, {time.process_time() - began:.0f} s of the processor", flush=True)


if __name__ == "__main__":
    main()
