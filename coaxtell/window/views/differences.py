"""What differs between halves that stand side by side: looks and sizes, each with where it is on the half."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import LIKENED, SEEN, Feature, seen_values
from coaxtell.identifier.looks import Looks
from coaxtell.identifier.sizes import nominal_size
from coaxtell.models.half import Half
from coaxtell.window.views.measuring import Place, place
from coaxtell.window.views.scales import THIN

LEAST_MM, LEAST_SHARE = 0.05, 0.02
"""Sizes nearer to each other than this [mm] and than this share of the larger are the same."""
LEFT_OUT = frozenset({*LIKENED, Feature.LETTER, Feature.MARKED})
"""What is read or compared with everyday things."""


class Difference(NamedTuple):
    """One feature: its words, the value of each half in words, and where it is on each [mm]."""

    feature: Feature
    words: str
    values: tuple[str, ...]
    places: tuple[Place | None, ...]


def differences(halves: Sequence[Half], looks: Looks) -> list[Difference]:
    """The features that are not the same on all halves, those seen first."""
    reach = looks.table.jaws.reach
    found: list[Difference] = []
    for feature in Feature:
        if feature in LEFT_OUT:
            continue
        words = feature.value.replace("-", " ")
        if feature in SEEN:
            seen = [next(iter(seen_values(half, feature, Nominal())), "") for half in halves]
            if len(set(seen)) > 1:
                known = looks.table.seen[feature].values
                found.append(Difference(feature, words, tuple(known.get(value, "none") for value in seen),
                                        tuple(_where(half, feature, looks) for half in halves)))  # fmt: skip
            continue
        sizes = [nominal_size(half, feature, reach) for half in halves]
        there = [size for size in sizes if size is not None]
        apart = max(there, default=0.0) - min(there, default=0.0)
        if len(there) == len(sizes) and apart <= max(LEAST_MM, LEAST_SHARE * max(there)):
            continue
        if not there:
            continue
        # threads are counted on 10 mm, as their name says
        unit = "" if feature is Feature.THREADS else f"{THIN}mm"
        values = tuple("none" if size is None else f"{size:.2f}{unit}" for size in sizes)
        found.append(Difference(feature, words, values, tuple(place(half, feature, reach) for half in halves)))
    return found


def _where(half: Half, feature: Feature, looks: Looks) -> Place | None:
    """Where a look is: at the size that lies there, where one does."""
    at = {
        Feature.COUPLING: (Feature.COUPLING_DIAMETER,),
        Feature.CENTRE: (Feature.PIN_DIAMETER, Feature.SOCKET_BORE),
        Feature.HAND: (Feature.THREADS,),
        Feature.PLASTIC: (Feature.BORE,),
    }  # fmt: skip
    for other in at.get(feature, ()):
        found = place(half, other, looks.table.jaws.reach)
        if found is not None:
            return found
    return None
