"""A family that the tables do not hold: each removed in turn, people with its parts in hand, what they are told.

The whole curve over the threshold under which an answer does not go with the named port, for the four blocks of
families apart: what is chosen on three blocks is reported on the one left out (`chosen`). Harm: the part ordered
damages the port or makes no contact. `named` leaves out whom the program told that the name is open and one order fits
all that the port may be; `told to fit, does not join` is where that order does not join it. `in table` is the same
people with the family back in its place.
Run: python -m benchmarks.study identifier_unknown; python -m benchmarks.identifier_unknown prints the curve.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np

from benchmarks.study import Study, Tally, kept_tallies, together
from coaxtell.identifier import misfit
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.identification import Settled
from coaxtell.identifier.partners import partners_of
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, Verdict, mate
from tests.halves import all_halves
from tests.identifier.crowd import KINDS, Crowd, said_by
from tests.identifier.kit import shortlist

HARM = (Verdict.DAMAGES, Verdict.NO_CONTACT)
THRESHOLDS = (0.01, 0.03, 0.05, 0.1)
BLOCKS = 4
"""Families by name go round these blocks."""
WHAT = (
    "settled and wrong", "harm or no contact", "in table, settled", "in table, settled and wrong",
    "named and wrong", "told to fit, does not join",
)  # fmt: skip


def families() -> list[str]:
    """The families that are removed, coded housings as one, by name."""
    return sorted({_of(one) for one in all_halves().values()})


def _of(half: Half) -> str:
    return half.key.kind if half.key is not None else half.family


@cache
def _without(family: str) -> Shortlist:
    return Shortlist([one for one in all_halves().values() if _of(one) != family])


@cache
def _verdict(named: str, half: str) -> Verdict | None:
    """What becomes of a half with the part ordered for the named one; none where nothing is ordered for that."""
    fit = partners_of(shortlist(), all_halves()[named]).fit
    return None if fit is None else mate(all_halves()[half], fit, doubt=False).verdict


def play(block: int, size: int) -> dict[str, Tally]:
    """What so many people with parts of each removed family are told, at each threshold."""
    used = misfit.UNLIKELY
    try:
        found = []
        for threshold in THRESHOLDS:
            misfit.UNLIKELY = threshold
            found += _played(block, size, threshold)
        return together(found)
    finally:
        misfit.UNLIKELY = used


def _played(block: int, size: int, threshold: float) -> list[dict[str, Tally]]:
    found: list[dict[str, Tally]] = []
    whole = Crowd(shortlist())
    for number, family in enumerate(families()):
        own = [one for one in all_halves().values() if _of(one) == family]
        without = Crowd(_without(family))
        rng = np.random.default_rng([STUDY.seed, block, number])
        for _ in range(size):
            half, kind, seed = own[int(rng.integers(len(own)))], str(rng.choice(KINDS[1:])), int(rng.integers(2**31))
            met = without.meet(said_by(kind, seed, half, shortlist()), -1)
            wrong = met.state is not Settled.NOT_SETTLED
            verdict = _verdict(without.known.ids[met.named], half.id)
            fits = met.state is Settled.FITS_ALL
            kept = whole.meet(said_by(kind, seed, half, shortlist()), shortlist().index(half.id))
            settled = kept.state is not Settled.NOT_SETTLED
            told = (
                wrong, wrong and verdict in HARM, settled, settled and not kept.right,
                wrong and not fits, fits and verdict not in JOINED,
            )  # fmt: skip
            row = dict(zip(WHAT, told, strict=True))
            found.append({label(threshold, number % BLOCKS, what): Tally(float(row[what]), 1) for what in WHAT})
            if threshold == USED:
                found.append({f"family {family}, {what}": Tally(float(row[what]), 1) for what in WHAT[:2]})
    return found


USED = misfit.UNLIKELY
"""The threshold of the program."""


def label(threshold: float, block: int, what: str) -> str:
    """The name of a figure."""
    return f"at {threshold:g}, block {block}, {what}"


def share(figures: Mapping[str, Tally], threshold: float, blocks: list[int], what: str) -> Tally:
    """One figure over some blocks."""
    found = Tally(0, 0)
    for block in blocks:
        found = found.plus(figures[label(threshold, block, what)])
    return found


def chosen(figures: Mapping[str, Tally], blocks: list[int]) -> float:
    """The threshold by the rule, on some blocks: the most settled in the table less the settled and wrong out of it."""

    def worth(threshold: float) -> float:
        settled, wrong = (share(figures, threshold, blocks, what).mean for what in (WHAT[2], WHAT[0]))
        return settled - wrong

    return max(THRESHOLDS, key=worth)


def left_out(figures: Mapping[str, Tally]) -> tuple[list[float], dict[str, Tally]]:
    """The thresholds chosen with each block left out, and the figures of the blocks left out together."""
    picked, found = [], {what: Tally(0, 0) for what in WHAT}
    for block in range(BLOCKS):
        threshold = chosen(figures, [other for other in range(BLOCKS) if other != block])
        picked.append(threshold)
        for what in WHAT:
            found[what] = found[what].plus(figures[label(threshold, block, what)])
    return picked, found


STUDY = Study(
    name="identifier_unknown",
    about="Families removed in turn, by threshold and block: settled and wrong, harm; and settled with them in place",
    rooms=("models", "identifier"),
    seed=11,
    blocks=4,
    play=play,
    size=10,
    sample=1,
)


def main() -> None:
    """Print the whole curve, and what is chosen without a block and reported on it."""
    figures = kept_tallies(STUDY.name)
    print(f"{'threshold':<12}" + "".join(f"{what:>36}" for what in WHAT))
    for threshold in THRESHOLDS:
        print(f"{threshold:<12g}" + "".join(_row(share(figures, threshold, [*range(BLOCKS)], what)) for what in WHAT))
    picked, found = left_out(figures)
    print(f"{'left out':<12}" + "".join(_row(found[what]) for what in WHAT))
    print(f"chosen with block 0 to {BLOCKS - 1} left out: {', '.join(f'{one:g}' for one in picked)}; used: {USED:g}")


def _row(tally: Tally) -> str:
    low, high = tally.interval()
    return f"{f'{tally.mean:.3f} ({low:.3f} to {high:.3f}, n {tally.tries})':>36}"


if __name__ == "__main__":
    main()
