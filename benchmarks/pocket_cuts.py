"""Every pair cut open on the page beside Python's drawing, and every model's volume: polygons and parts, none sampled.

Run: python -m benchmarks.study pocket_cuts
"""

from __future__ import annotations

from functools import cache
from itertools import combinations_with_replacement
from typing import Any

import numpy as np

from benchmarks.study import Study, Tally, code_sum, tables_sum
from coaxtell.models.solids.solid import solid
from coaxtell.pocket import models, sections
from tests.pocket.node import node
from tests.pocket.test_data import HALVES, WITHIN_MM, cut_pair, known

VOLUME = 0.001
"""A decoded part may differ by this share of its volume."""
PAIRS = list(combinations_with_replacement(range(len(HALVES)), 2))
SIZE = 700
RESTS_ON = (
    "coaxtell/pocket/page/read.js", "coaxtell/pocket/page/draw.js", "coaxtell/pocket/page/turn.js",
    "coaxtell/pocket/models.py", "coaxtell/pocket/pairs.py", "coaxtell/pocket/sections.py", "models",
    "tests/pocket/data.js",
)  # fmt: skip
"""What takes the page's drawing apart and puts it together, and all that Python draws by."""


@cache
def told() -> list[Any]:
    """Every half cut open, as the page has it."""
    return [sections.section(half) for half in HALVES]


def play(block: int, size: int) -> dict[str, Tally]:
    """Pairs of a block whose polygons all lie within 0.002 mm of Python's; in the first block the volumes too."""
    asked = PAIRS[block * size : (block + 1) * size]
    page = node("data.js", {"wanted": "faces", "given": {"sections": told(), "pairs": known(), "asked": asked}})
    found: dict[str, Tally] = {}
    if asked:
        off = [_off(i, j, faces) for (i, j), (_, *faces) in zip(asked, page, strict=True)]
        found[f"pairs whose polygons lie within {WITHIN_MM} mm"] = Tally(sum(mm <= WITHIN_MM for mm in off), len(off))
    if block == 0:
        found[f"parts whose volume is within {VOLUME:.1%}"] = _volumes()
    return found


def _off(i: int, j: int, faces: list[list[list[float]]]) -> float:
    """The farthest that a point of a pair's polygons lies from Python's [mm]; endless where one is missing."""
    ours = cut_pair(i, j)
    if [len(one) for one in ours] != [len(one) for one in faces]:
        return float("inf")
    return max(float(np.abs(mine - np.array(page)).max()) for mine, page in zip(ours, faces, strict=True))


def _volumes() -> Tally:
    page = node("data.js", {"wanted": "volumes", "given": [models.model(half) for half in HALVES]})
    right = [
        abs(volume - part.volume_mm3) <= VOLUME * part.volume_mm3
        for half, volumes in zip(HALVES, page, strict=True)
        for part, volume in zip(solid(half, "small"), volumes, strict=True)
    ]
    return Tally(sum(right), len(right))


STUDY = Study(
    name="pocket_cuts",
    about="Shares of all pairs drawn on the page as in Python, and of all parts that keep their volume",
    rooms=("models",),
    seed=0,
    blocks=-(-len(PAIRS) // SIZE),
    play=play,
    size=SIZE,
    sample=50,
    rests_on=lambda: " ".join([tables_sum(("models",)), code_sum(*RESTS_ON)]),
)
