"""The halves cut open, for the page: each region's outline above and below the axis, threads in their form."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from coaxtell.models.drawings.outlines import cut_regions
from coaxtell.models.half import Half
from coaxtell.models.palette import fill
from coaxtell.models.regions import Point

STEPS_PER_MM = 1000
"""Outlines are told in whole thousandths of a millimetre."""


def points(outline: Iterable[Point]) -> list[int]:
    """An outline as z, r, z, r ... in thousandths of a millimetre, each as the step from the one before."""
    found: list[int] = []
    last = (0, 0)
    for z, r in outline:
        here = (round(z * STEPS_PER_MM), round(r * STEPS_PER_MM))
        found += [here[0] - last[0], here[1] - last[1]]
        last = here
    return found


def section(half: Half) -> list[list[Any]]:
    """Each region of a half: name, role, whether it moves, its colour, its outline above and that below the axis."""
    above, below = cut_regions(half, 0.0), cut_regions(half, math.pi)
    return [
        [one.name, one.role, int(one.moving), fill(half, one.role), points(one.outline), points(other.outline)]
        for one, other in zip(above, below, strict=True)
    ]
