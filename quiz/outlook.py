"""What is said of how a person would do in an assessment, now and in a month, in words that the model can keep."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from coaxtell.models.catalogue import Reason
from coaxtell.quiz import readiness, team
from coaxtell.quiz.assessment import UNTIL_DAYS
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import Event, answers, as_of
from coaxtell.quiz.readiness import Forecast, Model, Told
from coaxtell.quiz.words import say


class Outlook:
    """The readiness model of a team over the ports of a site; it fits itself to the team's own people."""

    def __init__(self, events: Sequence[Event], plan: Blueprint, now: datetime) -> None:
        """`events` are those of everyone in the record."""
        self._cells, self._day = readiness.cells(plan), now.timestamp() / readiness.DAY
        self._people: dict[str, list[Told]] = {}
        for answer in answers(as_of(events, now)):
            self._people.setdefault(answer.person.casefold(), []).extend(readiness.told([answer]))
        self._model: Model = team.fitted(readiness.shipped(), self._people)

    def of(self, person: str) -> list[str]:
        """What is said of one person, in sentences."""
        return said(self._model.forecast(self._people.get(person.casefold(), []), self._cells, self._day))


def said(found: Forecast) -> list[str]:
    """A forecast in sentences."""
    if found.rate is None:
        return [say(Reason("readiness.few", {"answers": found.answers}))]
    low, high = found.band
    lines = [say(Reason("readiness.band", {"low": low, "high": high}))]
    if found.chance is not None:
        values = {"bar": readiness.BAR, "chance": found.chance, "people": team.TEAM}
        lines.append(say(Reason("readiness.chance", values)))
    return [*lines, say(Reason(f"readiness.{found.then}", {"days": readiness.AHEAD, "term": UNTIL_DAYS}))]
