"""`coaxtell sources`: where every number comes from and how well it is known."""

from __future__ import annotations

import argparse
import json
from collections import Counter

from coaxtell.models import tables
from coaxtell.models.half import Half
from coaxtell.models.measure import Grade, Measure, text
from coaxtell.models.numbers import label, walk

NAME = "sources"
HELP = "show every number with its grade and source, and the share by grade"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument("id", nargs="?", help="one half; without it, the share by grade of each half")
    parser.add_argument("--json", action="store_true", help="as JSON")


def _shares(half: Half) -> dict[str, float]:
    grades = Counter(measure.grade for _, measure in walk(half))
    total = sum(grades.values())
    return {grade.value: grades[grade] / total for grade in Grade if grades[grade]}


def _share_words(shares: dict[str, float]) -> str:
    return ", ".join(f"{grade} {share:.0%}" for grade, share in shares.items())


def _row(half: Half, path: tuple[str | int, ...], measure: Measure) -> dict[str, object]:
    return {
        "half": half.id,
        "number": label(half, path),
        "value": measure.nominal,
        "unit": measure.unit,
        "min": measure.min,
        "max": measure.max,
        "grade": measure.grade.value,
        "source": measure.source,
        "note": measure.note,
    }


def run(args: argparse.Namespace) -> int:
    """Print the numbers of one half, or the share by grade of all."""
    loaded = tables.load(args.tables)
    halves = [loaded.half(args.id)] if args.id else list(loaded.halves.values())
    if args.json:
        rows = [_row(half, path, measure) for half in halves for path, measure in walk(half)]
        shares = {half.id: _shares(half) for half in halves}
        print(json.dumps({"numbers": rows, "shares": shares}, indent=1, ensure_ascii=False))
        return 0
    if not args.id:
        width = max(len(half.id) for half in halves)
        for half in halves:
            print(f"{half.id:<{width}}  {_share_words(_shares(half))}")
        print(f"{sum(len(walk(half)) for half in halves)} numbers; `coaxtell sources ID` shows those of one half.")
        return 0
    half = halves[0]
    used: list[str] = []
    for path, measure in walk(half):
        keys = ", ".join(measure.source)
        used += [key for key in measure.source if key not in used]
        note = f"  ({measure.note})" if measure.note else ""
        print(f"{label(half, path)}: {text(measure)}  {measure.grade.value}; {keys}{note}")
    print(f"\nBy grade: {_share_words(_shares(half))}")
    print("\nSources")
    for key in used:
        source = loaded.sources[key]
        print(f"  {key}: {source.title} [{source.kind}]")
    return 0
