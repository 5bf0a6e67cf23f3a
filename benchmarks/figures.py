"""Every figure of a kept file by its name, in whatever form its study keeps it, and those worked out of them.

Intervals, seeds and check sums are left in the file. Where an aim is about two figures, their difference or ratio
stands beside them under a name of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

from benchmarks import identifier_unknown
from benchmarks.identifier_calibration import SHARES
from benchmarks.study import Tally
from coaxtell.quiz import items

Figures = dict[str, float]
NO_FIGURES = {"seed", "first", "low", "high", "plus_minus", "tables", "mark", "blocks", "date", "index_most"}
NAMES = {"learner", "policy", "kind", "weights", "answers", "team", "days"}
"""What names a row, beside whatever is a word."""
POOLED = 300
"""Pairs, over all worlds, from which on a bin of verdicts is held to its aim."""
ENOUGH = 0.05
"""Share of a model's people in a bin from which on what was stated to them is held to its aim."""


def figures(name: str, data: dict[str, Any]) -> Figures:
    """The figures of a file, as it was read, by the name of the file without its ending."""
    own = _OWN.get(name)
    return dict(_flat(data) if own is None else own(data))


def _flat(data: Any, name: str = "") -> Iterator[tuple[str, float]]:
    if isinstance(data, bool | int | float):
        yield name, float(data)
    elif isinstance(data, dict):
        for key, value in data.items():
            if key == "figures" and not name:
                yield from ((label, one["mean"]) for label, one in value.items())
            elif key == "mean":
                yield name, value
            elif key not in NO_FIGURES:
                yield from _flat(value, f"{name}, {key}" if name else key)
    elif isinstance(data, list) and data and all(isinstance(row, dict) for row in data):
        for row in data:
            words = [_word(key, value) for key, value in row.items() if key in NAMES or isinstance(value, str)]
            rest = {key: value for key, value in row.items() if key not in NAMES}
            yield from _flat(rest, ", ".join([*([name] if name and name != "rows" else []), *words]))
    elif isinstance(data, list):
        yield name, float(len(data))


def _word(key: str, value: object) -> str:
    return str(value) if isinstance(value, str) else f"{value} {key}" if key == "days" else f"{key} {value}"


def _calibration(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    yield from _flat(data)
    found = data["figures"]
    for label in [label.removesuffix(", right") for label in found if label.endswith(", right")]:
        right, stated = found[f"{label}, right"], found[f"{label}, stated"]["mean"]
        if right["n"] >= ENOUGH * data["n"] * SHARES[label.partition(",")[0]]:
            beyond = max(stated - right["high"], 0.0) + min(stated - right["low"], 0.0)
            yield f"{label}, stated beyond the interval of right", beyond


def _unknown(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    yield from _flat(data)
    _, found = identifier_unknown.left_out({k: Tally(v["total"], v["n"]) for k, v in data["figures"].items()})
    for what, tally in found.items():
        yield f"chosen, {what}", tally.mean


def _naming(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    yield from _flat(data)
    found = data["figures"]
    for label in found:
        if label.endswith(", with, wrong at 0.9"):
            bare = found[label.replace(", with,", ", without,")]["mean"]
            yield f"{label.replace(', with', '')}, more with than without", found[label]["mean"] - bare


def _reading(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    yield from _flat(data)
    for kind, one in data["called_faces"].items():
        yield f"called_faces, {kind}, share", one["called"] / one["n"]


def _attackers(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    yield from _flat(data)
    for row in data["rows"]:
        if row["kind"] not in items.KINDS:  # of a try's harmful part nothing is asked: its verdicts are two
            continue
        yield f"{row['kind']}, right, more than chance", row["right"] - row["chance"]


def _practice(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    yield from _flat(data)
    rows = {(row["policy"], row["learner"]): row for row in data["rows"]}
    for (policy, learner), row in rows.items():
        if policy == "program":
            for bar in ("to 0.88", "to 0.95"):
                fewer = rows["random", learner][bar]["mean"] - row[bar]["mean"]
                yield f"program, {learner}, {bar}, fewer than random", fewer


def _readiness(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    """Means over the teams of a law of learning; of what is stated alone."""
    found: dict[str, list[dict[str, Any]]] = {}
    for row in data["rows"]:
        found.setdefault(f"{row['learner']}, {row['weights']}, {row['answers']} answers", []).append(row)
    for label, rows in found.items():
        for key in ("looks", "share above", "brier", "base", "calibration error", "in band", "ahead off"):
            yield f"{label}, {key}", sum(row[key] for row in rows) / len(rows)
        base = sum(row["base"] for row in rows)
        if "8 to 24" not in label and base:
            yield f"{label}, brier over base", sum(row["brier"] for row in rows) / base


def _shown(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    for kind, count in Counter(row["kind"] for row in data["rows"]).items():
        yield f"{kind}, pictures looked at", count
        yield f"{kind}, disagreements", sum(len(row["disagreements"]) for row in data["rows"] if row["kind"] == kind)


def _bins(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    """Of bins of verdicts: how far what was told lies above what holds, and whether there are enough to say so."""
    first = next(iter(data["bins"].values()))
    groups = {"": data["bins"]} if "told" in first else {f"reach {key}, ": bins for key, bins in data["bins"].items()}
    for prefix, bins in groups.items():
        for label, one in bins.items():
            enough = "" if one["pairs"] * one["worlds"] >= POOLED else ", too few to say"
            yield f"{prefix}{label}, told less holds{enough}", one["told"] - one["holds"]
            yield f"{prefix}{label}, pairs", one["pairs"]


def _worlds(data: dict[str, Any]) -> Iterator[tuple[str, float]]:
    """How many worlds are kept and how many verdicts differ in them from those told."""
    counts = [len(world) for world in data["worlds"].values()]
    yield "worlds", len(counts)
    yield "verdicts that differ, mean of a world", sum(counts) / len(counts)
    yield "verdicts that differ, most of a world", max(counts)


_OWN: dict[str, Callable[[dict[str, Any]], Iterator[tuple[str, float]]]] = {
    "identifier_calibration": _calibration, "identifier_unknown": _unknown, "photo_naming": _naming,
    "photo_reading": _reading, "quiz_attackers": _attackers, "quiz_practice": _practice, "quiz_readiness": _readiness,
    "quiz_shown": _shown, "reach": _bins, "true_world": _bins, "worlds": _worlds,
}  # fmt: skip
