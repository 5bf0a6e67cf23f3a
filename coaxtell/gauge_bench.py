"""Parts measured on the bench, by terminal and window alike: readings as they are typed, what is odd, what came."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import msgspec

from coaxtell import files
from coaxtell.models import gauged, parts, quantity, tables
from coaxtell.models.catalogue import MODELS, word
from coaxtell.models.errors import InputError
from coaxtell.models.gauged import Book
from coaxtell.models.gauging.asking import Asked, Doubt, asked
from coaxtell.models.gauging.places import Place, places
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import mate, measured
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import walk
from coaxtell.models.parts import Sitting
from coaxtell.models.tables import Tables
from coaxtell.models.words import counted, label, said
from coaxtell.quiz.turns import turn

CAUTIONS = (
    "The parts lie on the bench, disconnected from everything.",
    "Nothing goes into a spring contact or onto a pin, and jaws close by their own weight.",
)
RADIO = "A port with two lugs or slots may be one for high voltage. Is it radio or video equipment, with none on it?"
MOST_NAMED = 3
ENOUGH = 3
"""Parts after which a number is asked for last (the method asks for three or more)."""
TURN, WAIT_S = "gauged.turn", 10.0
"""The file that says whose turn it is to write into a folder, and the longest wait for it [s]."""


class Bench(NamedTuple):
    """Where readings are kept, what they are taken with and by whom, and where pictures go if they are wanted."""

    folder: Path
    instrument: str
    plus_minus: float
    who: str
    date: str
    pictures: Path | None = None


class Measuring:
    """One number: the readings of its parts, each kept as it is given, and what came of them."""

    def __init__(self, half: Half, one: Asked, bench: Bench, begun: str) -> None:
        """No part read yet; `begun` is when that is, to the microsecond: it tells this sitting from another."""
        self.half, self.asked, self.bench, self.begun = half, one, bench, begun
        self.place: Place = one.place
        self._plain = unmeasured(bench.folder).half(half.id)
        self.table: Measure = dict(walk(self._plain))[one.place.path]
        self.parts: list[list[float]] = []
        self._stated = gauged.stated(self.table)
        self._book = Book()
        self._doubted: list[float] = []

    def take(self, typed: str) -> str:
        """Keep the readings of one part; what is odd about them, where something is and they were not typed again.

        Raises InputError where they are no readings, make a half that there cannot be, or cannot be kept.
        """
        found = [self.place.size(reading) for reading in readings(typed)]
        strange = self._strange(found)
        again = self._doubted and all(abs(x - self._doubted[0]) <= 2 * self.bench.plus_minus for x in found)
        if strange and not again:
            self._doubted = found
            return strange
        self._doubted = []
        bench = self.bench
        read = [*self.parts, found]
        rows = [list(part) for part in read]
        sitting = Sitting(bench.instrument, bench.plus_minus, bench.who, bench.date, rows, self.begun)
        # read anew each time, and nobody else between reading and writing: others may measure into the same folder
        with alone(bench.folder):
            held = own_book(bench.folder)
            kept = held.plus(self.half.id, gauged.written(self.place.path), [sitting], gauged.beside(self.table))
            own = Book(number=[number for number in kept.number if number.half == self.half.id])
            tables.gauged_halves({self.half.id: self._plain}, own, str(bench.folder / gauged.FILE))
            keep(bench.folder, kept)
        self.parts, self._book = read, kept
        return ""

    def reads(self, size: float) -> str:
        """What a part of this size reads, in words."""
        reading = self.place.reading(size)
        return f"{reading:.3g} mm" if reading < 1 else f"{reading:.2f} mm"

    @property
    def result(self) -> str:
        """What came of the readings, beside the table; empty where there are none."""
        number = self._book.find(self.half.id, gauged.written(self.place.path)) if self.parts else None
        if number is None:
            return ""
        try:
            _, found = gauged.measured(number, self.table)
        except ValueError as error:
            return f"{error}; the reading is kept, and no verdict goes by it yet."
        agrees = "agrees" if found.agrees else "disagrees, and is left aside"
        if found.agrees and not (found.low <= self.table.high and found.high >= self.table.low):
            agrees = f"says {self.table.low:g} to {self.table.high:g} mm, and is so weak that this may be"
        read = gauged.aside(unmeasured(self.bench.folder).halves, self._book, "")
        if any(one.number.half == number.half and one.number.number == number.number for one in read):
            agrees += "; what was read goes against what is stated to mate and does not count: measure again"
        return (
            f"95 % of such parts: {found.low:.3f} to {found.high:.3f} mm ({counted(found.parts, 'part')}, "
            f"{counted(found.readings, 'reading')}, mean {found.mean:.3f}, spread {found.deviation:.3f}); "
            f"the table {agrees}."
        )

    def _strange(self, found: list[float]) -> str:
        """What is odd about the readings of a part; empty where nothing is."""
        others = [sum(part) / len(part) for part in self.parts]
        for place, size in enumerate(found):
            if parts.strange(size, found[:place], others, self._stated, self.bench.plus_minus):
                near = "the part's other readings" if place else "what such parts read"
                return (
                    f"{self.reads(size)} lies far from {near} ({self.reads(found[0] if place else self._middle())}): "
                    "look for a slipped digit or another unit (0.25in), read the part again; the same again is taken."
                )
        return ""

    def _middle(self) -> float:
        return sum(p[0] for p in self.parts) / len(self.parts) if self.parts else self.table.nominal


def readings(typed: str) -> list[float]:
    """Lengths [mm] in a line, parted by blanks or semicolons; a number without a unit is in mm.

    Raises InputError where one is no length or none that a connector has.
    """
    found = []
    for part in re.split(r"[;\s]+(?=[\d.,+-])", typed.strip(" ;")):
        one = quantity.read(part, "A reading of", "7.93, 7.93mm or 0.312in")
        factor = 1.0 if not one.unit else one.per_mm
        if factor is None:
            raise InputError(f"A reading of {quantity.quoted(part)} has no unit of length; use mm or in.")
        mm = quantity.counted(one.value, factor)
        if not 0.02 <= mm <= 100:
            raise InputError(f"A reading of {quantity.quoted(part)} is no length of a connector; read it again.")
        found.append(mm)
    return found


def wanted_of(half: Half, doubts: Iterable[Doubt], folder: Path) -> list[Asked]:
    """What may be measured of a half: as its table has it, since a wrong reading must not shut its own place.

    What was read of fewer than three parts, or not at all, comes first.
    """
    book = own_book(folder)

    def read(one: Asked) -> bool:
        number = book.find(half.id, gauged.written(one.place.path))
        return number is not None and sum(len(sitting.parts) for sitting in number.sittings) >= ENOUGH

    return sorted(asked(unmeasured(folder).half(half.id), doubts), key=read)


def why(one: Asked) -> str:
    """What measuring a number is for."""
    if one.others:
        named = ", ".join(one.others[:MOST_NAMED])
        more = f" and {len(one.others) - MOST_NAMED} more" if len(one.others) > MOST_NAMED else ""
        return f"it settles most doubt about how it fares with {named}{more}"
    return "no verdict hangs on it by much, and no document backs it"


def refused(half: Half) -> list[str]:
    """Why the numbers of a half are not to be measured here, a sentence for each reason."""
    reasons: dict[str, list[str]] = {}
    for refusal in places(half)[1]:
        reasons.setdefault(MODELS.say(refusal.why), []).append(label(half, refusal.path))
    return [f"{reason}: {', '.join(names)}." for reason, names in reasons.items()]


def unmeasured(folder: Path) -> Tables:
    """The tables with those of the folder, which may still be empty or missing, before anything was measured."""
    own = folder.is_dir() and any(path.name != gauged.FILE for path in folder.glob("*.toml"))
    return tables.load(folder, readings=False) if own else tables.load()


def changes(folder: Path, book: Book) -> list[str]:
    """What the tables say otherwise of the measured numbers than when they were measured, a sentence each."""
    plain = unmeasured(folder)
    return [] if book.tables == tables.version(plain) else said(gauged.changes(plain.halves, book))


def contradicted(folder: Path, half_ids: Iterable[str] | None = None) -> list[str]:
    """The readings kept in a folder that go against what is stated, of these halves or of all, a sentence for each.

    They do not count. Raises InputError where readings contradict each other or their half.
    """
    plain = unmeasured(folder).halves
    wanted = plain.keys() if half_ids is None else set(half_ids)
    said = []
    for number, other, verdict in gauged.aside(plain, own_book(folder), str(folder / gauged.FILE)):
        if number.half in wanted:
            name = label(plain[number.half], number.path)
            said.append(
                f"{number.half} is stated to mate with {other}; by what was read of its {name}: {word(verdict)}. Those "
                "readings are kept and do not count. Measure again: another part, another instrument, the same place "
                "as in the picture."
            )
    return said


def told_against(folder: Path, half_ids: Iterable[str]) -> list[str]:
    """What the readings kept in a folder of these halves say against their mating as stated, a sentence for each: first
    those that do not count, then those that do. Raises InputError as `contradicted`."""
    wanted = set(half_ids)
    found = contradicted(folder, wanted)
    plain = unmeasured(folder).halves
    now = gauged.applied(plain, own_book(folder), str(folder / gauged.FILE))
    for half_id in sorted(wanted):
        one = now[half_id]
        matings = [(other, mate(one, other, doubt=False)) for other in now.values() if measured(one) or measured(other)]
        short = [(other, mating.geometry) for other, mating in matings if mating.against]
        for verdict in dict.fromkeys(geometry for _, geometry in short):
            names = ", ".join(other.id for other, geometry in short if geometry is verdict)
            found.append(
                f"{half_id} is stated to mate with {names}; by the numbers that were read: {word(verdict)}. It is told "
                "as stated, with that beside it, and the readings count for every other pair. Measure again: "
                "another part, another instrument."
            )
    return found


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Nobody else writes readings into the folder meanwhile; raises InputError where it cannot be made."""
    files.make_folder(folder, "choose another folder")
    with turn(folder / TURN, WAIT_S):
        yield


def own_book(folder: Path) -> Book:
    """What was measured so far; an empty book where nothing was."""
    path = folder / gauged.FILE
    return gauged.decode(files.read_text(path), str(path)) if path.exists() else Book()


def keep(folder: Path, book: Book) -> None:
    """Write the book down; raises InputError where the folder cannot be made or written."""
    files.make_folder(folder, "choose another folder")
    marked = msgspec.structs.replace(book, tables=tables.version(unmeasured(folder)))
    files.write_text(folder / gauged.FILE, gauged.encode(marked))
