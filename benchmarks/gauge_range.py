"""How much of the parts not measured lies in the range that gauging gives, and how often a slipped digit is caught.

Eight invented SMA plugs are measured twice each with a calliper that is off by up to 0.02 mm. Across the nut a document
prints limits: the parts are drawn from the spread that it states and from one 1.3 times as wide. Of a weak number the
middle may lie anywhere in the range of its grade: the parts spread as the general tolerance has it, half as wide and
1.3 times as wide.

Run: python -m benchmarks.study gauge_range
"""

from __future__ import annotations

from random import Random
from statistics import NormalDist
from typing import NamedTuple

from benchmarks.study import Study, Tally
from coaxtell.models import parts
from coaxtell.models.parts import Sitting, Stated, spread, strange

PLUS_MINUS, HAND, STEP = 0.02, 0.008, 0.01
"""Of the calliper: what it is off at most, the hand's part (assumed), what its display shows [mm]."""
PARTS, READINGS = 8, 2
TABLE = Stated(7.94, 7.85, 8.03)
"""What the table states: 95 % of parts between 7.85 and 8.03 mm, across the nut's flats."""
WEAK = Stated(6.2, 5.58, 6.82, printed=False)
"""A weak number and its range: 6.2 mm, from memory, 10 % off at most."""


class World(NamedTuple):
    """What is measured, and how wide parts spread beside what is stated of them."""

    stated: Stated
    wide: float


WORLDS = {
    "as stated": World(TABLE, 1.0), "1.3 times as wide": World(TABLE, 1.3), "weak number": World(WEAK, 1.0),
    "weak number, half as wide": World(WEAK, 0.5), "weak number, 1.3 times as wide": World(WEAK, 1.3),
}  # fmt: skip


def sitting(rng: Random, world: World) -> tuple[Sitting, NormalDist]:
    """One sitting with parts of a world, and the parts' true distribution."""
    stated = world.stated
    middle = stated.value if stated.printed else rng.uniform(stated.low, stated.high)
    truth = NormalDist(middle, world.wide * stated.spread)
    off = rng.uniform(-PLUS_MINUS, PLUS_MINUS)
    rows = []
    for _ in range(PARTS):
        part = truth.inv_cdf(rng.random())
        rows.append([round((part + off + rng.gauss(0, HAND)) / STEP) * STEP for _ in range(READINGS)])
    return Sitting("calliper", PLUS_MINUS, "x", "2026-01-01", rows), truth


def slipped(rng: Random, size: float) -> float:
    """A reading with two neighbouring digits exchanged or one digit another by three or more."""
    text = f"{size:.2f}"
    while True:
        place = rng.choice([0, 2, 3])
        digits = list(text)
        digits[place] = str(rng.randrange(10))
        found = float("".join(digits))
        if abs(int(digits[place]) - int(text[place])) >= 3 and place != 3:
            return found


def play(block: int, size: int) -> dict[str, Tally]:
    """Share of parts held, share of honest readings asked for again, share of slipped ones caught."""
    rng = Random(f"{STUDY.seed}/{block}")
    found: dict[str, Tally] = {}

    def count(label: str, value: float, tries: int = 1) -> None:
        found[label] = found.get(label, Tally(0, 0)).plus(Tally(value, tries))

    for _ in range(size):
        for world, measured in WORLDS.items():
            one, truth = sitting(rng, measured)
            table = measured.stated
            held = spread([one], table)
            count(f"{world}, parts held", truth.cdf(held.high) - truth.cdf(held.low))
            means = [sum(part) / len(part) for part in one.parts]
            asked = sum(strange(p[0], [], means[:i], table, PLUS_MINUS) for i, p in enumerate(one.parts))
            count(f"{world}, honest part asked for again", asked, PARTS)
            wrong = slipped(rng, one.parts[3][0])
            count(f"{world}, slipped digit caught", float(strange(wrong, [], means[:3], table, PLUS_MINUS)))
    return found


def rests_on() -> str:
    """The constants of the method and what is invented: no table stands behind it."""
    method = parts.SHARE, parts.BEFORE, parts.WEAK_BEFORE, parts.GENERAL, parts.APART, parts.STRANGE
    return repr((method, PLUS_MINUS, HAND, STEP, PARTS, READINGS, WORLDS))


STUDY = Study(
    name="gauge_range",
    about="Share of parts in the range that gauging gives; slipped digits caught; honest readings asked for again",
    rooms=(),
    rests_on=rests_on,
    seed=11,
    blocks=10,
    play=play,
    size=100,
    sample=40,
)
