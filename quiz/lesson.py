"""The first lesson, for who has never practised: pairs that differ in one look, and after each what that look tells.

Comparing comes first and the principle after it (L. Alfieri, T. J. Nokes-Malach, C. D. Schunn, Learning Through Case
Comparisons, Educational Psychologist 48 (2013) 87-113). It ends after six right answers.
"""

from __future__ import annotations

from coaxtell.identifier.features import Feature
from coaxtell.quiz import items
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Task

LOOKS = tuple(look.value for look in (Feature.COUPLING, Feature.CENTRE, Feature.SIZE, Feature.PLASTIC))
"""The looks that are taught, in turn."""
PAIRS = 8
RIGHT = 6
"""Right answers after which nothing more is taught."""


def tasks(plan: Blueprint) -> tuple[Task, ...]:
    """The pairs of the lesson: for each look in turn those that are met most, none twice, and a joint at the end."""
    by_look: dict[str, list[Task]] = {}
    looks = plan.shares.get("look", {})
    for task in sorted(looks, key=lambda task: (-looks[task], task)):
        by_look.setdefault(items.sort(plan.stock, task), []).append(task)
    found: list[Task] = []
    used: set[str] = set()
    for place in range(PAIRS):
        fresh = [task for task in by_look.get(LOOKS[place % len(LOOKS)], []) if task.key not in used]
        if fresh:
            found.append(fresh[0])
            used.add(fresh[0].key)
    joints = plan.shares.get("mates", {})
    met = [task for task in joints if items.sort(plan.stock, task) == "mates"]
    if found and met:
        found.append(max(met, key=lambda task: (joints[task], task)))
    return tuple(found)
