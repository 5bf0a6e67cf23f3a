"""Whether what was read of two halves goes against the statement that they mate, whatever their unsure numbers are.

At their middle alone weak numbers prove nothing: an honest reading of the one half may only just not go with what the
table guesses of the other. So a reading goes against the statement where the pair mates in none of the draws of all
that is unsure, of the constants of physics too, and did mate in some before: where the tables alone could not show it
either, no reading is to blame.
"""

from __future__ import annotations

from coaxtell.models.draws import Sample, physics_of
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import JOINED, Verdict, judge
from coaxtell.models.profile import profile

DRAWS = 150
"""So many draws are looked at: of a pair that mates in 3 of 100, one in a hundred such searches finds none."""
BEFORE = 0.1
"""The share of the draws in which the pair must have mated without what was read (assumed)."""

Pair = tuple[Half, Half]


def against(before: Pair, now: Pair) -> Verdict | None:
    """What two halves come to by what was read, where that goes against their mating; none where it does not.

    `before` are the same halves without what was read. Raises InputError where no such half can be turned.
    """
    found = judge(profile(now[0]), profile(now[1])).verdict
    if found in JOINED or _mates(now, 1):
        return None
    return found if _mates(before, round(BEFORE * DRAWS)) else None


def _mates(pair: Pair, times: int) -> bool:
    """Whether the two mate in so many of the draws."""
    one, other = Sample(pair[0]), Sample(pair[1])
    left = times
    for n in range(DRAWS):
        a, b = one.profile(n), other.profile(n)
        left -= a is not None and b is not None and judge(a, b, (), physics_of(n)).verdict in JOINED
        if left == 0:
            return True
    return False
