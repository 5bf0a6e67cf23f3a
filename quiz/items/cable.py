"""*Which cable*: two ports, a distance and a band, and the one assembly that fits both and loses least."""

from __future__ import annotations

from functools import lru_cache
from random import Random

from coaxtell.cables.assembly import Assembly, work_out
from coaxtell.cables.ends import takes
from coaxtell.cables.limits import Legal
from coaxtell.cables.ranking import Preference, rank
from coaxtell.cables.run import Run
from coaxtell.cables.units import Gain, GainUnit
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.quiz import distractors, skills, tells
from coaxtell.quiz.item import Explanation, Item, Option, Said, Task
from coaxtell.quiz.kind import Kind
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "cable"

LENGTHS = (3.0, 6.0, 10.0, 15.0, 25.0)
"""Runs that are asked about [m]."""
REGIONS = ("us", "eu-lower")
GAIN = Gain(6.0, GainUnit.DBI)
LINE_OHM = 50.0


def tasks(stock: Stock) -> list[Task]:
    """Pairs of 50 ohm jacks, the first with a wrong end that looks right, that some cable joins."""
    jacks = [half for half in stock.halves.values() if half.gender == "jack" and half.impedance_ohm == LINE_OHM]
    return [
        Task(NAME, one.id, two.id)
        for one in jacks
        for two in jacks
        if one.id < two.id and _wrong_end(stock, one.id) is not None and _usable(stock, one.id, two.id)
    ]


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """The cable by distance and band; what ends fit is practised by itself."""
    return (Skill.CABLE,)


def harmful(stock: Stock, task: Task) -> bool:
    """True where the wrong end among the options damages the first port."""
    end = _wrong_end(stock, task.a)
    return end is not None and distractors.cost(stock, end, task.a) == 2


def sort(stock: Stock, task: Task) -> str:
    """Ports are drawn alike by the first one's family."""
    return skills.line(stock.half(task.a))


@lru_cache(maxsize=256)
def _wrong_end(stock: Stock, port: str) -> str | None:
    """The end of the right family and gender and of the other polarity; it must not connect, beyond doubt."""
    right = stock.mate_of(port)
    if right is None:
        return None
    own = stock.half(right)
    for end in stock.halves.values():
        alike = skills.line(end) == skills.line(own) and end.gender == own.gender
        if alike and end.polarity != own.polarity and end.impedance_ohm == own.impedance_ohm:
            return end.id if not distractors.joined(stock, port, end.id) and stock.firm(port, end.id) else None
    return None


@lru_cache(maxsize=4096)
def _whole(stock: Stock, a: str, b: str, length_m: float, region: str) -> tuple[Assembly, ...]:
    """The assemblies with both ends of their own that are legal, can be built and make sense, the best first."""
    rules = stock.cables.region(region)
    run = Run(
        reader=stock.half(a),
        antenna=stock.half(b),
        length_m=length_m,
        region=rules,
        frequency_mhz=rules.usual.nominal,
        gain=GAIN,
    )
    ends = [stock.mate_of(port) for port in (a, b)]
    # only classes that take both ends: the search for adapters is long, and an assembly with one is no answer here
    found = [
        work_out(run, cable, stock.ends, stock.cables)
        for cable in stock.cables.classes.values()
        if cable.loss_known and all(end is not None and takes(cable, stock.half(end)) for end in ends)
    ]
    return tuple(
        one
        for one in rank(found, Preference.LEAST_LOSS)
        if one.buildable and one.legal is Legal.YES and not one.adapter_count and not one.not_sensible
    )


def _worse(whole: tuple[Assembly, ...]) -> list[Assembly]:
    """Those that lose more than the first, whatever the uncertain figures really are."""
    best = whole[0].loss
    most = best.total_db + best.plus_minus_db
    alike = [one for one in whole[1:] if _end_ids(one) == _end_ids(whole[0])]
    return [one for one in alike if one.loss.total_db - one.loss.plus_minus_db > most]


def _runs(stock: Stock, a: str, b: str) -> list[tuple[float, str]]:
    """Lengths and regions for which one assembly is best beyond doubt and another is plainly worse."""
    found = []
    for length in LENGTHS:
        for region in REGIONS:
            whole = _whole(stock, a, b, length, region)
            if whole and _worse(whole) and _end_ids(whole[0]) == (stock.mate_of(a), stock.mate_of(b)):
                found.append((length, region))
    return found


def _end_ids(assembly: Assembly) -> tuple[str | None, ...]:
    return tuple(None if end is None else end.id for end in assembly.ends)


@lru_cache(maxsize=1024)
def _usable(stock: Stock, a: str, b: str) -> tuple[tuple[float, str], ...]:
    return tuple(_runs(stock, a, b))


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of two ports; length and region are drawn."""
    length, region = rng.choice(_usable(stock, task.a, task.b))
    whole = _whole(stock, task.a, task.b, length, region)
    best, worse = whole[0], rng.choice(_worse(whole))
    end_a, end_b = best.ends
    assert end_a is not None
    assert end_b is not None
    wrong_id = _wrong_end(stock, task.a)
    assert wrong_id is not None
    wrong = stock.half(wrong_id)
    # two by two, so that no option stands out by what most of them share
    options = [
        _option("best", best, end_a, end_b),
        _option("more loss", worse, end_a, end_b),
        _option("wrong end", best, wrong, end_b),
        _option("wrong end, more loss", worse, wrong, end_b),
    ]
    rng.shuffle(options)
    rules = stock.cables.region(region)
    bad = stock.mating(task.a, wrong_id)
    return Item(
        task=task,
        question=Reason(
            "cable.question",
            {
                "reader": stock.half(task.a).name,
                "antenna": stock.half(task.b).name,
                "length_m": length,
                "mhz": rules.usual.nominal,
                "region": rules.name,
                "gain": str(GAIN),
            },
        ),
        options=tuple(options),
        right="best",
        skills=skills_of(stock, task),
        explanation=Explanation(
            reasons=(
                Reason("cable.best", _loss(best) | {"cable_db": best.loss.cable_db, "length_m": length}),
                Reason("cable.worse", _loss(worse)),
                Reason(
                    "cable.wrong-end",
                    {"end": wrong.name, "port": stock.half(task.a).name, "verdict": bad.verdict.value},
                ),
                *bad.reasons,
            ),
            look=tells.for_mating(stock.half(task.a), wrong, bad.verdict),
            pair=(task.a, wrong_id),
            stop_mm=bad.stops_at_mm or 0.0,
            cautions=tuple(bad.cautions),
        ),
        harmful=harmful(stock, task),
    )


def _option(option_id: str, assembly: Assembly, one: Half, two: Half) -> Option:
    return Option(option_id, Reason("cable.option", {"cable": _class(assembly), "a": one.name, "b": two.name}))


def _loss(assembly: Assembly) -> dict[str, Said | float]:
    loss = assembly.loss
    return {"cable": _class(assembly), "total_db": loss.total_db, "plus_minus_db": loss.plus_minus_db}


def _class(assembly: Assembly) -> Said:
    name = assembly.cable.name
    return name if name.startswith("RG") else Reason("cable.class", {"name": name})


KIND = Kind(NAME, 5, tasks, make, skills_of, harmful, sort, confuses=False)
