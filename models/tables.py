"""Load and check the dimension tables: those that ship with coaxtell and a user's own folder.

One TOML file states one family: `[plug]` and `[jack]`, what both share at the top. A file may be `based_on`
another family and then states only what differs. Errors stop the load and tell all problems at once.
"""

from __future__ import annotations

from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any, Literal

import msgspec

from coaxtell.models import sources as source_list
from coaxtell.models import toml
from coaxtell.models.errors import InputError
from coaxtell.models.half import (
    Centre,
    Gender,
    Groove,
    Half,
    Key,
    Lugs,
    Nut,
    Ramps,
    Ring,
    Snap,
    Thread,
    Turned,
)
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import walk
from coaxtell.models.reverse import reverse
from coaxtell.models.sources import Source

PACKAGE = "coaxtell.models"


ATOMIC = {"mm", "value", "grade", "size"}
"""A table entry with one of these keys is a number or a thread and is exchanged whole."""


class FamilyThread(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The thread that plug and jack share, with the tolerance class of either side."""

    size: str
    major: Measure
    outside: Literal["2A", "6g"]
    inside: Literal["2B", "6H"]
    tpi: Measure | None = None
    pitch: Measure | None = None
    hand: Literal["right", "left"] = "right"

    def cut(self, tolerance: Literal["2A", "2B", "6g", "6H"]) -> Thread:
        """The thread of one half."""
        return Thread(
            size=self.size, major=self.major, tolerance=tolerance, tpi=self.tpi, pitch=self.pitch, hand=self.hand
        )


class NutTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A moving part as a table states it: without ramps it carries the family's thread."""

    body: Turned
    ramps: Ramps | None = None
    slides: bool = False


class KeyTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The codes of a keyed housing: letter to colour, and which letter goes with all."""

    kind: str
    colours: dict[str, str]
    source: list[str]
    neutral: str = ""


class HalfTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One half as a table states it."""

    shell: Turned
    centre: Centre
    trade_names: list[str] = []
    insulator: list[Ring] = []
    lugs: Lugs | None = None
    nut: NutTable | None = None
    snap: Snap | None = None
    groove: Groove | None = None
    housing: Turned | None = None
    finish: Literal["gold", "nickel", "steel", "brass"] = "nickel"


class FamilyTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One family as its file states it."""

    key: str
    family: str
    bore: Measure
    er: Measure
    plug: HalfTable | None = None
    jack: HalfTable | None = None
    sexless: HalfTable | None = None
    thread: FamilyThread | None = None
    impedance: Measure | None = None
    top: Measure | None = None
    torque: Measure | None = None
    reverse_key: str = ""
    reverse_family: str = ""
    based_on: str = ""
    wording: str = ""
    keys: KeyTable | None = None


class Tables(msgspec.Struct, frozen=True):
    """All halves by id, in the order of the files, with the sources their numbers point to."""

    halves: dict[str, Half]
    sources: dict[str, Source]

    def half(self, half_id: str) -> Half:
        """The half of that id; raises InputError with the nearest ids where there is none."""
        found = self.halves.get(half_id)
        if found is None:
            from difflib import get_close_matches

            near = get_close_matches(half_id, self.halves, n=3, cutoff=0.5)
            hint = f" Did you mean {', '.join(near)}?" if near else ""
            raise InputError(f"No half is called {half_id!r}.{hint} `coaxtell list` shows all ids.")
        return found


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
        except msgspec.ValidationError as error:
            return [f"{where}: {error}"]
        return []
    return [p for key, item in raw.items() for p in _measure_problems(item, f"{where}.{key}")]


GENDERS: tuple[Gender, ...] = ("plug", "jack", "sexless")


def _half(table: FamilyTable, gender: Gender, own: HalfTable) -> Half:
    on_shell = any(step.thread for step in own.shell.outside)
    nut = None
    if own.nut is not None:
        in_nut = any(step.thread for step in own.nut.body.inside)
        if in_nut and table.thread is None:
            raise ValueError(f"{gender}: the nut has a thread step and the family has no [thread]")
        thread = table.thread.cut(table.thread.inside) if in_nut and table.thread is not None else None
        nut = Nut(body=own.nut.body, thread=thread, ramps=own.nut.ramps, slides=own.nut.slides)
    if on_shell and table.thread is None:
        raise ValueError(f"{gender}: the shell has a thread step and the family has no [thread]")
    ohm = table.impedance.nominal if table.impedance is not None else None
    name = table.family if gender == "sexless" else f"{table.family} {gender}"
    if ohm is not None and table.key.endswith(f"-{ohm:g}"):
        name += f" {ohm:g} ohm"
    return Half(
        id=table.key if gender == "sexless" else f"{table.key}-{gender}",
        family=table.family,
        gender=gender,
        polarity="standard",
        impedance=table.impedance,
        name=name,
        trade_names=own.trade_names,
        bore=table.bore,
        top_ghz=table.top,
        torque_nm=table.torque,
        er=table.er,
        shell=own.shell,
        centre=own.centre,
        insulator=own.insulator,
        thread=table.thread.cut(table.thread.outside) if on_shell and table.thread is not None else None,
        lugs=own.lugs,
        nut=nut,
        snap=own.snap,
        groove=own.groove,
        housing=own.housing,
        wording=table.wording,
        finish=own.finish,
    )


def _keyed(half: Half, keys: KeyTable) -> list[Half]:
    """One half per code of the housing."""
    return [
        msgspec.structs.replace(
            half,
            id=f"{half.id.removesuffix('-' + half.gender)}-{code.lower()}-{half.gender}",
            family=f"{half.family} {code}",
            name=f"{half.family} {code} {half.gender}",
            key=Key(kind=keys.kind, code=code, colour=colour, neutral=code == keys.neutral),
        )
        for code, colour in keys.colours.items()
    ]


def _halves(raw: dict[str, Any], where: str) -> list[Half]:
    problems = _measure_problems(raw, where)
    if problems:
        raise InputError("; ".join(problems) + "; mend these entries.")
    try:
        table = msgspec.convert(raw, FamilyTable)
        if not table.key or not table.key.replace("-", "").replace(".", "").isalnum() or not table.key.isascii():
            raise ValueError(f"key {table.key!r} is not letters, digits, dots and hyphens")
        if table.key != table.key.lower():
            raise ValueError(f"key {table.key!r} is not lower case")
        halves = [
            _half(table, gender, own)
            for gender, own in zip(GENDERS, (table.plug, table.jack, table.sexless), strict=True)
            if own is not None
        ]
        if not halves:
            raise ValueError("the table states no half: give [plug], [jack] or [sexless]")
        if table.reverse_key:
            if len(halves) != 2:
                raise ValueError("a reverse pair needs a plug and a jack")
            halves += reverse(halves[0], halves[1], table.reverse_key, table.reverse_family or f"RP-{table.family}")
        if table.keys is not None:
            halves = [keyed for half in halves for keyed in _keyed(half, table.keys)]
    except (ValueError, msgspec.ValidationError) as error:
        raise InputError(f"{where}: {error}; mend that entry.") from None
    return halves


def _unknown_sources(halves: list[Half], known: dict[str, Source], where: str) -> list[str]:
    missing = sorted({k for h in halves for _, m in walk(h) for k in m.source if k not in known})
    return [f"{where}: source {key!r} is not in any sources.toml" for key in missing]


def parse(files: dict[str, str], known: dict[str, Source], raws: dict[str, dict[str, Any]]) -> dict[str, Half]:
    """Halves from TOML texts by file name; `raws` holds the families a file may be based on and is added to.

    Raises InputError with every problem found, each with its file and place.
    """
    problems: list[str] = []
    waiting: list[tuple[str, dict[str, Any]]] = []
    for where, text in files.items():
        try:
            raw = toml.loads(text)
        except toml.TOMLDecodeError as error:
            problems.append(f"{where}: not valid TOML ({error}); mend that line.")
            continue
        waiting.append((where, raw))
    halves: dict[str, Half] = {}
    while waiting:
        ready = [(w, r) for w, r in waiting if not r.get("based_on") or r["based_on"] in raws]
        if not ready:
            problems += [f"{w}: based_on {r['based_on']!r} names no family; correct it." for w, r in waiting]
            break
        for where, raw in ready:
            waiting.remove((where, raw))
            whole = merged(raws[raw["based_on"]], raw) if raw.get("based_on") else raw
            try:
                new = _halves(whole, where)
            except InputError as error:
                problems.append(str(error))
                continue
            raws[str(whole["key"])] = whole
            problems += _unknown_sources(new, known, where)
            for half in new:
                if half.id in halves:
                    problems.append(f"{where}: the id {half.id!r} exists already; choose another key.")
                halves[half.id] = half
    if problems:
        raise InputError(" ".join(problems))
    return halves


@lru_cache(maxsize=1)
def _shipped() -> tuple[dict[str, Half], dict[str, Source], dict[str, dict[str, Any]]]:
    known = source_list.load_package(PACKAGE, "sources.toml")
    folder = resources.files(PACKAGE) / "tables"
    order = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    files = {f.name: f.read_text(encoding="utf-8") for f in order if f.name != "sources.toml"}
    raws: dict[str, dict[str, Any]] = {}
    return parse(files, known, raws), known, raws


def load(extra: Path | None = None) -> Tables:
    """The shipped tables, joined by those in the folder `extra`.

    Raises InputError where the folder or a file cannot be read, or a table is wrong.
    """
    shipped, known, raws = _shipped()
    if extra is None:
        return Tables(halves=shipped, sources=known)
    if not extra.is_dir():
        raise InputError(f"{extra} is not a folder; give --tables the folder that holds your .toml tables.")
    own_sources = {**known, **source_list.load_folder(extra)}
    files: dict[str, str] = {}
    for path in sorted(extra.glob("*.toml")):
        if path.name == "sources.toml":
            continue
        try:
            files[str(path)] = path.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise InputError(f"{path}: cannot be read ({error}); check the file.") from None
    if not files:
        raise InputError(f"{extra} holds no .toml table; put one there or leave --tables out.")
    own = parse(files, own_sources, dict(raws))
    taken = sorted(set(own) & set(shipped))
    if taken:
        raise InputError(f"{extra}: the id {taken[0]!r} exists already; choose another key in your table.")
    return Tables(halves={**shipped, **own}, sources=own_sources)
