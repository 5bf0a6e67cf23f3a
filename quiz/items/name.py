"""*Name it*: a port in a picture, from any side and in any light, among what it is taken for."""

from __future__ import annotations

from random import Random
from typing import Literal

from coaxtell.models.words import gender_words
from coaxtell.quiz import distractors, skills, visible
from coaxtell.quiz.item import Explanation, Item, Kind, Option, Picture, Task
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

KIND = Kind.NAME

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
    """Each half with the likeliest mistakes about it."""
    return [
        Task(KIND, half.id, other)
        for half in stock.halves.values()
        for other in distractors.look_alikes(stock, half, STANDARD)[:LIKELY]
    ]


def skills_of(stock: Stock, task: Task) -> tuple[Skill, ...]:
    """What tells the two apart."""
    return skills.parted_by(stock.half(task.a), stock.half(task.b))


def harmful(stock: Stock, task: Task) -> bool:
    """True where taking one for the other leads to a mate that damages a contact."""
    return stock.confusion_harms(task.a, task.b)


def sort(stock: Stock, task: Task) -> str:
    """Halves are drawn alike by family."""
    return stock.half(task.a).family.removeprefix("RP-")


def posed(stock: Stock, port: str, other: str, rng: Random) -> Picture:
    """A drawn pose and light from which the port is told from the other half."""
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
    harm = harmful(stock, task)
    wrong = [task.b]
    for other in distractors.look_alikes(stock, half, picture):
        if len(wrong) == distractors.WRONG:
            break
        if other not in wrong and (harm or not stock.confusion_harms(task.a, other)):
            wrong.append(other)
    options = [Option(half_id, stock.half(half_id).name) for half_id in (task.a, *wrong)]
    rng.shuffle(options)
    rival = stock.half(task.b)
    seen = visible.features(half, picture)
    reasons = [f"{half.name}: {gender_words(half)}.", f"{rival.name}: {gender_words(rival)}."]
    pair: tuple[str, str] | None = None
    stop = 0.0
    cautions: tuple[str, ...] = ()
    mate_id = stock.mate_of(task.b)
    if mate_id is not None and not distractors.joined(stock, task.a, mate_id):
        mating = stock.mating(task.a, mate_id)
        reasons.append(f"Taken for {rival.name}, it would get {mate_id}: {mating.verdict.value}.")
        reasons += mating.reasons
        pair, stop, cautions = (task.a, mate_id), mating.stops_at_mm or 0.0, tuple(mating.cautions)
    return Item(
        task=task,
        question="Which port is this?",
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
