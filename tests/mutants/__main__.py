"""`python -m tests.mutants`: run every mutant of the list, or those named, and write down what became of them."""

from __future__ import annotations

import argparse
import json
import tomllib
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor, as_completed
from pathlib import Path
from queue import SimpleQueue
from tempfile import TemporaryDirectory
from typing import TypeVar

from tests.mutants.trial import HERE, ROOT, Fate, Mutant, copied, gone, read, run_tests, try_out

RESULTS = HERE / "results.toml"


Job = TypeVar("Job")
Done = TypeVar("Done")


def on_copies(jobs: list[Job], do: Callable[[Job, Path], Done], root: Path, workers: int) -> Iterator[Done]:
    """What each job gives as it ends, on one copy of the checkout a worker."""
    with TemporaryDirectory() as folder, ThreadPoolExecutor(workers) as pool:
        copies: SimpleQueue[Path] = SimpleQueue()
        for number in range(workers):
            place = Path(folder) / str(number)
            place.mkdir()
            copies.put(copied(root, place))

        def one(job: Job) -> Done:
            copy = copies.get()
            try:
                return do(job, copy)
            finally:
                copies.put(copy)

        yield from (done.result() for done in as_completed([pool.submit(one, job) for job in jobs]))


def first_failing(room: str, copy: Path) -> str:
    """The test of a room that fails without any mutant, with which every mutant would seem killed; empty for none."""
    failed, seen_by = run_tests(copy, (room,))[:2]
    return (seen_by or room) if failed else ""


def written(path: Path) -> dict[str, dict[str, str]]:
    """What was written down of earlier runs, by mutant."""
    return tomllib.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}


def write(path: Path, mutants: list[Mutant], held: dict[str, dict[str, str]]) -> None:
    """Write down what is held of the mutants of the list, in its order."""
    lines = [
        "# Written by `python -m tests.mutants`: what became of each mutant at the tests of before this list, and now.",
        "# `not there`: its place did not exist then. `not known`: it did, and was not tried.",
    ]
    for mutant in mutants:
        row = {**held.get(mutant.name, {}), **({"survives": mutant.survives} if mutant.survives else {})}
        lines += ["", f'["{mutant.name}"]', *(f"{key} = {json.dumps(value)}" for key, value in row.items())]
    for name, why in gone().items():
        row = {**held.get(name, {}), "gone": why}
        lines += ["", f'["{name}"]', *(f"{key} = {json.dumps(value)}" for key, value in row.items())]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def main() -> int:
    """Returns 0 where every mutant was killed or its survival is explained, else 1."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("names", nargs="*", help="mutants to run; without, all of them, after the tests without any")
    parser.add_argument("--root", type=Path, default=ROOT, help="another checkout to try them on")
    parser.add_argument("--as", dest="column", default="now", help="the name under which the fates are written down")
    parser.add_argument("--workers", type=int, default=2)
    args = parser.parse_args()
    mutants = read()
    chosen = [mutant for mutant in mutants if not args.names or mutant.name in args.names]
    rooms = sorted({test for mutant in chosen for test in mutant.tests})
    print(f"{len(chosen)} mutants against {', '.join(rooms)}", flush=True)
    failing = [] if args.names else [one for one in on_copies(rooms, first_failing, args.root, args.workers) if one]
    if failing:
        print(f"nothing was tried: without any mutant {', '.join(failing)} fails")
        return 1
    held = written(RESULTS)
    seconds = 0.0
    bad = []
    for trial in on_copies(chosen, try_out, args.root, args.workers):
        name, fate = trial.mutant.name, trial.fate
        seconds += trial.seconds
        print(f"{fate.value:10}  {name:40}  {trial.seconds:5.1f} s  {trial.seen_by}", flush=True)
        held.setdefault(name, {})[args.column] = fate.value
        if args.column == "now":
            held[name]["seen_by"] = trial.seen_by
        write(RESULTS, mutants, held)
        if fate is Fate.MISPLACED or (fate is Fate.SURVIVED) != bool(trial.mutant.survives):
            bad.append(name)
    print(f"{len(chosen) - len(bad)} of {len(chosen)} as they should be, {seconds / 60:.1f} minutes of one core")
    if bad:
        print(f"not as they should be: {', '.join(sorted(bad))}")
    return 1 if bad else 0


raise SystemExit(main())
