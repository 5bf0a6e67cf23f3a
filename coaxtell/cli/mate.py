"""`coaxtell mate`: two halves brought together, or all pairs as a table."""

from __future__ import annotations

import argparse
import csv
import io
import json
import time
from collections import Counter
from itertools import combinations_with_replacement
from pathlib import Path

import msgspec

from coaxtell import files
from coaxtell.cli import draw
from coaxtell.models import cells, tables
from coaxtell.models.catalogue import MODELS, Reason, called, tell, word
from coaxtell.models.drawings import pair
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.lines import wrapped
from coaxtell.models.mating.confidence import Book
from coaxtell.models.mating.mate import Mating, Verdict, grounds, mate
from coaxtell.models.mating.reasons import planes
from coaxtell.models.statements import family_key
from coaxtell.models.words import said

NAME = "mate"
FORMAT = 2
"""Of the JSON of a mating: 1 had neither confidence nor rules."""
RULE_INDENT = 13
"""Columns before what is said of a rule."""
HELP = "say what becomes of two halves that someone joins"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.set_defaults(set_aside=[])  # what is said of the readings of --tables that do not count
    parser.add_argument("a", nargs="?", metavar="A", help="one half, by id")
    parser.add_argument("b", nargs="?", metavar="B", help="the other half, by id")
    parser.add_argument("--all", action="store_true", help="every pair; needs -o FILE.csv")
    parser.add_argument("-o", dest="output", type=Path, metavar="FILE", help="picture (.svg, .pdf, .png) or .csv")
    parser.add_argument("--json", action="store_true", help="as JSON; `kept` of an excepted rule is null")


def run(args: argparse.Namespace) -> int:
    """Print the mating of two halves, or write the table of all.

    Raises InputError where a half is not known or the arguments do not go together.
    """
    halves = tables.load(args.tables)
    if args.all:
        if args.a or args.b:
            raise InputError("Give either --all or two halves, not both.")
        return _all(halves, args.output)
    if not args.a or not args.b:
        raise InputError("Give two halves by id, such as `coaxtell mate sma-plug rp-sma-jack`.")
    a, b = halves.half(args.a), halves.half(args.b)
    mating = _sure(a, b, Book(halves))
    if args.output is not None:
        _picture(a, b, mating, args.output)
    if args.json:
        data = as_json(mating, tables.version(halves)) | {"set_aside": args.set_aside}
        print(json.dumps(data, indent=1, ensure_ascii=False))
    else:
        print(words(mating, grounds(a, b, mating)))
    if args.output is not None and not args.json:
        print(f"Picture: {args.output}")
    return 0


def _sure(a: Half, b: Half, book: Book) -> Mating:
    """The mating of two halves with how sure its verdict is."""
    return mate(a, b, confidence=book.confidence(a, b, mate(a, b, doubt=False).geometry))


def as_json(mating: Mating, version: str) -> dict[str, object]:
    """The mating as JSON: its data, with reasons, cautions and rules in sentences, and the version of the tables."""
    found: dict[str, object] = {"format": FORMAT, "tables": version, **msgspec.to_builtins(mating)}
    for field in ("reasons", "depends_on", "measure", "cautions"):
        found[field] = said(getattr(mating, field))
    found["rules"] = [{"kept": rule.kept, "words": MODELS.say(rule.why)} for rule in mating.rules]
    sure = mating.confidence
    if sure is not None:
        found["confidence"] = {"share": sure.share, "low": sure.low, "high": sure.high, "draws": sure.draws}
        found["otherwise"] = {verdict.value: share for verdict, share in sure.otherwise.items()}
        found["probably"] = sure.probably.value
        found["stated"] = None if sure.stated is None else msgspec.to_builtins(sure.stated) | {"free": sure.free}
    return found


def words(mating: Mating, beside: list[Reason]) -> str:
    """The mating as lines of text for a person; `beside` it how sure it is and what is stated of the pair."""
    verdict = word(mating.verdict)
    if mating.verdict is Verdict.NOT_KNOWN and mating.confidence is not None:
        verdict = tell("doubt.probably", verdict=verdict, probably=called(mating.confidence.probably))
    lines = [tell("told.pair", a=mating.a, b=mating.b, verdict=verdict), ""]
    lines += [f"  - {reason}" for reason in said(mating.reasons)]
    figures = [tell("told.turns", turns=mating.turns_caught), tell("told.overlap", mm=mating.overlap_mm)]
    if mating.gap_mm is not None:
        figures.append(tell("told.gap", mm=mating.gap_mm))
    if mating.return_loss_db is not None:
        figures.append(tell("told.loss", db=mating.return_loss_db))
    lines += ["", "  " + ", ".join(figures)]
    if mating.first_touch is not None:
        touch = mating.first_touch
        faces = {"a_face": touch.a, "a": mating.a, "b_face": touch.b, "b": mating.b}
        lines.append(f"  {tell('told.first', **faces, planes=planes(touch.distance_mm))}")
    lines += [f"  {sentence}" for sentence in said(beside)]
    lines += ["", f"  {tell('told.rules')}"]
    lines += [
        wrapped(MODELS.say(rule.why), f"    {MODELS.say(rule.state):<9}", " " * RULE_INDENT) for rule in mating.rules
    ]
    lines += ["", *(f"  {tell('told.caution', caution=caution)}" for caution in said(mating.cautions))]
    return "\n".join(map(wrapped, lines))


def _picture(a: Half, b: Half, mating: Mating, output: Path) -> None:
    files.kind(output, "a picture of a pair is .svg, .pdf or .png", *draw.KINDS)
    draw.write(pair.drawn(a, b, mating), output)


def _all(known: tables.Tables, output: Path | None) -> int:
    if output is None or output.suffix.lower() != ".csv":
        raise InputError("The table of all pairs is a .csv file: give it with -o, such as -o pairs.csv.")
    files.check(output)
    text = io.StringIO()
    table = csv.writer(text)
    table.writerow(
        [
            "a", "b", "verdict", "stops_at_mm", "turns_caught", "overlap_mm", "return_loss_db", "depends_on", "reasons",
            "geometry", "confidence", "low", "otherwise", "stated", "measure",
        ]
    )  # fmt: skip
    begun = time.perf_counter()
    halves, book = list(known.halves.values()), Book(known)
    for half in halves:
        book.drawn(half)
    ready = time.perf_counter()
    counts: dict[str, int] = {}
    pairs: Counter[str] = Counter()
    open_: Counter[str] = Counter()
    for a, b in combinations_with_replacement(halves, 2):
        m = _sure(a, b, book)
        counts[m.verdict.value] = counts.get(m.verdict.value, 0) + 1
        families = {family_key(a), family_key(b)}
        pairs.update(families)
        open_.update(families if m.verdict is Verdict.NOT_KNOWN else ())
        assert m.confidence is not None
        others = "; ".join(f"{verdict.value} {share:.3f}" for verdict, share in m.confidence.otherwise.items())
        stated = "" if m.confidence.stated is None else m.confidence.stated.ground
        row = [
                m.a, m.b, m.verdict.value, m.stops_at_mm, m.turns_caught, m.overlap_mm, m.return_loss_db,
                "; ".join(said(m.depends_on)), " ".join(said(m.reasons)),
                m.geometry.value, f"{m.confidence.share:.3f}", f"{m.confidence.low:.3f}", others, stated,
                " ".join(said(m.measure)),
        ]  # fmt: skip
        table.writerow([cells.neutral(value) if isinstance(value, str) else value for value in row])
    files.write_text(output, text.getvalue())
    print(f"{sum(counts.values())} pairs in {output}: " + ", ".join(f"{n} {v}" for v, n in sorted(counts.items())))
    judged = time.perf_counter() - ready
    print(f"Draws of the unsure numbers made ready in {ready - begun:.1f} s, the pairs judged in {judged:.1f} s.")
    shares = ", ".join(f"{key} {n} of {pairs[key]} ({n / pairs[key]:.1%})" for key, n in open_.most_common())
    print(
        wrapped(f"Not known, by family: {shares + '; ' if shares else ''}none of the other {len(pairs) - len(open_)}.")
    )
    return 0
