"""How sure a verdict is: all unsure numbers and constants run together over the kept draws of both halves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cached_property

import msgspec

from coaxtell.models import statements
from coaxtell.models.draws import TRIANGULAR, Law, Sample, physics_of
from coaxtell.models.half import Half
from coaxtell.models.mating.clans import Clan, clans
from coaxtell.models.mating.coupling import couple
from coaxtell.models.mating.kept import ENOUGH, QUICK, SLOTS, STRIDE, Kept, agreeing, free, keep, mark, shipped
from coaxtell.models.mating.outcome import JOINED, Verdict, judge
from coaxtell.models.numbers import Path
from coaxtell.models.physics import Physics
from coaxtell.models.profile import Profile
from coaxtell.models.statements import Statement, Statements, family_key
from coaxtell.models.tables import Tables

SURE = 0.95
"""Least share, its whole interval included, in which the word that matters must hold for a verdict to be known."""
HARMS = 0.05
"""Share of harm from which on a pair may harm, whatever its verdict."""
FIRM = 0.99
"""Verdicts that hold in a smaller share are listed one by one."""
Z95 = 1.96
"""Standard normal deviate of a two-sided 95 % interval."""
FEWEST = 60
"""Kept draws that are enough to tell how sure a verdict is; with fewer, numbers are drawn as if nothing were stated."""
OTHERS = 16
"""Books of tables with other halves in them that are kept at hand."""
BINS = 6
"""Parts of a number's range, equally full, over which a share is compared."""


class Telling(msgspec.Struct, frozen=True):
    """A number on one half and what part of the doubt about a verdict it explains, 0 to 1."""

    half: str
    path: Path
    explains: float


class Confidence(msgspec.Struct, frozen=True):
    """In what share of the draws a verdict holds, by the word that matters: mates, no contact, harms, does not join.

    `outcomes` gives the share of each verdict, the likeliest first; `low` and `high` bound the share of `verdict`
    (Wilson's interval, 95 %); `tells` the numbers whose measurement would settle most, the first most of all.
    A pair that is stated to mate is told by that: `free` is the share in which the numbers alone show it, none where
    that takes long to work out for numbers of one's own. A statement without a source conditions no draw, so that there
    `share` may be small.
    """

    verdict: Verdict
    share: float
    low: float
    high: float
    draws: int
    outcomes: dict[Verdict, float]
    tells: list[Telling]
    stated: Statement | None = None
    free: float | None = None

    @property
    def known(self) -> bool:
        """Whether the verdict may be told as such: it is what is stated of the pair, or holds in enough draws."""
        return (self.stated is not None and self.verdict in JOINED) or self.low >= SURE

    @property
    def by_practice(self) -> bool:
        """Whether the verdict is told because common practice says so, with no source that its draws could hold to."""
        return self.stated is not None and not self.stated.sourced and self.verdict in JOINED

    @property
    def probably(self) -> Verdict:
        """The verdict that most draws come to."""
        return next(iter(self.outcomes))

    @property
    def may_harm(self) -> bool:
        """Whether harm comes of it in more draws than may be passed over."""
        return self.outcomes.get(Verdict.DAMAGES, 0.0) >= HARMS

    def of(self, verdict: Verdict) -> Confidence:
        """The same draws beside another verdict."""
        outcomes = {verdict if word(one) is word(verdict) else one: share for one, share in self.outcomes.items()}
        share = outcomes.get(verdict, 0.0)
        low, high = interval(round(share * self.draws), self.draws)
        return msgspec.structs.replace(self, verdict=verdict, share=share, low=low, high=high, outcomes=outcomes)

    @property
    def otherwise(self) -> dict[Verdict, float]:
        """What else comes out, and in what share."""
        return {verdict: share for verdict, share in self.outcomes.items() if verdict is not self.verdict}


def word(verdict: Verdict) -> Verdict:
    """The word that matters of a verdict: limits are of ratings, not of shape."""
    return Verdict.MATES if verdict in JOINED else verdict


def interval(hits: int, of: int) -> tuple[float, float]:
    """Wilson's 95 % interval of a share (E. B. Wilson, 1927); of nothing tried it is all there is."""
    if of == 0:
        return 0.0, 1.0
    share, z = hits / of, Z95 * Z95 / of
    middle = (share + z / 2) / (1 + z)
    off = Z95 * ((share * (1 - share) + z / 4) / of) ** 0.5 / (1 + z)
    return max(0.0, middle - off), min(1.0, middle + off)


class Drawn:
    """A half in the kept draws of its clan: its profiles, none in a slot that kept no draw."""

    def __init__(
        self, half: Half, sample: Sample, draws: Mapping[int, int], constants: Mapping[int, int],
        like: Drawn | None = None,
    ) -> None:  # fmt: skip
        """`constants`: the draws of the constants of physics; `like`: a half of the same shape, another code of the
        same keyed housing."""
        self.half = half
        self.sample = sample
        self.draws = draws
        self.constants = constants
        self._like = like

    @cached_property
    def profiles(self) -> dict[int, Profile]:
        """The profile in each slot."""
        if self._like is not None:
            same = self._like.profiles.items()
            return {slot: msgspec.structs.replace(one, key=self.half.key) for slot, one in same}
        drawn = {slot: self.sample.profile(n) for slot, n in self.draws.items()}
        return {slot: one for slot, one in drawn.items() if one is not None}

    @cached_property
    def rigid(self) -> bool:
        """Whether what decides that its coupling fits is the same in every draw."""
        return len({_fit(one) for one in self.profiles.values()}) == 1

    def values(self, slots: Sequence[int]) -> list[list[float]]:
        """The values of each of its numbers in those slots."""
        drawn = [self.sample.values(self.draws[slot]) for slot in slots]
        return [[row[i] for row in drawn] for i in range(len(self.sample.numbers))]


def _fit(one: Profile) -> tuple[object, ...]:
    """What of a profile decides whether its coupling fits another."""
    return (
        None if one.thread is None else id(one.thread.thread),
        None if one.lugs is None else one.lugs[:4],
        None if one.ramps is None else one.ramps[:3],
        None if one.snap is None else (one.snap.over, one.snap.bead, one.snap.spring),
        None if one.groove is None else one.groove[:2],
    )


class Book:
    """The kept draws of all halves of some tables, each worked out once."""

    def __init__(
        self, known: Tables, found: Mapping[str, Kept] | None = None, said: Statements | None = None,
        law: Law = TRIANGULAR,
    ) -> None:  # fmt: skip
        """The draws that ship are taken where they agree with these tables; else they are found anew.

        `found` are other draws than those that ship, by clan, `said` other statements, `law` another of the numbers.
        """
        self._law = law
        self._said = said or statements.shipped()
        self._kept = dict(shipped() if found is None else found)
        self._known = known
        self._instead: dict[tuple[int, ...], tuple[list[Half], Book]] = {}
        told = [clan for clan in clans(known, self._said) if clan.stated or clan.practice]
        self._clans = {family_key(half): clan for clan in told for half in clan.halves.values()}
        self._samples: dict[int, tuple[Half, Sample]] = {}
        self._drawn: dict[int, Drawn] = {}
        self._shares: dict[tuple[str, str], float | None] = {}

    def kept(self, clan: Clan) -> Kept:
        """The kept draws of a clan; of one that was changed those that still agree, else a few found anew."""
        own = self._kept.get(clan.name)
        if own is None or own.mark != mark(clan, self._law):
            members = self._members(clan)
            still = None if own is None else agreeing(own, clan, members)
            own = self._kept[clan.name] = still or keep(clan, members, ENOUGH, QUICK)
        return own

    def _members(self, clan: Clan) -> dict[str, Sample]:
        return {half_id: self._sample(half) for half_id, half in clan.halves.items()}

    def _sample(self, half: Half) -> Sample:
        if id(half) not in self._samples:
            self._samples[id(half)] = half, Sample(half, self._law)
        return self._samples[id(half)][1]

    def drawn(self, half: Half) -> Drawn:
        """A half in the kept draws of its clan, in free draws where too few agree with what is stated; a half of other
        tables in those of the clan whose numbers it shares, else in free draws."""
        found = self._drawn.get(id(half))
        if found is None:
            sample, like = self._sample(half), None
            draws = constants = {slot: slot * STRIDE for slot in range(SLOTS)}
            clan = self._clans.get(family_key(half)) or self._akin(sample)
            if clan is not None:
                own = self.kept(clan)
                if own.filled >= FEWEST:
                    draws, constants = own.draws(half.gender), own.draws(own.first)
                stands = next((one for one in clan.halves.values() if one is not half and _code_of(one, half)), None)
                like = None if stands is None else self.drawn(stands)
            found = self._drawn[id(half)] = Drawn(half, sample if like is None else like.sample, draws, constants, like)
        return found

    def _with(self, halves: list[Half]) -> Book:
        """A book of these tables with some halves in place of those of the same id."""
        key = tuple(id(half) for half in halves)
        if key not in self._instead:
            if len(self._instead) >= OTHERS:
                self._instead.pop(next(iter(self._instead)))
            changed = self._known.halves | {half.id: half for half in halves}
            known = msgspec.structs.replace(self._known, halves=changed)
            self._instead[key] = halves, Book(known, self._kept, self._said, self._law)
        return self._instead[key][1]

    def _akin(self, sample: Sample) -> Clan | None:
        seeds = {number.seed for number in sample.numbers}

        def shared(clan: Clan) -> int:
            return max(len(seeds & {n.seed for n in self._sample(half).numbers}) for half in clan.halves.values())

        best = max(self._clans.values(), key=shared)
        return best if 2 * shared(best) > len(seeds) else None

    def verdicts(self, a: Half, b: Half) -> dict[int, Verdict]:
        """The verdict of two halves in every slot that both kept a draw for, limits of ratings left aside."""
        one, other = self.drawn(a), self.drawn(b)
        slots = [slot for slot in one.profiles if slot in other.profiles]
        # halves of two clans have constants of their own: those of either count in every other slot
        turns = sorted((one, other), key=lambda drawn: drawn.half.id)
        constants = {slot: physics_of(turns[slot % 2].constants[slot], self._law) for slot in slots}
        if one.rigid and other.rigid and not _ever(one, other, constants):
            return dict.fromkeys(slots, Verdict.NO_JOIN)
        return {slot: _verdict(one.profiles[slot], other.profiles[slot], constants[slot]) for slot in slots}

    def confidence(self, a: Half, b: Half, verdict: Verdict) -> Confidence:
        """How sure that verdict of two halves is; halves that stand in place of those of these tables are drawn with
        the others of their clan anew."""
        changed = [half for half in (a, b) if self._known.halves.get(half.id, half) is not half]
        if changed and a.id != b.id:
            return self._with(changed).confidence(a, b, verdict)
        found = self.verdicts(a, b)
        count = Counter(found.values())
        if not count:  # the numbers of a half contradict each other wherever they may lie
            return Confidence(verdict, 0.0, *interval(0, 0), draws=0, outcomes={verdict: 0.0}, tells=[])
        hits = count[word(verdict)]
        named = {one: verdict if one is word(verdict) else one for one in count}
        outcomes = {named[one]: times / len(found) for one, times in count.most_common()}
        low, high = interval(hits, len(found))
        stated, free = self.stated(a, b)
        return Confidence(
            verdict=verdict,
            share=hits / len(found),
            low=low,
            high=high,
            draws=len(found),
            outcomes=outcomes,
            tells=self._tells(a, b, found, count.most_common(1)[0][0]) if len(count) > 1 else [],
            stated=stated,
            free=free,
        )

    def stated(self, a: Half, b: Half) -> tuple[Statement | None, float | None]:
        """What states that two halves mate, and in what share of the draws their numbers alone show it."""
        said = self._said.fit(a, b)
        return said, None if said is None else self._free(a, b)

    def _free(self, a: Half, b: Half) -> float | None:
        clan = self._clans[family_key(a)]
        pair = sorted((a, b), key=lambda half: half.gender == "jack")
        plug, jack = (self.drawn(half).sample.half.id for half in pair)
        share = self.kept(clan).share(plug, jack)
        if share is not None:
            return share
        if (plug, jack) not in self._shares:
            self._shares[plug, jack] = free(clan, self._members(clan), (plug, jack))
        return self._shares[plug, jack]

    def _tells(self, a: Half, b: Half, found: Mapping[int, Verdict], likeliest: Verdict) -> list[Telling]:
        """The numbers that explain the doubt, most first."""
        slots = list(found)
        holds = [float(found[slot] is likeliest) for slot in slots]
        tells: dict[tuple[str, Path], Telling] = {}
        for half in (a, b):
            drawn = self.drawn(half)
            for number, values in zip(drawn.sample.numbers, drawn.values(slots), strict=True):
                tells[half.id, number.path] = Telling(half.id, number.path, explained(values, holds))
        return sorted((t for t in tells.values() if t.explains > 0), key=lambda t: -t.explains)


def _code_of(one: Half, half: Half) -> bool:
    """Whether one half stands for another: the same but for the code of its keyed housing."""
    return half.key is not None and one.gender == half.gender and family_key(one) == family_key(half)


def _ever(one: Drawn, other: Drawn, constants: Mapping[int, Physics]) -> bool:
    """Whether two couplings that are the same in every draw fit under any of the constants."""
    slot, loose = min(constants.items(), key=lambda item: item[1].flank_share)
    return couple(one.profiles[slot], other.profiles[slot], loose).fits


def _verdict(a: Profile, b: Profile, physics: Physics) -> Verdict:
    return judge(a, b, (), physics).verdict if couple(a, b, physics).fits else Verdict.NO_JOIN


def explained(values: Sequence[float], holds: Sequence[float]) -> float:
    """What part of the doubt a number explains: the correlation ratio over equally full parts of its range, less what
    chance alone would give."""
    n = len(values)
    mean = sum(holds) / n
    total = sum((one - mean) ** 2 for one in holds)
    order = sorted(range(n), key=values.__getitem__)
    between = 0.0
    for i in range(BINS):
        part = [holds[j] for j in order[i * n // BINS : (i + 1) * n // BINS]]
        between += len(part) * (sum(part) / len(part) - mean) ** 2
    return max(0.0, between / total - (BINS - 1) / (n - 1)) if total else 0.0
