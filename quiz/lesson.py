"""The first lesson, for who has never practised: pairs that differ in one look, and after each what that look tells.

Comparing comes first and the principle after it (L. Alfieri, T. J. Nokes-Malach, C. D. Schunn, Learning Through Case
Comparisons, Educational Psychologist 48 (2013) 87-113). It ends after six right answers.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import msgspec

from coaxtell.identifier.features import Feature
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.models.surfaces import shell_radius
from coaxtell.quiz import items, poses, visible
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Item, Task
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.tells import coupling_mm

TAUGHT = (Feature.CENTRE, Feature.COUPLING, Feature.SIZE, Feature.PLASTIC)
LOOKS = tuple(look.value for look in TAUGHT)
"""The looks that are taught, in turn; the centre first, since parts that differ in it are alike in all else."""
PAIRS = 8
DEEP = 4.0
"""From this far behind the rim the reference plane is hidden in the half [mm]."""
RIGHT = 6
"""Right answers after which nothing more is taught."""


def tasks(plan: Blueprint) -> tuple[Task, ...]:
    """The pairs of the lesson: for each look in turn those that are met most and differ in that one look alone, none
    twice, and a joint at the end.

    Where these ports have no such pair, those of all tables serve; none where other kinds were asked for.
    """
    by_look: dict[str, list[Task]] = {}
    looks = plan.shares.get("look", {})
    if not looks and plan.shares.keys() == items.shares(plan.stock, plan.ports).keys():
        looks = items.shares(plan.stock, {}, ["look"]).get("look", {})
    for task in sorted(looks, key=lambda task: (-looks[task], task)):
        one, two = plan.stock.half(task.a), plan.stock.half(task.b)
        if len(visible.apart(plan.stock, one, two, TAUGHT)) == 1:
            by_look.setdefault(items.sort(plan.stock, task), []).append(task)
    found: list[Task] = []
    used: set[str] = set()
    for place in range(PAIRS):
        fresh = [task for task in by_look.get(LOOKS[place % len(LOOKS)], []) if task.key not in used]
        if fresh:
            found.append(fresh[0])
            used.add(fresh[0].key)
    joints = {task: share for kind in items.OF_PAIRS for task, share in plan.shares.get(kind, {}).items()}
    met = [task for task in joints if items.sort(plan.stock, task) == Verdict.MATES.value]
    if found and met:
        found.append(max(met, key=lambda task: (joints[task], task)))
    return tuple(found)


def plain(stock: Stock, item: Item) -> Item:
    """An item of the lesson with its parts new, plated alike, on one body and seen as all are first: nothing but the
    look differs."""
    if item.picture is None:
        return item
    halves = item.picture.halves
    body = next(iter(poses.common_bodies([stock.half(half_id) for half_id in halves])), "")
    shown = msgspec.structs.replace(
        poses.STANDARD, halves=halves, finish=poses.FINISHES[1], bodies=(body,) * len(halves) if body else ()
    )
    return msgspec.structs.replace(item, picture=shown)


class Label(NamedTuple):
    """A word of the trade, the place on a half that it stands for [mm, in the half's axes], and where it is written:
    beside the half by so many of its widths to the right and upwards."""

    word: Reason
    at: tuple[float, float, float]
    beside: tuple[float, float]


def labels(half: Half) -> tuple[Label, ...]:
    """The words plug or jack, pin or socket, polarity and reference plane, at their places on a half."""
    front = half.shell.rim.nominal if half.nut is None else max(half.nut.body.rim.nominal, half.shell.rim.nominal)
    radius = coupling_mm(half) / 2
    found = [Label(Reason(f"label.{half.gender}"), (0.0, radius, front - 1.0), (-0.1, 0.85))]
    contact = half.centre.pin or half.centre.socket
    if contact is not None:
        name = "pin" if half.centre.pin is not None else "socket"
        found.append(Label(Reason(f"label.{name}"), (0.0, 0.0, contact.tip.nominal), (-0.75, -0.55)))
        aside = shell_radius(half, 0.0) * math.sqrt(0.5)
        if half.shell.rim.nominal < DEEP:
            found.append(Label(Reason("label.plane"), (-aside, -aside, 0.0), (-0.55, -0.85)))
        found.append(Label(Reason(f"label.{half.polarity}"), (0.0, 0.0, contact.tip.nominal), (0.2, -1.0)))
    return tuple(found)
