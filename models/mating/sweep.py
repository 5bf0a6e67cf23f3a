"""Verdicts that rest on uncertain numbers: each memory or assumed number is run to both ends of its range."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import JOINED, Verdict, judge
from coaxtell.models.mating.reasons import losses
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import SHAPELESS, Path, named, replaced, walk
from coaxtell.models.profile import Profile, profile


class Variant(NamedTuple):
    """A half with one soft number at one end of its range, and whether that moves its coupling."""

    number: Reason
    profile: Profile
    recouples: bool


def _number(half: Half, path: Path) -> Reason:
    return Reason("sweep.number", {"half": half.id, "number": named(half, path)})


def _moved(half: Half, path: Path, measure: Measure, end: float) -> Profile | None:
    """The profile with one number moved to `end`, or as far towards it as its neighbours in the half allow."""
    for share in (1.0, 0.75, 0.5, 0.25):
        value = measure.nominal + share * (end - measure.nominal)
        try:
            return profile(replaced(half, path, measure.at(value)))
        except ValueError:
            continue  # two uncertain neighbours would pass each other
    return None


class _Cache:
    """Profiles and variants of halves, by identity: halves are frozen and outlive one run of the matrix."""

    def __init__(self) -> None:
        self._held: dict[int, tuple[Half, Profile, list[Variant] | None]] = {}

    def profile(self, half: Half) -> Profile:
        held = self._held.get(id(half))
        if held is None:
            held = self._held[id(half)] = (half, profile(half), None)
        return held[1]

    def variants(self, half: Half) -> list[Variant]:
        base = self.profile(half)
        held = self._held[id(half)]
        if held[2] is not None:
            return held[2]
        found: list[Variant] = []
        for path, measure in walk(half):
            if not measure.soft or path[0] in SHAPELESS:
                continue
            assert measure.min is not None
            assert measure.max is not None
            for end in (measure.min, measure.max):
                varied = _moved(half, path, measure, end)
                if varied is not None and varied != base:
                    recouples = varied.coupling != base.coupling
                    found.append(Variant(_number(half, path), varied, recouples))
        self._held[id(half)] = (half, base, found)
        return found


_cache = _Cache()


def profile_of(half: Half) -> Profile:
    """The profile of a half, computed once."""
    return _cache.profile(half)


def depends_on(a: Half, b: Half, verdict: Verdict, fits: bool, lost: Sequence[Reason]) -> list[Reason]:
    """The soft numbers that move the verdict; where the couplings do not fit, only theirs can."""
    pa, pb = profile_of(a), profile_of(b)
    moved: list[Reason] = []
    for half, other in ((a, pb), (b, pa)):
        for variant in _cache.variants(half):
            if not fits and not variant.recouples:
                continue
            one, two = (variant.profile, other) if half is a else (other, variant.profile)
            if variant.number not in moved and judge(one, two, lost).verdict is not verdict:
                moved.append(variant.number)
    if verdict in JOINED:
        moved += _ratings_that_decide(a, b, verdict)
    return moved


RATINGS = ("impedance", "top_ghz", "torque_nm")


def _ratings_that_decide(a: Half, b: Half, verdict: Verdict) -> list[Reason]:
    """The soft ratings that turn a mating into one with limits, or back; a rating that both halves share as
    one family is one number and cannot differ from itself."""
    moved: list[Reason] = []
    for half, other in ((a, b), (b, a)):
        for rating in RATINGS:
            measure = getattr(half, rating)
            if measure is None or not measure.soft or measure == getattr(other, rating):
                continue
            for end in (measure.low, measure.high):
                varied = replaced(half, (rating,), measure.at(end))
                one, two = (varied, other) if half is a else (other, varied)
                found = judge(profile_of(a), profile_of(b), losses(one, two))
                number = _number(half, (rating,))
                if found.verdict is not verdict and number not in moved:
                    moved.append(number)
    return moved
