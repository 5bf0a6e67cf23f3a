"""A thousand items without pictures, then picture items: new ones and those in the cache.

Run: python -m benchmarks.quiz_items
"""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path
from random import Random

from coaxtell.cli.item_pictures import Pictures
from coaxtell.models import tables
from coaxtell.quiz import items
from coaxtell.quiz.stock import Stock

MANY, PICTURES = 1000, 12


def both_clocks() -> tuple[float, float]:
    """The clock on the wall and that of this process's own work, which a busy machine does not slow [s]."""
    return time.perf_counter(), time.process_time()


def since(start: tuple[float, float]) -> tuple[float, float]:
    """How long since then, by both clocks [s]."""
    wall, work = both_clocks()
    return wall - start[0], work - start[1]


def main() -> None:
    """Print one row per step."""
    halves = tables.load().halves
    with tempfile.TemporaryDirectory() as folder, Pictures(halves, "file", Path(folder)) as shop:
        start = both_clocks()
        stock = Stock(halves)
        every = items.tasks(stock)
        first = since(start)
        rng = Random(1)
        start = both_clocks()
        made = [items.make(stock, rng.choice(every), rng) for _ in range(MANY)]
        seconds = since(start)
        pictured = [item.picture for item in made if item.task.kind in ("name", "order") and item.picture]
        new: list[float] = []
        held: list[float] = []
        for picture in pictured[:PICTURES]:
            for times in (new, held):
                wall = time.perf_counter()
                shop.file(picture)
                times.append(time.perf_counter() - wall)
    tasks = f"tasks of {len(halves)} halves, worked out once"
    print(f"{tasks:<46}{first[0]:>8.2f} s{first[1]:>8.2f} s of work")
    print(f"{f'{MANY} items without pictures':<46}{seconds[0]:>8.2f} s{seconds[1]:>8.2f} s of work")
    print(f"{'the first picture, after getting ready':<46}{new[0]:>8.2f} s")
    print(f"{'a new picture, median and longest':<46}{statistics.median(new[1:]):>8.2f} s{max(new[1:]):>8.2f} s")
    print(f"{'a picture from the cache, longest':<46}{max(held) * 1000:>8.1f} ms")


if __name__ == "__main__":
    main()
