"""What a machine knows of assessments outside the record, so that a record put back takes nothing back.

An assessment on one machine and without a server hangs on a file that can be copied. Therefore the machine keeps,
beside its secret, what it has seen of each try, and chance for the item that is asked now. Whoever may write to that
folder of the machine can put it back as well; only rights of its own, on a machine of the lead, stand against that.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from coaxtell.quiz.log import Answered, Event, Started


class Seen(NamedTuple):
    """Events of one person's assessments that a machine has seen: in the record at hand, and in others."""

    here: tuple[Event, ...] = ()
    elsewhere: tuple[Event, ...] = ()


class Machine(NamedTuple):
    """What a sitting asks of the machine; as it stands here it knows nothing and keeps nothing."""

    remembers: bool = False
    """Whether a try that was not seen was begun somewhere else."""
    seen: Callable[[], Seen] = Seen
    """What was seen of this person."""
    note: Callable[[Event], None] = lambda event: None
    """Keeps an event of an assessment that was written down."""
    draw: Callable[[str, int], str] = lambda sitting, told: ""
    """Chance for the item that comes after so many answers of a sitting: drawn when it is first asked, and the same
    until it is answered. Raises InputError where it cannot be kept."""


class Lacking(NamedTuple):
    """What a record lacks of what the machine has seen: events to be written again, how many answers of each try are
    among them, and events of tries in other records."""

    events: tuple[Event, ...]
    answers: dict[str, int]
    others: tuple[Event, ...]


def lacking(events: Sequence[Event], seen: Seen) -> Lacking:
    """What a record with these events lacks; a try begun in another record is missing only where its start is here."""
    held = {event.id for event in events}
    begun = {event.id for event in events if isinstance(event, Started)}
    copied = [event for event in seen.elsewhere if event.sitting in begun]
    missing = tuple(event for event in (*seen.here, *copied) if event.id not in held)
    counts = {event.sitting: 0 for event in missing}
    for event in missing:
        counts[event.sitting] += isinstance(event, Answered)
    others = tuple(event for event in seen.elsewhere if event.sitting not in begun and event.id not in held)
    return Lacking(missing, counts, others)
