"""Studies: seeded simulations too long for a test, played block by block, kept as JSON, and gone on with later.

A block's figures follow from its number alone. What is kept: n, seed, the check sum of the tables, and each figure with
its 95 % interval. Run: `python -m benchmarks.study NAME`; `--stale` names those of which that has changed since.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import math
import os
import platform
import time
import tomllib
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from importlib import import_module, metadata
from pathlib import Path
from typing import Any, NamedTuple

from coaxtell import __version__
from coaxtell.models.measure import worked_from

ROOT = Path(__file__).parent.parent
RESULTS = Path(__file__).parent / "results"
STUDIES = (
    "arrival", "damaged_records", "fuzz", "gauge_range", "identifier_asking", "identifier_calibration",
    "identifier_unknown", "photo_naming", "photo_rounds", "photo_width", "pocket_cuts", "pocket_jobs", "pocket_traces",
    "quiz_one_right",
    "window_events",
)  # fmt: skip
"""Modules of this folder, each with its STUDY."""

MEASURED = ("pocket_speed", "window_jobs", "window_start")
"""Modules of this folder that time or try something and keep it by themselves, each with its `check_sum`."""
CODE = {".py", ".js", ".css", ".html"}
"""Endings of files of code."""

Z = 1.96
"""Of a 95 % interval."""


class Tally(NamedTuple):
    """A sum over so many tries: of hits, or of stated chances."""

    total: float
    tries: int

    def plus(self, other: Tally) -> Tally:
        """Both together."""
        return Tally(self.total + other.total, self.tries + other.tries)

    @property
    def mean(self) -> float:
        """Share of the tries, or mean of what was stated."""
        return self.total / self.tries

    def interval(self, z: float = Z) -> tuple[float, float]:
        """Wilson's interval of the share, 95 % where nothing else is asked.

        Source: E. B. Wilson, Journal of the American Statistical Association 22 (1927) 209-212.
        """
        n, p = self.tries, self.mean
        middle = (p + z * z / (2 * n)) / (1 + z * z / n)
        half = z * math.sqrt(max(0.0, p * (1 - p)) / n + z * z / (4 * n * n)) / (1 + z * z / n)
        return middle - half, middle + half


Tallies = Mapping[str, Tally]


class Study(NamedTuple):
    """What is played, on which tables, in how many blocks; `sample` plays a smaller block that no study holds."""

    name: str
    about: str
    rooms: tuple[str, ...]
    """Folders whose tables it rests on."""
    seed: int
    blocks: int
    play: Callable[[int, int], Tallies]
    """Figures of a block by its number, of so many tries."""
    size: int
    """Tries of a block."""
    sample: int
    """Tries of the sample that the tests play."""
    rests_on: Callable[[], str] | None = None
    """The facts that it rests on, as text, where these are few of a folder's."""

    def check_sum(self) -> str:
        """Check sum of what it rests on: those facts, else every table of its rooms."""
        if self.rests_on is None:
            return tables_sum(self.rooms)
        return hashlib.sha256(self.rests_on().encode()).hexdigest()[:16]


def together(blocks: Iterable[Tallies]) -> dict[str, Tally]:
    """The sums over several blocks."""
    found: dict[str, Tally] = {}
    for block in blocks:
        for label, tally in block.items():
            found[label] = found.get(label, Tally(0, 0)).plus(tally)
    return found


def tables_sum(rooms: Iterable[str]) -> str:
    """Check sum of every table in some folders, names included, by what is worked out from; texts are no tables."""
    digest = hashlib.sha256()
    for room in rooms:
        for path in sorted((ROOT / room).rglob("*.toml")):
            if "texts" not in path.parts and path.name != "sources.toml":
                told = json.dumps(worked_from(tomllib.loads(path.read_text(encoding="utf-8"))))
                digest.update(f"{path.relative_to(ROOT).as_posix()}\0{told}\0".encode())
    return digest.hexdigest()[:16]


def code_sum(*places: str) -> str:
    """Check sum of some files of the project, and of the code in some folders of it."""
    digest = hashlib.sha256()
    for place in places:
        here = ROOT / place
        for path in [here] if here.is_file() else sorted(here.rglob("*")):
            if path == here or path.suffix in CODE:
                digest.update(f"{path.relative_to(ROOT).as_posix()}\0{path.read_text(encoding='utf-8')}\0".encode())
    return digest.hexdigest()[:16]


def dated(row: Mapping[str, Any]) -> dict[str, Any]:
    """What is kept of a study, with the day on which it was."""
    return {"date": date.today().isoformat(), **row}


def circumstances() -> dict[str, Any]:
    """When and with what something was measured: the day, versions, processors and the load of the last minute."""
    versions = {name: metadata.version(name) for name in ("numpy", "pygame") if _installed(name)}
    return {
        "date": date.today().isoformat(),
        "versions": {"python": platform.python_version(), "system": platform.system(), "coaxtell": __version__}
        | versions,
        "load": round(os.getloadavg()[0], 2),
        "cores": os.cpu_count(),
    }


def _installed(name: str) -> bool:
    try:
        metadata.version(name)
    except metadata.PackageNotFoundError:
        return False
    return True


def kept(name: str) -> dict[str, Any] | None:
    """What was kept of a study; none where it was never run."""
    path = RESULTS / f"{name}.json"
    return json.loads(path.read_text(encoding="utf-8")) if path.is_file() else None


def kept_tallies(name: str) -> dict[str, Tally]:
    """The sums that were kept of a study; raises ValueError where it was never run."""
    held = kept(name)
    if held is None:
        raise ValueError(f"the study {name!r} was never run: python -m benchmarks.study {name}")
    return {label: Tally(row["total"], row["n"]) for label, row in held["figures"].items()}


def load(name: str) -> Study:
    """A study by the name of its module."""
    study: Study = import_module(f"benchmarks.{name}").STUDY
    return study


def stale() -> list[str]:
    """Studies whose kept figures rest on something else than what stands today, or that were never run."""
    sums = {name: load(name).check_sum for name in STUDIES} | {
        name: import_module(f"benchmarks.{name}").check_sum for name in MEASURED
    }
    return [name for name, here in sums.items() if (held := kept(name)) is None or held["tables"] != here()]


def strays(study: Study, sample: Tallies, z: float = 4.5) -> list[str]:
    """Figures of a sample that lie beyond what chance does to the kept ones, a line each.

    At 4.5 standard errors one of 150,000 figures strays by chance.
    """
    found = []
    held = kept_tallies(study.name)
    for label, tally in sample.items():
        if label not in held:
            continue
        both = held[label].plus(tally).mean
        error = math.sqrt(max(both * (1 - both), 1e-4) * (1 / tally.tries + 1 / held[label].tries))
        if abs(tally.mean - held[label].mean) > z * error:
            found.append(f"{study.name}, {label}: kept {held[label].mean:.4f}, now {tally.mean:.4f} of {tally.tries}")
    return found


def as_kept(tallies: Tallies) -> dict[str, dict[str, float]]:
    """The figures as they are kept; a mean of seconds is no share and has no interval of one."""
    figures: dict[str, dict[str, float]] = {}
    for label, tally in sorted(tallies.items()):
        figures[label] = {"mean": round(tally.mean, 5), "n": tally.tries, "total": round(tally.total, 6)}
        if 0 <= tally.mean <= 1:
            low, high = tally.interval()
            figures[label] |= {"low": round(low, 5), "high": round(high, 5)}
    return figures


def run(study: Study, blocks: int) -> None:
    """Play the blocks that are still missing and keep the figures after each; other tables begin anew."""
    RESULTS.mkdir(exist_ok=True)
    here = study.check_sum()
    held = kept(study.name)
    done = 0 if held is None or held["tables"] != here or held["seed"] != study.seed else int(held["blocks"])
    tallies = kept_tallies(study.name) if done else {}
    began = time.monotonic()
    for block in range(done, blocks):
        tallies = together([tallies, study.play(block, study.size)])
        figures = as_kept(tallies)
        row = {
            "study": study.name, "about": study.about, "seed": study.seed, "tables": here, "blocks": block + 1,
            "n": (block + 1) * study.size, "figures": figures,
        }  # fmt: skip
        path = RESULTS / f"{study.name}.json"
        new = path.with_suffix(".new")
        new.write_text(json.dumps(dated(row), indent=1) + "\n", encoding="utf-8")
        new.replace(path)
        print(f"{study.name}: block {block + 1} of {blocks}, {time.monotonic() - began:.0f} s", flush=True)
    for label, tally in sorted(tallies.items()):
        low, high = tally.interval() if 0 <= tally.mean <= 1 else (math.nan, math.nan)
        print(f"{label:<50} {tally.mean:8.4f}  ({low:.4f} to {high:.4f}, n {tally.tries})")


def main() -> None:
    """Run the studies named, or say which are stale."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.study", description=__doc__)
    parser.add_argument("names", nargs="*", choices=(*STUDIES, []), help="studies to run")
    parser.add_argument("--blocks", type=int, help="stop after so many; without, all")
    parser.add_argument("--stale", action="store_true", help="name the studies whose tables or code have changed since")
    args = parser.parse_args()
    for name in args.names:
        study = load(name)
        run(study, args.blocks or study.blocks)
    if args.stale:
        for name in stale():
            how = f"benchmarks.{name}" if name in MEASURED else f"benchmarks.study {name}"
            print(f"stale: what the figures of {name} rest on has changed; run python -m {how}")


if __name__ == "__main__":
    main()
