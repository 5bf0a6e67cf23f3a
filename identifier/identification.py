"""The named port: how sure and on what, what mates with it, what looks like it and would do harm, what to order."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import StrEnum
from typing import TypeVar

import msgspec

from coaxtell.identifier import contradiction, contrast, hanging, misfit
from coaxtell.identifier.answers import Answer, NotSure, Read, Saw, State, Term
from coaxtell.identifier.belief import Shortlist, ranked
from coaxtell.identifier.contradiction import Contradiction
from coaxtell.identifier.draws import DIGITS, Array
from coaxtell.identifier.features import Feature
from coaxtell.identifier.partners import Partners, partners_of
from coaxtell.identifier.question import (
    STILL_POSSIBLE,
    Next,
    centre_doubted,
    centre_told,
    gauge_alone,
    may_be_bayonet,
    named,
    next_question,
    seconds,
)
from coaxtell.models.acts import on_the_port
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import JOINED, Verdict
from coaxtell.models.mating.surely import surely, to_order
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import Path
from coaxtell.models.tables import Tables

MOST_LOOK_ALIKES = 6
_HARM = {Verdict.DAMAGES.value: 0, Verdict.NO_CONTACT.value: 1}
SURE = 0.9
"""Below this probability one looks again before ordering."""


class Settled(StrEnum):
    """How far a port is named: the three states, in the words that files and people read."""

    SETTLED = "settled"
    FITS_ALL = "order fits all"
    """The name is open, but what is to be ordered fits every half that is still possible."""
    NOT_SETTLED = "not settled"


class Candidate(msgspec.Struct, frozen=True):
    """A half and its probability."""

    id: str
    probability: float


class LookAlike(msgspec.Struct, frozen=True):
    """A half that may be taken for the named one, what becomes of it with the part ordered, and the look that tells.

    `mate` is the half that would be ordered for the named one, empty where there is none; `verdict` and `reasons` are
    those of this look-alike with it.
    """

    id: str
    name: str
    probability: float
    mate: str
    verdict: str
    reasons: list[Reason]
    look: str
    tell: Reason


class Rest(msgspec.Struct, frozen=True):
    """One answer, and the probability of the named half if this answer were taken back."""

    feature: Feature
    answer: Answer
    without: float


class Identification(msgspec.Struct, frozen=True):
    """Everything to say of a port after some answers."""

    half: Half
    """The named port."""
    answers: Mapping[Feature, Answer]
    """Those that count: of a look taken twice the second, where it told something."""
    state: Settled
    candidates: list[Candidate]
    order_probability: float
    """That of its order words: halves to be ordered alike count as one."""
    next: Next | None
    fit: Half | None
    """What to order for it, none where nothing in the tables fits."""
    mates_with: list[str]
    with_limits: list[str]
    """Those of `mates_with` that mate with a loss of match, frequency or torque."""
    beware: list[LookAlike]
    joining: list[Reason]
    """Cautions that go with joining the port and what fits it."""
    rests_on: list[Rest]
    soft_numbers: list[tuple[Path, Measure]]
    contradiction: Contradiction | None
    misfits: list[Feature]
    """What was seen or read that does not go with the named port."""
    apart: Mapping[Feature, tuple[Read, Read]]
    """Two readings of one size that exclude each other: see `State.apart`. They are among the misfits."""
    worn: list[Feature]
    """What was read so far beyond its limits that the port is worn or not made to standard."""
    centre_told: bool
    """Whether anything says what stands in the centre; without it no polarity is named for sure."""
    centre_doubted: bool
    """Whether it was told at the first look and could not be told at the second."""
    gauge_alone: list[Reason]
    """That nothing but its maker's own gauge touches or enters its face, where it may be a precision port."""
    high_voltage: bool
    """Whether it may be a port for high voltage that looks like the named one: nothing is joined to it then."""
    on_it: list[Reason]
    """What was said to be on it, but for that high voltage: see `acts.on_the_port`."""

    @property
    def name(self) -> str:
        """Name of the named port."""
        return self.half.name

    @property
    def pictured(self) -> list[Feature]:
        """What was measured in a photograph, which is experimental."""
        counted = [feature for feature, answer in self.answers.items() if isinstance(answer, Read) and answer.pictured]
        return [feature for feature in Feature if feature in counted or feature in self.apart]

    @property
    def polarity(self) -> str:
        """Polarity of the named port, standard or reverse."""
        return self.half.polarity

    @property
    def probability(self) -> float:
        """Probability of the named port."""
        return self.candidates[0].probability

    @property
    def settled(self) -> bool:
        """Whether the order words are sure enough to order by."""
        return self.state is not Settled.NOT_SETTLED

    @property
    def rival(self) -> LookAlike | None:
        """What the port may be instead, the worst first; none where nothing else is still possible."""
        return next((alike for alike in self.beware if alike.probability >= STILL_POSSIBLE), None)

    @property
    def harm(self) -> list[LookAlike]:
        """The look-alikes that the part to be ordered would damage."""
        return [alike for alike in self.beware if alike.verdict == Verdict.DAMAGES.value]


class Brief(msgspec.Struct, frozen=True):
    """What an identification comes to in a line; each as in `Identification`, the look only where it is not settled."""

    half: Half
    answers: Mapping[Feature, Answer]
    state: Settled
    probability: float
    order_probability: float
    fit: Half | None
    mates_with: list[str]
    next: Next | None
    rival: LookAlike | None
    """Only where no look is left, or where it may be a precision port."""
    joining: list[Reason]
    contradiction: Contradiction | None
    misfits: list[Feature]
    apart: Mapping[Feature, tuple[Read, Read]]
    worn: list[Feature]
    centre_told: bool
    centre_doubted: bool
    gauge_alone: list[Reason]
    high_voltage: bool
    on_it: list[Reason]

    @property
    def settled(self) -> bool:
        """Whether the order words are sure enough to order by."""
        return self.state is not Settled.NOT_SETTLED


def look_alikes(shortlist: Shortlist, state: State, half: Half, fit: Half | None) -> list[LookAlike]:
    """The halves to order something else for that look like one, or are still possible: these first, then by harm."""
    belief = shortlist.belief(state.answers, state.again)
    i = shortlist.index(half.id)
    near = contrast.alike(shortlist, i)
    took = {feature: seconds(shortlist, feature) for feature in Feature}
    picked = [
        j
        for j in range(len(shortlist))
        if shortlist.order_of[j] != shortlist.order_of[i] and (near[j] >= contrast.NEAR or belief[j] >= STILL_POSSIBLE)
    ]
    found: list[LookAlike] = []
    for j in picked:
        other = shortlist.halves[j]
        feature = contrast.telling(shortlist, i, j, took)
        tell = Reason("tells.nothing")
        if feature is not None:
            here, there = contrast.shows(shortlist, feature, half), contrast.shows(shortlist, feature, other)
            ids: dict[str, Reason | str] = {"here_id": half.id, "there_id": other.id}
            code = "tells.gauged" if contrast.gauged(shortlist, feature, half, other) else "tells.shown"
            tell = Reason(code, {"look": feature.value, **ids, "here": here, "there": there})
        mating = None if fit is None else surely(other, fit)
        found.append(
            LookAlike(
                id=other.id,
                name=other.name,
                probability=round(float(belief[j]), DIGITS),
                mate="" if fit is None else fit.id,
                verdict="" if mating is None else mating.verdict.value,
                reasons=[] if mating is None else mating.reasons,
                look="" if feature is None else feature.value,
                tell=tell,
            )
        )
    found.sort(key=lambda a: (a.probability < STILL_POSSIBLE, _HARM.get(a.verdict, 2), -a.probability, a.id))
    return found[:MOST_LOOK_ALIKES]


def _without(shortlist: Shortlist, state: State, feature: Feature, i: int) -> float:
    """Probability of a half if an answer were taken back."""
    rest = state.withdraw(feature)
    return round(float(shortlist.belief(rest.answers, rest.again)[i]), DIGITS)


def rests_on(shortlist: Shortlist, state: State, i: int) -> list[Rest]:
    """What each answer holds up of a half, by its place: the most first."""
    found = [
        Rest(feature, answer, _without(shortlist, state, feature, i))
        for feature, answer in state.counted.items()
        if not isinstance(answer, NotSure)
    ]
    return sorted(found, key=lambda rest: rest.without)


def identify(shortlist: Shortlist, state: State) -> Identification:
    """The identification after the answers of a state."""
    order = ranked(shortlist, state)
    half = order[0][0]
    i = shortlist.index(half.id)
    belief = shortlist.belief(state.answers, state.again)
    order_probability = round(float(shortlist.of_orders(belief)[shortlist.order_of[i]]), DIGITS)
    partners = partners_of(shortlist, half)
    mates, fit = partners.mates, partners.fit
    odd, told = misfit.misfits(shortlist, state, i), centre_told(state)
    carries = may_carry(shortlist, state, belief)
    return Identification(
        half=half,
        answers=state.counted,
        state=how_settled(shortlist, state, fit),
        candidates=[Candidate(one.id, p) for one, p in order],
        order_probability=order_probability,
        next=next_question(shortlist, state),
        fit=fit,
        mates_with=[other.id for other, _ in mates],
        with_limits=[other.id for other, mating in mates if mating.verdict is Verdict.LIMITS],
        beware=look_alikes(shortlist, state, half, fit),
        joining=partners.joining,
        rests_on=rests_on(shortlist, state, i),
        soft_numbers=hanging.numbers(shortlist, state, half),
        contradiction=contradiction.find(shortlist, state.counted),
        misfits=odd,
        apart=state.apart,
        worn=misfit.worn(shortlist, state, i),
        centre_told=told,
        centre_doubted=centre_doubted(state),
        gauge_alone=gauge_alone(shortlist, belief),
        high_voltage=carries,
        on_it=_said_on_it(state, carries),
    )


Named = TypeVar("Named", Identification, Brief)


def nothing_told(found: Identification | Brief) -> bool:
    """Whether nothing was seen or measured, so that no port is named: what is likeliest is only met most."""
    return all(isinstance(answer, NotSure) for answer in found.answers.values())


def with_unmeasured(found: Named, known: Tables) -> Named:
    """The same, its cautions followed by what looks like the named port and has no known sizes, so that no answer can
    name it, unless the coupling was seen to be another; as it is where nothing was told."""
    if nothing_told(found):
        return found
    seen = found.answers.get(Feature.COUPLING)
    alike: list[Reason] = known.taken_for(found.half.id, seen.value if isinstance(seen, Saw) else None)
    return msgspec.structs.replace(found, joining=[*found.joining, *alike])


def brief(shortlist: Shortlist, state: State, partners: Callable[[Half], Partners]) -> Brief:
    """The identification in a line, in a tenth of the time; `partners` gives those of a half as `partners_of` does."""
    belief = shortlist.belief(state.answers, state.again)
    i = named(shortlist, belief)
    half = shortlist.halves[i]
    found = partners(half)
    fit = found.fit
    carries = may_carry(shortlist, state, belief)
    settled = how_settled(shortlist, state, fit)
    look = next_question(shortlist, state) if settled is Settled.NOT_SETTLED else None
    rival, alone = None, gauge_alone(shortlist, belief)
    if settled is Settled.NOT_SETTLED and (look is None or alone):
        near = look_alikes(shortlist, state, half, fit)
        rival = next((alike for alike in near if alike.probability >= STILL_POSSIBLE), None)
    return Brief(
        half=half,
        answers=state.counted,
        state=settled,
        probability=round(float(belief[i]), DIGITS),
        order_probability=round(float(shortlist.of_orders(belief)[shortlist.order_of[i]]), DIGITS),
        fit=fit,
        mates_with=[other.id for other, _ in found.mates],
        next=look,
        rival=rival,
        joining=found.joining,
        contradiction=contradiction.find(shortlist, state.counted),
        misfits=[] if settled is not Settled.NOT_SETTLED else misfit.misfits(shortlist, state, i),
        apart=state.apart,
        worn=misfit.worn(shortlist, state, i),
        centre_told=centre_told(state),
        centre_doubted=centre_doubted(state),
        gauge_alone=alone,
        high_voltage=carries,
        on_it=_said_on_it(state, carries),
    )


def _said_on_it(state: State, carries: bool) -> list[Reason]:
    return on_the_port(Term.LOOK_ONLY in state.terms, Term.HIGH_VOLTAGE in state.terms and not carries)


def may_carry(shortlist: Shortlist, state: State, belief: Array) -> bool:
    """Whether the port may look like one for high voltage, and nobody knows that it is none."""
    return Term.HIGH_VOLTAGE in state.terms and may_be_bayonet(shortlist, state, belief)


def how_settled(shortlist: Shortlist, state: State, fit: Half | None) -> Settled:
    """How far the port is named after the answers of a state; `fit` is what is to be ordered for it.

    Whatever does not go with the named port, a centre that nobody has seen, and high voltage that it may carry bar it
    from being settled. Answers that no connector gives together do not by themselves: a reading at the edge of what
    its instrument gives is common, and what is far off does not go with the port. They are told beside the name.
    """
    belief = shortlist.belief(state.answers, state.again)
    i = named(shortlist, belief)
    if not centre_told(state) or may_carry(shortlist, state, belief) or misfit.misfits(shortlist, state, i):
        return Settled.NOT_SETTLED
    order_probability = round(float(shortlist.of_orders(belief)[shortlist.order_of[i]]), DIGITS)
    if order_probability >= SURE:
        return Settled.SETTLED
    return Settled.FITS_ALL if _fits_all(shortlist, belief, fit) else Settled.NOT_SETTLED


def _fits_all(shortlist: Shortlist, belief: Array, fit: Half | None) -> bool:
    """Whether what is to be ordered joins, limits allowed, every half that is still possible; none is damaged."""
    if fit is None:
        return False
    possible = [j for j in range(len(shortlist)) if belief[j] >= STILL_POSSIBLE]
    joins = [to_order(shortlist.halves[j], fit).verdict in JOINED for j in possible]
    return all(joins) and float(belief[possible].sum()) >= SURE
