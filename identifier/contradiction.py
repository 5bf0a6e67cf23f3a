"""Answers that no connector gives together, and the one of them that was most likely misread."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

import msgspec
import numpy as np
import numpy.typing as npt

from coaxtell.identifier import likelihood
from coaxtell.identifier.answers import Answer, NotSure, NotThere, Saw
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Array
from coaxtell.identifier.features import LIKENED, Feature

Bools = npt.NDArray[np.bool_]

READING_REACH = 4.0
"""A reading fits a size within this many spreads of a reading by a person of usual care."""
LIKENED_AT_LEAST = 0.05
"""A width fits an everyday thing to which at least this share of people would liken it."""
USUAL = "usual"


class Contradiction(msgspec.Struct, frozen=True):
    """The features whose answers no connector gives together, and the one most likely misread."""

    features: list[Feature]
    misread: Feature


def fits(shortlist: Shortlist, feature: Feature, answer: Answer) -> Bools:
    """Which halves truly give this answer, read without a mistake: (half,)."""
    looks = shortlist.looks
    usual = looks.table.levels[USUAL]
    # a print tells of the equipment or the cable: the port on it may well be of the other impedance
    if isinstance(answer, NotSure) or feature is Feature.MARKED:
        return np.ones(len(shortlist), dtype=bool)
    if isinstance(answer, Saw):
        share = shortlist.true_share(feature)[:, shortlist.outcomes(feature).names.index(answer.value)]
        return share >= LIKENED_AT_LEAST if feature in LIKENED else share > 0
    found = shortlist.sizes(feature)
    if isinstance(answer, NotThere):
        return ~found.there
    reach = READING_REACH * likelihood.misreading(looks.table.measured[feature], usual, answer.plus_minus).spread
    within = (found.mm.min(axis=1) - reach <= answer.value) & (answer.value <= found.mm.max(axis=1) + reach)
    both: Bools = found.there & within
    return both


def find(shortlist: Shortlist, answers: Mapping[Feature, Answer]) -> Contradiction | None:
    """The contradiction in a set of answers, none where some connector gives them all."""
    said = {f: a for f, a in answers.items() if not isinstance(a, NotSure)}
    fitting = {f: fits(shortlist, f, a) for f, a in said.items()}
    if not said or np.logical_and.reduce(list(fitting.values())).any():
        return None
    misread = _most_likely_misread(shortlist, said, fitting)
    return Contradiction(_smallest(fitting, misread), misread)


def _clash(fitting: Mapping[Feature, Bools]) -> bool:
    return bool(fitting) and not np.logical_and.reduce(list(fitting.values())).any()


def _smallest(fitting: Mapping[Feature, Bools], misread: Feature) -> list[Feature]:
    """The fewest answers that clash, with the misread one among them where that is possible."""
    for count in range(1, len(fitting) + 1):
        clashes = [c for c in combinations(fitting, count) if _clash({f: fitting[f] for f in c})]
        if clashes:
            return list(next((c for c in clashes if misread in c), clashes[0]))
    raise AssertionError("answers that clash have a smallest clash")


def _most_likely_misread(
    shortlist: Shortlist, said: Mapping[Feature, Answer], fitting: Mapping[Feature, Bools]
) -> Feature:
    """The answer that the others make least likely, against the half that gives it best."""
    rows = {f: shortlist.likelihood(f, a, said) for f, a in said.items()}
    before: Array = shortlist.care[:, None] * shortlist.prior[None, :]

    def surprise(feature: Feature) -> float:
        others = before * np.prod([row for f, row in rows.items() if f is not feature], axis=0)
        expected = float((others * rows[feature]).sum() / others.sum())
        return expected / float(rows[feature].max())

    # a misread answer is one without which the others agree, if there is one
    mending = [f for f in said if not _clash({g: fit for g, fit in fitting.items() if g is not f})]
    return min(mending or list(said), key=surprise)
