"""Which memory or assumed numbers an identification hangs on."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from coaxtell.identifier.answers import NotSure, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Draws, spread
from coaxtell.identifier.features import SIGHTS, Feature, seen_values
from coaxtell.identifier.sizes import sizes
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import Path, walk

MOVES = 0.02
"""A number matters where its range moves the probability of the named half by this much."""


def _used(half: Half, features: Iterable[Feature], shortlist: Shortlist) -> set[int]:
    """The numbers that features of a half are read from, by identity."""
    draw = Draws(half)
    for feature in features:
        if feature in SIGHTS:
            seen_values(half, feature, draw)
        else:
            sizes(half, feature, draw, shortlist.looks.table.jaws.reach)
    return {id(measure) for measure in draw.used}


def numbers(shortlist: Shortlist, state: State, half: Half) -> list[tuple[Path, Measure]]:
    """The soft numbers of a half with their places, that move its probability within their range."""
    said = {f: a for f, a in state.answers.items() if not isinstance(a, NotSure)}
    used = _used(half, said, shortlist)
    soft = [(path, m) for path, m in walk(half) if m.soft and id(m) in used]
    if not soft:
        return []
    logs = shortlist.logs(said, state.again)
    i = shortlist.index(half.id)
    others = float(np.exp(np.delete(logs, i, axis=1)).sum())

    def probability(one: Shortlist) -> float:
        own = float(np.exp(one.logs(said, state.again)).sum())
        return own / (own + others)

    found: list[tuple[Path, Measure]] = []
    for path, measure in soft:
        ends = [probability(shortlist.alone(half.id, measure, at)) for at in spread(measure)]
        if max(ends) - min(ends) >= MOVES:
            found.append((path, measure))
    return found
