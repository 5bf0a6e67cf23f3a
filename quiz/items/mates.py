"""*Will they mate*: two halves in a picture, without their names, and what they come to."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import combinations_with_replacement, product
from random import Random

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.quiz import everyday, option_sets, poses, skills, tells, visible, wording
from coaxtell.quiz.item import Explanation, Item, Option, Task
from coaxtell.quiz.kind import Kind, Offers, its_halves
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "mates"

NEAR = 0.45
"""Halves whose couplings differ by more than this in the logarithm of their size are not asked about: nobody
tries to join them (assumed)."""

VERDICTS = (Verdict.MATES, Verdict.LIMITS, Verdict.NO_CONTACT, Verdict.DAMAGES, Verdict.NO_JOIN)
"""The verdicts that may be asked for; a pair of another one is no item."""
SELDOM = 0.1
"""Share of the pairs that look the same below which another verdict of theirs is left aside, if it is harmless
(assumed)."""
SELDOM_HARM = 0.005
"""The same where the other verdict is that it damages (assumed)."""
TWIN_WIDTH, TWIN_CONTACT = 0.15, 2.2
"""Width or coupling [log] and ratio of the contacts beyond which a second look at a picture tells two halves: N of 50
and 75 ohm (1.8) are not told, N and UHF (2.4) are, and a 4.3-10 plug beside N, whose nut is 8 % wider but its opening
23 % (assumed)."""
LOOK_FIRST = "look first"
"""The answer where halves that look the same come to different verdicts."""
ANSWERS = {**{verdict.value: verdict.name.lower() for verdict in VERDICTS}, LOOK_FIRST: "look_first"}
"""Each answer with its text, always in this order, so that no order gives the answer away."""


def likely(a: Half, b: Half) -> bool:
    """True where a person may try to join the two: their couplings are near in size."""
    return abs(math.log(tells.coupling_mm(a) / tells.coupling_mm(b))) <= NEAR


@lru_cache(maxsize=8)
def tasks(stock: Stock) -> tuple[Task, ...]:
    """Every pair that someone may try and whose verdict rests on no soft number."""
    return tuple(
        Task(NAME, a.id, b.id)
        for a, b in combinations_with_replacement(stock.halves.values(), 2)
        if likely(a, b)
        and stock.verdict(a.id, b.id) in VERDICTS
        and stock.firm(a.id, b.id)
        and _answer(stock, a.id, b.id) in (stock.verdict(a.id, b.id).value, LOOK_FIRST)
    )


def shares(stock: Stock, ports: Mapping[str, float]) -> dict[Task, float]:
    """Every answer alike; within it a pair comes as often as its port counts and its partner is met.

    Where these ports have no pair with an answer, those of all tables join in, since the answers are always offered.
    """
    by_answer: dict[str, list[Task]] = {}
    for task in tasks(stock):
        by_answer.setdefault(sort(stock, task), []).append(task)
    found: dict[Task, float] = {}
    for of_answer in by_answer.values():
        weights = {task: everyday.weight(stock, task.a, task.b, ports) for task in of_answer}
        if not any(weights.values()):
            weights = {task: everyday.weight(stock, task.a, task.b, {}) for task in of_answer}
        whole = sum(weights.values())
        found |= {task: weight / whole / len(by_answer) for task, weight in weights.items() if weight > 0}
    return found


@lru_cache(maxsize=1024)
def twins(stock: Stock, half_id: str) -> tuple[str, ...]:
    """The halves that no picture tells from this one, and the half itself."""
    own = stock.half(half_id)
    return tuple(other.id for other in stock.halves.values() if other.id == half_id or _alike(stock, own, other))


def _alike(stock: Stock, one: Half, two: Half) -> bool:
    """True where not even a second look beside the grid tells two halves: as wide outside and at the coupling, with a
    pin or hole much as thick."""
    widths = [stock.width(half.id).nominal for half in (one, two)]
    couplings = [tells.coupling_mm(half) for half in (one, two)]
    wider = max(abs(math.log(a / b)) for a, b in (widths, couplings))
    if option_sets.told_apart(stock, one.id, two.id) or wider > TWIN_WIDTH:
        return False
    if one.centre.butt is not None or two.centre.butt is not None:
        return True
    return abs(math.log(tells.contact_mm(one) / tells.contact_mm(two))) <= math.log(TWIN_CONTACT)


@lru_cache(maxsize=8192)
def _answer(stock: Stock, a: str, b: str) -> str:
    """What a picture of the two lets one say: of all pairs that look the same, the verdict of nearly all.

    Where one of them damages, nobody may say by looking that it does not, however seldom it is met.
    """
    met: dict[Verdict, float] = {}
    for one, two in product(twins(stock, a), twins(stock, b)):
        verdict = stock.verdict(one, two)
        met[verdict] = met.get(verdict, 0.0) + stock.met[one] * stock.met[two]
    whole = sum(met.values())
    most = max(met, key=met.__getitem__)
    doubtful = met[most] < (1 - SELDOM) * whole
    harms = most is not Verdict.DAMAGES and met.get(Verdict.DAMAGES, 0.0) > SELDOM_HARM * whole
    return LOOK_FIRST if doubtful or harms else most.value


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """The rules that the pair breaks, and what the wrong pair does."""
    return skills.of_pair(stock.half(task.a), stock.half(task.b), stock.verdict(task.a, task.b))


def harmful(stock: Stock, task: Task) -> bool:
    """True for a pair that damages a contact, or may."""
    return stock.damages(task.a, task.b)


def sort(stock: Stock, task: Task) -> str:
    """The answer: the verdict, or to look first."""
    return _answer(stock, task.a, task.b)


def _others(stock: Stock, task: Task) -> Iterator[tuple[str, str]]:
    """What the picture must tell each half from: every half with another answer beside the same partner."""
    own = sort(stock, task)
    for port, partner in ((task.a, task.b), (task.b, task.a)):
        for other in stock.halves:
            if option_sets.told_apart(stock, port, other) and _answer(stock, other, partner) != own:
                yield port, other


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a pair; the picture and which half stands left are drawn."""
    ids = [task.a, task.b]
    rng.shuffle(ids)
    a, b = (stock.half(half_id) for half_id in ids)
    mating = stock.mating(a.id, b.id)
    answer = sort(stock, task)
    picture = poses.drawn(stock, (a.id, b.id), _others(stock, task), rng)
    names = dict(zip(("one", "two"), wording.named(a, b), strict=True))
    reasons = [Reason("mates.shown", names), *mating.reasons]
    look = tells.for_mating(a, b, mating.verdict)
    if answer == LOOK_FIRST:
        others = _other_twins(stock, a, b)
        reasons.insert(1, Reason("mates.not-told", {"halves": ", ".join(other.name for _, other in others)}))
        look = tells.beyond_looking(stock, others)
    return Item(
        task=task,
        question=Reason("mates.question"),
        options=tuple(Option(one, Reason(f"mates.{text}")) for one, text in ANSWERS.items()),
        right=answer,
        skills=skills_of(stock, task),
        explanation=Explanation(
            reasons=tuple(reasons),
            look=look,
            pair=(a.id, b.id),
            stop_mm=mating.stops_at_mm or 0.0,
            cautions=tuple(mating.cautions),
        ),
        picture=picture,
        in_words=visible.in_words(stock, (a, b), picture),
        harmful=harmful(stock, task),
    )


def _other_twins(stock: Stock, a: Half, b: Half) -> list[tuple[Half, Half]]:
    """Each of the two with the halves that no picture tells from it and that come to something else, with the other or
    with what is not told from that."""
    own = stock.verdict(a.id, b.id)
    return [
        (half, stock.half(one))
        for half, other in ((a, b), (b, a))
        for one in twins(stock, half.id)
        if one != half.id and any(stock.verdict(one, two) is not own for two in twins(stock, other.id))
    ]


STRATA = {
    Verdict.MATES.value: "mates or does not join", Verdict.NO_JOIN.value: "mates or does not join",
    Verdict.LIMITS.value: "mates with limits", Verdict.NO_CONTACT.value: "stays open", LOOK_FIRST: "look first",
}  # fmt: skip
"""The stratum of each answer. Limits stand alone: half of a stratum could be missed always and the run still come."""


def stratum(stock: Stock, task: Task) -> str:
    """By the answer; what damages is the harmful part's."""
    return STRATA.get(sort(stock, task), "")


KIND = Kind(
    NAME, 1, shares, make, skills_of, harmful, sort, Offers.VERDICTS, stratum=stratum, decides=its_halves, right=sort
)
