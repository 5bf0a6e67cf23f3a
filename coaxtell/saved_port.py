"""A saved identification as a port of a run: the half it names, and its doubt where that is not settled.

What counts is its answers: they are worked out anew under the tables in force, and a sentence says what that changed.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec

from coaxtell.cables.doubt import Doubt
from coaxtell.cables.rows import NamedPort
from coaxtell.identifier import looks, record, words
from coaxtell.identifier.answers import Term
from coaxtell.identifier.belief import Shortlist, shortlist_of
from coaxtell.identifier.features import BAYONETS, Feature
from coaxtell.identifier.identification import SURE, Settled, identify
from coaxtell.identifier.question import MAY_BE, STILL_POSSIBLE
from coaxtell.models import tables
from coaxtell.models.acts import on_the_port
from coaxtell.models.errors import InputError
from coaxtell.models.tables import Tables

NAMED_HERE = "as named here"
"""In place of a file, in sentences, of a port that was named in the window."""
KEPT = (
    *("format", "setting", "instrument", "answers", "again", "terms"),
    *("tables", "state", "candidates", "rival", "beware", "next"),
    *("worn", "misfits", "pictured", "apart", "contradiction"),
)
"""The parts of a saved identification that its port and its doubt rest on."""


def read(path: Path, halves: Tables) -> NamedPort:
    """The port that a file names by its answers under these tables.

    Raises InputError where it cannot be read or is no saved identification.
    """
    return worked_out(loaded(path), path, halves)[0]


def worked_out(data: Any, where: Path, halves: Tables) -> tuple[NamedPort, dict[str, Any]]:
    """The port that a saved identification names by its answers under these tables, and what of that is to be kept.

    `where` is its file in sentences. Raises InputError where it is none, or nothing was seen or measured of the port.
    """
    if not isinstance(data, dict) or "setting" not in data:
        return named(data, where, halves), kept(data)
    now = anew(data, where, shortlist_of(halves.halves, _setting(data)), halves)
    if not now["name"]:
        raise InputError(_unnamed(now, where))
    port = named(now, where, halves)
    return msgspec.structs.replace(port, changed=changed(data, now, where, halves)), kept(now)


def _unnamed(now: dict[str, Any], where: Path) -> str:
    """That an identification without anything seen names no port, and what to look at; what is on the port first."""
    look, terms = now["next"], now["terms"]
    settles = "ask who answers for the equipment what it is"
    if look is not None and Term.HIGH_VOLTAGE not in terms:
        settles = f"look at its {look['feature'].replace('-', ' ')} with `coaxtell identify --from {where.name}`"
    told = f"{where}: nothing was seen or measured of this port, so that it names none; {settles}."
    return " ".join([told, *map(words.say, on_the_port(Term.LOOK_ONLY in terms, Term.HIGH_VOLTAGE in terms))])


def recalled(data: dict[str, Any], where: Path, halves: Tables) -> tuple[NamedPort, dict[str, Any]]:
    """As `worked_out` of what was kept, which is as it was under the same tables.

    Raises InputError where it is none.
    """
    if data.get("tables") == tables.version(halves):
        return named(data, where, halves), data
    return worked_out(data, where, halves)


def kept(data: dict[str, Any]) -> dict[str, Any]:
    """What of a saved identification must be kept to name its port again, now or under other tables."""
    return {key: data[key] for key in KEPT if key in data}


def _setting(data: dict[str, Any]) -> str:
    name = str(data["setting"])
    looks.load().setting(name)
    return name


def anew(data: dict[str, Any], path: Path, shortlist: Shortlist, halves: Tables) -> dict[str, Any]:
    """A saved identification worked out anew from its answers; `shortlist` is that of its setting.

    Raises InputError where it is none, or holds an answer that no port can get.
    """
    state = record.state_from(data, str(path), looks.load())
    return record.plain(state, identify(shortlist, state), tables.version(halves))


def changed(data: dict[str, Any], now: dict[str, Any], path: Path, halves: Tables) -> str:
    """What working it out anew changed, in a sentence; empty where it was saved under these tables and nothing did."""
    before, after = _told(data, halves), _told(now, halves)
    same = before.partition(" (")[0] == after.partition(" (")[0]
    mark = data.get("tables")
    if same and (mark is None or mark == now["tables"]):
        return ""
    under = "saved under other tables and " if mark is not None and mark != now["tables"] else ""
    came = f"it still names {after}" if same else f"it named {before} and now names {after}"
    return f"{path.name}: {under}worked out anew from its answers: {came}."


def _told(data: dict[str, Any], halves: Tables) -> str:
    """What a saved identification named and how far, in words; nothing where that does not stand in it."""
    try:
        half_id, probability = str(data["candidates"][0]["id"]), float(data["candidates"][0]["probability"])
        state = str(data.get("state", ""))
    except (ValueError, KeyError, IndexError, TypeError, AttributeError):
        return "nothing"
    name = halves.halves[half_id].name if half_id in halves.halves else half_id
    return ", ".join(part for part in (name, state) if part) + f" ({100 * probability:.0f} %)"


def loaded(path: Path) -> Any:
    """The data of a saved identification; raises InputError where it cannot be read as such."""
    try:
        # Python's own reader lets half a pair of code units through, which nothing after it can say or write
        return msgspec.json.decode(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise InputError(f"{path}: cannot be read ({error.strerror}); check the file.") from None
    except (ValueError, RecursionError):
        raise InputError(f"{path}: is no saved identification; write one with `coaxtell identify --save`.") from None


def named(data: Any, where: Path, halves: Tables) -> NamedPort:
    """The port that the data of a saved identification names; `where` is its file in sentences.

    Its doubt names what it may be instead and what that needs another order for, and that it is worn; raises
    InputError where the data is no saved identification or names a half that there is not.
    """
    try:
        likely = [(str(one["id"]), float(one["probability"])) for one in data["candidates"]]
        first, probability = likely[0]
        # an identification of 0.1.0 had no state of its own
        state = data.get("state", Settled.SETTLED if probability >= SURE else Settled.NOT_SETTLED)
        tells = {str(one["id"]): str(one["tell"]) for one in data.get("beware", ())}
        looks = {str(one["id"]): str(one.get("look", "")) for one in data.get("beware", ())}
        told = [data.get(part, {}).get(Feature.COUPLING, {}).get("value") for part in ("answers", "again")]
        taken, after, terms = set(data.get("answers", ())), data.get("next"), set(data.get("terms", ()))
        parts = ("worn", "misfits", "pictured")
        excluding = set(data.get("apart", ()))  # those are told as such: one of the two is wrong, and not the port
        kept = ([one for one in data.get(part, ()) if part == "pictured" or one not in excluding] for part in parts)
        worn, misfits, pictured = (", ".join(map(str, looks)) for looks in kept)
        clashes = [*data.get("apart", {}).values(), data.get("contradiction", {}).get("sentence", "")]
        clash = " ".join(str(sentence) for sentence in clashes if sentence)
        rivals = dict(likely[1:])
        if "rival" in data:
            rivals = {str(data["rival"]["id"]): float(data["rival"]["probability"])}
    except (ValueError, KeyError, IndexError, TypeError, AttributeError):
        raise InputError(f"{where}: is no saved identification; write one with `coaxtell identify --save`.") from None
    half = halves.half(first)
    if state in (Settled.SETTLED, Settled.FITS_ALL) or not rivals:
        also = [halves.half(one).name for one, p in likely[1:] if state == Settled.FITS_ALL and p >= STILL_POSSIBLE]
        doubt = Doubt(where.name, half, probability, None, 0.0, "", worn=worn) if worn else None
        on_it = on_the_port(Term.LOOK_ONLY in terms, Term.HIGH_VOLTAGE in terms)
        return NamedPort(half, doubt, beside=tuple(also), clash=clash, on_it=tuple(on_it), pictured=pictured)
    rival, rival_probability = next(iter(rivals.items()))
    tell = tells.get(rival, "")
    if looks.get(rival) in taken and isinstance(after, dict) and "feature" in after and "ask" in after:
        # that look was taken and did not settle it; what comes next is another, or the same once more
        once_more = " once more" if after.get("again") else ""
        tell = f"{after['feature']}{once_more}: {after['ask']}"
    if data.get("apart"):
        tell = f"{', '.join(data['apart'])}: measured anew by hand"
    alike = sum(p for one, p in likely if one in halves.halves and halves.halves[one].like_high_voltage)
    kilovolts = Term.HIGH_VOLTAGE in terms and (alike > MAY_BE or any(one in BAYONETS for one in told))
    shares = (probability, halves.half(rival), rival_probability)
    on_it = on_the_port(Term.LOOK_ONLY in terms, Term.HIGH_VOLTAGE in terms and not kilovolts)
    doubt = Doubt(where.name, half, *shares, tell, kilovolts, worn, misfits)
    return NamedPort(half, doubt, clash=clash, on_it=tuple(on_it), pictured=pictured)
