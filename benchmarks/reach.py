"""How sure the draws are that reach as far as the ranges, and those that reach further, beside the tune worlds.

The ranges were widened once, by half as far again, before this comparison was made; what was chosen is the reach of
`TRIANGULAR`. `true_world` reports it on other worlds. Run: python -m benchmarks.reach [REACH ...]
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from tempfile import gettempdir

import msgspec

from benchmarks import true_world, worlds
from benchmarks.study import RESULTS, dated
from coaxtell.models import statements, tables
from coaxtell.models.draws import TRIANGULAR, Law, samples
from coaxtell.models.mating import kept
from coaxtell.models.mating.clans import clans
from coaxtell.models.mating.confidence import Book

REACHES = (1.0, 1.5)
TUNE = range(60)
"""Worlds on which reaches are compared; `true_world` reports on none of them."""
CACHE = Path(gettempdir()) / "coaxtell-reach-draws.json"
"""Kept draws of each reach, so that the work can be broken off."""


def book(reach: float) -> Book:
    """The draws of all clans with that reach."""
    law = Law(reach, TRIANGULAR.at)
    known = tables.load()
    ships = kept.shipped()
    held = msgspec.json.decode(CACHE.read_bytes(), type=dict[str, kept.Kept]) if CACHE.is_file() else {}
    found: dict[str, kept.Kept] = {}
    for clan in clans(known, statements.shipped()):
        name, now = f"{reach:g}/{clan.name}", kept.mark(clan, law)
        if clan.name in ships and ships[clan.name].mark == now:
            held[name] = ships[clan.name]
        if name not in held or held[name].mark != now:
            held[name] = kept.keep(clan, samples(clan.halves.values(), law))
            CACHE.write_bytes(msgspec.json.encode(held))
            print(f"reach {reach:g}: {clan.name}, {held[name].filled} draws kept", flush=True)
        found[clan.name] = held[name]
    return Book(known, found, None, law)


def main() -> None:
    """Print the bins of each reach on the tune worlds and keep them."""
    rows = {}
    held = worlds.held()
    for reach in [float(word) for word in sys.argv[1:]] or REACHES:
        bins = true_world.bins(true_world.told(book(reach)), [held[n] for n in TUNE])
        rows[f"{reach:g}"] = {label: one._asdict() for label, one in bins.items()}
        print(f"\nreach {reach:g}")
        true_world.show(bins)
        off = {label for label, one in bins.items() if one.weighty and one.holds < one.told - true_world.OFF}
        print(f"more than three points off: {', '.join(sorted(off)) or 'none'}")
    path = RESULTS / "reach.json"
    before = json.loads(path.read_text(encoding="utf-8"))["bins"] if path.is_file() else {}
    about = {"tables": worlds.rests_on(), "bins": before | rows}
    path.write_text(json.dumps(dated(about), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
