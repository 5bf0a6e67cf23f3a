"""A saved identification as a port of a run: the half it names, and its doubt where that is not settled."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from coaxtell.cables.doubt import Doubt
from coaxtell.cables.rows import NamedPort
from coaxtell.identifier.identification import SURE, Settled
from coaxtell.models.errors import InputError
from coaxtell.models.tables import Tables


def read(path: Path, halves: Tables) -> NamedPort:
    """The port that a file names.

    Raises InputError where it cannot be read or is no saved identification.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise InputError(f"{path}: cannot be read ({error.strerror}); check the file.") from None
    except (ValueError, RecursionError):
        raise InputError(f"{path}: is no saved identification; write one with `coaxtell identify --save`.") from None
    return named(data, path, halves)


def named(data: Any, where: Path, halves: Tables) -> NamedPort:
    """The port that the data of a saved identification names; `where` is its file in sentences.

    Its doubt names what it may be instead and what that needs another order for; raises InputError where the data is
    no saved identification or names a half that there is not.
    """
    try:
        likely = [(str(one["id"]), float(one["probability"])) for one in data["candidates"]]
        first, probability = likely[0]
        # an identification of 0.1.0 had no state of its own
        state = data.get("state", Settled.SETTLED if probability >= SURE else Settled.NOT_SETTLED)
        tells = {str(one["id"]): str(one["tell"]) for one in data.get("beware", ())}
        looks = {str(one["id"]): str(one.get("look", "")) for one in data.get("beware", ())}
        taken, after = set(data.get("answers", ())), data.get("next")
        rivals = dict(likely[1:])
        if "rival" in data:
            rivals = {str(data["rival"]["id"]): float(data["rival"]["probability"])}
    except (ValueError, KeyError, IndexError, TypeError, AttributeError):
        raise InputError(f"{where}: is no saved identification; write one with `coaxtell identify --save`.") from None
    half = halves.half(first)
    if state in (Settled.SETTLED, Settled.FITS_ALL) or not rivals:
        return NamedPort(half)
    rival, rival_probability = next(iter(rivals.items()))
    tell = tells.get(rival, "")
    if looks.get(rival) in taken and isinstance(after, dict) and "feature" in after and "ask" in after:
        # that look was taken and did not settle it; what comes next is another, or the same once more
        once_more = " once more" if after.get("again") else ""
        tell = f"{after['feature']}{once_more}: {after['ask']}"
    return NamedPort(half, Doubt(where.name, half, probability, halves.half(rival), rival_probability, tell))


def plain(doubt: Doubt) -> dict[str, Any]:
    """A doubt as data that `named` reads again."""
    rival = {"id": doubt.rival.id, "probability": doubt.rival_probability, "tell": doubt.tell}
    return {
        "file": doubt.file,
        "state": Settled.NOT_SETTLED.value,
        "candidates": [{"id": doubt.named.id, "probability": doubt.probability}, rival],
        "rival": rival,
        "beware": [rival],
    }
