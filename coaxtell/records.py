"""The record as terminal and window use it: what names it, and what a sitting at this machine gets from outside."""

from __future__ import annotations

import os
import secrets
import uuid
from contextlib import suppress
from datetime import UTC, datetime
from random import Random
from typing import TYPE_CHECKING

from coaxtell.folders import HOME, folder
from coaxtell.models.errors import InputError
from coaxtell.quiz.sitting import Outside

if TYPE_CHECKING:
    from coaxtell.quiz.store import Store

VARIABLE = "COAXTELL_RECORDS"
"""Environment variable that names the record, where nothing else does."""


def outside(store: Store, person: str, rng: Random) -> Outside:
    """What a sitting of this person gets: the record, this machine's clock and ids, and the chance handed in."""
    return Outside(person, store.add, lambda: datetime.now(UTC), lambda: str(uuid.uuid4()), rng, _secret())


def _secret() -> bytes:
    """This machine's secret for the items of assessments, made once and kept beside the record, not in it.

    Raises InputError where it cannot be kept.
    """
    path = folder("data") / "assessments.key"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with (
            suppress(FileExistsError),
            os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as new,
        ):
            new.write(secrets.token_bytes(32))
        return path.read_bytes()
    except OSError as error:
        raise InputError(f"{path} cannot be kept ({error.strerror}); set {HOME} to a folder of yours.") from None
