"""*Which look decides*: two look-alikes in a picture, without names, and the one look of three that separates them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import combinations
from random import Random

from coaxtell.identifier.features import SEEN, Feature
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.words import coupling_words
from coaxtell.quiz import everyday, option_sets, poses, skills, tells, visible, wording
from coaxtell.quiz.item import Explanation, Item, Option, Picture, Task
from coaxtell.quiz.kind import Kind
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "look"

NOT_ASKED = (Feature.MARKED, Feature.LETTER, Feature.TOUCH, Feature.HOLE, Feature.RIM, Feature.FORM)
ASKED = tuple(feature for feature in SEEN if feature not in NOT_ASKED)
"""What a picture shows of a part, whichever way it lies; a letter or a print may lie on its far side."""

NEAR = 0.45
"""Halves whose widths differ by more than this in the logarithm are no look-alikes (assumed)."""

CHOICES = 3
"""Looks that are offered."""
LEAST = 0.25
"""No look is right less often than this share of the one that is right most often, so that none is forgotten."""
TRIES = 20
"""Poses that are drawn before the standard one is taken."""


@lru_cache(maxsize=8)
def _pairs(stock: Stock) -> dict[tuple[str, ...], dict[Feature, tuple[tuple[str, str], ...]]]:
    """For each set of looks the pairs that each of them alone separates; sets in which every look does so for some."""
    found: dict[tuple[str, ...], dict[Feature, tuple[tuple[str, str], ...]]] = {}
    split = {(a, b): _split(stock, a, b) for a, b in _look_alikes(stock)}
    pictured = {pair: _pictured(stock, pair) for pair in split}
    for offered in combinations(ASKED, CHOICES):
        by_key: dict[Feature, tuple[tuple[str, str], ...]] = {
            key: tuple(
                pair
                for pair, held in split.items()
                if held[key] is True
                and key in pictured[pair]
                and all(held[other] is False for other in offered if other is not key)
            )
            for key in offered
        }
        if all(by_key.values()):
            found[tuple(feature.value for feature in offered)] = by_key
    return found


def _pictured(stock: Stock, pair: tuple[str, str]) -> set[Feature]:
    """The looks that tell the two apart in the standard picture of either."""
    one, two = (stock.half(half_id) for half_id in pair)
    return set(visible.tells(stock, one, two, poses.STANDARD)) & set(visible.tells(stock, two, one, poses.STANDARD))


def _look_alikes(stock: Stock) -> Iterator[tuple[str, str]]:
    """Pairs near in width and with one coupling, or of one family."""
    for one, two in combinations(stock.halves.values(), 2):
        if _width_off(stock, one, two) <= NEAR and (
            skills.line(one) == skills.line(two) or not visible.differ(stock, one, two, Feature.COUPLING)
        ):
            yield one.id, two.id


def _split(stock: Stock, a: str, b: str) -> dict[Feature, bool | None]:
    """For each look: true where it separates two halves, false where it shows the same, none where it is in doubt.

    The centre decides only between halves of one gender: plug and jack go by the coupling. Nor is it called the same
    where a picture shows the hole of one, and of the other none.
    """
    one, two = stock.half(a), stock.half(b)
    found: dict[Feature, bool | None] = {feature: _seen(stock, one, two, feature) for feature in ASKED}
    if found[Feature.CENTRE] and one.gender != two.gender:
        found[Feature.CENTRE] = None
    in_sight = [Feature.CENTRE in visible.features(half, poses.STANDARD) for half in (one, two)]
    if found[Feature.CENTRE] is False and in_sight[0] != in_sight[1]:
        found[Feature.CENTRE] = None
    return found


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


def _width_off(stock: Stock, one: Half, two: Half) -> float:
    """How far the widths of two halves are apart in the logarithm."""
    return abs(math.log(stock.width(one.id).nominal / stock.width(two.id).nominal))


def shares(stock: Stock, ports: Mapping[str, float]) -> dict[Task, float]:
    """Every look of a set alike; within it a pair comes as often as its port counts and its partner is met.

    Where these ports have no pair for a look, those of all tables join in.
    """
    weights: dict[tuple[tuple[str, ...], Feature], dict[tuple[str, str], float]] = {}
    wanted: dict[str, float] = {}
    for offered, by_key in _pairs(stock).items():
        for key, pairs in by_key.items():
            found = {pair: everyday.weight(stock, *pair, ports) for pair in pairs}
            wanted[key.value] = max(wanted.get(key.value, 0.0), sum(found.values()))
            if not any(found.values()):
                found = {pair: everyday.weight(stock, *pair, {}) for pair in pairs}
            weights[offered, key] = found
    least = LEAST * max(wanted.values(), default=0.0)
    drawn = option_sets.shares(list(_pairs(stock)), {key: max(share, least) for key, share in wanted.items()})
    return {
        Task(NAME, *pair, offered): drawn[offered] / len(offered) * weight / sum(found.values())
        for (offered, key), found in weights.items()
        if offered in drawn
        for pair, weight in found.items()
        if weight > 0
    }


def _key(stock: Stock, task: Task) -> Feature:
    """The look that separates the two."""
    held = _split(stock, task.a, task.b)
    return next(feature for feature in map(Feature, task.among) if held[feature])


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """Look-alikes, and what tells the two apart."""
    found = skills.parted_by(stock.half(task.a), stock.half(task.b))
    return tuple(dict.fromkeys((Skill.LOOK_ALIKES, *found)))


def harmful(stock: Stock, task: Task) -> bool:
    """True where taking one for the other leads to a mate that damages a contact."""
    return stock.confusion_harms(task.a, task.b)


def sort(stock: Stock, task: Task) -> str:
    """The look that separates them."""
    return _key(stock, task).value


def right(stock: Stock, task: Task) -> str | None:
    """The one look of those offered that separates the two; none where they are no looks, or not one of them does."""
    asked = {feature.value for feature in ASKED}
    held = _split(stock, task.a, task.b)
    found = [name for name in task.among if name in asked and held[Feature(name)]]
    return found[0] if len(found) == 1 and asked.issuperset(task.among) else None


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a pair and three looks; the picture, which half stands left and the order are drawn."""
    right = _key(stock, task)
    ids = [task.a, task.b]
    rng.shuffle(ids)
    one, two = (stock.half(half_id) for half_id in ids)
    picture = _posed(stock, one, two, right, rng)
    options = [Option(name, Reason(f"feature.{name}")) for name in task.among]
    rng.shuffle(options)
    names = dict(zip(("one", "two"), wording.named(one, two), strict=True))
    shows = {"one": tells.shows(stock, one, right), "two": tells.shows(stock, two, right)}
    return Item(
        task=task,
        question=Reason("look.question"),
        options=tuple(options),
        right=right.value,
        skills=skills_of(stock, task),
        explanation=Explanation(
            reasons=(
                Reason("look.pictured", names),
                Reason("look.values", {"feature": Reason(f"begins.{right.value}")} | shows),
                *(Reason("look.same", {"feature": o.words}) for o in options if o.id != right.value),
            ),
            look=tells.between(stock, one, two, right),
        ),
        picture=picture,
        in_words=visible.in_words(stock, (one, two), picture),
        harmful=harmful(stock, task),
    )


def _posed(stock: Stock, one: Half, two: Half, right: Feature, rng: Random) -> Picture:
    """A picture that shows the look that decides on both halves."""
    for _ in range(TRIES):
        found = poses.drawn(stock, (one.id, two.id), [], rng)
        if all(right in visible.tells(stock, a, b, found) for a, b in ((one, two), (two, one))):
            return found
    return found.at(poses.STANDARD.azimuth, poses.STANDARD.elevation, True)


KIND = Kind(NAME, 4, shares, make, skills_of, harmful, sort, right=right)
