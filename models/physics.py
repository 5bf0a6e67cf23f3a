"""Constants of the mating: graded numbers of `physics.toml`, each with the range in which it may lie."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import NamedTuple

import msgspec

from coaxtell.models import toml
from coaxtell.models.measure import Measure


class Physics(NamedTuple):
    """One value of each constant; lengths in mm, shares of the thread depth and of the pin's diameter."""

    flank_share: float
    lug_spring: float
    lock_play: float
    least_engagement: float
    seat_play: float


@cache
def constants() -> dict[str, Measure]:
    """Every constant by its name, in the order of `Physics`."""
    text = (resources.files("coaxtell.models") / "physics.toml").read_text(encoding="utf-8")
    found = msgspec.convert(toml.loads(text), dict[str, Measure])
    return {name: found[name] for name in Physics._fields}


@cache
def nominal() -> Physics:
    """Every constant at its nominal value."""
    return Physics(*(measure.nominal for measure in constants().values()))
