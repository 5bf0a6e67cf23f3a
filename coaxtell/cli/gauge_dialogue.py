"""The dialogue of `coaxtell gauge`: a number at a time, a part in a line, kept as it is given; and its plan."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

from coaxtell import files
from coaxtell.models import gauged, parts, quantity
from coaxtell.models.acts import Act
from coaxtell.models.acts import before as before_acts
from coaxtell.models.catalogue import MODELS
from coaxtell.models.errors import InputError
from coaxtell.models.gauged import Book
from coaxtell.models.gauging.asking import Asked, asked, question
from coaxtell.models.gauging.doubts import doubts
from coaxtell.models.gauging.places import Place, places
from coaxtell.models.half import Half
from coaxtell.models.lines import wrapped
from coaxtell.models.measure import Measure
from coaxtell.models.measure import text as measure_text
from coaxtell.models.numbers import walk
from coaxtell.models.parts import Sitting
from coaxtell.models.tables import Tables
from coaxtell.models.words import counted, label, said

PARTS, READINGS = 3, 2
"""Parts and readings of each that the plan reckons with."""
SETTING_UP_S = 60
"""Finding parts and taking up the tool, for each half [s] (assumed)."""
MOST_NAMED = 3

CAUTIONS = (
    "The parts lie on the bench, disconnected from everything.",
    "Nothing goes into a spring contact or onto a pin, and jaws close by their own weight.",
)
KEYS = "Enter: no more parts   s: skip this number   q: stop"


class Bench(NamedTuple):
    """Where readings are kept, what they are taken with and by whom, and where pictures go if they are wanted."""

    folder: Path
    instrument: str
    plus_minus: float
    who: str
    date: str
    pictures: Path | None


class StopMeasuringError(Exception):
    """The person, or the end of the input, ends the measuring."""


def measure(half: Half, known: Tables, book: Book, bench: Bench) -> None:
    """Ask for one number after another, keep every part as it is read, and say what came of it."""
    before = doubts(half, known.halves.values())
    wanted = asked(half, before)
    for line in (*CAUTIONS, *said(before_acts([Act.MEASURE], [half]))):
        print(wrapped(line, "", "  "))
    if not wanted:
        print(f"\nNothing of {half.name} is to be measured here:")
        for line in refused_lines(half):
            print(line)
        return
    print(f"\n{half.name}: {counted(len(wanted), 'number')} to measure here. Type the readings of one part in a line.")
    print(KEYS)
    held = book
    try:
        for number, one in enumerate(wanted, 1):
            held = _Number(half, one, bench, held).run(f"{number} of {len(wanted)}")
    except StopMeasuringError:
        pass
    except KeyboardInterrupt:
        print(f"\n\nWhat was read is kept in {bench.folder / gauged.FILE}.")
        raise
    held = own_book(bench.folder)
    _settled(half, known, held, sum(not one.known for one in before), bench)


def refused_lines(half: Half) -> list[str]:
    """Why the numbers of a half are not to be measured here, a line for each reason."""
    reasons: dict[str, list[str]] = {}
    for refusal in places(half)[1]:
        reasons.setdefault(MODELS.say(refusal.why), []).append(label(half, refusal.path))
    return [wrapped(f"{why}: {', '.join(names)}.", "  ", "    ") for why, names in reasons.items()]


def _settled(half: Half, known: Tables, book: Book, before: int, bench: Bench) -> None:
    """Say where the readings lie, and how many verdicts were not known before and are not now."""
    if not book.number:
        print("\nNothing was measured.")
        return
    print(f"\nKept in {bench.folder / gauged.FILE}; any command reads it with --tables {bench.folder}.")
    try:
        halves = gauged.applied(known.halves, book, str(bench.folder / gauged.FILE))
    except InputError as error:
        print(wrapped(str(error)))
        return
    now = sum(not one.known for one in doubts(halves[half.id], halves.values()))
    print(f"Verdicts of {half.id} that are not known: {before} before, {now} now.")


class _Number:
    """One number: its question, the readings of its parts, and what came of them."""

    def __init__(self, half: Half, one: Asked, bench: Bench, book: Book) -> None:
        self.half, self.asked, self.bench, self.book = half, one, bench, book
        self.place: Place = one.place
        self.table: Measure = dict(walk(half))[one.place.path]
        self.stated = gauged.stated(self.table)
        self.parts: list[list[float]] = []

    def run(self, count: str) -> Book:
        """The book with this number's readings."""
        print(wrapped(f"\n{count}  {MODELS.say(question(self.half, self.place))}."))
        print(wrapped(f"Why: {why(self.asked)}.", "  ", "  "))
        print(f"  Table: {measure_text(self.table)}; it would read {self._reads(self.table.nominal)}.")
        if self.bench.pictures is not None:
            print(f"  Picture: {self._picture(self.bench.pictures)}")
        while (readings := self._part()) is not None:
            self.parts.append(readings)
            self._keep()
        if self.parts:
            self._say()
        return self.book

    def _keep(self) -> None:
        sitting = Sitting(
            self.bench.instrument, self.bench.plus_minus, self.bench.who, self.bench.date, [list(p) for p in self.parts]
        )
        kept = self.book.plus(self.half.id, gauged.written(self.place.path), [sitting])
        keep(self.bench.folder, kept)
        self.result = kept

    def _part(self) -> list[float] | None:
        """The readings of one part as numbers of the table; none where there are no more."""
        doubted: list[float] = []
        while True:
            try:
                typed = input(f"part {len(self.parts) + 1}> ").strip()
            except EOFError:
                print()
                self._finish()
                raise StopMeasuringError from None
            if typed.lower() in ("q", "quit"):
                self._finish()
                raise StopMeasuringError
            if typed.lower() in ("", "s", "skip"):
                return None
            try:
                found = [self.place.size(reading) for reading in readings(typed)]
            except InputError as error:
                print(wrapped(str(error), "  ", "  "))
                continue
            strange = self._strange(found)
            again = doubted and all(abs(x - doubted[0]) <= 2 * self.bench.plus_minus for x in found)
            if strange is None or again:
                return found
            print(wrapped(strange, "  ", "  "))
            doubted = found

    def _finish(self) -> None:
        if self.parts:
            self._say()

    def _strange(self, found: list[float]) -> str | None:
        """What is odd about the readings of a part; none where nothing is."""
        others = [sum(part) / len(part) for part in self.parts]
        for place, size in enumerate(found):
            if parts.strange(size, found[:place], others, self.stated, self.bench.plus_minus):
                near = "the part's other readings" if place else "what such parts read"
                return (
                    f"{self._reads(size)} lies far from {near} ({self._reads(found[0] if place else self._middle())}): "
                    "look for a slipped digit or another unit (0.25in), read the part again; the same again is taken."
                )
        return None

    def _middle(self) -> float:
        return sum(p[0] for p in self.parts) / len(self.parts) if self.parts else self.table.nominal

    def _reads(self, size: float) -> str:
        return (
            f"{self.place.reading(size):.3g} mm"
            if self.place.reading(size) < 1
            else f"{self.place.reading(size):.2f} mm"
        )

    def _picture(self, folder: Path) -> Path:
        from coaxtell.models.drawings.gauge_place import place_drawing

        name = re.sub(r"[^a-z0-9]+", "-", f"{self.half.id} {label(self.half, self.place.path)}").strip("-")
        path = folder / f"{name}.svg"
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise InputError(f"{folder} cannot be made ({error.strerror}); choose another folder.") from None
        drawing = place_drawing(self.half, self.place, MODELS.say(question(self.half, self.place)))
        files.write_text(path, drawing.svg())
        return path

    def _say(self) -> None:
        """What came of the readings, beside the table."""
        self.book = self.result
        number = self.book.find(self.half.id, gauged.written(self.place.path))
        assert number is not None
        try:
            _, found = gauged.measured(number, self.table)
        except ValueError as error:
            print(wrapped(f"{error}.", "  ", "  "))
            return
        agrees = "agrees" if found.agrees else "disagrees, and is left aside"
        print(
            wrapped(
                f"95 % of such parts: {found.low:.3f} to {found.high:.3f} mm ({counted(found.parts, 'part')}, "
                f"{counted(found.readings, 'reading')}, mean {found.mean:.3f}, spread {found.deviation:.3f}); "
                f"the table {agrees}.",
                "  ",
                "  ",
            )
        )


def readings(typed: str) -> list[float]:
    """Lengths [mm] in a line, parted by blanks or semicolons; a number without a unit is in mm.

    Raises InputError where one is no length or none that a connector has.
    """
    found = []
    for word in re.split(r"[;\s]+(?=[\d.,+-])", typed.strip(" ;")):
        one = quantity.read(word, "A reading of", "7.93, 7.93mm or 0.312in")
        factor = 1.0 if not one.unit else one.per_mm
        if factor is None:
            raise InputError(f"A reading of {quantity.quoted(word)} has no unit of length; use mm or in.")
        if not 0.02 <= one.value * factor <= 100:
            raise InputError(f"A reading of {quantity.quoted(word)} is no length of a connector; read it again.")
        found.append(one.value * factor)
    return found


def why(one: Asked) -> str:
    """What measuring a number is for."""
    if one.others:
        named = ", ".join(one.others[:MOST_NAMED])
        more = f" and {len(one.others) - MOST_NAMED} more" if len(one.others) > MOST_NAMED else ""
        return f"it settles most doubt about how it fares with {named}{more}"
    return "no verdict hangs on it by much, and no document backs it"


def plan_lines(halves: list[Half], known: Tables, minutes: float) -> list[str]:
    """What so many minutes with a calliper would settle for some halves, the most doubt a minute first."""
    others = known.halves.values()
    rows = [(half, one) for half in halves for one in asked(half, doubts(half, others)) if one.settles > 0]
    rows.sort(key=lambda row: -row[1].settles / row[1].place.seconds)
    left, taken, begun = 60 * minutes, [], set()
    for half, one in rows:
        cost = PARTS * READINGS * one.place.seconds + (0 if half.id in begun else SETTING_UP_S)
        if cost <= left:
            left -= cost
            begun.add(half.id)
            taken.append((half, one, cost))
    if not taken:
        return [wrapped("No verdict of these ports is in doubt that a calliper could settle here.")]
    found = [f"In {minutes - left / 60:.0f} minutes, {PARTS} parts of each and {READINGS} readings a part:"]
    for half, one, cost in taken:
        found.append(
            wrapped(f"{cost / 60:4.1f} min  {half.id}: {label(half, one.place.path)}; {why(one)}", "", "          ")
        )
    return found


def own_book(folder: Path) -> Book:
    """What was measured so far; an empty book where nothing was."""
    path = folder / gauged.FILE
    return gauged.decode(files.read_text(path), str(path)) if path.exists() else Book()


def keep(folder: Path, book: Book) -> None:
    """Write the book down; raises InputError where the folder cannot be made or written."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(f"{folder} cannot be made ({error.strerror}); choose another folder.") from None
    files.write_text(folder / gauged.FILE, gauged.encode(book))
