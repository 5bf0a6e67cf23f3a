"""How alike two halves look, and the one look that tells them apart."""

from __future__ import annotations

from functools import reduce

import numpy as np

from coaxtell.identifier import features, sizes
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Array, Nominal
from coaxtell.identifier.features import LIKENED, SEEN, Feature
from coaxtell.models.acts import Act
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half

NEAR = 0.33
"""Halves whose looks overlap by this much are alike: they differ in one look that is easily mistaken, or in none."""
TELLS = 0.45
"""A feature that overlaps by no more than this tells two halves apart."""
TELLING = 0.95
"""A look whose answers overlap by this much tells nothing."""
AT_A_GLANCE = (
    Feature.COUPLING, Feature.CENTRE, Feature.PLASTIC, Feature.SIZE, Feature.GROOVE, Feature.HAND, Feature.COLOUR,
    Feature.LETTER, Feature.MARKED,
)  # fmt: skip
"""What one sees of a port before one looks for anything: halves that overlap here are taken for each other."""
FROM_THE_SIDE = (
    Feature.HAND, Feature.FORM, Feature.GROOVE, Feature.COUPLING, Feature.COUPLING_DIAMETER, Feature.NUT_WIDTH,
    Feature.THREADS, Feature.SIZE, Feature.COLOUR, Feature.LETTER,
)  # fmt: skip
"""What tells two halves apart by their outside; all else stands in the face."""
NOTHING = Reason("shows.nothing")
PICTURES = 0.12
"""A thing within this of a size pictures it [relative]."""


def overlap(shortlist: Shortlist, feature: Feature, i: int, j: int) -> float:
    """How much the answers that two halves get overlap in one feature, from 0 (never the same) to 1 (no difference)."""
    table = shortlist.usual(feature)
    return float(np.sqrt(table[i] * table[j]).sum())


def alike(shortlist: Shortlist, i: int) -> Array:
    """How alike every half looks to one of them, over all that is seen at a glance: (half,), 1 for itself."""
    found = np.ones(len(shortlist))
    for feature in AT_A_GLANCE:
        table = np.sqrt(shortlist.usual(feature))
        found = found * (table @ table[i])
    return found


def telling(shortlist: Shortlist, i: int, j: int, seconds: dict[Feature, float]) -> Feature | None:
    """The one look that tells two halves apart: the quickest that does, else the best; none where none does.

    What is seen only as a mate comes off is none of them: there may be no mate on it. What the maker's own gauge alone
    may tell comes after all that anybody may look at, and no wooden tip is let into a precision port at all.
    """
    one, two = shortlist.halves[i], shortlist.halves[j]
    by_gauge = {feature for feature in Feature if gauged(shortlist, feature, one, two)}
    looks = [f for f in Feature if not shortlist.looks.row(f).mated and not (f is Feature.TOUCH and f in by_gauge)]
    overlaps = {feature: overlap(shortlist, feature, i, j) for feature in looks}
    clear = [feature for feature in looks if overlaps[feature] <= TELLS]
    if clear:
        return min(clear, key=lambda f: (f in by_gauge, seconds[f]))
    best = min(looks, key=lambda f: (overlaps[f], seconds[f]))
    return best if overlaps[best] < TELLING else None


def gauged(shortlist: Shortlist, feature: Feature, one: Half, two: Half) -> bool:
    """Whether one of two halves is a precision port, and a look goes into the face of the first: only the maker's own
    gauge may tell it there."""
    touches = shortlist.looks.act(feature, features.couplings(one)) is Act.TOUCH
    return touches and (one.precision or two.precision)


def shows(shortlist: Shortlist, feature: Feature, half: Half) -> Reason:
    """What a half shows of a feature: `a pin`, `6.26 mm`, `nothing of the kind`.

    A precision contact is likened to nothing, so that nobody holds that thing against it.
    """
    looks = shortlist.looks
    if feature is Feature.SIZE:
        mm = float(sizes.size(half, Nominal())[0])
        flats = Reason("shows.flats" if sizes.across_flats(half) else "shows.round")
        near = min(looks.steps, key=lambda key: abs(np.log(looks.steps[key].d.nominal / mm)))
        return Reason("shows.width", {"mm": mm, "flats": flats, "thing": Reason(f"thing.{near}")})
    if feature in SEEN and feature not in LIKENED:
        values = [Reason(f"value.{feature}.{value}") for value in features.seen_values(half, feature, Nominal())]
        if not values:
            return NOTHING
        return reduce(lambda first, last: Reason("shows.or", {"first": first, "last": last}), values)
    found = sizes.nominal_size(half, feature, looks.table.jaws.reach)
    if found is None:
        return NOTHING
    if feature is Feature.THREADS:
        return Reason("shows.threads", {"count": found})
    things = looks.things
    near = min(things, key=lambda key: abs(np.log(things[key].d.nominal / found)))
    if (
        not half.precision
        and feature in (Feature.PIN_DIAMETER, Feature.SOCKET_BORE, Feature.HOLE)
        and abs(things[near].d.nominal / found - 1) <= PICTURES
    ):
        return Reason("shows.pictured", {"mm": found, "thing": Reason(f"thing.{near}")})
    return Reason("shows.size", {"mm": found})
