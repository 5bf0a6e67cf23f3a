"""What to think of a port after some answers: a probability for every half.

P(answers | half) = sum over levels of care of weight x product over features of P(answer | half, level), so that one
odd answer makes all others a little less sure, as it should. An answer counts once however often it is given, since
mistakes persist.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from copy import copy

import numpy as np
import numpy.typing as npt

from coaxtell.identifier import instruments, kernels, likelihood, looks
from coaxtell.identifier.answers import Answer, NotSure, NotThere, Read, Saw, State, pictured, values
from coaxtell.identifier.draws import DIGITS, Array, Draws
from coaxtell.identifier.features import BAYONETS, LIKENED, SEEN, Feature, coupling
from coaxtell.identifier.likelihood import Outcomes, Sizes
from coaxtell.identifier.looks import Looks
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure

Ints = npt.NDArray[np.int64]

HELD_READINGS = 4096
"""So many readings are held with how likely each is on every half: ports of one walk measure alike."""
OFFERED = 0.02
"""A width, colour or letter is offered where at least this share of people before some half would name it."""


def prior(halves: Sequence[Half], setting: looks.Setting) -> Array:
    """Probability of each half before anything is seen, by family, polarity and gender in a setting."""
    weights = np.zeros(len(halves))
    shared: dict[tuple[str, str], int] = {}
    keys = [(_weight_key(half, setting), half.gender) for half in halves]
    for key in keys:
        shared[key] = shared.get(key, 0) + 1
    for i, (half, key) in enumerate(zip(halves, keys, strict=True)):
        of_family = setting.weight.get(key[0], setting.other).nominal
        jack = setting.jack.nominal
        of_gender = {"jack": jack, "plug": 1 - jack, "sexless": 1.0}[half.gender]
        # halves that share a weight share it out, so that a copied table does not count twice
        weights[i] = of_family * of_gender / shared[key]
    found: Array = weights / weights.sum()
    return found


def _weight_key(half: Half, setting: looks.Setting) -> str:
    """The name under which a setting weighs a half: with its impedance, else its family, else its kind of housing."""
    with_ohm = f"{half.family} {half.impedance_ohm:g}" if half.impedance_ohm is not None else half.family
    if with_ohm in setting.weight:
        return with_ohm
    if half.key is not None and half.family not in setting.weight:
        return half.key.kind
    return half.family


def ordered_by(half: Half) -> tuple[str, str, str, str, float | None]:
    """What tells a half's order from another's: family, colour of a coded housing, gender, polarity, impedance."""
    return half.family, "" if half.key is None else half.key.colour, half.gender, half.polarity, half.impedance_ohm


def _partly(table: Array, outcome: int, share: float) -> Array:
    """The outcomes where this share of people give one of them whatever is there."""
    found = (1 - share) * table
    found[:, :, outcome] += share
    return found


class Shortlist:
    """All halves in one setting with what each would show, worked out once and only when asked for.

    Raises InputError where the setting is unknown or there are no halves.
    """

    def __init__(self, halves: Sequence[Half], setting: str = "any") -> None:
        if not halves:
            raise RefusedError("identifier.no_halves")
        self.halves = tuple(halves)
        self.ids = tuple(half.id for half in halves)
        self.looks: Looks = looks.load()
        self.prior = prior(self.halves, self.looks.setting(setting))
        ordered = [ordered_by(half) for half in halves]
        self.orders = tuple(dict.fromkeys(ordered))
        self.order_of: Ints = np.array([self.orders.index(one) for one in ordered])
        """For each half the number of what it is ordered by."""
        self.bayonet = np.array([coupling(half) in BAYONETS for half in halves])
        self.precision = np.array([half.precision for half in halves])
        self.care = np.array([level.weight.nominal for level in self.looks.table.levels.values()])
        self.care = self.care / self.care.sum()
        self._draws = [Draws(half) for half in halves]
        self._sizes: dict[Feature, Sizes] = {}
        self._outcomes: dict[tuple[Feature, float], Outcomes] = {}
        self._shares: dict[Feature, Array] = {}
        self._usual: dict[Feature, Array] = {}
        self.peaks: dict[tuple[int, Feature, float], float] = {}
        """How likely the likeliest reading of a size is on a half, by half, feature and plus-minus."""
        self._absent: dict[Feature, Array] = {}
        self._readings: dict[tuple[Feature, float, float], Array] = {}
        self._joint: tuple[Mapping[Feature, Answer], Mapping[Feature, Answer], Array] | None = None
        # the last one: what is to be said of a port asks for it several times over

    def __len__(self) -> int:
        return len(self.halves)

    def index(self, half_id: str) -> int:
        """Where a half stands in the arrays."""
        return self.ids.index(half_id)

    def sizes(self, feature: Feature) -> Sizes:
        """The sizes of a feature on all halves."""
        if feature not in self._sizes:
            self._sizes[feature] = likelihood.sizes_of(self.halves, feature, self.looks, self._draws)
        return self._sizes[feature]

    def plus_minus(self, feature: Feature, instrument: str) -> float:
        """How far a reading of this feature may be off with the instrument at hand [unit of the feature]."""
        if feature is Feature.THREADS:
            return self.looks.table.counting.ruler.nominal
        return instruments.plus_minus(instrument, self.looks)

    def outcomes(self, feature: Feature, instrument: str = "calliper") -> Outcomes:
        """The answers a feature may get with the likelihood of each: (level, half, outcome)."""
        off = 0.0 if feature in SEEN else self.plus_minus(feature, instrument)
        key = (feature, off)
        if key not in self._outcomes:
            if feature in SEEN:
                found = likelihood.seen_outcomes(self.halves, feature, self.looks, self._draws, self.prior)
            else:
                found = likelihood.measured_outcomes(feature, self.sizes(feature), off, self.looks)
            self._outcomes[key] = found
        return self._outcomes[key]

    def usual(self, feature: Feature) -> Array:
        """Probability of each answer on each half over all levels of care: (half, outcome); sizes by calliper."""
        if feature not in self._usual:
            found: Array = np.einsum("c,cha->ha", self.care, self.outcomes(feature).table)
            self._usual[feature] = found
        return self._usual[feature]

    def likelihood(self, feature: Feature, answer: Answer, others: Mapping[Feature, Answer] | None = None) -> Array:
        """How likely this answer is on each half: (level, half); a density for readings.

        `others` are the other answers, on which that of a look may depend. Raises InputError where the feature has no
        such value.
        """
        if isinstance(answer, NotSure):
            return np.ones((len(self.care), len(self)))
        if isinstance(answer, Saw):
            names = self.outcomes(feature).names
            if answer.value not in names:
                raise RefusedError("identifier.no_value", feature=feature, value=answer.value, names=", ".join(names))
            found: Array = self.planned(feature, others or {})[:, :, names.index(answer.value)]
            return found
        if isinstance(answer, NotThere):
            if feature not in self._absent:
                self._absent[feature] = likelihood.absence_likelihood(feature, self.sizes(feature), self.looks)
                self._absent[feature].setflags(write=False)
            return self._absent[feature]
        key = (feature, answer.value, answer.plus_minus)
        if key not in self._readings:
            if len(self._readings) >= HELD_READINGS:
                self._readings.clear()
            self._readings[key] = likelihood.reading_likelihood(feature, self.sizes(feature), answer, self.looks)
            self._readings[key].setflags(write=False)
        return self._readings[key]

    def planned(
        self, feature: Feature, others: Mapping[Feature, Answer], instrument: str = "calliper", again: bool = False
    ) -> Array:
        """Probability of each answer to a look after other answers: (level, half, outcome).

        Who is asked to look `again` says in part what he said before; who feels for what he believes to see does so
        too.
        """
        names, table = self.outcomes(feature, instrument)
        follows = None if feature not in SEEN else self.looks.table.seen[feature].follows
        before = None if follows is None else others.get(Feature(follows.feature))
        if follows is not None and isinstance(before, Saw):
            table = _partly(table, names.index(follows.says[before.value]), follows.share.nominal)
        first = others.get(feature)
        if again and isinstance(first, Saw):
            table = _partly(table, names.index(first.value), self.looks.second(feature).same.nominal)
        return table

    def again(self, feature: Feature, answer: Answer, answers: Mapping[Feature, Answer]) -> Array:
        """How likely the answer to a second look is on each half, in part a repetition of the first: (level, half).

        What a photograph gave a calliper does not repeat, nor the other way round.
        """
        fresh, first = self.likelihood(feature, answer, answers), answers.get(feature)
        if (
            first is None
            or isinstance(first, NotSure)
            or isinstance(answer, NotSure)
            or pictured(first) != pictured(answer)
        ):
            return fresh
        if isinstance(answer, Read):
            spread = math.hypot(answer.plus_minus, self.looks.table.measured[feature].hand.nominal)
            same = float(kernels.density(answer.value - first.value, spread)) if isinstance(first, Read) else 0.0
        else:
            same = float(answer == first)
        share = self.looks.second(feature).same.nominal
        return share * same + (1 - share) * fresh

    def logs(self, answers: Mapping[Feature, Answer], again: Mapping[Feature, Answer] | None = None) -> Array:
        """Logarithm of prior times likelihood of the answers for each level of care and half: (level, half).

        `again` holds the answers of second looks.
        """
        logs: Array = np.log(self.care)[:, None] + np.log(self.prior)[None, :]
        implied = self._implied(answers)
        for feature in Feature:  # always in this order, so that the order of answers leaves no trace at all
            if feature in answers:
                logs = logs + np.log(self.likelihood(feature, answers[feature], answers))
            if again and feature in again:
                logs = logs + np.log(self.again(feature, again[feature], answers))
            if feature in implied:
                names = self.outcomes(feature).names
                kept = [names.index(value) for value in implied[feature]]
                logs = logs + np.log(self.outcomes(feature).table[:, :, kept].sum(axis=2))
        return logs

    def _implied(self, answers: Mapping[Feature, Answer]) -> dict[Feature, list[str]]:
        """What the answers say of a feature that has none of its own: who names a colour has seen a housing."""
        found: dict[Feature, list[str]] = {}
        for feature in Feature:
            answer = answers.get(feature)
            if not isinstance(answer, Saw) or answer.value == likelihood.NOTHING:
                continue
            for name, allowed in self.looks.row(feature).where.items():
                other = Feature(name)
                if not isinstance(answers.get(other), Saw):
                    found[other] = [value for value in found.get(other, allowed) if value in allowed] or allowed
        return found

    def joint(self, answers: Mapping[Feature, Answer], again: Mapping[Feature, Answer] | None = None) -> Array:
        """Probability of each level of care and half after the answers: (level, half), summing to one."""
        key = answers, again or {}
        if self._joint is None or self._joint[:2] != key:
            logs = self.logs(answers, again)
            weights = np.exp(logs - logs.max())
            found: Array = weights / weights.sum()
            found.setflags(write=False)
            # copies, since who asks may go on to change his own
            self._joint = dict(answers), dict(again or {}), found
        return self._joint[2]

    def belief(self, answers: Mapping[Feature, Answer], again: Mapping[Feature, Answer] | None = None) -> Array:
        """Probability of each half after the answers, summing to one."""
        found: Array = self.joint(answers, again).sum(axis=0)
        return found

    def of_orders(self, belief: Array) -> Array:
        """Probability of each order words from that of each half."""
        found: Array = np.bincount(self.order_of, weights=belief, minlength=len(self.orders)).astype(np.float64)
        return found

    def true_share(self, feature: Feature) -> Array:
        """Share of parts of each half that truly show each value of a seen feature: (half, value).

        For the width it is the share of people who would liken it to each thing, comparing with usual care.
        """
        if feature not in self._shares:
            spread = self.looks.table.seen[feature].spread
            if feature in LIKENED and spread is not None:
                found = likelihood.likened(self.sizes(feature).mm, spread.nominal, feature, self.looks)
                found = found * self.sizes(feature).there[:, None]
            else:
                found = likelihood.shown(self.halves, feature, self.looks, self._draws)
            self._shares[feature] = found
        return self._shares[feature]

    def offered(self, feature: Feature) -> tuple[str, ...]:
        """The values of a seen feature that are worth offering: of widths, colours and letters those that are met."""
        known = values(feature, self.looks)
        if feature not in (*LIKENED, Feature.COLOUR, Feature.LETTER):
            return known
        share = self.true_share(feature).max(axis=0)
        return tuple(v for v, met in zip(known, share, strict=True) if met >= OFFERED or v == "other")

    def alone(self, half_id: str, pinned: Measure | None = None, at: float = 0.0) -> Shortlist:
        """One half by itself, as likely as here before anything is seen, with one of its numbers held at a value."""
        i = self.index(half_id)
        other = copy(self)
        other.halves, other.ids, other.prior = (self.halves[i],), (half_id,), self.prior[i : i + 1]
        other.order_of = np.zeros(1, dtype=np.int64)
        other.bayonet, other.precision = self.bayonet[i : i + 1], self.precision[i : i + 1]
        other._draws = [Draws(self.halves[i], pinned, at)]
        # what is said of a part that a half has not comes from the others; no number of its own is in it
        other._outcomes = {
            key: Outcomes(found.names, found.table[:, i : i + 1])
            for key, found in self._outcomes.items()
            if key[0] in SEEN and self.looks.row(key[0]).where
        }
        other._sizes, other._shares, other._usual, other.peaks = {}, {}, {}, {}
        other._absent, other._readings, other._joint = {}, {}, None
        return other


_held: tuple[dict[str, Half], dict[str, Shortlist]] = ({}, {})


def shortlist_of(halves: dict[str, Half], setting: str) -> Shortlist:
    """All of these halves with what each would show in a setting, worked out once as long as they are the same
    tables. Raises InputError where the setting is unknown or there are no halves."""
    global _held
    if _held[0] is not halves:
        _held = (halves, {})
    found = _held[1]
    if setting not in found:
        found[setting] = Shortlist(list(halves.values()), setting)
    return found[setting]


def ranked(shortlist: Shortlist, state: State) -> list[tuple[Half, float]]:
    """The halves with their probabilities after the answers of a state, rounded, best first; ties by id."""
    belief = np.round(shortlist.belief(state.answers, state.again), DIGITS)
    order = sorted(range(len(shortlist)), key=lambda i: (-belief[i], shortlist.ids[i]))
    return [(shortlist.halves[i], float(belief[i])) for i in order]
