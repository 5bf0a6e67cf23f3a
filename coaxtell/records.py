"""The record as terminal and window use it: what names it, and what a sitting at this machine gets from outside."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime
from random import Random
from typing import TYPE_CHECKING

from coaxtell.quiz.sitting import Outside

if TYPE_CHECKING:
    from coaxtell.quiz.store import Store

VARIABLE = "COAXTELL_RECORDS"
"""Environment variable that names the record, where nothing else does."""


def outside(store: Store, person: str, rng: Random) -> Outside:
    """What a sitting of this person gets: the record, this machine's clock and ids, and the chance handed in."""
    return Outside(person, store.add, lambda: datetime.now(UTC), lambda: str(uuid.uuid4()), rng)
