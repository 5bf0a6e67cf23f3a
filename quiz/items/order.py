"""*Which end to order*: a port in a picture, and the one cable end among several that connects to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import islice
from random import Random

from coaxtell.identifier.features import Feature
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.quiz import distractors, skills, tells, visible, wording
from coaxtell.quiz.item import Explanation, Item, Option, Task
from coaxtell.quiz.items import name
from coaxtell.quiz.kind import Kind, Offers, first
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "order"

LIKELY = 5
"""How many wrong ends are asked about for each port."""


@lru_cache(maxsize=1024)
def _wrong_ends(stock: Stock, port: str) -> tuple[str, ...]:
    """Ends that do not connect to the port, the costliest first, then those of what it is taken for.

    Before the harmless ones stands the port's own likeness: to order what one sees is a favourite mistake.
    """
    alike = distractors.look_alikes(stock, stock.half(port), name.STANDARD)
    ends = [mate_id for other in alike if (mate_id := stock.mate_of(other)) is not None]
    found = [end for end in dict.fromkeys([port, *ends]) if not distractors.joined(stock, port, end)]
    return tuple(sorted(found, key=lambda end: -distractors.cost(stock, end, port)))


def _offered(stock: Stock, port: str, seen: Sequence[Feature]) -> Iterator[str]:
    """The wrong ends that are wrong beyond doubt, and made for what the seen features tell from the port."""
    half = stock.half(port)
    for end in _wrong_ends(stock, port):
        if visible.apart(stock, half, _made_for(stock, end), seen) and stock.firm(port, end):
            yield end


def tasks(stock: Stock) -> list[Task]:
    """Each port that has a mate, with the wrong ends that cost most or are likeliest."""
    found = []
    for half in stock.halves.values():
        if stock.mate_of(half.id) is not None:
            ends = _offered(stock, half.id, visible.features(half, name.STANDARD))
            found += [Task(NAME, half.id, end) for end in islice(ends, LIKELY)]
    return found


def _made_for(stock: Stock, end: str) -> Half:
    """The half that an end is made for: it must look unlike the port, else the end is not plainly wrong."""
    return stock.half(stock.mate_of(end) or end)


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """The end to order, and the rules that the wrong end breaks."""
    pair = skills.of_pair(stock.half(task.a), stock.half(task.b), stock.verdict(task.a, task.b))
    return Skill.ORDER, *(skill for skill in pair if skill is not Skill.RULES)


def harmful(stock: Stock, task: Task) -> bool:
    """True where the wrong end damages the port."""
    return distractors.cost(stock, task.b, task.a) == 2


def sort(stock: Stock, task: Task) -> str:
    """Ports are drawn alike by family."""
    return skills.line(stock.half(task.a))


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a port and one wrong end; pose, light and the order of the options are drawn."""
    right = stock.mate_of(task.a)
    assert right is not None
    picture = name.posed(stock, task.a, _made_for(stock, task.b).id, rng)
    half = stock.half(task.a)
    seen = visible.features(half, picture)
    harm = harmful(stock, task)
    wrong = [task.b]
    for end in _offered(stock, task.a, seen):
        if len(wrong) == distractors.WRONG:
            break
        if end not in wrong and (harm or distractors.cost(stock, end, task.a) < 2):
            wrong.append(end)
    options = [Option(end, words) for end, words in wording.called(stock, (right, *wrong)).items()]
    rng.shuffle(options)
    good, bad = stock.mating(task.a, right), stock.mating(task.a, task.b)
    return Item(
        task=task,
        question=Reason("order.question"),
        options=tuple(options),
        right=right,
        skills=skills_of(stock, task),
        explanation=Explanation(
            reasons=(
                Reason("order.port-with", {"port": half.name} | _with(stock.half(right), good.verdict)),
                *good.reasons,
                Reason("order.with", _with(stock.half(task.b), bad.verdict)),
                *bad.reasons,
            ),
            look=tells.for_mating(half, stock.half(task.b), bad.verdict),
            pair=(task.a, task.b),
            stop_mm=bad.stops_at_mm or 0.0,
            cautions=tuple(bad.cautions),
        ),
        picture=picture,
        in_words=visible.in_words(stock, half, picture),
        harmful=harm,
    )


def _with(end: Half, verdict: Verdict) -> dict[str, str]:
    return {"end": end.name, "verdict": verdict.value}


KIND = Kind(NAME, 3, tasks, make, skills_of, harmful, sort, Offers.HALVES, ports=first)
