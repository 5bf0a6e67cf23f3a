"""Practice: which task comes next for a person, from what is due, not yet seen, or weak."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from random import Random
from typing import NamedTuple

from coaxtell.quiz import everyday, items
from coaxtell.quiz.item import Task
from coaxtell.quiz.log import Answered
from coaxtell.quiz.schedule import Held, Schedule, replayed
from coaxtell.quiz.skills import PAIR, Skill
from coaxtell.quiz.stock import Stock

SITTING_MINUTES = 10
"""Length of a sitting [min]; short ones spread over days hold best (common practice)."""

APART = 5
"""The same pair and kind does not come again within this many items, where others serve as well."""


STEP = 3
"""Right answers after which a skill is practised on the next stage as well (assumed)."""

ENOUGH = 24
"""Right answers after which the skills that only rare ports call for come as well: more than one sitting (assumed)."""

Groups = list[list[Task]]
"""Tasks in groups that are drawn alike, so that the many do not drown the few."""


class Shelf(NamedTuple):
    """Tasks by the name of the skill or pair they practise.

    Each name has its tasks in stages: everyday ports before rare ones, and in either the tasks that call for the
    fewest other skills before the rest. `rare` names the skills that only rare ports call for.
    """

    tasks: dict[str, list[Groups]]
    rare: frozenset[str] = frozenset()


class Practice:
    """Asks for the next task of a person and is told the answers; telling gives a new practice.

    `scheduled` off leaves only weakness to choose by; it is there to show what the schedule does.
    """

    def __init__(self, shelf: Shelf, answers: Sequence[Answered] = (), scheduled: bool = True) -> None:
        self._shelf = shelf
        self._scheduled = scheduled
        self.schedule: Schedule = replayed(answers)
        self._last = [Task(a.kind, a.a, a.b).key for a in answers][-APART:]
        self._just = {skill.value for answer in answers[-1:] for skill in answer.skills}
        self._right = sum(answer.correct for answer in answers)

    @property
    def names(self) -> list[str]:
        """The skills that can be practised."""
        return [name for name in self._shelf.tasks if not name.startswith(PAIR)]

    def ask(self, now: datetime, rng: Random) -> tuple[str, Task]:
        """The skill or pair that comes next and a task for it."""
        name = self._next(now)
        stages = self._shelf.tasks[name]
        reached = 1 + self.schedule.right(name) // STEP
        fresh = self._fresh(stages[:reached]) or self._fresh(stages) or stages
        return name, rng.choice(rng.choice(rng.choice(fresh)))

    def _fresh(self, stages: Sequence[Groups]) -> list[Groups]:
        """What of the stages was not asked just now."""
        left = [[[task for task in group if task.key not in self._last] for group in stage] for stage in stages]
        return [kept for stage in left if (kept := [group for group in stage if group])]

    def tell(self, answer: Answered) -> Practice:
        """The practice after an answer."""
        after = Practice.__new__(Practice)
        after._shelf, after._scheduled = self._shelf, self._scheduled
        after.schedule = self.schedule.tell(answer)
        after._last = [*self._last, Task(answer.kind, answer.a, answer.b).key][-APART:]
        after._just = {skill.value for skill in answer.skills}
        after._right = self._right + answer.correct
        return after

    def _next(self, now: datetime) -> str:
        # a pair that was asked just now waits for one item, so that its answer is not read off the screen
        asked = PAIR + self._last[-1].partition(":")[2] if self._last else ""
        held = [one for one in self.schedule.held(now) if one.name in self._shelf.tasks and one.name != asked]
        if self._scheduled:
            due = [one for one in held if one.due <= now]
            wrong = [one for one in due if one.last_wrong]
            if due:
                return (wrong or due)[0].name
        seen = {one.name for one in held} | {asked}
        for name in self.names:
            if name not in seen and (name not in self._shelf.rare or self._right >= ENOUGH):
                return name
        # where nothing is due a pair is left to rest, since it would only be remembered, and so is what came just now
        skills = [one for one in held if not one.name.startswith(PAIR)] or held
        others = [one for one in skills if one.name not in self._just] or skills
        return min(others, key=_weakness).name if others else asked


def _weakness(one: Held) -> tuple[bool, float, datetime]:
    """Where nothing is due: the one answered wrong last, then the weakest by its answers, then the earliest due."""
    return not one.last_wrong, (one.right + 1) / (one.right + one.wrong + 2), one.due


def shelf(stock: Stock, kinds: Sequence[str] | None = None, ports: Iterable[str] | None = None) -> Shelf:
    """Every task under each skill it calls for and under its pair; only those about `ports` where given."""
    wanted = None if ports is None else set(ports)
    often = everyday.halves(stock, wanted or ())
    found: dict[str, list[_Sorted]] = {}
    for task in items.tasks(stock, kinds):
        if wanted is not None and wanted.isdisjoint(items.ports(task)):
            continue
        skills = items.skills_of(stock, task)
        one = _Sorted(not {task.a, task.b} <= often, len(skills), (task.kind, items.sort(stock, task)), task)
        names = [skill.value for skill in skills]
        if items.confuses(task.kind):
            names.append(PAIR + "|".join(sorted((task.a, task.b))))
        for name in names:
            found.setdefault(name, []).append(one)
    # skills in their own order, so that a new person meets them as they build on each other; those of rare ports last
    names = [skill.value for skill in Skill if skill.value in found]
    rare = frozenset(name for name in names if all(one.rare for one in found[name]))
    names.sort(key=rare.__contains__)
    names += [name for name in found if name.startswith(PAIR)]
    return Shelf({name: _stages(found[name]) for name in names}, rare)


class _Sorted(NamedTuple):
    """A task with what decides on its stage and group."""

    rare: bool
    skills: int
    group: tuple[str, str]
    task: Task


def _stages(tasks: Sequence[_Sorted]) -> list[Groups]:
    """The tasks in stages, empty ones left out."""
    fewest = {rare: min((one.skills for one in tasks if one.rare is rare), default=0) for rare in (False, True)}
    stages: dict[tuple[bool, bool], dict[tuple[str, str], list[Task]]] = {}
    for one in tasks:
        stage = stages.setdefault((one.rare, one.skills > fewest[one.rare]), {})
        stage.setdefault(one.group, []).append(one.task)
    return [list(stages[key].values()) for key in sorted(stages)]
