"""The dialogue of `coaxtell gauge`: a number at a time, a part in a line, kept as it is given; and its plan."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

from coaxtell import files, narrow
from coaxtell.gauge_bench import CAUTIONS, RADIO, Bench, Measuring, own_book, refused, told_against, wanted_of, why
from coaxtell.models import gauged
from coaxtell.models.acts import Act
from coaxtell.models.acts import before as before_acts
from coaxtell.models.catalogue import MODELS
from coaxtell.models.errors import InputError
from coaxtell.models.gauged import Book
from coaxtell.models.gauging.asking import Asked, asked, question
from coaxtell.models.gauging.doubts import doubts
from coaxtell.models.half import Half
from coaxtell.models.lines import wrapped
from coaxtell.models.measure import text as measure_text
from coaxtell.models.tables import Tables
from coaxtell.models.words import counted, label, said

PARTS, READINGS = 3, 2
"""Parts and readings of each that the plan reckons with."""
SETTING_UP_S = 60
"""Finding parts and taking up the tool, for each half [s] (assumed)."""
KEYS = "Enter: no more parts   s: skip this number   q: stop"


class StopMeasuringError(Exception):
    """The person, or the end of the input, ends the measuring."""


def measure(half: Half, known: Tables, bench: Bench) -> None:
    """Ask for one number after another, keep every part as it is read, and say what came of it."""
    before = doubts(half, known.halves.values())
    wanted = wanted_of(half, before, bench.folder)
    for line in (*CAUTIONS, *said(before_acts([Act.MEASURE], [half]))):
        print(wrapped(line, "", "  "))
    if not wanted:
        print(f"\nNothing of {half.name} is to be measured here:")
        for line in refused(half):
            print(wrapped(line, "  ", "    "))
        return
    print(f"\n{half.name}: {counted(len(wanted), 'number')} to measure here. Type the readings of one part in a line.")
    print(KEYS)
    try:
        if half.like_high_voltage and not _no_high_voltage():
            print("Then nothing is touched or measured here.")
            return
        for number, one in enumerate(wanted, 1):
            _Number(half, one, bench).run(f"{number} of {len(wanted)}")
    except StopMeasuringError:
        pass
    except KeyboardInterrupt:
        print(f"\n\nWhat was read is kept in {bench.folder / gauged.FILE}.")
        raise
    _settled(half, known, own_book(bench.folder), sum(not one.known for one in before), bench)


def _no_high_voltage() -> bool:
    """Whether a port with two lugs is confirmed to carry no high voltage; raises StopMeasuringError to stop."""
    print(wrapped(f"\n{RADIO}"))
    while True:
        typed = _typed("y or n> ").lower()
        if typed in ("y", "yes", "n", "no"):
            return typed.startswith("y")
        print("  Type y or n.")


def _typed(prompt: str) -> str:
    """A line of the person; raises StopMeasuringError where they leave."""
    try:
        typed = input(narrow.prompt(prompt)).strip()
    except EOFError:
        print()
        raise StopMeasuringError from None
    if typed.lower() in ("q", "quit"):
        raise StopMeasuringError
    return typed


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
    for line in told_against(bench.folder, [half.id]):
        print(wrapped(line))


class _Number:
    """One number asked for: its question, the readings of its parts, and what came of them."""

    def __init__(self, half: Half, one: Asked, bench: Bench) -> None:
        self.half, self.bench = half, bench
        self.read = Measuring(half, one, bench, datetime.now().isoformat())

    def run(self, count: str) -> None:
        """Ask for one part after another, and say what came of them."""
        read = self.read
        print(wrapped(f"\n{count}  {MODELS.say(question(self.half, read.place))}."))
        print(wrapped(f"Why: {why(read.asked)}.", "  ", "  "))
        print(f"  Table: {measure_text(read.table)}; it would read {read.reads(read.table.nominal)}.")
        if self.bench.pictures is not None:
            print(f"  Picture: {self._picture(self.bench.pictures)}")
        try:
            while self._part():
                pass
        finally:
            if read.result:
                print(wrapped(read.result, "  ", "  "))

    def _part(self) -> bool:
        """Take the readings of one part; false where there are no more."""
        while True:
            typed = _typed(f"part {len(self.read.parts) + 1}> ")
            if typed.lower() in ("", "s", "skip"):
                return False
            try:
                strange = self.read.take(typed)
            except InputError as error:
                print(wrapped(str(error), "  ", "  "))
                continue
            if not strange:
                return True
            print(wrapped(strange, "  ", "  "))

    def _picture(self, folder: Path) -> Path:
        from coaxtell.models.drawings.gauge_place import place_drawing

        place = self.read.place
        name = re.sub(r"[^a-z0-9]+", "-", f"{self.half.id} {label(self.half, place.path)}").strip("-")
        path = folder / f"{name}.svg"
        files.make_folder(folder, "choose another folder")
        drawing = place_drawing(self.half, place, MODELS.say(question(self.half, place)))
        files.write_text(path, drawing.svg())
        return path


def plan_lines(halves: list[Half], known: Tables, minutes: float) -> list[str]:
    """What so many minutes with a calliper would settle for some halves, the most doubt a minute first."""
    others = known.halves.values()
    rows = [(half, one) for half in halves for one in asked(half, doubts(half, others)) if one.others]
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
