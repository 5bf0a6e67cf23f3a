"""The ten items of the day: made by the program with the page, from the everyday ports, the same all day."""

from __future__ import annotations

import re
from datetime import date
from random import Random
from typing import Any

from coaxtell.identifier import looks
from coaxtell.models import unseen
from coaxtell.models.catalogue import ENGLISH, MODELS
from coaxtell.models.half import Half
from coaxtell.models.words import coupling, gender, name
from coaxtell.quiz import everyday, items, log, score, words
from coaxtell.quiz.item import Item
from coaxtell.quiz.stock import Stock

COUNT = 10


def chosen(halves: dict[str, Half], day: date, ports: tuple[str, ...] = ()) -> list[Item]:
    """Ten items for a day, fewer where the tables hold no more, of different pairs and as many kinds as there are.

    `ports` count as everyday ones.
    """
    stock = Stock(halves)
    often = everyday.halves(stock, ports)
    by_kind = {kind: [task for task in items.tasks(stock, [kind]) if {task.a, task.b} <= often] for kind in items.KINDS}
    rng = Random(day.toordinal())
    found: dict[tuple[str, str], Item] = {}
    while any(by_kind.values()) and len(found) < COUNT:
        for tasks in by_kind.values():
            if not tasks or len(found) == COUNT:
                continue
            task = rng.choice(tasks)
            found[task.a, task.b] = items.make(stock, task, rng)
            by_kind = {name: [one for one in left if (one.a, one.b) not in found] for name, left in by_kind.items()}
    return list(found.values())


def practice(few: list[Item], halves: dict[str, Half], day: date, language: str = ENGLISH) -> dict[str, Any]:
    """Items of a day as the page asks them: the same in every language."""
    called, stock = names(halves, language), Stock(halves)
    told = [_told(one, stock, language, called, names(halves, ENGLISH)) for one in few]
    return {"dated": day.isoformat(), "items": told, "names": _names_taken()}


def _names_taken() -> dict[str, Any]:
    """Which names of persons the record takes: how long, without what, spelt in one of which alphabets."""
    return {
        "longest": log.LONGEST_NAME,
        "unseen": f"{unseen.UNSEEN.pattern}|{_dressed()}",
        "joiners": unseen.JOINERS,
        "alphabets": [one.title() for one in log.ALPHABETS],
    }


def _dressed() -> str:
    """A pattern of letters in another dress, marks round a letter, and the same mark twice, as `log` refuses them."""
    blocks = (*range(0xA0, 0x3400), *range(0xFB00, 0xFFFF), *range(0x1D400, 0x1F200))
    letters = "".join(sign for sign in map(chr, blocks) if log.stands_for_a_letter(sign))
    return f"[{letters}]|\\p{{Me}}|(\\p{{Mn}})\\1"


def names(halves: dict[str, Half], language: str) -> dict[str, str]:
    """What a language calls halves, what is seen of them and what holds them, by id and what English calls them."""
    if language == ENGLISH:
        return {half.id: MODELS.say(name(half)) for half in halves.values()}
    found: dict[str, str] = {}
    for half in halves.values():
        own = [MODELS.say(of(half), language) for of in (name, coupling, gender)]
        english = [MODELS.say(of(half)) for of in (name, coupling, gender)]
        found |= dict(zip(english, own, strict=True)) | {half.id: own[0]}
        # where it is one of two impedances, items may leave that out
        short = [re.sub(r" \d+ ohm\w*$", "", one, flags=re.IGNORECASE) for one in (english[0], own[0])]
        found.setdefault(*short)
    known, here = looks.load(), looks.load(language)
    for feature in known.table.seen:
        found |= dict(
            zip(known.table.seen[feature].values.values(), here.table.seen[feature].values.values(), strict=True)
        )
    return found


def _told(item: Item, stock: Stock, language: str, called: dict[str, str], english: dict[str, str]) -> dict[str, Any]:
    """An item in words, with what its answer's event holds beside what the person chose: that is English everywhere.

    `after` is what is said once an option was chosen, where that is not what is said of the item.
    """
    said = words.of(item, language, called)
    each = {one.id: items.told(stock, item, one.id) for one in item.options}
    return {
        "question": said.question,
        "in_words": said.in_words,
        "halves": [] if item.picture is None else list(item.picture.halves),
        "options": said.options,
        **_explained(item, language, called, english),
        "after": {
            chosen: _explained(one, language, called, english)
            for chosen, one in each.items()
            if one.explanation != item.explanation
        },
        "steps": list(score.steps(len(item.options))),
        "event": {
            "kind": item.task.kind,
            "a": item.task.a,
            "b": item.task.b,
            "question": words.of(item).question,
            "options": [option.id for option in item.options],
            "right": item.right,
            "skills": [skill.value for skill in item.skills],
            "harmful": item.harmful,
        },
    }


def _explained(item: Item, language: str, called: dict[str, str], english: dict[str, str]) -> dict[str, Any]:
    said = words.of(item, language, called)
    return {
        "reasons": [_named_once(one) for one in said.reasons],
        "look": _named_once(said.look),
        "cautions": [_named_once(one) for one in said.cautions],
        "english": [_named_once(one) for one in words.of(item, ENGLISH, english).cautions],
    }


def _named_once(text: str) -> str:
    """A sentence in which a name stands once where its id stood behind it in brackets."""
    return re.sub(r"(?<!\w)(\w[^()]*) \(\1\)", r"\1", text)
