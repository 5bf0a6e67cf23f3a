"""`coaxtell identify --batch`: a site walk's rows of looks and sizes, each to its port, what fits or is missing."""

from __future__ import annotations

import argparse
import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from contextlib import closing, suppress
from pathlib import Path
from typing import NamedTuple

from coaxtell import crew, files, streams
from coaxtell.cli.progress_line import Progress
from coaxtell.identifier import bulk
from coaxtell.identifier.answers import State
from coaxtell.identifier.bulk import Bulk, Found
from coaxtell.identifier.features import Feature
from coaxtell.identifier.looks import load
from coaxtell.models import cells, tables
from coaxtell.models.errors import InputError
from coaxtell.models.tables import Tables
from coaxtell.models.words import counted
from coaxtell.pages.table import Table

RESULT = ("named", "port", "port name", "how sure", "mates with", "order", "look next", "what is wrong")
"""The columns that are added; of a file that has all of them already they are written anew."""
WIDTHS = (14.0, 16.0, 22.0, 10.0, 26.0, 46.0, 46.0, 46.0)
OWN_WIDTH = 14.0
SEPARATORS = ",;\t"
SAYS_SEPARATOR = re.compile(f'"?sep=(?P<sign>[{SEPARATORS}])"?')
"""The line before the headings that a spreadsheet may write and reads: what stands between cells."""
MOST_ROWS, MOST_ON_A_PAGE = 200_000, 50_000
"""Rows of a walk, and those that a browser still shows."""
MOST_COLUMNS = 200
"""Of a walk: a short row is as long as its headings once it is written."""
MOST_CELLS = 4_000_000
"""Of a walk, all of its rows together; each takes some 60 bytes of memory."""
MOST_BYTES = 30_000_000
"""Of a walk's file: a row's words and notes are some 150."""
MANY, PART = 3000, 250
"""From so many rows on they are shared out to all cores, so many at a time; fewer are done before those have begun."""
FAULTY = 1
"""Status where a row could not be read."""
NOT_READ = "not read"
OPEN = "holds a quotation mark that is not closed, or not doubled within a cell; mend that line."
_CLOSING = re.compile('(?:[^"]|"")*"(?!")')
"""What is left of a cell between quotation marks."""
MOST_TOLD = 20
"""Rows that are told one by one; the others stand in the file."""


class Row(NamedTuple):
    """A row of the file: the line it ends on, its cells, and what is wrong with a line that is no row."""

    line: int
    cells: list[str]
    problem: str = ""


def check(args: argparse.Namespace) -> None:
    """Raise InputError where something is asked for that goes with one port alone."""
    alone = {
        "--saw": args.saw, "--measured": args.measured, "--again": args.again, "--from": args.start,
        "--save": args.save, "--resume": args.resume, "--why": args.why, "--json": args.json,
    }  # fmt: skip
    for name, given in alone.items():
        if given:
            raise InputError(f"--batch takes what was seen from the rows of its file and no {name}; leave that out.")
    if args.output is None:
        raise InputError("--batch writes into a file: give it with -o, such as -o ports.csv.")
    if args.output is not None and args.output.exists() and args.batch.exists() and args.output.samefile(args.batch):
        raise InputError(f"{args.output}: is what is read; give another name to write to.")
    files.kind(args.output, "identified rows are written as .csv, .html or .xlsx", ".csv", ".html", ".xlsx")
    files.check(args.output)


def run(args: argparse.Namespace, known: Tables, start: State) -> int:
    """Name the port of each row and write all of them; what could not be read is told, by its line.

    Raises InputError where the file is no such walk, has more rows than its kind holds, or cannot be written.
    """
    headings, rows = _read(args.batch)
    if args.output.suffix.lower() == ".html" and len(rows) > MOST_ON_A_PAGE:
        raise InputError(
            f"{args.batch}: has {len(rows)} rows, and a page shows at most {MOST_ON_A_PAGE}; write them as .csv or "
            ".xlsx."
        )
    whole = [row.cells for row in rows if not row.problem]
    looks = bulk.columns(headings, whole, load(), str(args.batch))
    found: list[Found] = []
    with Progress("Rows read") as told, closing(_all(args.tables, known, start, headings, rows, looks)) as each:
        for one in each:
            found.append(one)
            told(len(found), len(rows))
    names = [heading.strip().lower() for heading in headings]
    before = set(RESULT) if set(RESULT) <= set(names) else set()
    own = [place for place, name in enumerate(names) if name not in before]
    table = (
        [cells.plain(cell) if isinstance(cell, str) else cell for cell in (*_own(row, own), *_result(one))]
        for row, one in zip(rows, found, strict=True)
    )
    heads = [*(cells.plain(headings[place]) for place in own), *RESULT]
    _write(args.output, heads, table, f"Ports of {args.batch.name}")
    if near := bulk.left(headings, whole):
        listed = ", ".join(f"{heading!r} (near {look.value!r})" for heading, look in near.items())
        streams.told(
            f"{args.batch}: taken for columns of your own, and read as no look: {listed}; where such a look is meant, "
            "call the column so and fill in that look's values."
        )
    bad = [(row.line, one.problem) for row, one in zip(rows, found, strict=True) if one.problem]
    for line, problem in bad[:MOST_TOLD]:
        streams.told(f"{args.batch}, line {line}: {problem}")
    if len(bad) > MOST_TOLD:
        streams.told(f"and {len(bad) - MOST_TOLD} more; the column {RESULT[-1]!r} tells them.")
    counts = Counter(one.state or NOT_READ for one in found)
    states = ", ".join(f"{n} {state}" for state, n in counts.most_common())
    print(f"{args.output}: {counted(len(rows), 'row')}, {states}.")
    return FAULTY if bad else 0


def _read(path: Path) -> tuple[list[str], list[Row]]:
    if path.is_file() and path.stat().st_size > MOST_BYTES:
        raise InputError(
            f"{path}: is larger than {MOST_BYTES // 1_000_000} MB; leave out columns that are not needed, or give it "
            "in parts."
        )
    text = files.read_text(path).removeprefix("\ufeff")
    first = text.partition("\n")[0]
    said = SAYS_SEPARATOR.fullmatch(first.strip("\r "))
    separator = max(SEPARATORS, key=first.count) if said is None else said["sign"]
    # counted before anything is taken apart, which is what takes the memory
    if sum(map(text.count, (separator, "\r", "\n"))) > MOST_CELLS:
        raise InputError(
            f"{path}: has more than {MOST_CELLS} cells; leave out columns that are not needed, or give it in parts."
        )
    rows: list[Row] = []
    for row in _rows(list(io.StringIO(text, newline="")), 0 if said is None else 1, separator):
        rows.append(row)
        if len(rows) > MOST_ROWS + 1:
            raise InputError(f"{path}: has more than {MOST_ROWS} rows; give it in parts.")
    if rows and rows[0].problem:
        raise InputError(f"{path}, line {rows[0].line}: {rows[0].problem}")
    if len(rows) < 2:
        raise InputError(
            f"{path}: has no row below its headings; give a line with the names of looks, then a row a port."
        )
    if len(rows[0].cells) > MOST_COLUMNS:
        raise InputError(
            f"{path}: has {len(rows[0].cells)} columns; leave out those that are not needed, and empty ones: at most "
            f"{MOST_COLUMNS}."
        )
    return rows[0].cells, rows[1:]


def _rows(lines: Sequence[str], at: int, separator: str) -> Iterator[Row]:
    """The rows from a line on, without blank ones; a row that is no CSV ends with the line to mend.

    A quotation mark that is not closed takes in all that follows: reading goes on behind the line in which it opens.
    """
    width = 0
    while at < len(lines):
        reader = csv.reader(map(lines.__getitem__, range(at, len(lines))), delimiter=separator, strict=True)
        begun = first = at
        with suppress(csv.Error):
            for row in reader:
                until = first + reader.line_num
                if until - begun > 1 and _swallows(lines[begun + 1 : until - 1], separator, width):
                    break
                begun = until
                if any(map(str.strip, row)):
                    width = width or len(row)
                    yield Row(begun, [cells.restored(cell) for cell in row])
            else:
                return
        at = begun + _opens(lines[begun : first + reader.line_num], separator)
        yield Row(at, ["".join(lines[begun:at]).strip()], OPEN)


def _swallows(within: Sequence[str], separator: str, width: int) -> bool:
    """Whether a cell of several lines has taken in rows: each line within it has as many cells as the headings."""
    return width > 2 and bool(within) and all(line.count(separator) == width - 1 for line in within)


def _opens(lines: Sequence[str], separator: str) -> int:
    """Which of the lines of a row, counted from 1, holds the mark that opens its last cell of several lines, or of the
    line where it breaks off; without one the last line."""
    opening, found, opened, inside = re.compile(f'(?:^|{separator})"'), len(lines), 0, False
    for number, line in enumerate(lines, start=1):
        at = 0
        while mark := _CLOSING.match(line, at) if inside else opening.search(line, at):
            at, inside = mark.end(), not inside
            if inside:
                opened = number
            elif line[at : at + 1] not in (separator, "\r", "\n", ""):
                return opened
        if inside:
            found = opened
    return found


def _all(
    extra: Path | None,
    known: Tables,
    start: State,
    headings: list[str],
    rows: list[Row],
    looks: dict[int, Feature],
) -> Generator[Found]:
    """What is to be said of each row, in order; of many on all cores."""
    hands = crew.hands() if len(rows) >= MANY else 1
    if hands == 1:
        engine = Bulk(known, start)
        yield from (_found(engine, headings, row, looks) for row in rows)
        return
    parts = [rows[first : first + PART] for first in range(0, len(rows), PART)]
    for part in crew.shared_out(_reader, (extra, start, headings, looks), parts, hands):
        yield from part


def _reader(
    extra: Path | None, start: State, headings: list[str], looks: dict[int, Feature]
) -> Callable[[list[Row]], list[Found]]:
    """What reads rows in a process of its own."""
    engine = Bulk(tables.load(extra), start)
    return lambda rows: [_found(engine, headings, row, looks) for row in rows]


def _found(engine: Bulk, headings: Sequence[str], row: Row, looks: dict[int, Feature]) -> Found:
    if row.problem:
        return Found(problem=row.problem)
    more = [cell for cell in row.cells[len(headings) :] if cell.strip()]
    if more:
        beside = "; ".join(more)[:200]
        return Found(problem=f"has more cells than there are headings ({beside}); mend that line.")
    return engine.row({feature: row.cells[place] for place, feature in looks.items() if place < len(row.cells)})


def _own(row: Row, own: Sequence[int]) -> Iterator[str]:
    return (row.cells[place] if place < len(row.cells) else "" for place in own)


def _result(one: Found) -> list[str | float]:
    sure = "" if one.sure is None else round(one.sure, 3)
    wrong = one.problem or one.warning
    return [one.state or NOT_READ, one.id, one.name, sure, ", ".join(one.mates), one.order, one.look, wrong]


def _write(path: Path, headings: list[str], rows: Iterable[list[str | float]], title: str) -> None:
    kind = path.suffix.lower()
    if kind == ".xlsx":
        from coaxtell.pages import rows_xlsx

        files.write(path, lambda aside: rows_xlsx.write(headings, rows, aside))
    elif kind == ".html":
        from coaxtell.pages import html

        widths = (*[OWN_WIDTH] * (len(headings) - len(RESULT)), *WIDTHS)
        sure = frozenset({len(headings) - len(RESULT) + RESULT.index("how sure")})
        table = Table(tuple(headings), widths, (), sure)
        texts = (tuple(map(str, row)) for row in rows)
        files.write(path, lambda aside: html.write(aside, "rows", title=title, table=table, rows=texts))
    else:
        files.write(path, lambda aside: _write_csv(aside, headings, rows))


def _write_csv(path: Path, headings: list[str], rows: Iterable[list[str | float]]) -> None:
    # the mark at the start tells spreadsheets that the file is UTF-8
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        out = csv.writer(file, lineterminator="\r\n")
        out.writerow(map(cells.neutral, headings))
        for row in rows:
            out.writerow([cells.neutral(cell) if isinstance(cell, str) else cell for cell in row])
