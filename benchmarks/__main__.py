"""Speed and studies on one page: quick ratios worked out now, beside every figure that is kept and when it was.

Ratios are of the processor's own clock, to one mating in the same run, so that nothing here fails on a busy machine.
Run: python -m benchmarks [--kept]
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from typing import TypeVar

from benchmarks import study
from benchmarks.aims import NOTES, QUICK_MS, aim
from benchmarks.figures import figures
from benchmarks.study import RESULTS
from coaxtell.identifier.answers import Saw, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import brief, identify
from coaxtell.identifier.partners import partners_of
from coaxtell.identifier.question import next_look
from coaxtell.library import cable_run
from coaxtell.models import tables
from coaxtell.models.half import Half
from coaxtell.models.lines import wrapped
from coaxtell.models.mating.confidence import Book
from coaxtell.models.mating.mate import Mating, mate, shipped

WIDE = 48
QUICK = "quick"
"""The file of the ratios worked out last."""


def work_ms(do: Callable[[], object], rounds: int = 5) -> float:
    """Work of the processor for one run, the median of some [ms]."""
    taken = []
    for _ in range(rounds):
        start = time.process_time()
        do()
        taken.append(1000 * (time.process_time() - start))
    return statistics.median(taken)


Result = TypeVar("Result")


def _forgotten(do: Callable[[], Result]) -> Result:
    """What is done with no mating remembered."""
    shipped.cache_clear()
    return do()


def fresh(a: Half, b: Half) -> Mating:
    """A mating worked out, not remembered."""
    return _forgotten(lambda: mate(a, b, doubt=False))


def quick() -> dict[str, float]:
    """Each step's work [ms]; the first is one mating, which the others are held against."""
    known = tables.load()
    halves = list(known.halves.values())
    a, b = known.half("sma-plug"), known.half("rp-sma-jack")
    found = {"one mating": work_ms(lambda: [fresh(a, b) for _ in range(20)]) / 20}
    book = Book(known)
    one = known.half("rp-tnc-plug"), known.half("tnc-jack")
    found["how sure a mating is"] = work_ms(lambda: book.confidence(*one, mate(*one, doubt=False).geometry))
    nothing = State()
    looked = nothing.tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.SIZE, Saw("pencil"))
    found["what every half shows, and the first question"] = work_ms(lambda: next_look(Shortlist(halves), nothing), 3)
    warm = Shortlist(halves)
    identify(warm, looked)
    found["beliefs before and after two looks"] = work_ms(lambda: [warm.belief({}), warm.belief(looked.answers)])
    found["first question"] = work_ms(lambda: next_look(warm, nothing))
    found["question after two looks"] = work_ms(lambda: next_look(warm, looked))
    found["a whole identification"] = work_ms(lambda: identify(warm, looked))
    partners = {half.id: partners_of(warm, half) for half in halves}
    found["the same in a line"] = work_ms(lambda: brief(warm, looked, lambda half: partners[half.id]))
    found["the halves that mate with one"] = work_ms(lambda: _forgotten(lambda: partners_of(warm, a)))
    reader, antenna = known.half("rp-tnc-jack"), known.half("n-50-jack")
    found["a cable run answered"] = work_ms(lambda: cable_run(reader, antenna, 12.0, "us", gain="8.5dBic"), 2)
    return found


def kept() -> Iterator[str]:
    """The lines of each file: its day and whether it is stale, every figure with what it is to reach, then the rest."""
    stale = set(study.stale())
    for path in sorted(RESULTS.glob("*.json")):
        data = json.loads(path.read_text(encoding="utf-8"))
        if path.stem == QUICK:
            continue
        changed = "; stale: what its figures rest on has changed since" if path.stem in stale else ""
        unwatched = "" if path.stem in (*study.STUDIES, *study.MEASURED) else "; whether it is stale is not watched"
        yield f"{path.stem}, {data['date']}{changed}{unwatched}"
        if "about" in data:
            yield wrapped(data["about"], "  ", "  ")
        if path.stem in NOTES:
            yield wrapped(f"({NOTES[path.stem]})", "  ", "  ")
        free = []
        for figure, value in figures(path.stem, data).items():
            asked = aim(path.stem, figure)
            if asked is None:
                free.append(f"{figure} {value:.4g}")
                continue
            said = "reached" if asked.reached(value) else "NOT REACHED"
            yield f"  {figure:<{WIDE}}{value:>10.4g}   to reach: {asked.words}; {said}"
        if free:
            yield wrapped("; ".join(free), "  nothing is asked of: ", "    ")


def main() -> None:
    """Print the page."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    parser.add_argument("--kept", action="store_true", help="what is kept alone")
    if not parser.parse_args().kept:
        found = quick()
        one = found["one mating"]
        print(f"{'work now, by the processor':<{WIDE}}{'ms':>10}{'matings':>11}   to reach")
        for name, ms in found.items():
            asked = f"at most {QUICK_MS[name]:g} ms" if name in QUICK_MS else "nothing is asked of it"
            print(f"{name:<{WIDE}}{ms:>10.3f}{ms / one:>11.1f}   {asked}")
        (RESULTS / f"{QUICK}.json").write_text(
            json.dumps({name: round(ms / one, 1) for name, ms in found.items()}, indent=1) + "\n", encoding="utf-8"
        )
        print()
    print("kept (the module of that name in benchmarks makes each anew)")
    for line in kept():
        print(line)


if __name__ == "__main__":
    try:
        main()
    except ModuleNotFoundError as missing:
        if str(missing.name).startswith(("coaxtell", "benchmarks", "tests")):
            raise
        sys.exit(f"The package {missing.name!r} is missing: the studies need the tools for the tests, '.[dev]'.")
