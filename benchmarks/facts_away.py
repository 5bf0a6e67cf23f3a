"""What hangs on a stated fact and on a weak number: one fact taken away, one number's range doubled, and the verdicts
that then hold in a share at least three points smaller, printed and kept in `results/facts_away.json`.

Run: python -m benchmarks.facts_away
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import combinations_with_replacement
from pathlib import Path as File

import msgspec

from benchmarks.study import RESULTS, dated, tables_sum
from coaxtell.models import statements, tables
from coaxtell.models.draws import TRIANGULAR, samples
from coaxtell.models.mating import kept
from coaxtell.models.mating.clans import clans
from coaxtell.models.mating.confidence import Book
from coaxtell.models.mating.mate import mate
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import Path, replaced, walk
from coaxtell.models.statements import Statements
from coaxtell.models.tables import Tables
from coaxtell.models.words import label

FACTS = (("sma", "sma"), ("sma", "2.92"), ("rp-tnc", "rp-tnc"), ("tnc", "tnc"), ("n-50", "n-50"), ("mmcx", "mmcx"))
NUMBERS: tuple[tuple[str, Path], ...] = (
    ("rp-tnc-plug", ("centre", "socket", "tip")),
    ("n-75-plug", ("centre", "pin", "shoulder")),
    ("smp-jack", ("groove", "lip")),
    ("mmcx-jack", ("centre", "socket", "takes_max")),
)
"""Numbers that `coaxtell mate` names as deciding a pair, and one that it does not (`takes_max`)."""
LOST = 0.03
Lost = dict[str, list[float]]
"""The share before and after, by pair."""


def doubled(measure: Measure) -> Measure:
    """The number with twice the range in which it may lie."""
    low, high = (measure.nominal + 2 * (end - measure.nominal) for end in measure.span)
    return msgspec.structs.replace(measure, min=low, max=high)


def shares(known: Tables, book: Book, touched: set[str]) -> dict[str, float]:
    """The share in which each verdict of a touched half and any other half holds."""
    return {
        f"{a.id} with {b.id}": book.confidence(a, b, mate(a, b, doubt=False).geometry).share
        for a, b in combinations_with_replacement(known.halves.values(), 2)
        if {a.id, b.id} & touched and not a.id.startswith("fakra") and not b.id.startswith("fakra")
    }


def trials() -> Iterator[tuple[str, str, Tables, Statements]]:
    """What is changed, a half that it touches, and the tables and statements after it."""
    known, said = tables.load(), statements.shipped()
    for one, other in FACTS:
        rest = [fit for fit in said.fits if (fit.a, fit.b) != (one, other)]
        yield f"without: {one} mates {other}", f"{one}-plug", known, Statements(rest, said.apart)
    for half_id, path in NUMBERS:
        half = known.halves[half_id]
        wide = replaced(half, path, doubled(dict(walk(half))[path]))
        changed = msgspec.structs.replace(known, halves=known.halves | {half_id: wide})
        yield f"range doubled: {half_id} {label(half, path)}", half_id, changed, said


def current(rows: dict[str, Lost]) -> dict[str, Lost]:
    """The rows that some trial of today produces."""
    produced = [what for what, *_ in trials()]
    return {what: rows[what] for what in produced if what in rows}


def write(file: File, found: dict[str, object]) -> None:
    """Keep what was found."""
    file.write_text(json.dumps(dated(found), indent=1) + "\n", encoding="utf-8")


def main() -> None:
    """Print and keep which verdicts lose, each trial as it is done; trials that are kept are not run again."""
    file = RESULTS / "facts_away.json"
    rests = {"draws": kept.SLOTS, "reach": TRIANGULAR.reach, "tables": tables_sum(("models",))}
    held = json.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}
    rows = current(held["lost"]) if all(held.get(key) == value for key, value in rests.items()) else {}
    usual = Book(tables.load())
    for what, half_id, known, said in trials():
        if what in rows:
            continue
        clan = next(clan for clan in clans(known, said) if half_id in clan.halves)
        before = shares(tables.load(), usual, set(clan.halves))
        anew = kept.keep(clan, samples(clan.halves.values()))
        after = shares(known, Book(known, dict(kept.shipped()) | {clan.name: anew}, said), set(clan.halves))
        lost = {pair: [before[pair], after[pair]] for pair in before if after[pair] <= before[pair] - LOST}
        rows[what] = dict(sorted(lost.items(), key=lambda row: row[1][1]))
        print(what, flush=True)
        for pair, (was, now) in rows[what].items():
            print(f"    {pair}: {was:.3f} to {now:.3f}", flush=True)
        write(file, {**rests, "lost": rows})
    write(file, {**rests, "lost": rows})


if __name__ == "__main__":
    main()
