"""`coaxtell sources`: where every number comes from and how well it is known."""

from __future__ import annotations

import argparse
import json

import msgspec

from coaxtell.models import tables
from coaxtell.models.catalogue import MODELS, word
from coaxtell.models.family import Unmeasured
from coaxtell.models.half import Half
from coaxtell.models.mating import trust
from coaxtell.models.measure import Grade, Measure, text
from coaxtell.models.numbers import walk
from coaxtell.models.tables import Tables
from coaxtell.models.words import label, said

NAME = "sources"
HELP = "show every number with its grade and source; without an ID, the report over the whole trade"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add this command's arguments."""
    parser.add_argument(
        "id",
        nargs="?",
        help="one half, or `cables` for the cable tables; without it: share by grade per family, sources that "
        "disagree, families that share their numbers, verdicts that rest on memory",
    )
    parser.add_argument("--json", action="store_true", help="as JSON, every number of the half or of all")


def run(args: argparse.Namespace) -> int:
    """Print the numbers of one half, or the report over all."""
    if args.id == "cables":
        from coaxtell.cables import tables as cable_tables
        from coaxtell.cli import cable_sources

        cable_sources.show(cable_tables.load(args.tables), args.json)
        return 0
    loaded = tables.load(args.tables)
    if args.id in loaded.unmeasured:
        _unmeasured(args.id, loaded.unmeasured[args.id], loaded, args.json)
    elif args.json:
        halves = [loaded.half(args.id)] if args.id else list(loaded.halves.values())
        print(json.dumps(_as_json(halves, loaded, whole=not args.id), indent=1, ensure_ascii=False))
    elif args.id:
        _half(loaded.half(args.id), loaded)
    else:
        _report(loaded)
    return 0


def _shares(halves: list[Half]) -> dict[str, float]:
    count = trust.grades(halves)
    total = sum(count.values())
    return {grade.value: number / total for grade, number in count.items()}


def _row(half: Half, path: tuple[str | int, ...], measure: Measure) -> dict[str, object]:
    return {
        "half": half.id,
        "number": label(half, path),
        "value": measure.nominal,
        "unit": measure.unit,
        "min": measure.min,
        "max": measure.max,
        "span": measure.span,
        "grade": measure.grade.value,
        "source": measure.source,
        "note": measure.note,
        "makes": [msgspec.to_builtins(make) for make in measure.makes],
        "against": [{"value": r.value, "source": r.source, "why_not": r.why} for r in measure.against],
    }


def _as_json(halves: list[Half], loaded: Tables, whole: bool) -> dict[str, object]:
    found: dict[str, object] = {
        "numbers": [_row(half, path, measure) for half in halves for path, measure in walk(half)],
        "shares": {half.id: _shares([half]) for half in halves},
    }
    if whole:
        found["families"] = {family: _shares(own) for family, own in trust.members(loaded).items()}
        found["resting"] = [
            {"a": m.a, "b": m.b, "verdict": m.verdict.value, "depends_on": said(m.depends_on)}
            for m in trust.resting(halves)
        ]
        found["unmeasured"] = {
            half_id: {"name": half.name, "known": half.known, "source": half.source}
            for half_id, half in loaded.unmeasured.items()
        }
    return found


def _sources(keys: list[str], loaded: Tables) -> None:
    print("\nSources")
    for key in dict.fromkeys(keys):
        source = loaded.sources[key]
        print(f"  {key}: {source.title} [{source.kind}]")


def _unmeasured(half_id: str, half: Unmeasured, loaded: Tables, as_json: bool) -> None:
    if as_json:
        known = {"id": half_id, "name": half.name, "known": half.known, "source": half.source, "numbers": []}
        print(json.dumps(known, indent=1, ensure_ascii=False))
        return
    print(f"{half.name}: known to exist, not drawn to scale and not judged: no source gives its sizes.")
    print(f"What is known: {half.known}.")
    if half.mistaken_for:
        print(f"Taken for it at a glance: {', '.join(half.mistaken_for)}. Order it by the name of the device.")
    _sources(half.source, loaded)


def _half(half: Half, loaded: Tables) -> None:
    used: list[str] = []
    for path, measure in walk(half):
        used += measure.source
        note = f"  ({measure.note})" if measure.note else ""
        if measure.span != (measure.low, measure.high):
            low, high = measure.span
            note += f"; counted as {low:.4g} to {high:.4g}, the least range of its grade"
        print(f"{label(half, path)}: {text(measure)}  {word(measure.grade)}; {', '.join(measure.source)}{note}")
        for line in _beside(measure):
            print(f"    {line}")
        used += [key for make in measure.makes for key in make.source]
        used += [key for rival in measure.against for key in rival.source]
    shares = ", ".join(f"{grade} {share:.0%}" for grade, share in _shares([half]).items())
    print(f"\nBy grade: {shares}")
    _sources(used, loaded)


def _beside(measure: Measure) -> list[str]:
    """What holds for other classes of make, and what other sources say instead, a line each."""
    makes = [
        f"{make.name} parts: {make.min:g} to {make.max:g} {measure.unit}  {make.grade.value}; {', '.join(make.source)}"
        for make in measure.makes
    ]
    return makes + [
        f"against it: {rival.value:g} {measure.unit}  {', '.join(rival.source)}; not taken: {rival.why}"
        for rival in measure.against
    ]


SHORT = {
    Grade.HIGH: "high",
    Grade.MEDIUM: "medium",
    Grade.MEASURED: "measured",
    Grade.DERIVED: "derived",
    Grade.COMMON_PRACTICE: "practice",
    Grade.MEMORY: "memory",
    Grade.MEMORY_LOW: "weak memory",
    Grade.ASSUMED: "assumed",
    Grade.NOT_FOUND: "not found",
}


def _report(loaded: Tables) -> None:
    halves = list(loaded.halves.values())
    shown = list(trust.grades(halves))
    families = trust.members(loaded)
    width = max(len(family) for family in families)
    print("Share of the numbers by grade, in percent")
    print(f"{'family':<{width}}{'numbers':>9}" + "".join(f"{SHORT[grade]:>13}" for grade in shown))
    everyone = [half for own in families.values() for half in own]
    for family, own in [*families.items(), ("all", everyone)]:
        count = trust.grades(own)
        total = sum(count.values())
        cells = "".join(f"{100 * count.get(grade, 0) / total:>13.0f}" for grade in shown)
        print(f"{family:<{width}}{total:>9}{cells}")
    print("\nSources that disagree, side by side; the first value is taken")
    found = trust.conflicts(loaded)
    for conflict in found:
        measure = conflict.measure
        print(f"  {conflict.half}, {MODELS.say(conflict.number)}: {text(measure)}  {', '.join(measure.source)}")
        for line in _beside(measure):
            print(f"      {line}")
    for dispute in trust.disputes(loaded):
        print(f"  {dispute.about}: {dispute.taken}  {', '.join(dispute.source)}")
        print(f"      against it: {dispute.instead}  {', '.join(dispute.against)}")
    print("\nFamilies that share more than half of their mating-critical numbers, and why")
    for shared in trust.shared_numbers(loaded):
        akin = trust.kin(loaded, shared.one, shared.other)
        why = list(dict.fromkeys(f"{k.why} ({', '.join(k.source)})" for k in akin))
        words = "; ".join(why or ["no reason is stated: check their tables"])
        print(f"  {shared.one} and {shared.other}, {shared.share:.0%}: {words}")
    print("\nVerdicts that rest on memory or assumption")
    resting = trust.resting(halves)
    for m in resting:
        print(f"  {m.a} with {m.b}, {word(m.verdict)}: {'; '.join(said(m.depends_on))}")
    if loaded.unmeasured:
        print("\nKnown to exist, not drawn to scale: no source gives their sizes")
        for half_id, half in loaded.unmeasured.items():
            print(f"  {half_id}: {half.known} ({', '.join(half.source)})")
    print(
        f"\n{sum(len(walk(half)) for half in halves)} numbers of {len(halves)} halves, each with its grade and source; "
        f"{len(found)} with sources that disagree; {len(resting)} verdicts rest on memory or assumption. "
        "`coaxtell sources ID` shows the numbers of one half."
    )
