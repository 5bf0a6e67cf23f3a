"""The named port: how sure and on what, what mates with it, what looks like it and would do harm, what to order."""

from __future__ import annotations

import msgspec

from coaxtell.identifier import contradiction, contrast, hanging
from coaxtell.identifier.answers import NotSure, State
from coaxtell.identifier.belief import Shortlist, ranked
from coaxtell.identifier.contradiction import Contradiction
from coaxtell.identifier.features import Feature
from coaxtell.identifier.question import Next, next_question, seconds
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, Mating, Verdict, mate
from coaxtell.models.words import gender_words, order_words, said

STILL_POSSIBLE = 0.01
"""A half at least this probable is still possible."""
MOST_LOOK_ALIKES = 6
_HARM = {Verdict.DAMAGES.value: 0, Verdict.NO_CONTACT.value: 1}
SURE = 0.9
"""Below this probability one looks again before ordering."""


class Candidate(msgspec.Struct, frozen=True):
    """A half and its probability."""

    id: str
    probability: float


class LookAlike(msgspec.Struct, frozen=True):
    """A half that may be taken for the named one, what becomes of it with the part ordered, and the look that tells.

    `mate` is the half that would be ordered for the named one, empty where there is none; `verdict` and `reason` are
    those of this look-alike with it.
    """

    id: str
    name: str
    probability: float
    mate: str
    verdict: str
    reason: str
    look: str
    tell: str


class Rest(msgspec.Struct, frozen=True):
    """One answer, and the probability of the named half if this answer were taken back."""

    feature: Feature
    said: str
    without: float


class Identification(msgspec.Struct, frozen=True):
    """Everything to say of a port after some answers."""

    candidates: list[Candidate]
    name: str
    gender: str
    polarity: str
    probability: float
    order_probability: float
    """That of its order words: halves to be ordered alike count as one."""
    next: Next | None
    mates_with: list[str]
    with_limits: list[str]
    """Those of `mates_with` that mate with a loss of match, frequency or torque."""
    beware: list[LookAlike]
    port_words: str
    """Order words of the port itself."""
    fit_words: str
    """Order words of the half that fits it, empty where none does."""
    cautions: list[str]
    rests_on: list[Rest]
    soft_numbers: list[str]
    contradiction: Contradiction | None

    @property
    def settled(self) -> bool:
        """Whether the order words are sure enough to order by."""
        return self.order_probability >= SURE

    @property
    def order(self) -> str:
        """What to order for this port, and what the port itself is, in one text; a doubt is told first."""
        doubt = "" if self.settled else f"Not settled, only {percent(self.order_probability)} sure: look again first. "
        fits = f"To fit this port order: {self.fit_words}." if self.fit_words else "Nothing in the tables fits it."
        return f"{doubt}{fits} The port itself: {self.port_words}."


def mates_of(shortlist: Shortlist, half: Half) -> list[tuple[Half, Mating]]:
    """The halves that mate with one, best first: without limits, then of its own family, then the likelier."""
    found: list[tuple[tuple[bool, bool, bool, float, str], Half, Mating]] = []
    for i, other in enumerate(shortlist.halves):
        mating = mate(half, other, sweep=False)
        if mating.verdict in JOINED:
            strange = other.family != half.family
            other_ohm = other.impedance_ohm != half.impedance_ohm
            key = (mating.verdict is not Verdict.MATES, strange, other_ohm, -float(shortlist.prior[i]), other.id)
            found.append((key, other, mating))
    return [(other, mating) for _, other, mating in sorted(found, key=lambda row: row[0])]


def look_alikes(shortlist: Shortlist, state: State, half: Half, fit: Half | None) -> list[LookAlike]:
    """The halves to order something else for that look like one, or are still possible: these first, then by harm."""
    belief = shortlist.belief(state.answers)
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
        tell = "Nothing that is seen or measured here tells them apart."
        if feature is not None:
            here, there = contrast.shows(shortlist, feature, half), contrast.shows(shortlist, feature, other)
            tell = f"{feature}: {half.id} shows {here}, {other.id} {there}."
        mating = None if fit is None else mate(other, fit, sweep=False)
        found.append(
            LookAlike(
                id=other.id,
                name=other.name,
                probability=float(belief[j]),
                mate="" if fit is None else fit.id,
                verdict="" if mating is None else mating.verdict.value,
                reason="" if mating is None else " ".join(said(mating.reasons)),
                look="" if feature is None else feature.value,
                tell=tell,
            )
        )
    found.sort(key=lambda a: (a.probability < STILL_POSSIBLE, _HARM.get(a.verdict, 2), -a.probability, a.id))
    return found[:MOST_LOOK_ALIKES]


def _rests_on(shortlist: Shortlist, state: State, i: int) -> list[Rest]:
    found = [
        Rest(
            feature,
            contradiction.said_words(feature, answer),
            float(shortlist.belief(state.withdraw(feature).answers)[i]),
        )
        for feature, answer in state.answers.items()
        if not isinstance(answer, NotSure)
    ]
    return sorted(found, key=lambda rest: rest.without)


def _cautions(
    half: Half, order_probability: float, fit: Mating | None, beware: list[LookAlike], clash: Contradiction | None
) -> list[str]:
    found: list[str] = []
    if clash is not None:
        found.append(clash.sentence)
    if order_probability < SURE:
        sure = percent(order_probability)
        found.append(f"{half.name} is only {sure} sure: look again before you order or join anything.")
    harm = [alike for alike in beware if alike.verdict == Verdict.DAMAGES.value]
    if harm:
        others = " or ".join(alike.id for alike in harm)
        found.append(f"If the port is {others} instead, {harm[0].mate} damages it: never force a coupling.")
    if half.polarity == "reverse":
        found.append("No public standard gives where the contacts of reverse polarity stand; the tables assume it.")
    if fit is not None:
        found += said(fit.cautions)
    return found


def percent(probability: float) -> str:
    """A probability as a person reads it; never a hundred, never nought."""
    if probability > 0.995:
        return "over 99 %"
    return f"{100 * probability:.0f} %" if probability >= 0.01 else "under 1 %"


def identify(shortlist: Shortlist, state: State) -> Identification:
    """The identification after the answers of a state."""
    order = ranked(shortlist, state)
    half, probability = order[0]
    orders = shortlist.of_orders(shortlist.belief(state.answers))
    order_probability = float(orders[shortlist.order_of[shortlist.index(half.id)]])
    mates = mates_of(shortlist, half)
    fit = mates[0] if mates else None
    beware = look_alikes(shortlist, state, half, None if fit is None else fit[0])
    clash = contradiction.find(shortlist, state.answers)
    return Identification(
        candidates=[Candidate(one.id, p) for one, p in order],
        name=half.name,
        gender=gender_words(half),
        polarity=half.polarity,
        probability=probability,
        order_probability=order_probability,
        next=next_question(shortlist, state),
        mates_with=[other.id for other, _ in mates],
        with_limits=[other.id for other, mating in mates if mating.verdict is Verdict.LIMITS],
        beware=beware,
        port_words=order_words(half),
        fit_words="" if fit is None else order_words(fit[0]),
        cautions=_cautions(half, order_probability, None if fit is None else fit[1], beware, clash),
        rests_on=_rests_on(shortlist, state, shortlist.index(half.id)),
        soft_numbers=hanging.numbers(shortlist, state, half),
        contradiction=clash,
    )
