"""Load and check the dimension tables: those that ship with coaxtell and a user's own folder.

One TOML file states one family: `[plug]` and `[jack]`, what both share at the top. A file may be `based_on`
another family and then states only what differs. `unmeasured.toml` names halves that are known to exist and whose
sizes no source gives; `gauged.toml` holds what a shop has measured itself. Errors stop the load and tell all
problems at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from hashlib import sha256
from importlib import resources
from pathlib import Path
from typing import Any

import msgspec

from coaxtell.models import bounds, gauged, toml
from coaxtell.models import sources as source_list
from coaxtell.models.called import meant
from coaxtell.models.catalogue import Reason, Value
from coaxtell.models.errors import InputError, RefusedError
from coaxtell.models.family import FamilyTable, Unmeasured, halves_of
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import walk
from coaxtell.models.profile import profile
from coaxtell.models.sources import Source
from coaxtell.models.surfaces import crossing

PACKAGE = "coaxtell.models"
SOURCES, UNMEASURED = "sources.toml", "unmeasured.toml"
"""Files of a table folder that state no family."""

ATOMIC = {"mm", "value", "grade", "size"}
"""A table entry with one of these keys is a number or a thread and is exchanged whole."""

BROKEN = (ValueError, OverflowError, RecursionError, msgspec.ValidationError)
"""What a hostile or contradictory table can raise while it is read."""


MOST_TOLD = 3
"""Faults of tables that a sentence names; of more it says how many."""
MEANT = 4
"""Halves named at most where what was typed may be several."""


class Tables(msgspec.Struct, frozen=True):
    """All halves by id, in the order of the files, with the sources their numbers point to, the families by key,
    and the halves that exist but are not measured, by id."""

    halves: dict[str, Half]
    sources: dict[str, Source]
    families: dict[str, FamilyTable]
    unmeasured: dict[str, Unmeasured]

    def half(self, half_id: str) -> Half:
        """The half of that id, or the one that is called so in the trade, in any case and with a part of its name.

        Raises InputError with those it may be where that is not clear, with the nearest ids where there is none, and
        with what is known where it is not measured.
        """
        found = self.halves.get(half_id)
        if found is not None:
            return found
        if half_id in self.unmeasured:
            raise RefusedError("models.unmeasured", half_id=half_id)
        several = meant(self.halves.values(), half_id)
        if len(several) == 1:
            return several[0]
        if several:
            names: Value = f"{several[0].id} ({several[0].name})"
            for one in several[1:MEANT]:
                names = Reason("refused.several_or", {"one": names, "other": f"{one.id} ({one.name})"})
            raise RefusedError("models.several", half_id=half_id, names=names)
        from difflib import get_close_matches

        near = get_close_matches(half_id, [*self.halves, *self.unmeasured], n=3, cutoff=0.5)
        if near:
            raise RefusedError("models.no_half_near", half_id=half_id, near=", ".join(near))
        raise RefusedError("models.no_half", half_id=half_id)

    def alike(self, half_id: str) -> list[Unmeasured]:
        """The halves that are not measured and that people take for that one."""
        return [known for known in self.unmeasured.values() if half_id in known.mistaken_for]

    def taken_for(self, half_id: str, held: str | None = None) -> list[Reason]:
        """What to beware of where a port looks like that half: those that are not measured and look the same, without
        those that are held otherwise than was seen."""
        return [
            Reason("unmeasured.taken_for", {"name": known.name, "known": known.known})
            for known in self.alike(half_id)
            if held is None or known.held in (None, held)
        ]


class _Book:
    """What one folder of tables adds to what is known already."""

    def __init__(self, known: dict[str, Source], raws: dict[str, dict[str, Any]]) -> None:
        self.sources = known
        self.raws = dict(raws)
        self.halves: dict[str, Half] = {}
        self.families: dict[str, FamilyTable] = {}
        self.unmeasured: dict[str, Unmeasured] = {}


def merged(base: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """The base table with the entries of `change` laid over it; lists and numbers are exchanged whole."""
    result = dict(base)
    for key, value in change.items():
        old = result.get(key)
        if isinstance(value, dict) and isinstance(old, dict) and not ATOMIC & set(value):
            result[key] = merged(old, value)
        else:
            result[key] = value
    return result


def _measure_problems(raw: Any, where: str) -> list[str]:
    """What is wrong with each number of a raw table, one line each, with its place."""
    if isinstance(raw, list):
        problems: list[str] = []
        for i, item in enumerate(raw):
            name = item.get("name", i) if isinstance(item, dict) else i
            problems += _measure_problems(item, f"{where}.{name}")
        return problems
    if not isinstance(raw, dict):
        return []
    if {"mm", "grade"} & set(raw) or ("value" in raw and "unit" in raw):
        try:
            msgspec.convert(raw, Measure)
        except BROKEN as error:
            return [f"{where}: {error}"]
        return []
    return [p for key, item in raw.items() for p in _measure_problems(item, f"{where}.{key}")]


def read_family(raw: dict[str, Any], where: str) -> tuple[FamilyTable, list[Half]]:
    """The family that a raw table states, and its halves.

    Raises InputError with the first numbers that are wrong and how many more, else with the first contradiction.
    """
    try:
        table = msgspec.convert(raw, FamilyTable)
        return table, halves_of(table)
    except BROKEN as error:
        try:
            problems = _measure_problems(raw, where)
        except RecursionError:
            problems = [str(RefusedError("models.too_deep", file=where))]
        if problems:
            if len(problems) > MOST_TOLD:
                problems[MOST_TOLD:] = [str(RefusedError("models.more", count=len(problems) - MOST_TOLD))]
            raise RefusedError("models.entries", problems="; ".join(problems)) from None
        raise RefusedError("models.entry", file=where, error=str(error)) from None


def _toml(text: str, where: str) -> dict[str, Any]:
    try:
        return toml.loads(text)
    except toml.TOMLDecodeError as error:
        raise RefusedError("models.no_toml", file=where, error=str(error)) from None


def _cited(table: FamilyTable, halves: list[Half]) -> set[str]:
    """Every source key that a family points to."""
    numbers = [measure for half in halves for _, measure in walk(half)]
    keys = {key for measure in numbers for key in measure.source}
    keys |= {key for measure in numbers for rival in measure.against for key in rival.source}
    keys |= {key for measure in numbers for make in measure.makes for key in make.source}
    keys |= {key for kin in table.shares for key in kin.source}
    keys |= {key for dispute in table.disputes for key in (*dispute.source, *dispute.against)}
    return keys | set(table.keys.source if table.keys is not None else [])


def _dangling(keys: set[str], book: _Book, where: str) -> list[str]:
    missing = sorted(keys - set(book.sources))
    return [str(RefusedError("models.dangling", file=where, key=key)) for key in missing]


def _read_families(book: _Book, waiting: list[tuple[str, dict[str, Any]]]) -> list[str]:
    """Add the families to the book, those that others are based on first; returns what is wrong."""
    problems: list[str] = []
    while waiting:
        ready = [(w, r) for w, r in waiting if not r.get("based_on") or str(r["based_on"]) in book.raws]
        if not ready:
            lost = [RefusedError("models.no_base", file=w, base=str(r["based_on"])) for w, r in waiting]
            return [*problems, *map(str, lost)]
        for where, raw in ready:
            waiting.remove((where, raw))
            whole = merged(book.raws[str(raw["based_on"])], raw) if raw.get("based_on") else raw
            try:
                table, new = read_family(whole, where)
            except InputError as error:
                problems.append(str(error))
                continue
            book.raws[table.key] = whole
            problems += _dangling(_cited(table, new), book, where)
            for half in new:
                if half.id in book.halves:
                    problems.append(str(RefusedError("models.id_twice", file=where, id=half.id)))
                book.halves[half.id] = half
            book.families[table.key] = table
    return problems


def _read_unmeasured(book: _Book, raw: dict[str, Any], where: str) -> list[str]:
    try:
        found = msgspec.convert(raw, dict[str, Unmeasured])
    except BROKEN as error:
        return [str(RefusedError("models.entry", file=where, error=str(error)))]
    book.unmeasured = found
    problems: list[str] = []
    for key, half in found.items():
        problems += _dangling(set(half.source), book, where)
        if key in book.halves:
            problems.append(str(RefusedError("models.id_twice", file=where, id=key)))
    return problems


def _read(files: dict[str, str], book: _Book) -> _Book:
    """Read TOML texts by file name into the book; raises InputError with the first problems, each with its place."""
    problems: list[str] = []
    waiting: list[tuple[str, dict[str, Any]]] = []
    unmeasured: list[tuple[str, dict[str, Any]]] = []
    for where, text in files.items():
        try:
            (unmeasured if Path(where).name == UNMEASURED else waiting).append((where, _toml(text, where)))
        except InputError as error:
            problems.append(str(error))
    problems += _read_families(book, waiting)
    for where, raw in unmeasured:
        problems += _read_unmeasured(book, raw, where)
    if problems:
        if len(problems) > MOST_TOLD:
            problems[MOST_TOLD:] = [str(RefusedError("models.more_entries", count=len(problems) - MOST_TOLD))]
        raise InputError(" ".join(" ".join(problems).split()))
    return book


def _check_shape(half: Half, where: str) -> None:
    """Refuse a half whose numbers no port has, or whose parts cannot be turned or do not stand on one another.

    Raises InputError.
    """
    bounds.check(half, where)
    bodies = [(half.shell, half.thread, "shell"), (half.housing, None, "housing")]
    if half.nut is not None:
        bodies.append((half.nut.body, half.nut.thread, "nut"))
    for body, thread, name in bodies:
        z = crossing(body, thread) if body is not None else None
        if z is not None:
            raise RefusedError("models.sides_cross", file=where, id=half.id, name=name, z=z)
    try:
        profile(half)
    except InputError as error:
        raise InputError(f"{where}: {error}") from None


@lru_cache(maxsize=1)
def _shipped() -> _Book:
    known = source_list.load_package(PACKAGE, SOURCES)
    folder = resources.files(PACKAGE) / "tables"
    order = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    files = {f.name: f.read_text(encoding="utf-8") for f in order if f.name != SOURCES}
    return _read(files, _Book(known, {}))


def version(known: Tables) -> str:
    """A mark of every number of some tables, for files that must know under which they were written."""
    numbers = [
        (half.id, path, number.nominal, number.span, number.grade.value)
        for half in known.halves.values()
        for path, number in walk(half)
    ]
    return sha256(repr(numbers).encode()).hexdigest()[:12]


def gauged_halves(halves: Mapping[str, Half], book: gauged.Book, where: str) -> dict[str, Half]:
    """The halves with what was measured of them; raises InputError where no such half can be turned."""
    found = gauged.applied(halves, book, where)
    for half in (one for key, one in found.items() if one is not halves[key]):
        _check_shape(half, where)
    return found


def load(extra: Path | str | None = None, readings: bool = True) -> Tables:
    """The shipped tables, joined by those in the folder `extra`; without what was measured where no `readings` count.

    Raises InputError where the folder or a file cannot be read, or a table is wrong.
    """
    shipped = _shipped()
    if extra is None:
        return Tables(shipped.halves, shipped.sources, shipped.families, shipped.unmeasured)
    extra = Path(extra)
    if not extra.is_dir():
        raise RefusedError("models.no_folder", extra=str(extra))
    files: dict[str, str] = {}
    for path in sorted(extra.glob("*.toml")):
        if path.name == SOURCES or path.name.startswith("."):  # the latter is being written just now
            continue
        try:
            files[str(path)] = path.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise RefusedError("models.unread", path=str(path), error=str(error)) from None
    book = files.pop(str(extra / gauged.FILE), None)
    if not files and book is None:
        raise RefusedError("models.empty_folder", extra=str(extra))
    own = _read(files, _Book({**shipped.sources, **source_list.load_folder(extra)}, shipped.raws))
    for half in own.halves.values():
        _check_shape(half, str(extra))
    taken = sorted({*own.halves, *own.unmeasured} & {*shipped.halves, *shipped.unmeasured})
    taken += sorted(own.families.keys() & shipped.families.keys())
    if taken:
        raise RefusedError("models.id_taken", extra=str(extra), taken=taken[0])
    halves, known = {**shipped.halves, **own.halves}, own.sources
    if book is not None and readings:
        where = str(extra / gauged.FILE)
        halves = gauged_halves(halves, gauged.decode(book, where), where)
        known = {**known, gauged.SOURCE: gauged.source()}
    return Tables(
        halves,
        known,
        {**shipped.families, **own.families},
        {**shipped.unmeasured, **own.unmeasured},
    )
