"""*Which look decides*: two look-alikes, and the one feature among several that separates them."""

from __future__ import annotations

import math
from functools import lru_cache
from random import Random
from typing import NamedTuple

from coaxtell.identifier.draws import Draws, Nominal
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.identifier.sizes import sizes
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.words import coupling_words
from coaxtell.quiz import distractors, skills, tells, visible, wording
from coaxtell.quiz.item import Explanation, Item, Option, Picture, Task
from coaxtell.quiz.kind import Kind
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.words import QUIZ

NAME = "look"

ASKED = tuple(feature for feature in Feature if f"feature.{feature}" in QUIZ.texts())
"""Every feature with a name among the texts: not the printed impedance, which is on few parts and none of their own."""

BY_COUPLING = (Feature.COUPLING_DIAMETER, Feature.NUT_WIDTH, Feature.BORE)

NEAR = 0.25
"""Halves whose widths differ by more than this in the logarithm are no look-alikes (assumed)."""

CLEAR_MM = 0.15
"""Sizes are plainly different by calliper where their ranges lie this far apart [mm]."""
SAME_MM = 0.05
"""Sizes are the same by calliper where they differ by no more than it can tell [mm]."""


class Split(NamedTuple):
    """Which features separate two halves, and which show the same on both."""

    separate: tuple[Feature, ...]
    same: tuple[Feature, ...]


@lru_cache(maxsize=4096)
def _held(stock: Stock, a: str, b: str) -> Split:
    one, two = stock.half(a), stock.half(b)
    separate: list[Feature] = []
    same: list[Feature] = []
    for feature in ASKED:
        verdict = _seen(stock, one, two, feature) if feature in SEEN else _measured(stock, one, two, feature)
        if verdict is True:
            separate.append(feature)
        elif verdict is False:
            same.append(feature)
    return Split(tuple(separate), tuple(same))


def _seen(stock: Stock, one: Half, two: Half, feature: Feature) -> bool | None:
    """True where the feature separates, False where it shows the same, none where it is in doubt."""
    if visible.differ(stock, one, two, feature):
        return True
    if feature is Feature.SIZE:
        spread = stock.shortlist.looks.table.seen[feature].spread
        assert spread is not None
        return False if _width_off(stock, one, two) < spread.low else None
    if feature is Feature.COUPLING and coupling_words(one) != coupling_words(two):
        return None  # a groove, a slit or a left-hand thread: a keen eye tells them, a quick one does not
    mine, theirs = stock.shown(one.id, feature), stock.shown(two.id, feature)
    return False if mine == theirs and len(mine) == 1 else None


def _alike(stock: Stock, one: Half, two: Half) -> bool:
    """True where a person may take one for the other: near in width and with one coupling, or of one family."""
    if _width_off(stock, one, two) > NEAR:
        return False
    return one.family == two.family or not visible.differ(stock, one, two, Feature.COUPLING)


def _width_off(stock: Stock, one: Half, two: Half) -> float:
    """How far the widths of two halves are apart in the logarithm."""
    return abs(math.log(stock.width(one.id).nominal / stock.width(two.id).nominal))


def _measured(stock: Stock, one: Half, two: Half, feature: Feature) -> bool | None:
    if feature in BY_COUPLING and visible.differ(stock, one, two, Feature.COUPLING):
        return None  # a thread over its crests and one inside a nut: what differs is the coupling
    reach = stock.shortlist.looks.table.jaws.reach
    mine, theirs = sizes(one, feature, Draws(), reach), sizes(two, feature, Draws(), reach)
    if mine is None or theirs is None:
        return None
    gap = max(float(mine.min() - theirs.max()), float(theirs.min() - mine.max()))
    if gap > CLEAR_MM and (feature is not Feature.THREADS or gap > 2):
        return True
    a, b = sizes(one, feature, Nominal(), reach), sizes(two, feature, Nominal(), reach)
    assert a is not None
    assert b is not None
    return False if abs(float(a[0]) - float(b[0])) <= SAME_MM else None


def tasks(stock: Stock) -> list[Task]:
    """Pairs of look-alikes with a feature that separates them and two or more that show the same."""
    found = []
    halves = list(stock.halves.values())
    for i, one in enumerate(halves):
        for two in halves[i + 1 :]:
            if not _alike(stock, one, two):
                continue
            split = _held(stock, one.id, two.id)
            if split.separate and len(split.same) >= 2:
                found.append(Task(NAME, one.id, two.id))
    return found


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """Look-alikes, and what tells the two apart."""
    found = skills.parted_by(stock.half(task.a), stock.half(task.b))
    return tuple(dict.fromkeys((Skill.LOOK_ALIKES, *found)))


def harmful(stock: Stock, task: Task) -> bool:
    """True where taking one for the other leads to a mate that damages a contact."""
    return stock.confusion_harms(task.a, task.b)


def sort(stock: Stock, task: Task) -> str:
    """Pairs are drawn alike by the look that separates them first."""
    return _held(stock, task.a, task.b).separate[0].value


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a pair: one feature that separates, drawn, and others that show the same."""
    one, two = stock.half(task.a), stock.half(task.b)
    split = _held(stock, task.a, task.b)
    right = rng.choice(split.separate)
    wrong = rng.sample(split.same, min(distractors.WRONG, len(split.same)))
    options = [Option(feature.value, _words(feature)) for feature in (right, *wrong)]
    rng.shuffle(options)
    names = [one, two]
    rng.shuffle(names)
    reasons = [_values(stock, one, two, right)]
    reasons += [Reason("look.same", {"feature": _words(feature)}) for feature in wrong]
    if len(split.separate) > 1:
        others = [_words(feature) for feature in split.separate if feature is not right]
        reasons.append(Reason("look.as-well", {"features": others}))
    return Item(
        task=task,
        question=Reason("look.question", dict(zip(("one", "two"), wording.named(*names), strict=True))),
        options=tuple(options),
        right=right.value,
        skills=skills_of(stock, task),
        explanation=Explanation(reasons=tuple(reasons), look=tells.between(stock, one, two, right)),
        picture=Picture((task.a, task.b), 25, 18),
        harmful=harmful(stock, task),
    )


def _words(feature: Feature) -> Reason:
    return Reason(f"feature.{feature.value}")


def _values(stock: Stock, one: Half, two: Half, feature: Feature) -> Reason:
    shows = {"one": tells.shows(stock, one, feature), "two": tells.shows(stock, two, feature)}
    return Reason("look.values", {"feature": Reason(f"begins.{feature.value}")} | shows)


KIND = Kind(NAME, 4, tasks, make, skills_of, harmful, sort)
