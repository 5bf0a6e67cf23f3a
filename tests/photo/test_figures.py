"""Every figure that docs/photo.md tells of a kept study stands in that study's file."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxtell.photo.reading import CLASSES

ROOT = Path(__file__).parents[2]
PAGE = " ".join((ROOT / "docs" / "photo.md").read_text(encoding="utf-8").split())


def kept(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((ROOT / "benchmarks" / "results" / f"{name}.json").read_text(encoding="utf-8"))
    return found


def share(one: dict[str, Any], digits: int = 1) -> str:
    """A share as the page tells it: `93.6 % of 481 (91 to 95)`."""
    return f"{100 * one['mean']:.{digits}f} % of {one['n']} ({100 * one['low']:.0f} to {100 * one['high']:.0f})"


def widths() -> list[str]:
    figures = kept("photo_width")["figures"]
    level, off = figures["level, within its plus-minus"], figures["off plane, within its plus-minus"]
    aims = [100 * figures[name]["mean"] for name in ("level, within 0.15 mm", "off plane, within 0.35 mm")]
    found, taken = (100 * figures[name]["mean"] for name in ("card found", "another thing taken for the card"))
    return [
        f"(seed {kept('photo_width')['seed']}, `benchmarks/results/photo_width.json`; "
        f"{kept('photo_width')['n']:,} photographs",
        f"{share(level)} level, {share(off)} off the plane; within the aim {aims[0]:.0f} % and {aims[1]:.0f} %; "
        f"the card found in {found:.0f} %, another thing taken for it in {taken:.1f} %.",
        f"gave no width in {500 - level['n']} of the 500 level and {500 - off['n']} of the 500 off the plane",
    ]


def rounds() -> list[str]:
    figures = kept("photo_rounds")["figures"]
    first, three = figures["the first is right"], figures["one of the first three is right"]
    return [
        f"on {first['n']} fresh drawn photographs (seed {kept('photo_rounds')['seed']}",
        f"in {100 * first['mean']:.1f} % ({100 * first['low']:.0f} to {100 * first['high']:.0f}), and one of the first "
        f"three in {100 * three['mean']:.1f} % ({100 * three['low']:.0f} to {100 * three['high']:.0f})",
    ]


def naming() -> list[str]:
    data = kept("photo_naming")
    figures, lines = data["figures"], []
    kinds = sorted({name.split(", ")[1] for name in figures if name.count(", ") == 3})
    people = data["n"] * len(kinds)
    for key, instrument, alone in (("none", "eyes", "eyes alone"), ("calliper", "calliper", "calliper at hand")):
        for label, title in (("without", alone), ("with", f"{instrument} and photograph")):
            row = []
            for what, digits, unit in (("looks", 1, ""), ("seconds", 0, ""), ("right", 1, " %"), ("settled", 1, " %"),
                                       ("wrong at 0.9", 2, " %")):  # fmt: skip
                total = sum(figures[f"{key}, {kind}, {label}, {what}"]["total"] for kind in kinds)
                row.append(f"{(100 if unit else 1) * total / people:.{digits}f}{unit}")
            lines.append(f"| {title} | {' | '.join(row)} |")
    pairs = {}
    for key in ("none", "calliper"):
        more, less = (figures[f"{key}, wrong at 0.9 only {label}"]["total"] for label in ("with", "without"))
        far, wide = 100 * (more - less) / people, 196 * (more + less) ** 0.5 / people
        pairs[key] = (far, far - wide, far + wide, more, less)
    far, low, high, _, _ = pairs["none"]
    lines.append(f"it takes away {-far:.1f} points ({-high:.1f} to {-low:.1f}, the same people with and without)")
    far, low, high, more, less = pairs["calliper"]
    lines.append(
        f"{more:.0f} are wrong only with it and {less:.0f} only without, {far:+.2f} points ({low:.2f} to {high:+.2f})"
    )
    return [*lines, f"{people:,} simulated people a row"]


def errors() -> list[str]:
    data = kept("photo_errors")
    return [f"one of {len(data['shots'])} fresh drawn ones (seed {data['first']})"]


def reading() -> list[str]:
    data = kept("photo_reading")

    def plain(value: float) -> str:
        return f"{value:.2f}".lstrip("0") if value >= 0.005 else "0"

    def by(look: str, names: dict[str, str]) -> str:
        rows = data["looks"][look]["lines"]
        return ", ".join(f"{told} {plain(rows[value]['right'])}" for value, told in names.items())

    centre = data["looks"]["centre"]
    within = [row["right"] for name, row in centre["lines"].items() if name not in ("all", *CLASSES["centre"])]
    covered = {look: data["looks"][look]["coverage_at_95_right"] for look in CLASSES}
    return [
        by("centre", {"pin": "pin", "socket": "socket"})
        + f"; within a coupling {plain(min(within))} to {plain(max(within))}",
        by("coupling", {"thread-outside": "thread outside", "thread-inside": "inside", "lugs": "lugs",
                        "bayonet-sleeve": "bayonet sleeve", "smooth": "smooth", "sleeve": "sleeve"}),
        by("plastic", {"level": "level", "sunk": "sunk", "deep": "deep", "tube": "tube"}),
        ", ".join(f"{look} {plain(covered[look])}" for look in ("centre", "coupling", "plastic")),
        f"{data['pictures']} fresh pictures",
        f"A reading takes {data['processor_ms_a_face']:.0f} ms",
    ]  # fmt: skip


@pytest.mark.parametrize("told", [widths, rounds, naming, errors, reading])
def test_the_page_tells_what_the_kept_file_holds(told: Callable[[], list[str]]) -> None:
    for line in told():
        assert line in PAGE, line
