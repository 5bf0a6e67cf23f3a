"""Numbers that a shop has measured itself: readings by half and number, in `gauged.toml` beside its own tables.

The readings are what is kept; the range that parts have is worked out from them and from the table each time the
tables are loaded, so that a better table or another shop's readings count at once.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

import msgspec

from coaxtell.models import toml
from coaxtell.models.against import against
from coaxtell.models.catalogue import Reason, Value, tell
from coaxtell.models.errors import InputError, RefusedError
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import Verdict
from coaxtell.models.measure import Grade, Measure, Rival
from coaxtell.models.numbers import Path, named, replaced, walk
from coaxtell.models.parts import OnePartError, Sitting, Spread, Stated, spread
from coaxtell.models.sources import Source
from coaxtell.models.statements import shipped

FILE = "gauged.toml"
"""Name of the file in a folder of own tables."""
FORMAT = 3
"""1 had neither the version of the tables nor what a table said of a number then, 2 not when a sitting began."""
SOURCE = "gauged"
"""Key of the source that measured numbers point to."""


def source() -> Source:
    """The source that measured numbers point to."""
    return Source(tell("gauged.source"), "measured")


class Number(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All readings of one number of one half: `nut.body.outside.0.d` of `sma-plug`.

    Raises InputError where there are none, or what the table said is not three numbers.
    """

    half: str
    number: str
    sittings: list[Sitting]
    beside: list[float] = []
    """What the table said of it when it was measured last: value, least, most [mm]; empty where that was not kept."""

    def __post_init__(self) -> None:
        if not self.sittings:
            raise RefusedError("models.no_readings")
        if len(self.beside) not in (0, 3):
            raise RefusedError("models.beside")

    @property
    def path(self) -> Path:
        """The number's path inside the half."""
        return tuple(int(key) if key.isdecimal() and len(key) <= 3 else key for key in self.number.split("."))


class Book(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Everything that was measured."""

    format: int = FORMAT
    tables: str = ""
    """Version of the tables, without these readings, under which it was written; empty where that was not kept."""
    number: list[Number] = []

    def find(self, half: str, number: str) -> Number | None:
        """The readings of one number; none where there are none."""
        return next((one for one in self.number if (one.half, one.number) == (half, number)), None)

    def plus(self, half: str, number: str, sittings: Iterable[Sitting], beside: list[float] | None = None) -> Book:
        """The book with more readings of a number; a sitting that it holds already is not counted again.

        Of one that went on the longer account counts. `beside` is what the table says of the number [mm].
        """
        held = self.find(half, number)
        found = [] if held is None else list(held.sittings)
        for one in sittings:
            known = next((k for k, other in enumerate(found) if _one_sitting(one, other)), None)
            if known is None:
                found.append(one)
            elif len(one.parts) > len(found[known].parts):
                found[known] = one
        new = Number(half, number, found, beside or ([] if held is None else held.beside))
        others = [one for one in self.number if one is not held]
        return Book(tables=self.tables, number=sorted([*others, new], key=lambda one: (one.half, one.number)))

    def merged(self, other: Book) -> Book:
        """Both books together."""
        found = self
        for one in other.number:
            found = found.plus(one.half, one.number, one.sittings, one.beside)
        return found


def _one_sitting(one: Sitting, other: Sitting) -> bool:
    """Whether two accounts are of the same sitting: begun at the same moment by the same person, or word for word."""
    begun = (one.begun, one.date, one.who)
    return one == other or (bool(one.begun) and begun == (other.begun, other.date, other.who))


def written(path: Path) -> str:
    """A path as the file writes it."""
    return ".".join(str(key) for key in path)


def decode(text: str, where: str) -> Book:
    """The book of a text; raises InputError where it is none or of a newer program."""
    try:
        raw = toml.loads(text)
        marked = raw.get("format", FORMAT if "number" in raw else 0)
        if isinstance(marked, int) and marked > FORMAT:
            raise RefusedError("models.newer", file=where)
        if not isinstance(marked, int) or marked < 1:
            raise RefusedError("models.no_gauged", file=where)
        return msgspec.structs.replace(msgspec.convert(raw, Book), format=FORMAT)
    except RefusedError:
        raise
    except (toml.TOMLDecodeError, OverflowError, RecursionError, ValueError) as error:
        reason = " ".join(str(error).split())
        raise RefusedError("models.gauged_entry", file=where, reason=reason) from None


def encode(book: Book) -> str:
    """The text of a book, with what came of each number as a remark."""
    lines = [
        head(),
        f"format = {FORMAT}",
        f"tables = {_quoted(book.tables)}",
    ]
    for one in book.number:
        lines += ["", "[[number]]", f"half = {_quoted(one.half)}", f"number = {_quoted(one.number)}"]
        if one.beside:
            lines.append(f"beside = [{', '.join(f'{x:.10g}' for x in one.beside)}]")
        for sitting in one.sittings:
            rows = ", ".join("[" + ", ".join(f"{x:.10g}" for x in part) + "]" for part in sitting.parts)
            lines += [
                "[[number.sittings]]",
                f"instrument = {_quoted(sitting.instrument)}",
                f"plus_minus = {sitting.plus_minus!r}",
                f"who = {_quoted(sitting.who)}",
                f"date = {_quoted(sitting.date)}",
                *([f"begun = {_quoted(sitting.begun)}"] if sitting.begun else []),
                f"parts = [{rows}]",
            ]
    return "\n".join(lines) + "\n"


def head() -> str:
    """The first line of every file of readings that the program writes."""
    return f"# {tell('gauged.head')}"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "")


def stated(measure: Measure) -> Stated:
    """What a table states of a number: for a weak one no less than the range of its grade."""
    return Stated(measure.nominal, *measure.span, printed=not measure.soft)


def measured(one: Number, table: Measure) -> tuple[Measure, Spread]:
    """The number as measured, with the table's value beside it where the two disagree.

    Raises OnePartError where too few parts were measured to say how parts differ.
    """
    found = spread(one.sittings, stated(table))
    last = max(sitting.date for sitting in one.sittings)
    who = ", ".join(dict.fromkeys(sitting.who for sitting in one.sittings))
    tools = ", ".join(dict.fromkeys(f"{s.instrument} +-{s.plus_minus:g}" for s in one.sittings))
    told: dict[str, Value] = {
        "parts": found.parts, "readings": found.readings, "mean": found.mean, "spread": found.deviation,
        "tools": tools, "last": last, "who": who,
    }  # fmt: skip
    rival = Rival(table.nominal, table.source, tell("gauged.rival"))
    return (
        Measure(
            grade=Grade.MEASURED,
            source=[SOURCE],
            mm=round(found.value, 4),
            min=round(found.low, 4),
            max=round(found.high, 4),
            note=tell("gauged.note", **told),
            against=list(table.against) if found.agrees else [*table.against, rival],
        ),
        found,
    )


def beside(table: Measure) -> list[float]:
    """What a table says of a number, as a book keeps it [mm]."""
    return [round(x, 6) for x in (table.nominal, *table.span)]


def changes(halves: Mapping[str, Half], book: Book) -> list[Reason]:
    """What tables, before anything was measured, say otherwise of a measured number than when it was measured."""
    found = []
    for one in book.number:
        table = dict(walk(halves[one.half])).get(one.path) if one.half in halves else None
        if table is not None and one.beside and one.beside != beside(table):
            then, now = ({"value": x[0], "low": x[1], "high": x[2]} for x in (one.beside, beside(table)))
            number = named(halves[one.half], one.path)
            told: dict[str, Value] = {"then": Reason("gauged.said", then), "now": Reason("gauged.said", now)}
            found.append(Reason("gauged.changed", {"half": one.half, "number": number, **told}))
    return found


class Aside(NamedTuple):
    """A number whose readings do not count: by them its half and another, stated to mate, would come to the verdict."""

    number: Number
    other: str
    verdict: Verdict


def applied(halves: Mapping[str, Half], book: Book, where: str) -> dict[str, Half]:
    """The halves with what was measured of them.

    A part alone that says nothing yet waits for another, and readings that go against what is stated to mate are left
    out. Raises InputError where the book names a half or number that the tables lack, or a half that it contradicts.
    """
    left = {id(one.number) for one in aside(halves, book, where)}
    return _with(halves, [one for one in book.number if id(one) not in left], where)


def aside(halves: Mapping[str, Half], book: Book, where: str) -> list[Aside]:
    """The numbers whose readings do not count, since they go against what is stated; raises InputError as `applied`.

    Each is tried alone at first. Where those that are left go against a statement only together, the ones do not count
    without which they would not, whichever half they are of; without such, none of them counts.
    """
    found = {}
    for one in book.number:
        alone = _with(halves, [one], where)
        for pair in _stated(halves, [one]):
            verdict = _verdict(halves, alone, pair)
            if verdict is not None:
                found[id(one)] = Aside(one, pair[1], verdict)
                break
    left = [one for one in book.number if id(one) not in found]
    together = _with(halves, left, where)
    for pair in _stated(halves, left):
        of_both = [one for one in left if one.half in pair]
        verdict = _verdict(halves, together, pair) if len(of_both) > 1 else None
        if verdict is not None:
            rest = ((one, [other for other in of_both if other is not one]) for one in of_both)
            guilty = [one for one, others in rest if _verdict(halves, _with(halves, others, where), pair) is None]
            for one in guilty or of_both:
                found.setdefault(id(one), Aside(one, pair[0] if pair[1] == one.half else pair[1], verdict))
    return [found[id(one)] for one in book.number if id(one) in found]


def _stated(halves: Mapping[str, Half], numbers: Sequence[Number]) -> Iterator[tuple[str, str]]:
    """The pairs that a source states to mate with a half of which something was read, each once, that half first."""
    told = set()
    for half_id in dict.fromkeys(one.half for one in numbers):
        for other in halves.values():
            said = shipped().fit(halves[half_id], other)
            if said is not None and said.sourced and frozenset((half_id, other.id)) not in told:
                told.add(frozenset((half_id, other.id)))
                yield half_id, other.id


def _verdict(before: Mapping[str, Half], now: Mapping[str, Half], pair: tuple[str, str]) -> Verdict | None:
    one, other = pair
    try:
        return against((before[one], before[other]), (now[one], now[other]))
    except InputError:
        return None  # no such half can be turned: whoever loads it says so


def _with(halves: Mapping[str, Half], numbers: Iterable[Number], where: str) -> dict[str, Half]:
    """The halves with these numbers as they were read."""
    found = dict(halves)
    for one in numbers:
        if one.half not in found:
            raise RefusedError("models.gauged_half", file=where, half=one.half)
        half = found[one.half]
        table = dict(walk(halves[one.half])).get(one.path)
        if table is None or table.unit != "mm":
            raise RefusedError("models.gauged_number", file=where, half=one.half, number=one.number)
        if one.path[0] == "centre":  # nothing enters a spring contact or rests on a pin
            raise RefusedError("models.gauged_centre", file=where, half=one.half, number=one.number)
        try:
            changed: Any = replaced(half, one.path, measured(one, table)[0])
        except OnePartError:
            continue
        except ValueError as error:
            raise RefusedError(
                "models.gauged_reading", file=where, half=one.half, number=one.number, error=str(error)
            ) from None
        found[one.half] = changed
    return found
