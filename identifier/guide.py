"""A guide: numbered questions in a fixed order that lead to every half, for use on paper, without an engine.

The tree is the cheapest in seconds of all that begin with what holds the port and ask for no part before it is known
to be there. A half whose numbers leave open what it shows stands behind every answer it may give, so that nobody is
led astray by a part at its limit. Halves that no question tells apart end together.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from coaxtell.identifier.answers import values
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Array
from coaxtell.identifier.exact import Ask, Part, Plan, Search, bits
from coaxtell.identifier.features import SEEN, Feature, couplings
from coaxtell.identifier.sizes import nominal_size
from coaxtell.models.acts import Act
from coaxtell.models.errors import RefusedError
from coaxtell.models.half import Half

FIRST = Feature.COUPLING
"""What is asked first: one begins with what holds the port, and every other look is told in its words."""
SHOWS = 0.06
"""A half stands behind an answer that at least this share of its parts or of the people before it would give."""
EDGE = 0.02
"""Share of readings counted for a half that only the instrument's error brings behind an answer."""
NONE = "none there"
"""The answer that a half has nothing of the kind."""


class Group(NamedTuple):
    """Where the guide ends: the half, or the halves that no question tells apart."""

    ids: tuple[str, ...]


class Way(NamedTuple):
    """One answer to the question about a feature, and where it leads.

    `low` and `high` bound a reading [mm, threads per 10 mm], `value` names what is seen.
    """

    feature: Feature
    value: str
    low: float
    high: float
    to: Question | Group


class Question(NamedTuple):
    """One numbered question of the guide with its answers and the seconds it takes.

    `gauged`: the families of the precision ports it parts by what only their maker's own gauge may touch or enter;
    `measured`: whether anybody may answer it on another port that it parts.
    """

    number: int
    feature: Feature
    ask: str
    how: str
    seconds: float
    ways: tuple[Way, ...]
    gauged: tuple[str, ...] = ()
    measured: bool = True


class Guide(NamedTuple):
    """The whole guide: its first question, the expected seconds to an end, and the most questions on one path."""

    first: Question
    seconds: float
    longest: int

    def questions(self) -> Iterator[Question]:
        """Every question once, in the order of its number."""
        found: dict[int, Question] = {}
        open_ = [self.first]
        while open_:
            question = open_.pop()
            if question.number not in found:
                found[question.number] = question
                open_ += [way.to for way in question.ways if isinstance(way.to, Question)]
        yield from (found[number] for number in sorted(found))


class _Part(NamedTuple):
    """One answer to a question: its value and bounds, and the share of each half that gives it."""

    value: str
    low: float
    high: float
    share: dict[int, float]


def guide(halves: Sequence[Half], setting: str = "any") -> Guide:
    """The guide to these halves; raises InputError where there are none, no question parts them or the setting is
    unknown.

    Raises ValueError where there is but one half, to which no question leads.
    """
    if len(halves) == 1:
        raise ValueError("a guide needs at least two halves")
    planner = _Planner(Shortlist(halves, setting))
    plan = planner.search().plan()
    numbered: dict[tuple[int, Feature, str], Question] = {}
    held = planner.parts((1 << len(halves)) - 1, FIRST)
    holds = held[0].value if len(held) == 1 else ""
    first = _question(planner, plan, numbered, iter(range(1, 1_000_000)), holds)
    if isinstance(first, Group):
        raise RefusedError("identifier.all_alike")
    return Guide(first, plan.seconds, _depth(first))


def _depth(place: Question | Group) -> int:
    return 0 if isinstance(place, Group) else 1 + max(_depth(way.to) for way in place.ways)


def _question(
    planner: _Planner,
    plan: Plan,
    numbered: dict[tuple[int, Feature, str], Question],
    numbers: Iterator[int],
    holds: str = "",
) -> Question | Group:
    """The plan as numbered questions, in the words for what holds the port; a place keeps its one number."""
    if plan.look is None:
        return Group(tuple(sorted(planner.shortlist.ids[i] for i in bits(plan.members))))
    feature = planner.asked[plan.look]
    known = numbered.get((plan.members, feature, holds))
    if known is not None:
        return known
    number = next(numbers)
    row = planner.shortlist.looks.row(feature)
    ways = [
        Way(
            feature,
            part.value,
            part.low,
            part.high,
            _question(planner, after, numbered, numbers, part.value if feature is FIRST else holds),
        )
        for part, after in zip(planner.parts(plan.members, feature), plan.then, strict=True)
    ]
    left = planner.left_to_gauge(plan.members, feature)
    found = Question(
        number,
        feature,
        row.after.get(holds, row.ask),
        row.how,
        row.seconds.nominal,
        tuple(_joined(ways)),
        tuple(dict.fromkeys(half.family for half in left)),
        len(left) < plan.members.bit_count(),
    )
    numbered[plan.members, feature, holds] = found
    return found


def _joined(ways: list[Way]) -> list[Way]:
    """The answers, neighbouring ranges that lead to one place made one."""
    found: list[Way] = []
    for way in ways:
        before = found[-1] if found else None
        if before is not None and before.high > 0 and before.high == way.low and before.to == way.to:
            found[-1] = before._replace(high=way.high)
        else:
            found.append(way)
    return found


class _Planner:
    """What each question makes of a set of halves, for the search for the shortest way."""

    def __init__(self, shortlist: Shortlist) -> None:
        self.shortlist = shortlist
        # what may be touched cannot be told on paper
        self.asked: list[Feature] = [feature for feature in Feature if feature is not Feature.TOUCH]

    def left_to_gauge(self, members: int, feature: Feature) -> list[Half]:
        """The precision ports among a set into whose face a question goes."""
        among = [self.shortlist.halves[i] for i in bits(members)]
        act = self.shortlist.looks.act
        return [half for half in among if half.precision and act(feature, couplings(half)) is Act.TOUCH]

    def search(self) -> Search:
        """The search over all questions: first what holds the port, and no part before it is known to be there."""
        shortlist = self.shortlist
        first = self.asked.index(FIRST)
        everyone = (1 << len(shortlist)) - 1
        # what is alike on all of them is known before it is asked
        alike = {k for k, feature in enumerate(self.asked) if len(self.parts(everyone, feature)) < 2}
        asks = []
        for number, feature in enumerate(self.asked):
            row = shortlist.looks.row(feature)
            needs = {self.asked.index(Feature(other)) for other in row.where} | {first}
            asks.append(Ask(row.seconds.nominal, partial(self._parting, feature), frozenset(needs - alike - {number})))
        return Search(list(map(float, shortlist.prior)), range(len(shortlist)), asks)

    def _parting(self, feature: Feature, members: int) -> list[Part]:
        return [Part(sum(1 << i for i in one.share), one.share) for one in self.parts(members, feature)]

    def parts(self, members: int, feature: Feature) -> list[_Part]:
        """The answers to a question, each with the halves that may give it."""
        known = bits(members)
        return self._seen(known, feature) if feature in SEEN else self._measured(known, feature)

    def _seen(self, members: Sequence[int], feature: Feature) -> list[_Part]:
        """The answers to a look, each with the halves that may give it."""
        shares = self.shortlist.true_share(feature)
        parts = []
        for column, value in enumerate(values(feature, self.shortlist.looks)):
            share = {i: float(shares[i, column]) for i in members if shares[i, column] >= SHOWS}
            if share:
                parts.append(_Part(value, 0.0, 0.0, share))
        parts = _evened(parts)
        missing = {i: 1.0 for i in members if not shares[i].any()}
        return [*parts, _Part(NONE, 0.0, 0.0, missing)] if missing else parts

    def _measured(self, members: Sequence[int], feature: Feature) -> list[_Part]:
        """A reading cut where neighbours stand clear of each other by more than its error."""
        sizes = self.shortlist.sizes(feature)
        there = [i for i in members if sizes.there[i]]
        parts = []
        if len(there) < len(members):
            missing = {i: 1.0 for i in members if not sizes.there[i]}
            parts.append(_Part(NONE, 0.0, 0.0, missing))
        if there:
            off = self.error(feature)
            reach = self.shortlist.looks.table.jaws.reach
            nominal = sorted({size for i in there if (size := nominal_size(self.shortlist.halves[i], feature, reach))})
            cuts = [_between(a, b, off) for a, b in pairwise(nominal) if b - a >= 2 * off]
            bounds = [0.0, *cuts, math.inf]
            for low, high in pairwise(bounds):
                share = {i: part for i in there if (part := _inside(sizes.mm[i], low, high, off)) > 0}
                if share:
                    parts.append(_Part("", low, high, share))
        return parts

    def error(self, feature: Feature) -> float:
        """How far a reading may be off, by the instrument and by the hand [unit of the feature]."""
        hand = self.shortlist.looks.table.measured[feature].hand.nominal
        return math.hypot(self.shortlist.plus_minus(feature, "calliper"), hand)


def _evened(parts: list[_Part]) -> list[_Part]:
    """The shares of each half over the answers kept, made to sum to one."""
    total: dict[int, float] = {}
    for part in parts:
        for i, share in part.share.items():
            total[i] = total.get(i, 0.0) + share
    return [part._replace(share={i: share / total[i] for i, share in part.share.items()}) for part in parts]


def _inside(sizes: Array, low: float, high: float, off: float) -> float:
    """Share of a half's parts that are read between two bounds; nearly nothing where only an error brings them in."""
    share = float(np.mean((sizes >= low) & (sizes < high)))
    if share >= SHOWS:
        return share
    near = float(np.mean((sizes >= low - off) & (sizes < high + off)))
    return EDGE if near >= SHOWS and share > 0 else 0.0


def _between(low: float, high: float, off: float) -> float:
    """A round number between two sizes, clear of both by the error of a reading."""
    middle = (low + high) / 2
    for digits in (0, 1, 2):
        cut = round(middle, digits)
        if low + off <= cut <= high - off:
            return cut
    return middle


def answer(question: Question, half: Half, shortlist: Shortlist) -> Way:
    """The answer that a part at its nominal sizes gives; raises LookupError where the question has none for it."""
    if question.feature in SEEN:
        i = shortlist.index(half.id)
        known = values(question.feature, shortlist.looks)
        shares = dict(zip(known, map(float, shortlist.true_share(question.feature)[i]), strict=True))
        if not any(shares.values()):
            shares = {NONE: 1.0}
        return max(question.ways, key=lambda way: shares.get(way.value, 0.0))
    size = nominal_size(half, question.feature, shortlist.looks.table.jaws.reach)
    for way in question.ways:
        if (way.value == NONE) == (size is None) and (size is None or way.low <= size < way.high):
            return way
    raise LookupError(f"question {question.number} has no answer for {half.id}")
