"""*Name it*: a port in a picture, from any side and in any light, among what it is taken for."""

from __future__ import annotations

from random import Random
from typing import Literal

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.words import contact_words, coupling_words, gender_words
from coaxtell.quiz import distractors, skills, visible, wording
from coaxtell.quiz.item import Explanation, Item, Option, Picture, Said, Task
from coaxtell.quiz.kind import Kind, Offers
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

NAME = "name"

LIKELY = 6
"""How many of the likeliest mistakes are asked about for each half."""

STANDARD = Picture(halves=(), azimuth=25, elevation=18, scale=True)
LIGHTS = ("bench", "lamp", "shade", "dark bench")
FINISHES: tuple[Literal["gold", "nickel", "steel"], ...] = ("gold", "nickel", "steel")
SIDE, ABOVE = 38.0, 30.0
"""How far round and above the face the eye may stand [deg]."""
WITHOUT_SCALE = 0.3
"""Share of pictures without a scale, where it is not the width that decides."""


def tasks(stock: Stock) -> list[Task]:
    """Each half with the likeliest mistakes about it: what it looks like, and what its name may be taken to mean."""
    return [
        Task(NAME, half.id, other)
        for half in stock.halves.values()
        for other in dict.fromkeys([*distractors.look_alikes(stock, half, STANDARD)[:LIKELY], *_namesake(stock, half)])
    ]


def _namesake(stock: Stock, half: Half) -> list[str]:
    """The half that some shops call by this one's name, if there is one."""
    mate_id = stock.mate_of(half.id)
    return [mate_id] if mate_id is not None and skills.by_wording(half, stock.half(mate_id)) else []


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """What tells the two apart."""
    return skills.parted_by(stock.half(task.a), stock.half(task.b))


def harmful(stock: Stock, task: Task) -> bool:
    """True where taking one for the other leads to a mate that damages a contact."""
    return stock.confusion_harms(task.a, task.b)


def sort(stock: Stock, task: Task) -> str:
    """Halves are drawn alike by family."""
    return skills.line(stock.half(task.a))


def posed(stock: Stock, port: str, other: str, rng: Random) -> Picture:
    """A drawn pose and light from which the port is told from the other half.

    Raises ValueError where no pose tells the two apart.
    """
    half, rival = stock.half(port), stock.half(other)
    azimuth, elevation = rng.uniform(-SIDE, SIDE), rng.uniform(4, ABOVE)
    light, scale, finish = rng.choice(LIGHTS), rng.random() >= WITHOUT_SCALE, rng.choice(FINISHES)
    for nearer in (1.0, 0.7, 0.45, 0.25, 0.0):
        for with_scale in dict.fromkeys((scale, True)):
            picture = Picture((port,), round(azimuth * nearer), round(elevation * nearer), light, with_scale, finish)
            if visible.apart(stock, half, rival, visible.features(half, picture)):
                return picture
    raise ValueError(f"no pose tells {port} from {other}")


def make(stock: Stock, task: Task, rng: Random) -> Item:
    """The item of a half and one likely mistake; pose, light and the order of the options are drawn."""
    half = stock.half(task.a)
    picture = posed(stock, task.a, task.b, rng)
    if task.b in _namesake(stock, half):
        return _worded(stock, task, picture, rng)
    harm = harmful(stock, task)
    wrong = [task.b]
    for other in distractors.look_alikes(stock, half, picture):
        if len(wrong) == distractors.WRONG:
            break
        if other not in wrong and (harm or not stock.confusion_harms(task.a, other)):
            wrong.append(other)
    options = [Option(half_id, words) for half_id, words in wording.called(stock, (task.a, *wrong)).items()]
    rng.shuffle(options)
    rival = stock.half(task.b)
    seen = visible.features(half, picture)
    reasons: list[Said] = [_gender(half), _gender(rival)]
    pair: tuple[str, str] | None = None
    stop = 0.0
    cautions: tuple[Said, ...] = ()
    mate_id = stock.mate_of(task.b)
    if mate_id is not None and not distractors.joined(stock, task.a, mate_id) and stock.firm(task.a, mate_id):
        mating = stock.mating(task.a, mate_id)
        values = {"rival": rival.name, "mate": stock.half(mate_id).name, "verdict": mating.verdict.value}
        reasons.append(Reason("name.taken-for", values))
        reasons += mating.reasons
        pair, stop, cautions = (task.a, mate_id), mating.stops_at_mm or 0.0, tuple(mating.cautions)
    return Item(
        task=task,
        question=Reason("name.question"),
        options=tuple(options),
        right=task.a,
        skills=skills_of(stock, task),
        explanation=Explanation(
            reasons=tuple(reasons),
            look=visible.telling(stock, half, rival, seen),
            pair=pair,
            stop_mm=stop,
            cautions=cautions,
        ),
        picture=picture,
        in_words=visible.in_words(stock, half, picture),
        harmful=harm,
    )


def _worded(stock: Stock, task: Task, picture: Picture, rng: Random) -> Item:
    """What to call a half whose body and contact say different things: both words, in all four ways."""
    half, other = stock.half(task.a), stock.half(task.b)
    options = [
        Option(
            _words_id(stock, half, gender, contact),
            Reason("name.called", {"family": half.family, "gender": gender, "contact": contact}),
        )
        for gender in (half.gender, other.gender)
        for contact in (contact_words(half), contact_words(other))
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
                Reason("name.its-mate", {"mate": other.name, "verdict": mating.verdict.value}),
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


def _words_id(stock: Stock, half: Half, gender: str, contact: str) -> str:
    """The id of the half that is called so, or a name for what is not made."""
    for half_id in (half.id, stock.mate_of(half.id)):
        one = stock.half(half_id or half.id)
        if (one.gender, contact_words(one)) == (gender, contact):
            return one.id
    return f"{half.id} as {gender} with {contact}"


KIND = Kind(NAME, 2, tasks, make, skills_of, harmful, sort, Offers.HALVES)
