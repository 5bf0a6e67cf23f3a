"""*Name it*: a port in a picture, from any side and in any light, among what it is taken for."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from coaxtell.models.catalogue import Reason, Value, called
from coaxtell.models.half import Half
from coaxtell.models.words import contact_words, coupling_words, gender_words
from coaxtell.quiz import distractors, option_sets, poses, skills, visible, wording
from coaxtell.quiz.item import Explanation, Item, Option, Picture, Said, Task
from coaxtell.quiz.kind import Kind, Offers
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "name"
QUESTION = "name.question"

WORDING = 0.12
"""Share of the items that ask what the standards call a half whose body and contact say different things."""


def shares(stock: Stock, ports: Mapping[str, float]) -> dict[Task, float]:
    """Every half of every set, alike within it, beside each other member; and what some shops call otherwise."""
    wanted = option_sets.exposures(stock, ports)
    drawn = option_sets.mixed(stock, wanted)
    found = {
        Task(NAME, port, other, members): share / len(members) / (len(members) - 1)
        for members, share in drawn.items()
        for port in members
        for other in option_sets.beside(members, port)
    }
    worded = option_sets.shares(_worded_pairs(stock), wanted)
    rest = 1 - WORDING if worded and found else 1.0
    found = {task: rest * share for task, share in found.items()}
    for members, share in worded.items():
        for port, other in (members, members[::-1]):
            found[Task(NAME, port, other, members)] = (1 - rest if rest < 1 else 1) * share / 2
    return found


def _worded_pairs(stock: Stock) -> list[tuple[str, ...]]:
    """The two halves of each family whose words for body and contact disagree."""
    pairs: list[tuple[str, ...]] = []
    for half in stock.halves.values():
        mate_id = stock.mate_of(half.id)
        if mate_id is not None and half.id < mate_id and skills.by_wording(half, stock.half(mate_id)):
            pairs.append((half.id, mate_id))
    return pairs


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """What tells the two apart."""
    return skills.parted_by(stock.half(task.a), stock.half(task.b))


def harmful(stock: Stock, task: Task) -> bool:
    """True where taking one for the other leads to a mate that damages a contact."""
    return stock.confusion_harms(task.a, task.b)


def sort(stock: Stock, task: Task) -> str:
    """What tells the port from its rival: the words of the first skill."""
    return skills_of(stock, task)[0].value


def right(stock: Stock, task: Task) -> str:
    """The port itself."""
    return task.a


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a half among its set; picture and order of the options are drawn."""
    half = stock.half(task.a)
    others = option_sets.beside(task.among, task.a)
    picture = poses.drawn(stock, (task.a,), [(task.a, other) for other in others], rng)
    if len(task.among) == 2:
        return _worded(stock, task, picture, rng)
    options = [Option(half_id, words) for half_id, words in wording.called(stock, task.among).items()]
    rng.shuffle(options)
    return Item(
        task=task,
        question=Reason(QUESTION),
        options=tuple(options),
        right=task.a,
        skills=skills_of(stock, task),
        explanation=_taken_for(stock, task.a, task.b, picture),
        picture=picture,
        in_words=visible.in_words(stock, (half,), picture),
        harmful=harmful(stock, task),
    )


def after(stock: Stock, item: Item, chosen: str) -> Explanation:
    """What becomes of the port taken for the half that was chosen; where that was right, for its rival."""
    if chosen == item.right or item.picture is None or item.question.code != QUESTION:
        return item.explanation
    return _taken_for(stock, item.task.a, chosen, item.picture)


def _taken_for(stock: Stock, port: str, rival: str, picture: Picture) -> Explanation:
    """What a port that is taken for another half gets: the mate of that, pictured where it does not join."""
    half, rival_half = stock.half(port), stock.half(rival)
    reasons: list[Said] = [_gender(half), _gender(rival_half)]
    reasons += wording.either_impedance(stock, half)
    pair: tuple[str, str] | None = None
    stop = 0.0
    cautions: tuple[Said, ...] = ()
    mate_id = stock.mate_of(rival)
    if mate_id is not None and not distractors.joined(stock, port, mate_id) and stock.firm(port, mate_id):
        mating = stock.mating(port, mate_id)
        values: dict[str, Value] = {
            "rival": rival_half.name,
            "mate": stock.half(mate_id).name,
            "verdict": called(mating.verdict),
        }
        reasons.append(Reason("name.taken-for", values))
        reasons += mating.reasons
        pair, stop, cautions = (port, mate_id), mating.stops_at_mm or 0.0, tuple(mating.cautions)
    return Explanation(
        reasons=tuple(reasons),
        look=visible.telling(stock, half, rival_half, picture),
        pair=pair,
        stop_mm=stop,
        cautions=cautions,
    )


def _worded(stock: Stock, task: Task, picture: Picture, rng: Random) -> Item:
    """What the standards call a half whose body and contact say different things: plug or jack."""
    half, other = stock.half(task.a), stock.half(task.b)
    options = [
        Option(one.id, Reason("name.called", {"family": one.family, "gender": one.gender})) for one in (half, other)
    ]
    rng.shuffle(options)
    mating = stock.mating(half.id, other.id)
    return Item(
        task=task,
        question=Reason("name.on-the-order"),
        options=tuple(options),
        right=half.id,
        skills=skills_of(stock, task),
        explanation=Explanation(
            reasons=(
                _gender(half),
                Reason("name.by-the-body"),
                Reason("name.its-mate", {"mate": other.name, "verdict": called(mating.verdict)}),
                *mating.reasons,
            ),
            look=Reason(
                "name.body-then-centre", {"a": half.id, "b": other.id, "one": _shown(half), "two": _shown(other)}
            ),
            pair=(half.id, other.id),
            stop_mm=mating.stops_at_mm or 0.0,
            cautions=tuple(mating.cautions),
        ),
        picture=picture,
        in_words=Reason("shown.port", {"clauses": [_shown(half)]}),
    )


def _gender(half: Half) -> Reason:
    return Reason("name.gender", {"half": half.name, "gender": gender_words(half)})


def _shown(half: Half) -> Reason:
    return Reason("name.shown", {"coupling": coupling_words(half), "contact": contact_words(half)})


STRATA = {Skill.GENDER: "name by the coupling", Skill.POLARITY: "name by the centre", Skill.SIZE: "name by the family"}


def stratum(stock: Stock, task: Task) -> str:
    """What tells the port from its rival, where it is one rule of the trade alone."""
    found = skills_of(stock, task)
    return STRATA.get(found[0], "") if len(found) == 1 else ""


KIND = Kind(NAME, 2, shares, make, skills_of, harmful, sort, Offers.HALVES, stratum=stratum, right=right, after=after)
