"""*Which cable*: a reader's port and the way to its antenna in a picture, and the loss allowed: the class and the end.

The thinner of two classes is right where it keeps to the loss, the thicker where it does not, and the end that joins
the port. Distances lie on either side of the boundary between the classes, and the port and its look-alike come alike,
so that neither the thicker class nor the commoner end is right more often. The way is sketched leg by leg, and its
length stands nowhere in words: who does not look knows neither the class nor the end.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache
from itertools import combinations, takewhile
from random import Random
from typing import NamedTuple

import msgspec

from coaxtell.cables.classes import CableClass
from coaxtell.cables.ends import takes
from coaxtell.models.catalogue import Reason, called
from coaxtell.quiz import distractors, legs, option_sets, poses, tells, visible, wording
from coaxtell.quiz.item import Explanation, Item, Option, Said, Task
from coaxtell.quiz.kind import Kind, first
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "cable"
WITH_END = "cable.wrong-end"

REGIONS = ("us", "eu-lower")
ALLOWED_DB = (2.0, 3.0, 4.0)
"""Loss that a run of cable may have [dB]; what a site gives away between reader and antenna (common practice)."""
LINE_OHM = 50.0
CLEAR = 0.8
"""A distance is asked about up to this share of what a class reaches, and from its inverse on: further than the makers'
figures of loss spread (10 %, see the cable tables), so that the answer is beyond doubt."""
SHORT = 0.4
"""From which share of its reach the thinner class is asked about (assumed)."""
STEP_M = legs.STEP_M
"""Lengths are asked about in steps of so much, and no boundary beyond which less is clear [m]."""
SIDES = ("thin", "thick")


class Boundary(NamedTuple):
    """Two classes beside each other in thickness, and how far either goes at the loss allowed [m]."""

    thin: CableClass
    thick: CableClass
    region: str
    allowed_db: float
    thin_m: float
    thick_m: float

    def lengths(self, thin: bool) -> tuple[float, float]:
        """From where to where the thinner class is clearly right, or else the thicker [m]."""
        reach, clear = self.thin_m, self.thin_m / CLEAR
        return (SHORT * reach, CLEAR * reach) if thin else (clear, CLEAR * self.thick_m)


@lru_cache(maxsize=8)
def _boundaries(stock: Stock) -> tuple[Boundary, ...]:
    """Two classes of 50 ohm, the thicker going far enough beyond the thinner, at each region and loss allowed."""
    classes = sorted(
        (one for one in stock.cables.classes.values() if one.loss_known and not one.by_maxima
         and one.impedance.nominal == LINE_OHM),
        key=lambda one: one.diameter.nominal,
    )  # fmt: skip
    found = []
    for region in REGIONS:
        mhz = stock.cables.region(region).usual.nominal
        for allowed in ALLOWED_DB:
            for thin, thick in combinations(classes, 2):
                reach = [allowed / one.loss_db(1.0, mhz) for one in (thin, thick)]
                if CLEAR * reach[1] - reach[0] / CLEAR >= STEP_M:
                    found.append(Boundary(thin, thick, region, allowed, *reach))
    return tuple(found)


@lru_cache(maxsize=256)
def _of_port(stock: Stock, port: str, rival: str) -> tuple[Boundary, ...]:
    """The boundaries between classes that take the ends of both ports."""
    ends = [stock.half(end) for end in (stock.mate_of(port), stock.mate_of(rival)) if end is not None]
    return tuple(
        one for one in _boundaries(stock) if all(takes(cable, end) for cable in (one.thin, one.thick) for end in ends)
    )


@lru_cache(maxsize=8)
def _rivals(stock: Stock) -> tuple[tuple[str, ...], ...]:
    """Two ports that look alike, each with an end of its own that does not join the other, beyond doubt."""
    found: dict[tuple[str, ...], None] = {}
    for members in option_sets.of_ends(stock, option_sets.of_ports(stock)):
        for pair in combinations(members, 2):
            one, two = (stock.half(port) for port in pair)
            if (
                one.gender == two.gender
                and one.impedance_ohm == two.impedance_ohm == LINE_OHM
                and _of_port(stock, *pair)
            ):
                found[pair] = None
    return tuple(found)


def shares(stock: Stock, ports: Mapping[str, float]) -> dict[Task, float]:
    """Either port of every pair and either class, alike."""
    drawn = option_sets.shares(_rivals(stock), option_sets.exposures(stock, ports))
    return {
        Task(NAME, port, other, (side,)): share / 4
        for pair, share in drawn.items()
        for port, other in (pair, pair[::-1])
        for side in SIDES
    }


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """The cable by distance and band; what ends fit is practised by itself."""
    return (Skill.CABLE,)


def harmful(stock: Stock, task: Task) -> bool:
    """True where the wrong end among the options damages the port."""
    end = stock.mate_of(task.b)
    return end is not None and distractors.cost(stock, end, task.a) == 2


def sort(stock: Stock, task: Task) -> str:
    """Whether the thinner class does or the thicker is needed."""
    return task.among[0]


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a port, its look-alike and a side of a boundary; boundary, distance and picture are drawn."""
    between = rng.choice(_of_port(stock, *sorted((task.a, task.b))))
    thin_right = task.among[0] == "thin"
    metres = _length(*between.lengths(thin_right), rng)
    mhz = stock.cables.region(between.region).usual.nominal
    ends = {port: stock.mate_of(port) for port in (task.a, task.b)}
    options = [
        Option(
            f"{side} {place}",
            Reason("cable.option", {"cable": _class(cable), "end": wording.seen_as(stock.half(end or port))}),
        )
        for side, cable in zip(SIDES, (between.thin, between.thick), strict=True)
        for place, (port, end) in zip(("own", "other"), ends.items(), strict=True)
    ]
    rng.shuffle(options)
    picture = poses.drawn(stock, (task.a,), [(task.a, task.b)], rng)
    picture = msgspec.structs.replace(picture, legs=legs.split(metres, rng))
    half, wrong = stock.half(task.a), stock.half(ends[task.b] or task.b)
    bad = stock.mating(task.a, wrong.id)
    losses = {
        name: {"cable": _class(cable), "db": cable.loss_db(metres, mhz), "length_m": metres, "mhz": mhz}
        for name, cable in (("thin", between.thin), ("thick", between.thick))
    }
    return Item(
        task=task,
        question=Reason(
            "cable.question",
            {"mhz": mhz, "allowed_db": between.allowed_db},
        ),
        options=tuple(options),
        right=f"{task.among[0]} own",
        skills=skills_of(stock, task),
        explanation=Explanation(
            reasons=(
                *(Reason("cable.loses", values) for values in losses.values()),
                Reason("cable.keeps" if thin_right else "cable.exceeds", {"allowed_db": between.allowed_db}),
                Reason("cable.port", {"port": half.name}),
                Reason(WITH_END, {"end": wrong.name, "port": half.name, "verdict": called(bad.verdict)}),
                *bad.reasons,
            ),
            look=tells.for_mating(half, wrong, bad.verdict),
            pair=(task.a, wrong.id),
            stop_mm=bad.stops_at_mm or 0.0,
            cautions=tuple(bad.cautions),
        ),
        picture=picture,
        in_words=visible.in_words(stock, (half,), picture),
        harmful=harmful(stock, task),
    )  # fmt: skip


def after(stock: Stock, item: Item, chosen: str) -> Explanation:
    """What the end that was ordered does on the port: one of the wrong class alone seats there."""
    end = stock.mate_of(item.task.a)
    if chosen == item.right or chosen.endswith(" other") or end is None:
        return item.explanation
    told, good = item.explanation, stock.mating(item.task.a, end)
    names = {"end": stock.half(end).name, "port": stock.half(item.task.a).name}
    reasons = takewhile(lambda said: isinstance(said, str) or said.code != WITH_END, told.reasons)
    return Explanation(
        reasons=(*reasons, Reason(WITH_END, {**names, "verdict": called(good.verdict)}), *good.reasons),
        look=Reason("cable.by-loss"),
        pair=(item.task.a, end),
        stop_mm=good.stops_at_mm or 0.0,
        cautions=tuple(good.cautions),
    )


def _length(low: float, high: float, rng: Random) -> float:
    """A length between two, in even steps [m]."""
    steps = round(rng.uniform(low, high) / STEP_M)
    return STEP_M * min(max(steps, math.ceil(low / STEP_M)), math.floor(high / STEP_M))


def _class(cable: CableClass) -> Said:
    return cable.name if cable.name.startswith("RG") else Reason("cable.class", {"name": cable.name})


def decides(stock: Stock, task: Task) -> tuple[str, ...]:
    """The port and the wrong end."""
    return (task.a, stock.mate_of(task.b) or task.b)


KIND = Kind(NAME, 5, shares, make, skills_of, harmful, sort, ports=first, decides=decides, confuses=False, after=after)
