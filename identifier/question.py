"""Which look comes next: the one that tells most of what to order per second, two looks ahead where few remain."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import msgspec
import numpy as np

from coaxtell.identifier import contrast, stopping
from coaxtell.identifier.answers import Answer, Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Array
from coaxtell.identifier.features import Feature
from coaxtell.identifier.looks import Looks
from coaxtell.identifier.outlook import FAINT, Outlook
from coaxtell.models.catalogue import Reason

FEW = 2.6
"""Two looks ahead are weighed once the uncertainty is below this [bit], about six orders."""
NEAR_THE_END = 1.0
"""Near the end the uncertainty is below this [bit], two orders alike."""
NEARLY_BEST = 0.9
"""Looks worth at least this share of the best one are weighed by gain per second then."""
TRIED = 4
"""How many of the best next looks are weighed two looks ahead."""


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
        rate[look] = (gain[look] + asked @ second.gain[rows, then]) / (
            outlook.seconds[look] + asked @ outlook.seconds[then]
        )
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
    return int(np.argmax(np.where(weighed.value >= least, weighed.rate, -np.inf)))


class Next(msgspec.Struct, frozen=True):
    """The next question: what to look at or measure, why that, how, and the seconds it takes."""

    feature: Feature
    ask: str
    how: str
    why: Reason
    seconds: float


def seconds(shortlist: Shortlist, feature: Feature) -> float:
    """How long a look takes [s]."""
    return shortlist.looks.row(feature).seconds.nominal


def has_room(looks: Looks, answers: Mapping[Feature, Answer], feature: Feature) -> bool:
    """Whether the answers leave room for what a feature is about: no pin where a socket was seen."""
    seen = {other.value: answer.value for other, answer in answers.items() if isinstance(answer, Saw)}
    return all(seen.get(other, allowed[0]) in allowed for other, allowed in looks.row(feature).where.items())


def open_features(looks: Looks, answers: Mapping[Feature, Answer]) -> list[Feature]:
    """The features that are still to be asked about.

    What has an answer, "not sure" among them, is not asked again: mistakes persist. Nor is what the answers leave no
    room for, such as the hand of the thread on a port with lugs: who was wrong about the one is wrong about the other.
    Measuring is a second look of its own and is asked all the same where its row says so.
    """
    return [
        feature
        for feature in Feature
        if feature not in answers and (looks.row(feature).again or has_room(looks, answers, feature))
    ]


def next_feature(shortlist: Shortlist, state: State) -> Feature | None:
    """The feature to look at next, or none where what to order is settled or further looks are not worth their time."""
    left = open_features(shortlist.looks, state.answers)
    if not left:
        return None
    outlook = Outlook(
        [shortlist.outcomes(feature, state.instrument).table for feature in left],
        [seconds(shortlist, feature) for feature in left],
        shortlist.order_of,
    )
    wrong_order = shortlist.looks.table.stopping.wrong_order.nominal
    look = choose(outlook, shortlist.joint(state.answers), wrong_order)
    return None if look is None else left[look]


def next_question(shortlist: Shortlist, state: State) -> Next | None:
    """The next question with its reason, or none where it is time to stop; the same each time it is asked."""
    feature = next_feature(shortlist, state)
    return None if feature is None else question(shortlist, state.answers, feature)


def question(shortlist: Shortlist, answers: Mapping[Feature, Answer], feature: Feature) -> Next:
    """The question about one feature, with its reason after these answers."""
    row = shortlist.looks.row(feature)
    ask = _ask(shortlist.looks, answers, feature)
    return Next(feature, ask, row.how, _why(shortlist, answers, feature), row.seconds.nominal)


def _ask(looks: Looks, answers: Mapping[Feature, Answer], feature: Feature) -> str:
    """The question in the words that go with the answers so far."""
    row = looks.row(feature)
    if row.again and not has_room(looks, answers, feature):
        return row.again
    seen = answers.get(Feature.COUPLING)
    return row.after.get(seen.value, row.ask) if isinstance(seen, Saw) else row.ask


def _why(shortlist: Shortlist, answers: Mapping[Feature, Answer], feature: Feature) -> Reason:
    """What the question tells apart: the likeliest pair that differs in it."""
    belief = shortlist.belief(answers)
    order = np.argsort(-belief, kind="stable")
    best: tuple[float, int, int] | None = None
    for place, i in enumerate(order[:6]):
        for j in order[place + 1 : 12]:
            if shortlist.order_of[i] == shortlist.order_of[j]:
                continue
            weight = float(belief[i] * belief[j]) * (1 - contrast.overlap(shortlist, feature, int(i), int(j)))
            if best is None or weight > best[0]:
                best = (weight, int(i), int(j))
    took = seconds(shortlist, feature)
    if best is None:
        return Reason("why.quickest", {"seconds": took})
    _, i, j = best
    one, two = shortlist.halves[i], shortlist.halves[j]
    shown = [contrast.shows(shortlist, feature, half) for half in (one, two)]
    return Reason(
        "why.narrows",
        {"seconds": took, "one": one.name, "one_shows": shown[0], "two": two.name, "two_shows": shown[1]},
    )
