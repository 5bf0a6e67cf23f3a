"""Solids per second, and what a picture costs beside them. Run: python -m benchmarks.solids

Ratios within one run count; seconds depend on the machine. The partner of the thread is a plain sleeve of the same
length, so the ratio tells what the helix costs.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import msgspec

from coaxtell.models import tables
from coaxtell.models.half import Half
from coaxtell.models.solids.part import Level
from coaxtell.models.solids.solid import solid

RUNS = 7


def seconds(work: Callable[[], object]) -> float:
    """Median of several runs after one for warming up [s]."""
    work()
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def without_thread(half: Half) -> Half:
    """The half with its threaded step turned plain at the same diameter."""
    assert half.thread is not None
    steps = [
        msgspec.structs.replace(s, thread=False, d=half.thread.major) if s.thread else s for s in half.shell.outside
    ]
    return msgspec.structs.replace(half, shell=msgspec.structs.replace(half.shell, outside=steps), thread=None)


def main() -> None:
    """Print the table."""
    halves = list(tables.load().halves.values())
    rows: list[tuple[str, float, int]] = []
    levels: tuple[Level, ...] = ("display", "fine")
    for level in levels:
        triangles = sum(len(p.faces) for h in halves for p in solid(h, level))
        whole = seconds(lambda level=level: [solid(h, level) for h in halves])
        rows.append((f"a half, {level} level", whole / len(halves), triangles // len(halves)))
    known = {h.id: h for h in halves}
    for half_id in ("sma-jack", "n-50-plug", "uhf-jack", "bnc-50-plug"):
        half = known[half_id]
        triangles = sum(len(p.faces) for p in solid(half))
        rows.append((half_id, seconds(lambda half=half: solid(half)), triangles))
    plain = without_thread(known["sma-jack"])
    rows.append(("sma-jack, thread turned off", seconds(lambda: solid(plain)), sum(len(p.faces) for p in solid(plain))))
    rows += pictures(known)
    base = rows[0][1]
    print(f"{'what':34} {'ms':>9} {'per second':>11} {'triangles':>10} {'ratio':>7}")
    for name, each, triangles in rows:
        print(f"{name:34} {each * 1000:9.2f} {1 / each:11.1f} {triangles or '':>10} {each / base:7.2f}")


def pictures(known: dict[str, Half]) -> list[tuple[str, float, int]]:
    """Rows for pictures and a drawing; none for pictures where none can be rendered."""
    from coaxtell.models.drawings import section

    pair = known["sma-plug"], known["rp-sma-jack"]
    rows = [("drawing of a pair, SVG", seconds(lambda: section.facing(*pair, 4.23).svg()), 0)]
    try:
        from coaxtell.models.solids import picture
        from coaxtell.models.solids.studio import Studio

        with Studio() as studio:
            for width, height in ((320, 240), (640, 480), (1280, 800)):
                each = seconds(
                    lambda w=width, h=height: picture.picture([pair[0]], "three-quarter", w, h, studio=studio)
                )
                rows.append((f"picture {width} x {height}", each, 0))
    except (ImportError, RuntimeError) as error:
        print(f"no pictures here: {error}")
    return rows


if __name__ == "__main__":
    main()
