"""How alike two halves look, and the one look that tells them apart."""

from __future__ import annotations

import numpy as np

from coaxtell.identifier import features
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Array, Nominal
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.models.half import Half

NEAR = 0.33
"""Halves whose looks overlap by this much are alike: they differ in one look that is easily mistaken, or in none."""
TELLS = 0.45
"""A feature that overlaps by no more than this tells two halves apart."""
NOTHING = "nothing of the kind"
LIKENED = 0.12
"""A thing within this of a size pictures it [relative]."""


def overlap(shortlist: Shortlist, feature: Feature, i: int, j: int) -> float:
    """How much the answers that two halves get overlap in one feature, from 0 (never the same) to 1 (no difference)."""
    table = shortlist.usual(feature)
    return float(np.sqrt(table[i] * table[j]).sum())


def alike(shortlist: Shortlist, i: int) -> Array:
    """How alike every half looks to one of them, over all that is seen without measuring: (half,), 1 for itself."""
    found = np.ones(len(shortlist))
    for feature in SEEN:
        table = np.sqrt(shortlist.usual(feature))
        found = found * (table @ table[i])
    return found


def telling(shortlist: Shortlist, i: int, j: int, seconds: dict[Feature, float]) -> Feature | None:
    """The one look that tells two halves apart: the quickest that does, else the best; none where none does."""
    overlaps = {feature: overlap(shortlist, feature, i, j) for feature in Feature}
    clear = [feature for feature in Feature if overlaps[feature] <= TELLS]
    if clear:
        return min(clear, key=lambda f: seconds[f])
    best = min(Feature, key=lambda f: (overlaps[f], seconds[f]))
    return best if overlaps[best] < 0.95 else None


def shows(shortlist: Shortlist, feature: Feature, half: Half) -> str:
    """What a half shows of a feature, in words: `a pin`, `6.26 mm`, `nothing of the kind`."""
    looks = shortlist.looks
    if feature is Feature.SIZE:
        mm = float(features.size(half, Nominal())[0])
        flats = " across flats" if features.across_flats(half) else ""
        return f"{mm:.1f} mm{flats} ({like(shortlist, mm)})"
    if feature in SEEN:
        words = looks.table.seen[feature].values
        found_values = features.seen_values(half, feature, Nominal())
        shown = [words[value].partition(":")[0].replace("that plane", "the reference plane") for value in found_values]
        return " or ".join(shown) or NOTHING
    found = features.nominal_size(half, feature, looks.table.jaws.reach)
    if found is None:
        return NOTHING
    if feature is Feature.THREADS:
        return f"{found:.1f} threads on 10 mm"
    pictured = ""
    if feature in (Feature.PIN_DIAMETER, Feature.SOCKET_BORE):
        near = _nearest(shortlist, found)
        pictured = f" (about {near})" if near else ""
    return f"{found:.2f} mm{pictured}"


def like(shortlist: Shortlist, mm: float) -> str:
    """The everyday thing nearest to a width [mm]."""
    steps = shortlist.looks.steps.values()
    thing = min(steps, key=lambda t: abs(np.log(t.d.nominal / mm)))
    return f"nearest to {thing.name}"


def _nearest(shortlist: Shortlist, mm: float) -> str | None:
    thing = min(shortlist.looks.things.values(), key=lambda t: abs(np.log(t.d.nominal / mm)))
    return thing.name if abs(thing.d.nominal / mm - 1) <= LIKENED else None
