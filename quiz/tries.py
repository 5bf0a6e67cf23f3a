"""The tries of a person: what each came to, which one holds, and when another may be begun.

What is counted is counted over every port list of the person: a list with one count changed begins nothing anew.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import RefusedError
from coaxtell.quiz.assessment import Result, judged, until
from coaxtell.quiz.log import AHEAD, Answered, Event, Mode, Noted, Remark, Started, answers, split
from coaxtell.quiz.sequential import Decision

WINDOW = timedelta(days=90)
"""How long a whole try that was not passed counts against the next (assumed)."""
MOST = 5
"""Tries that were not passed within the window, after which no other is to be had: the error rates are stated over so
many."""
RECHECKS = 2
"""Re-checks after a whole assessment; then comes a whole one, since each lets some through who have fallen below."""


class Try(msgspec.Struct, frozen=True):
    """One start of an assessment: when, on which site, what it came to, when its last answer was given, remarks."""

    start: Started
    number: int
    result: Result
    ended: datetime
    remarks: tuple[tuple[Remark, int], ...] = ()
    """What to know of how it was taken, each with its item or its number of answers."""

    @property
    def verdict(self) -> Decision:
        """What it came to."""
        return self.result.verdict

    @property
    def items(self) -> int:
        """Answers given."""
        return self.result.items

    @property
    def recheck(self) -> bool:
        """True for the short re-check of one who was ready."""
        return self.start.terms is not None and self.start.terms.recheck

    @property
    def until(self) -> datetime | None:
        """Until when the person is ready by it; none where it was not passed."""
        return until(self.ended) if self.verdict is Decision.READY else None

    def on_time(self, now: datetime) -> bool:
        """False where a clock dated it later than now: it clears nobody, and nobody waits for it."""
        return self.ended <= now + AHEAD

    @property
    def costs(self) -> bool:
        """True for a whole try that was lost, or left after an answer: which answers were wrong makes no difference,
        since that would tell of them."""
        return not self.recheck and self.items > 0 and self.verdict is not Decision.READY


def of(events: Sequence[Event]) -> list[Try]:
    """Every start of an assessment with what became of it, numbered from 1."""
    told: dict[str, list[Answered]] = {}
    remarks: dict[str, dict[tuple[Remark, int], None]] = {}
    for event in events:
        if isinstance(event, Answered):
            told.setdefault(event.sitting, []).append(event)
        elif isinstance(event, Noted):
            remarks.setdefault(event.sitting, {})[event.what, event.number] = None
    for sitting, twice in split(events).items():
        remarks.setdefault(sitting, {})[Remark.SPLIT, twice] = None
    starts = [event for event in events if isinstance(event, Started) and event.mode is Mode.ASSESSMENT]
    practice = answers(events, Mode.PRACTICE)
    for start in starts:
        last = max((one.time for one in told.get(start.id, [])), default=start.time)
        person = start.person.casefold()
        between = sum(start.time < one.time < last and one.person.casefold() == person for one in practice)
        if between:
            remarks.setdefault(start.id, {})[Remark.PRACTISED, between] = None
    return [
        Try(
            start,
            number,
            judged(start, given),
            max((one.time for one in given), default=start.time),
            tuple(remarks.get(start.id, ())),
        )
        for number, start in enumerate(starts, start=1)
        for given in [told.get(start.id, [])]
    ]


def holding(
    found: Sequence[Try],
    now: datetime,
    until: datetime | None = None,
    asked: Callable[[Try], bool] = lambda one: True,
) -> Try | None:
    """The passed try that still holds `until` then, or now, and was taken last; none where a whole one was lost after
    it, on whatever ports.

    `asked` tells which tries are of what is asked about. What a clock dated later than now holds nothing: it would hold
    until that clock is right.
    """
    found = [one for one in found if one.on_time(now)]
    lost = max((one.ended for one in found if one.verdict is Decision.NOT_YET and not one.recheck), default=None)
    held = [one for one in found if one.until is not None and one.until > (until or now) and asked(one)]
    held = [one for one in held if lost is None or one.ended > lost]
    return max(held, key=lambda one: one.ended, default=None)


def may_recheck(found: Sequence[Try], held: Try) -> bool:
    """True where the whole assessment behind the try that holds may be extended by a re-check once more.

    There are so many re-checks after a whole one, and only while each is passed: one that was lost, or left after an
    answer, is the last.
    """
    whole = [
        one
        for one in found
        if one.verdict is Decision.READY and not one.recheck and one.start.ports == held.start.ports
    ]  # fmt: skip
    passed = max((one.ended for one in whole if one.ended <= held.ended), default=None)
    if passed is None:
        return False
    since = [one for one in found if one.recheck and one.items and one.ended > passed]
    return len(since) < RECHECKS and all(one.verdict is Decision.READY for one in since)


def against(found: Sequence[Try], now: datetime) -> list[Try]:
    """The tries that count against the next one: whole, not passed, within the window; on whatever ports."""
    return [one for one in found if one.costs and one.ended > now - WINDOW]


def another(events: Sequence[Event], found: Sequence[Try], now: datetime) -> None:
    """Raises InputError where no other whole try may be begun now.

    That is so where the last one was lost or left after an answer, until practice was done and another day has come,
    and where too many were not passed within the window. `found` holds none that a clock dated ahead.
    """
    last = max((one for one in found if not one.recheck and one.items), key=lambda one: one.ended, default=None)
    if last is not None and last.costs:
        practised = any(answer.time > last.ended for answer in answers(events, Mode.PRACTICE))
        if not practised or last.ended.date() == now.date():
            code = "quiz.not_yet" if last.verdict is Decision.NOT_YET else "quiz.left"
            given = Reason("refused.answer" if last.items == 1 else "refused.answers", {"number": last.items})
            raise RefusedError(code, ended=f"{last.ended:%Y-%m-%d}", given=given)
    spent = sorted(one.ended for one in against(found, now))
    if len(spent) >= MOST:
        day = spent[-MOST] + WINDOW
        raise RefusedError("quiz.spent", most=MOST, days=WINDOW.days, day=f"{day:%Y-%m-%d}")
