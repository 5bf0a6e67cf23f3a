"""Practice: which task comes next for a person, from what is due, not yet seen, or weak."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from random import Random

from coaxtell.quiz import items
from coaxtell.quiz.item import Kind, Task
from coaxtell.quiz.log import Answered
from coaxtell.quiz.schedule import PAIR, Held, Schedule, replayed
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock

SITTING_MINUTES = 10
"""Length of a sitting [min]; short ones spread over days hold best (common practice)."""

APART = 5
"""The same pair and kind does not come again within this many items, where others serve as well."""


Shelf = dict[str, list[list[Task]]]
"""Tasks by the name of the skill or pair they practise, in groups that are drawn alike."""


class Practice:
    """Asks for the next task of a person and is told the answers; telling gives a new practice.

    `scheduled` off leaves only weakness to choose by; it is there to show what the schedule does.
    """

    def __init__(self, shelf: Shelf, answers: Sequence[Answered] = (), scheduled: bool = True) -> None:
        self._shelf = shelf
        self._scheduled = scheduled
        self.schedule: Schedule = replayed(answers)
        self._last = [Task(a.kind, a.a, a.b).key for a in answers][-APART:]

    @property
    def names(self) -> list[str]:
        """The skills that can be practised."""
        return [name for name in self._shelf if not name.startswith(PAIR)]

    def ask(self, now: datetime, rng: Random) -> tuple[str, Task]:
        """The skill or pair that comes next and a task for it."""
        name = self._next(now)
        groups = self._shelf[name]
        fresh = [kept for group in groups if (kept := [task for task in group if task.key not in self._last])]
        return name, rng.choice(rng.choice(fresh or groups))

    def tell(self, answer: Answered) -> Practice:
        """The practice after an answer."""
        after = Practice.__new__(Practice)
        after._shelf, after._scheduled = self._shelf, self._scheduled
        after.schedule = self.schedule.tell(answer)
        after._last = [*self._last, Task(answer.kind, answer.a, answer.b).key][-APART:]
        return after

    def _next(self, now: datetime) -> str:
        held = [one for one in self.schedule.held(now) if one.name in self._shelf]
        if self._scheduled:
            due = [one for one in held if one.due <= now]
            wrong = [one for one in due if one.last_wrong]
            if due:
                return (wrong or due)[0].name
        seen = {one.name for one in held}
        for name in self.names:
            if name not in seen:
                return name
        return min(held, key=_weakness).name


def _weakness(one: Held) -> tuple[bool, float, datetime]:
    """Where nothing is due: the one answered wrong last, then the weakest by its answers, then the earliest due."""
    return not one.last_wrong, (one.right + 1) / (one.right + one.wrong + 2), one.due


def shelf(stock: Stock, kinds: Sequence[Kind] | None = None, ports: Iterable[str] | None = None) -> Shelf:
    """Every task under each skill it calls for and under its pair; only those that touch `ports` where given."""
    wanted = None if ports is None else set(ports)
    found: dict[str, dict[tuple[Kind, str], list[Task]]] = {}
    for task in items.tasks(stock, kinds):
        if wanted is not None and not wanted & {task.a, task.b}:
            continue
        pair = PAIR + "|".join(sorted((task.a, task.b)))
        for name in (*(skill.value for skill in items.skills_of(stock, task)), pair):
            found.setdefault(name, {}).setdefault((task.kind, items.sort(stock, task)), []).append(task)
    # skills in their own order, so that a new person meets them as they build on each other
    names: list[str] = [skill.value for skill in Skill if skill.value in found]
    names += [name for name in found if name.startswith(PAIR)]
    return {name: list(found[name].values()) for name in names}
