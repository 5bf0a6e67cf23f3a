"""*Which end to order*: a port in a picture, and the one cable end among several that connects to it."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from coaxtell.models.catalogue import Reason, Value, called
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.quiz import distractors, option_sets, poses, skills, tells, visible, wording
from coaxtell.quiz.item import Explanation, Item, Option, Task
from coaxtell.quiz.kind import Kind, Offers, first, its_halves
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "order"


def shares(stock: Stock, ports: Mapping[str, float]) -> dict[Task, float]:
    """Every port of every set whose ends may stand together, alike within its set, with the costliest wrong end."""
    drawn = option_sets.mixed(stock, option_sets.exposures(stock, ports), ends=True)
    return {
        Task(NAME, port, _wrong_end(stock, port, members), members): share / len(members)
        for members, share in drawn.items()
        for port in members
    }


def _wrong_end(stock: Stock, port: str, members: tuple[str, ...]) -> str:
    likely = distractors.look_alikes(stock, stock.half(port), poses.STANDARD)
    others = sorted(
        option_sets.beside(members, port),
        key=lambda one: (-distractors.cost(stock, _end(stock, one), port), likely.index(one)),
    )
    return _end(stock, others[0])


def _end(stock: Stock, port: str) -> str:
    """The end that belongs to a port of a set."""
    found = stock.mate_of(port)
    assert found is not None
    return found


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """The end to order, and the rules that the wrong end breaks."""
    pair = skills.of_pair(stock.half(task.a), stock.half(task.b), stock.verdict(task.a, task.b))
    return Skill.ORDER, *(skill for skill in pair if skill is not Skill.RULES)


def harmful(stock: Stock, task: Task) -> bool:
    """True where the wrong end damages the port."""
    return distractors.cost(stock, task.b, task.a) == 2


def sort(stock: Stock, task: Task) -> str:
    """What becomes of the port with the costliest wrong end."""
    return stock.verdict(task.a, task.b).value


def right(stock: Stock, task: Task) -> str | None:
    """The port's own mate."""
    return stock.mate_of(task.a)


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a port among its set; picture and order of the options are drawn."""
    right = _end(stock, task.a)
    others = option_sets.beside(task.among, task.a)
    picture = poses.drawn(stock, (task.a,), [(task.a, other) for other in others], rng)
    half = stock.half(task.a)
    ends = wording.called(stock, (_end(stock, port) for port in task.among))
    options = [Option(end, words) for end, words in ends.items()]
    rng.shuffle(options)
    return Item(
        task=task,
        question=Reason("order.question"),
        options=tuple(options),
        right=right,
        skills=skills_of(stock, task),
        explanation=_with_wrong(stock, task.a, right, task.b),
        picture=picture,
        in_words=visible.in_words(stock, (half,), picture),
        harmful=harmful(stock, task),
    )


def after(stock: Stock, item: Item, chosen: str) -> Explanation:
    """What the end that was ordered does to the port; where it was right, the costliest wrong one."""
    return item.explanation if chosen == item.right else _with_wrong(stock, item.task.a, item.right, chosen)


def _with_wrong(stock: Stock, port: str, right: str, wrong: str) -> Explanation:
    """What becomes of a port with the right end and with a wrong one, which is pictured."""
    half = stock.half(port)
    good, bad = stock.mating(port, right), stock.mating(port, wrong)
    return Explanation(
        reasons=(
            Reason("order.port-with", {"port": half.name} | _with(stock.half(right), good.verdict)),
            *good.reasons,
            Reason("order.with", _with(stock.half(wrong), bad.verdict)),
            *bad.reasons,
            *wording.either_impedance(stock, half),
        ),
        look=tells.for_mating(half, stock.half(wrong), bad.verdict),
        pair=(port, wrong),
        stop_mm=bad.stops_at_mm or 0.0,
        cautions=tuple(bad.cautions),
    )


def _with(end: Half, verdict: Verdict) -> dict[str, Value]:
    return {"end": end.name, "verdict": called(verdict)}


KIND = Kind(
    NAME, 3, shares, make, skills_of, harmful, sort, Offers.HALVES, first, decides=its_halves, right=right, after=after
)
