"""What the quiz says: every sentence of an item, made from its data in one place."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from types import MappingProxyType
from typing import NamedTuple

from coaxtell.models.catalogue import ENGLISH, MODELS, Catalogue, Reason, called
from coaxtell.quiz.item import Item, Said
from coaxtell.quiz.score import points
from coaxtell.quiz.skills import PAIR, Skill

BESIDE = " beside "
"""Between the port that is shown and what it is taken for, in the name of a stratum of look-alikes."""
QUIZ = Catalogue("coaxtell.quiz", below=MODELS)


def say(said: Said, language: str = ENGLISH, names: Mapping[str, str] = MappingProxyType({})) -> str:
    """The words of a reason, or the text itself, in a language that calls some names by `names`."""
    return names.get(said, said) if isinstance(said, str) else QUIZ.say(said, language, names)


def kind(name: str) -> str:
    """What a kind of item is called; its bare name where it is not known here."""
    return QUIZ.texts().get(f"kind.{name}", name)


class Words(NamedTuple):
    """An item in words: what is asked, and what is said after the answer."""

    question: str
    unseen: str
    """The question where no picture is shown: without what is said of it."""
    options: dict[str, str]
    """The words of each option by its id, in their order."""
    in_words: str
    """What the picture shows, for where no picture can be shown; empty where nothing can be said of it."""
    reasons: list[str]
    look: str
    cautions: list[str]


def of(item: Item, language: str = ENGLISH, names: Mapping[str, str] = MappingProxyType({})) -> Words:
    """The words of an item, in a language that calls some names by `names`."""
    told = item.explanation

    def tell(said: Said) -> str:
        return say(said, language, names)

    unseen = question = tell(item.question)
    if item.picture is not None and item.picture.panel:
        question += f" {tell(Reason('picture.ring'))}"
    return Words(
        question=question,
        unseen=unseen,
        options={option.id: tell(option.words) for option in item.options},
        in_words="" if item.in_words is None else tell(item.in_words),
        reasons=[tell(reason) for reason in told.reasons],
        look=tell(told.look),
        cautions=[tell(caution) for caution in told.cautions],
    )


def honest(right: bool, sure: float) -> str:
    """The score of an answer, with what being sure was worth and what it risked."""
    won, lost = points(True, sure), points(False, sure)
    values = {
        "got": won if right else lost, "sure": sure, "won": won, "lost": lost, "cost": -lost,
        "best": points(True, 1.0), "risk": points(False, 1.0),
    }  # fmt: skip
    return say(Reason("honest.right" if right else "honest.wrong", values))


def word(one: Enum) -> str:
    """What a skill, a verdict, a decision or a state is called."""
    return say(called(one))


def meaning(skill: Skill) -> str:
    """What a skill means, in a clause."""
    return say(Reason(f"means.{skill.name.lower()}"))


def stratum(name: str) -> str:
    """A stratum of an assessment in words; one that is a whole kind of item by that kind's."""
    shown, _, other = name.partition(BESIDE)
    if other:
        return say(Reason("stratum.beside", {"port": shown, "other": other}))
    code = f"stratum.{name.replace(' ', '-')}"
    return say(Reason(code)) if code in QUIZ.texts() else kind(name)


def pair_words(name: str) -> str:
    """A pair of halves in words; any other name as that of a stratum."""
    one, _, other = name.partition("|")
    if other == one:
        return say(Reason("pair.same", {"half": one}))
    return say(Reason("pair.with", {"one": one, "other": other})) if other else stratum(name)


def held(name: str) -> str:
    """What is held or due, by its name in the schedule: a skill, or the two halves of a pair."""
    pair = name.removeprefix(PAIR)
    if pair == name:
        return word(Skill(name))
    one, _, other = pair.partition("|")
    return pair_words(pair) if one == other else say(Reason("pair.held", {"pair": pair_words(pair)}))


def alternative(item: Item) -> str:
    """The text beside an item's picture for who is shown the picture: what it is, and nothing of the answer."""
    if item.picture is not None and item.picture.legs:
        return say(Reason("alternative.run"))
    number = 0 if item.picture is None else len(item.picture.halves)
    return say(Reason("alternative.one" if number == 1 else "alternative.two"))


def asked(item: Item) -> str:
    """What an item was about, for after the answer: its kind and the skills that decide it."""
    skills = ", ".join(map(word, item.skills))
    return say(Reason("asked.about", {"kind": kind(item.task.kind), "skills": skills}))


def taught(item: Item) -> str:
    """The principle that an item of the first lesson stands for, for after the answer; empty where there is none."""
    text = QUIZ.texts().get(f"lesson.{item.right}")
    return "" if text is None else say(Reason(f"lesson.{item.right}"))


def introduced(number: int) -> str:
    """What is said before an item of the first lesson; empty but before the first."""
    return say(Reason("lesson.first")) if number == 1 else ""
