"""Worlds in which every unsure number is what it is, beside what the program says of them with what confidence.

In each world all soft numbers and constants are drawn by another law than the engine's: evenly, over ranges 1.3 times
as wide, kept where the stated pairs mate. Of every pair that is not stated, the verdict by our tables is compared
with that world's own; most pairs do not join, and are counted apart. Worlds count as one trial each, since the pairs
of a world hang together: an interval is one over worlds. Clans that take too long to draw so (LONG) are left out. Run:
python -m benchmarks.study true_world
"""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from itertools import combinations_with_replacement, pairwise

from benchmarks.study import Study, Tally
from coaxtell.models import statements, tables
from coaxtell.models.draws import Sample, physics_of, samples
from coaxtell.models.half import Half
from coaxtell.models.mating.clans import Clan, clans
from coaxtell.models.mating.confidence import Book, Confidence, word
from coaxtell.models.mating.coupling import couple
from coaxtell.models.mating.kept import STRIDE, Agreement
from coaxtell.models.mating.mate import mate
from coaxtell.models.mating.outcome import Verdict, judge
from coaxtell.models.measure import Measure
from coaxtell.models.physics import Physics
from coaxtell.models.profile import Profile

WIDER = 1.3
LONG = frozenset({"micro-1", "micro-3", "micro-4", "qma", "qn", "smp-limited", "ssmb"})
"""Clans of which the wider law agrees with what is stated in less than one draw of a thousand."""
EDGES = (0.0, 0.5, 0.8, 0.9, 0.95, 0.99, 1.0001)
FRESH = 1_000_000 * STRIDE
"""Worlds begin beyond all draws that the engine may keep."""
TRIES = 60_000


def wide(measure: Measure, share: float) -> float:
    """The value of a number at a share of an even law over a range 1.3 times as wide [its unit]."""
    low, high = measure.span
    low, high = (measure.nominal + WIDER * (end - measure.nominal) for end in (low, high))
    return low + share * (high - low)


@cache
def wanted() -> list[tuple[Clan, dict[str, Sample], Agreement]]:
    """The clans that are drawn, with their samples by the wider law."""
    found = []
    for clan in clans(tables.load(), statements.shipped()):
        if clan.name not in LONG:
            own = samples(clan.halves.values(), wide)
            found.append((clan, own, Agreement(clan, own)))
    return found


@cache
def told() -> list[tuple[Half, Half, Verdict, Confidence]]:
    """Every pair that nothing states, with its verdict and how sure the program is."""
    book = Book(tables.load())
    halves = [half for clan, _, _ in wanted() for half in clan.halves.values()]
    found = []
    for a, b in combinations_with_replacement(halves, 2):
        verdict = mate(a, b, doubt=False).geometry
        sure = book.confidence(a, b, verdict)
        if sure.stated is None:
            found.append((a, b, word(verdict), sure))
    return found


def world(number: int) -> dict[str, tuple[Profile, Physics]]:
    """The halves of one world, each with the constants that its clan was drawn with."""
    found: dict[str, tuple[Profile, Physics]] = {}
    for _, own, agrees in wanted():
        first = FRESH + number * STRIDE
        n = next((first + t for t in range(TRIES) if agrees.holds(first + t)), None)
        if n is None:
            continue
        physics = physics_of(n, wide)
        for half_id, sample in own.items():
            one = sample.profile(n)
            if one is not None:
                found[half_id] = one, physics
    return found


def _label(share: float, verdict: Verdict) -> str:
    low, high = next((low, high) for low, high in pairwise(EDGES) if low <= share < high)
    apart = "does not join" if verdict is Verdict.NO_JOIN else "joins or harms"
    return f"confidence {low:g} to {min(high, 1):g}, {apart}"


def play(block: int, size: int) -> dict[str, Tally]:
    """For each bin of confidence and each family: what share of its pairs held in a world, and what share was told."""
    found: dict[str, Tally] = {}
    for number in range(block * size, (block + 1) * size):
        here = world(number)
        rows: dict[str, list[tuple[bool, float]]] = defaultdict(list)
        for a, b, verdict, sure in told():
            if a.id in here and b.id in here:
                (one, physics), (other, theirs) = here[a.id], here[b.id]
                constants = theirs if number % 2 else physics
                fits = couple(one, other, constants).fits
                held = (word(judge(one, other, (), constants).verdict) if fits else Verdict.NO_JOIN) is verdict
                families = {statements.family_key(a), statements.family_key(b)}
                for label in (_label(sure.share, verdict), *(f"family {family}" for family in families)):
                    rows[label].append((held, sure.share))
        for label, pairs in rows.items():
            for kind, values in (("holds", [float(held) for held, _ in pairs]), ("told", [p for _, p in pairs])):
                name = f"{label} ({len(pairs)} pairs): {kind}"
                found[name] = found.get(name, Tally(0, 0)).plus(Tally(sum(values) / len(values), 1))
    return found


STUDY = Study(
    name="true_world",
    about="share of verdicts that hold in worlds drawn by a law that is not the engine's, by stated confidence",
    rooms=("models",),
    seed=0,
    blocks=50,
    play=play,
    size=10,
    sample=1,
)
