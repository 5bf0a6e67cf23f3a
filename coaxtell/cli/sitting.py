"""One item at the terminal: show it, take the answer and how sure, tell what it was worth and why."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from coaxtell import narrow
from coaxtell.cli.item_pictures import Pictures
from coaxtell.models import quantity
from coaxtell.models.errors import InputError
from coaxtell.models.lines import wrapped
from coaxtell.quiz import words
from coaxtell.quiz.item import Item
from coaxtell.quiz.score import nearest_step, steps

LETTERS = "abcdefghij"
STOP = "q"


class Reply(msgspec.Struct, frozen=True):
    """The chosen option and how sure the person is."""

    chosen: str
    sure: float


def ask(item: Item, heading: str, pictures: Pictures, read: Callable[[str], str] = input) -> Reply | None:
    """Show an item and read the answer; none where the person stops."""
    said = words.of(item)
    print(f"\n{heading}")
    shown = item.picture is not None and pictures.show(item.picture)
    if said.in_words and not shown:
        print(wrapped(said.in_words))
    print(wrapped(said.question if shown else said.unseen) + "\n")
    for letter, option in zip(LETTERS, said.options.values(), strict=False):
        print(wrapped(f"  {letter}  {option}", "", "     "))
    last = LETTERS[len(item.options) - 1]
    try:
        return _reply(item, last, read)
    except EOFError:
        print()
        return None


def _reply(item: Item, last: str, read: Callable[[str], str]) -> Reply | None:
    offered = steps(len(item.options))
    while True:
        typed = read(narrow.prompt(f"\nAnswer, a to {last} ({STOP} stops): ")).strip().lower().split()
        if typed and typed[0] == STOP:
            return None
        if not typed or len(typed) > 2 or typed[0] not in LETTERS[: len(item.options)]:
            print(f"Give one letter from a to {last}, if you like with how sure you are: b 80.")
            continue
        said: str | None = typed[1] if len(typed) == 2 else None
        while True:
            if said is None:
                how = f"How sure, {offered[0]:.0%} (guessing) to 100 %? Enter means guessing: "
                said = read(narrow.prompt(how)).strip()
                if said.lower() == STOP:
                    return None
            sure = _sure(said, len(item.options))
            if sure is not None:
                return Reply(item.options[LETTERS.index(typed[0])].id, sure)
            print(f"Give a figure in percent from {offered[0]:.0%} to 100 %, such as 70.")
            said = None


def _sure(said: str, options: int) -> float | None:
    """How sure, from what was typed, at the nearest offered step; none where it is no such figure."""
    offered = steps(options)
    if not said:
        return offered[0]
    try:
        percent = quantity.within(said, "", "70", round(100 * offered[0]) - 0.5, 100, {"": 1.0, "%": 1.0})
    except InputError:
        return None
    return nearest_step(percent / 100, options)


def tell(item: Item, reply: Reply, pictures: Pictures) -> None:
    """Right or wrong, the score and why honesty pays, the reasons, the look that tells, the pair cut open."""
    right, said = reply.chosen == item.right, words.of(item)
    mark = "✓ Right" if right else "✗ Wrong"
    print("\n" + wrapped(f"{mark}. {words.honest(right, reply.sure)}"))
    if not right:
        print(wrapped(f"The answer is: {said.options[item.right]}."))
    print(wrapped(words.asked(item)))
    print("\nWhy:")
    for reason in said.reasons:
        print(wrapped(f"  - {reason}", "", "    "))
    print(wrapped(f"What tells: {said.look}"))
    if not right:
        print(wrapped(f"Keep in mind: {'; '.join(words.meaning(skill) for skill in item.skills)}."))
    for caution in said.cautions:
        print(wrapped(f"Caution: {caution}", "", "  "))
    if item.explanation.pair is not None:
        pictures.show_pair(item.explanation)


def go_on(read: Callable[[str], str] = input) -> bool:
    """Leave time to read before the next item; false where the person stops."""
    try:
        return read(narrow.prompt(f"\nEnter for the next item ({STOP} stops): ")).strip().lower() != STOP
    except EOFError:
        print()
        return False
