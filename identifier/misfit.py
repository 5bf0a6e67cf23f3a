"""Answers that do not go with the named port: misread, or the port is worn or of a kind that the tables do not hold."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from coaxtell.identifier import contradiction, likelihood
from coaxtell.identifier.answers import Answer, NotSure, NotThere, Read, Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import Feature

UNLIKELY = 0.03
"""An answer less likely than this share of the likeliest one on a half does not go with it.

Chosen on other people than those it is reported on: see benchmarks/identifier_unknown.py.
"""
BEYOND = 2.0
"""A reading this many spreads beyond what parts of a half measure tells of wear (assumed)."""
DECIDE = (Feature.CENTRE, Feature.HAND)
"""Sights that decide, quick to see: they are looked at a second time before a long measurement, where that pays."""
FINER = {
    Feature.SIZE: (Feature.COUPLING_DIAMETER, Feature.NUT_WIDTH),
    Feature.HOLE: (Feature.SOCKET_BORE,),
}
"""What a calliper reads of a width that was judged by eye: where it goes with the half, the eye is overruled."""
SIZE_DIGITS = 2
"""Digits of the sizes [mm] at which a reading is looked for at its likeliest."""
USUAL = "usual"


def ratio(shortlist: Shortlist, i: int, feature: Feature, answer: Answer, others: Mapping[Feature, Answer]) -> float:
    """How likely an answer is on a half, over the likeliest one there: from 0 to 1; 1 for what says nothing of it."""
    # a print tells of the equipment or the cable: the port on it may well be of the other impedance
    if isinstance(answer, NotSure) or feature is Feature.MARKED:
        return 1.0
    care = shortlist.care
    if isinstance(answer, Saw):
        shown = care @ shortlist.planned(feature, {f: a for f, a in others.items() if f is not feature})[:, i]
        return float(shown[shortlist.outcomes(feature).names.index(answer.value)] / shown.max())
    found = shortlist.sizes(feature)
    none = float(care @ shortlist.likelihood(feature, NotThere())[:, i])
    if isinstance(answer, NotThere):
        return none / max(none, 1 - none)
    if not found.there[i]:
        return (1 - none) / max(none, 1 - none)
    own = likelihood.Sizes(found.mm[i : i + 1], found.there[i : i + 1], found.around[i : i + 1])

    def density(value: float) -> float:
        read = Read(value, answer.plus_minus)
        return float(care @ likelihood.reading_likelihood(feature, own, read, shortlist.looks)[:, 0])

    here = float(care @ np.ascontiguousarray(shortlist.likelihood(feature, answer)[:, i]))
    key = (i, feature, answer.plus_minus)
    if key not in shortlist.peaks:
        shortlist.peaks[key] = max(density(float(value)) for value in np.unique(np.round(own.mm[0], SIZE_DIGITS)))
    return min(1.0, here / shortlist.peaks[key])


def misfits(shortlist: Shortlist, state: State, i: int) -> list[Feature]:
    """The features whose answers, those that count, do not go with a half, the least likely first.

    A sight that decides, and that the half never gives, does not go with it, however easily the one is taken for the
    other. Of two readings that exclude each other one goes with no half.
    """
    found: list[tuple[float, Feature]] = []
    apart = state.apart
    for feature, answer in state.counted.items():
        likely = ratio(shortlist, i, feature, answer, state.answers)
        never = feature in DECIDE and not contradiction.fits(shortlist, feature, answer)[i]
        if likely < UNLIKELY or never or feature in apart:
            found.append((likely, feature))
    odd = [feature for _, feature in sorted(found, key=lambda row: row[0])]
    agreeing = {feature for feature, answer in state.counted.items() if isinstance(answer, Read)} - set(odd)
    return [feature for feature in odd if not agreeing.intersection(FINER.get(feature, ()))]


def worn(shortlist: Shortlist, state: State, i: int) -> list[Feature]:
    """The features read so far beyond what parts of a half measure that it is worn, bent, or not made to standard.

    Two readings that exclude each other tell of a misreading, and not of wear.
    """
    usual = shortlist.looks.table.levels[USUAL]
    found = []
    apart = state.apart
    for feature, answer in state.counted.items():
        if feature in apart:
            continue
        sizes = shortlist.sizes(feature) if isinstance(answer, Read) else None
        if not isinstance(answer, Read) or sizes is None or not sizes.there[i]:
            continue
        spread = likelihood.misreading(shortlist.looks.table.measured[feature], usual, answer.plus_minus).spread
        low, high = sizes.mm[i].min() - BEYOND * spread, sizes.mm[i].max() + BEYOND * spread
        if not low <= answer.value <= high:
            found.append(feature)
    return found
