"""Which look comes next: the one that tells most of what to order per second, two looks ahead where few remain."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import msgspec
import numpy as np

from coaxtell.identifier import contrast, misfit, stopping
from coaxtell.identifier.answers import Answer, Read, Saw, State, Term, pictured
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import DIGITS, Array
from coaxtell.identifier.features import BAYONETS, HELD_BESIDE, SEEN, Feature
from coaxtell.identifier.instruments import NONE
from coaxtell.identifier.looks import Looks
from coaxtell.identifier.outlook import FAINT, Outlook
from coaxtell.models.acts import NEEDS, Act, Need, allowed, from_afar, own_gauge
from coaxtell.models.catalogue import Reason

FEW = 2.6
"""Two looks ahead are weighed once the uncertainty is below this [bit], about six orders."""
NEAR_THE_END = 1.0
"""Near the end the uncertainty is below this [bit], two orders alike."""
NEARLY_BEST = 0.9
"""Looks worth at least this share of the best one are weighed by gain per second then."""
TRIED = 4
"""How many of the best next looks are weighed two looks ahead."""


LIKELIEST, OTHERS = 6, 12
"""So many of the likeliest halves, each against so many, are looked at for a pair that a question tells apart."""
TIE = 1e-9
"""Looks whose rates differ by no more than this are equally good, and the first of them is taken [relative]."""
STILL_POSSIBLE = 0.01
"""A half at least this probable is still possible."""
MAY_BE = 0.05
"""Where a port may be a precision one, or one for high voltage, with this probability, it counts as one (assumed)."""
PICTURED = 2.0
"""A wrong order counts so many times where a size that counts was measured in a photograph: that leaves a port nearly
sure where a calliper leaves it quite sure, and no look would pay any more (assumed; chosen of 1, 1.5, 2 and 4 on
simulated people: docs/photo.md)."""
CENTRE_TOLD = (Feature.CENTRE, Feature.TOUCH, Feature.HOLE, Feature.PIN_DIAMETER, Feature.SOCKET_BORE)
"""Answers that say what stands in the centre."""


class Weighed(NamedTuple):
    """Each look weighed: gain per second [bit/s] and value of going on with it [s], two looks ahead where tried."""

    rate: Array
    value: Array


def weigh(outlook: Outlook, joint: Array, wrong_order: float) -> Weighed:
    """Every look by its gain per second, and by what going on with it is worth [s] at this cost of a wrong order [s].

    `joint` (level, candidate) sums to one. Looks are weighed two ahead where few orders remain.
    """
    first = outlook.prospects(joint[None])
    gain = first.gain[0]
    rate = gain / outlook.seconds
    value = stopping.value(first.sure[0], outlook.best(joint), outlook.seconds, wrong_order)
    if outlook.uncertainty(joint) > FEW:
        return Weighed(rate, value)
    keep = np.flatnonzero(joint.sum(axis=0) > FAINT)
    near = outlook.narrowed(keep)
    small = joint[:, keep] / joint[:, keep].sum()
    for look in np.argsort(-rate, kind="stable")[:TRIED]:
        chance, joints = near.after(small, int(look))
        second = near.prospects(joints)
        second.gain[:, look] = 0.0  # asked once more it says the same
        worth = stopping.value(second.sure, near.bests(joints)[:, None], outlook.seconds, wrong_order)
        worth[:, look] = 0.0
        value[look] += float(chance @ np.maximum(worth, 0.0).max(axis=1))
        then = np.argmax(second.gain / outlook.seconds, axis=1)
        rows = np.arange(len(then))
        asked = chance * (worth[rows, then] > 0)
        together = (gain[look] + asked @ second.gain[rows, then]) / (
            outlook.seconds[look] + asked @ outlook.seconds[then]
        )
        # a look that pays by itself keeps its own rate: a poor one must not live on what comes after it
        rate[look] = max(rate[look], together)
    return Weighed(rate, value)


def choose(outlook: Outlook, joint: Array, wrong_order: float) -> int | None:
    """The look to take next; none where no look is worth its seconds.

    By gain per second, near the end among the looks that are worth nearly as much as the best.
    """
    weighed = weigh(outlook, joint, wrong_order)
    if not stopping.goes_on(weighed.value):
        return None
    # near the end one long look that settles it beats several quick ones that do not
    least = NEARLY_BEST * weighed.value.max() if outlook.uncertainty(joint) <= NEAR_THE_END else -np.inf
    rate = np.where(weighed.value >= least, weighed.rate, -np.inf)
    return int(np.flatnonzero(rate >= rate.max() * (1 - TIE))[0])


class Look(NamedTuple):
    """A look to take, or to take again."""

    feature: Feature
    again: bool = False


class Next(msgspec.Struct, frozen=True):
    """The next question: what to look at or measure, why that, how, the seconds it takes, and whether once more.

    `first` is said before all: where a look would have one hold something beside a port that may not be, and where it
    comes close to the face of one that may be a precision port.
    """

    feature: Feature
    ask: str
    how: str
    why: Reason
    seconds: float
    again: bool = False
    first: tuple[Reason, ...] = ()


def seconds(shortlist: Shortlist, feature: Feature, again: bool = False) -> float:
    """How long a look takes [s]."""
    if again and feature in SEEN:
        return shortlist.looks.second(feature).seconds.nominal
    return shortlist.looks.row(feature).seconds.nominal


def has_room(looks: Looks, seen: Mapping[str, str], feature: Feature) -> bool:
    """Whether what was seen, by look, leaves room for what a feature is about: no pin where a socket was seen."""
    return all(seen.get(other, allowed[0]) in allowed for other, allowed in looks.row(feature).where.items())


def couplings_seen(state: State) -> set[str]:
    """What the port was seen to be held by, at the first look and at the second."""
    looks = (told.get(Feature.COUPLING) for told in (state.answers, state.again))
    return {seen.value for seen in looks if isinstance(seen, Saw)}


def bayonet_seen(state: State) -> bool:
    """Whether the port was seen to be held by a bayonet, at the first look or the second."""
    return not couplings_seen(state).isdisjoint(BAYONETS)


def may_be_bayonet(shortlist: Shortlist, state: State, belief: Array) -> bool:
    """Whether the port may be a bayonet, which high voltage has too: so it was seen, or it is likely enough."""
    if bayonet_seen(state):
        return True
    return float(belief[shortlist.bayonet].sum()) > MAY_BE


def holds(shortlist: Shortlist, state: State, belief: Array) -> set[Need]:
    """What holds of the port as far as the answers tell: see `acts`."""
    found: set[Need] = set()
    if Term.LOOK_ONLY not in state.terms:
        found |= {Need.SWITCHED_OFF, Need.SECURED}  # what the caution asks for; who cannot says "look only"
    may_be = Term.NO_HIGH_VOLTAGE not in state.terms and may_be_bayonet(shortlist, state, belief)
    if Term.HIGH_VOLTAGE not in state.terms and not may_be:
        found.add(Need.NO_HIGH_VOLTAGE)
    if not may_be_precision(shortlist, belief):
        found.add(Need.NOT_PRECISION)
    return found


def may_be_precision(shortlist: Shortlist, belief: Array) -> bool:
    """Whether the port may be a precision one, whose face nothing but its maker's own gauge may touch or enter."""
    return float(belief[shortlist.precision].sum()) > MAY_BE


def gauge_alone(shortlist: Shortlist, belief: Array) -> list[Reason]:
    """That nothing but the maker's own gauge touches or enters the face, with the families the port may be; empty
    where it may be no precision port."""
    if not may_be_precision(shortlist, belief):
        return []
    order = [i for i in np.argsort(-np.round(belief, DIGITS), kind="stable") if shortlist.precision[i]]
    likely = [i for i in order if belief[i] >= STILL_POSSIBLE]
    return own_gauge(shortlist.halves[i] for i in likely or order[:1])


def _act(shortlist: Shortlist, state: State, feature: Feature) -> Act:
    """What a look does to the port, as far as the answers tell."""
    return shortlist.looks.act(feature, couplings_seen(state))


def _may(shortlist: Shortlist, state: State, feature: Feature, held: set[Need]) -> bool:
    """Whether a look may be asked for: the act allowed, an instrument and a mate at hand, the place within reach."""
    row = shortlist.looks.row(feature)
    if feature not in SEEN and state.instrument == NONE:
        return False
    if row.mated and Term.MATED not in state.terms:
        return False
    return allowed(_act(shortlist, state, feature), held) and not (row.reach and Term.NO_REACH in state.terms)


def askable(shortlist: Shortlist, state: State) -> list[Feature]:
    """What was not looked at yet and may be: there is room for it, and nothing forbids the act."""
    held = holds(shortlist, state, shortlist.belief(state.answers, state.again))
    return [look.feature for look in _first_looks(shortlist, state, held)]


def may_do(shortlist: Shortlist, state: State, act: Act) -> bool:
    """Whether an act may be proposed on the port, wherever it is taken on to, as far as the answers tell."""
    return allowed(act, holds(shortlist, state, shortlist.belief(state.answers, state.again)))


def may_look(shortlist: Shortlist, state: State) -> set[Feature]:
    """What may be looked at now, for the first time or once more: nothing forbids the act, and what it needs is there.

    An answer already given may be about something else: it was said before the port was known to be energised.
    """
    held = holds(shortlist, state, shortlist.belief(state.answers, state.again))
    return {feature for feature in Feature if _may(shortlist, state, feature, held)}


def lacking(shortlist: Shortlist, state: State, feature: Feature) -> list[Need]:
    """What does not hold of the port and must before a look, as far as the answers tell."""
    held = holds(shortlist, state, shortlist.belief(state.answers, state.again))
    return [need for need in NEEDS[_act(shortlist, state, feature)] if need not in held]


def mate_stays(shortlist: Shortlist, state: State) -> bool:
    """Whether a mate is on it that may come off only once somebody says that no high voltage is on it."""
    told = {Term.NO_HIGH_VOLTAGE, Term.HIGH_VOLTAGE, Term.LOOK_ONLY} & state.terms
    if Term.MATED not in state.terms or told or Feature.OFF in state.answers:
        return False
    return Feature.OFF not in askable(shortlist, state)


def _first_looks(shortlist: Shortlist, state: State, held: set[Need]) -> list[Look]:
    return [Look(feature) for feature in _left_room(shortlist, state, held) if feature not in state.answers]


def _left_room(shortlist: Shortlist, state: State, held: set[Need]) -> list[Feature]:
    """What the answers leave room for and may be looked at."""
    seen = {other.value: answer.value for other, answer in state.answers.items() if isinstance(answer, Saw)}
    return [f for f in Feature if has_room(shortlist.looks, seen, f) and _may(shortlist, state, f, held)]


def open_looks(shortlist: Shortlist, state: State, belief: Array, once: bool = False) -> list[Look]:
    """The looks that are still to be taken; with `once` none of them a second time.

    What has an answer, "not sure" among them, is not asked again, but for a few quick looks once more: mistakes
    persist; and a size that a photograph gave, which is coarse, may be measured as well. Nor is asked what the answers
    leave no room for, such as the hand of the thread on a port with lugs: who was wrong about the one is wrong about
    the other; nor what may not be done to the port.
    """
    held = holds(shortlist, state, belief)
    found = _first_looks(shortlist, state, held)
    if once:
        return found
    once_more = [f for f in misfit.DECIDE if isinstance(state.answers.get(f), Saw)]
    once_more += [f for f in _left_room(shortlist, state, held) if pictured(state.answers.get(f))]
    return found + [Look(feature, True) for feature in once_more if feature not in state.again]


def centre_told(state: State) -> bool:
    """Whether anything was seen or measured that says what stands in the centre."""
    told = {**state.answers, **state.again}
    return any(isinstance(told.get(feature), Saw | Read) for feature in CENTRE_TOLD)


def centre_doubted(state: State) -> bool:
    """Whether the centre was told at the first look and could not be told at the second."""
    first = any(isinstance(state.answers.get(feature), Saw | Read) for feature in CENTRE_TOLD)
    return first and not centre_told(state)


def next_look(shortlist: Shortlist, state: State, once: bool = False) -> Look | None:
    """The look to take next, or none where what to order is settled or further looks are not worth their time.

    With `once` no look is taken a second time. A mate that is still on comes off first: the face is seen after that.
    """
    joint = shortlist.joint(state.answers, state.again)
    belief = joint.sum(axis=0)
    left = open_looks(shortlist, state, belief, once)
    for look in left:
        if shortlist.looks.row(look.feature).mated:
            return look
    if left:
        outlook = Outlook(
            [shortlist.planned(look.feature, state.answers, state.instrument, look.again) for look in left],
            [seconds(shortlist, look.feature, look.again) for look in left],
            shortlist.order_of,
        )
        chosen = choose(outlook, joint, wrong_order(shortlist, state))
        if chosen is not None:
            return left[chosen]
    return _barring(shortlist, state, belief, left, once)


def wrong_order(shortlist: Shortlist, state: State) -> float:
    """What a wrong order costs after the answers of a state [s], where looks are weighed against it."""
    cost = shortlist.looks.table.stopping.wrong_order.nominal
    return cost * PICTURED if any(pictured(answer) for answer in state.counted.values()) else cost


def _barring(shortlist: Shortlist, state: State, belief: Array, left: list[Look], once: bool) -> Look | None:
    """The look without which the port cannot be named for sure; none where there is none, or no means to take it."""
    if not state.answers:
        return None
    if not centre_told(state):
        quick = [Look(feature) for feature in (Feature.CENTRE, Feature.TOUCH) if Look(feature) in left]
        if quick:
            return quick[0]
    if once:
        return None
    held = holds(shortlist, state, belief)
    for feature in misfit.misfits(shortlist, state, named(shortlist, belief)):
        if feature not in state.again and _may(shortlist, state, feature, held):
            return Look(feature, True)
    return None


def named(shortlist: Shortlist, belief: Array) -> int:
    """The half that a belief names; of equally probable ones the first by id."""
    rounded = np.round(belief, DIGITS)
    return min(np.flatnonzero(rounded == rounded.max()).tolist(), key=lambda i: shortlist.ids[i])


def next_question(shortlist: Shortlist, state: State) -> Next | None:
    """The next question with its reason, or none where it is time to stop; the same each time it is asked."""
    look = next_look(shortlist, state)
    return None if look is None else question(shortlist, state, look.feature, look.again)


def question(shortlist: Shortlist, state: State, feature: Feature, again: bool = False) -> Next:
    """The question about one feature, with its reason after these answers."""
    row = shortlist.looks.row(feature)
    ask = _ask(shortlist.looks, state.answers, feature)
    why = _why(shortlist, state, feature, again)
    other = shortlist.looks.table.again.otherwise.get(feature) if again else None
    how = row.how if other is None else other.how
    first = said_first(shortlist, state) if feature in HELD_BESIDE else ()
    if row.act in (Act.TOUCH, Act.MEASURE):
        first = tuple(gauge_alone(shortlist, shortlist.belief(state.answers, state.again)))
    return Next(feature, ask, how, why, seconds(shortlist, feature, again), again, first)


def said_first(shortlist: Shortlist, state: State) -> tuple[Reason, ...]:
    """That the port is judged from a distance, where nothing may be held beside it; empty where something may."""
    return tuple(from_afar(holds(shortlist, state, shortlist.belief(state.answers, state.again))))


def _ask(looks: Looks, answers: Mapping[Feature, Answer], feature: Feature) -> str:
    """The question in the words that go with the answers so far."""
    row = looks.row(feature)
    seen = answers.get(Feature.COUPLING)
    return row.after.get(seen.value, row.ask) if isinstance(seen, Saw) else row.ask


def _why(shortlist: Shortlist, state: State, feature: Feature, again: bool) -> Reason:
    """What the question tells apart: the likeliest pair that differs in it; or why to look once more."""
    if shortlist.looks.row(feature).mated:
        return Reason("why.mated")
    belief = shortlist.belief(state.answers, state.again)
    i = named(shortlist, belief)
    if again and feature in misfit.misfits(shortlist, state, i):
        half = shortlist.halves[i]
        return Reason("why.misfit", {"name": half.name, "shows": contrast.shows(shortlist, feature, half)})
    order = np.argsort(-np.round(belief, DIGITS), kind="stable")
    best: tuple[float, int, int] | None = None
    likely, orders = order[:OTHERS].tolist(), shortlist.order_of[order[:OTHERS]].tolist()
    for place, a in enumerate(likely[:LIKELIEST]):
        for other, b in enumerate(likely[place + 1 :], place + 1):
            if orders[place] == orders[other]:
                continue
            both = float(belief[a] * belief[b])
            if best is not None and both <= best[0]:
                continue  # what the look tells apart is less still
            weight = both * (1 - contrast.overlap(shortlist, feature, a, b))
            if best is None or weight > best[0] * (1 + TIE):  # of equally likely pairs the first
                best = (weight, a, b)
    took = seconds(shortlist, feature, again)
    if best is None:
        return Reason("why.quickest", {"seconds": took})
    one, two = shortlist.halves[best[1]], shortlist.halves[best[2]]
    shown = [contrast.shows(shortlist, feature, half) for half in (one, two)]
    return Reason(
        "why.narrows",
        {"seconds": took, "one": one.name, "one_shows": shown[0], "two": two.name, "two_shows": shown[1]},
    )
