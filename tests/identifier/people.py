"""Two kinds of simulated people whose mistakes are not the engine's own.

Written and committed before any error rate of the identifier was chosen or tuned, and importing nothing of it: all
rates here are this file's own guesses. A person holds one real half (`truth`: what each feature truly is on it,
`None` where there is nothing of the kind) and answers each feature once, so mistakes are persistent.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

Truth = str | float | None

SEEN_VALUES = {
    "coupling": ("thread-outside", "thread-inside", "lugs", "bayonet-sleeve", "smooth", "sleeve", "housing"),
    "centre": ("pin", "socket", "flat"),
    "insulator": ("flush", "tube", "recessed", "air"),
    "groove": ("none", "outside", "inside"),
    "thread-hand": ("right", "left"),
    "housing-colour": (
        "black", "cream-white", "blue", "bordeaux", "green", "brown", "grey", "violet", "beige", "curry",
        "carmine-red", "pastel-orange", "pastel-green", "water-blue",
    ),
    "housing-letter": tuple("abcdefghiklmnz"),
    "marked-ohm": ("50", "75", "none"),
}  # fmt: skip
MARKED = 0.4
"""Share of parts whose impedance is printed somewhere in sight."""
BESIDE = {
    "black": ("grey", "brown"), "cream-white": ("beige",), "blue": ("water-blue", "black"),
    "bordeaux": ("carmine-red", "brown"), "green": ("water-blue", "pastel-green"), "brown": ("bordeaux", "black"),
    "grey": ("black", "water-blue"), "violet": ("carmine-red", "bordeaux"), "beige": ("cream-white", "curry"),
    "curry": ("beige", "brown"), "carmine-red": ("bordeaux", "pastel-orange"), "pastel-orange": ("carmine-red",),
    "pastel-green": ("cream-white", "grey"), "water-blue": ("blue", "green"),
}  # fmt: skip
"""Colours that worn plastic is taken for."""
INSIDE = ("socket-bore", "bore")
THREADS = "threads-per-10mm"


def _rounded(feature: str, value: float) -> float:
    """What is read off: calliper marks of 0.05 mm, half threads when counting."""
    step = 0.5 if feature == THREADS else 0.05
    return max(step, round(value / step) * step)


def _other(rng: np.random.Generator, values: Sequence[str], value: str) -> str:
    return str(rng.choice([v for v in values if v != value]))


class Careless:
    """Ordinary people, but every fifth makes four times the mistakes in everything and measures four times as badly."""

    slip: Mapping[str, float] = {
        "coupling": 0.02, "centre": 0.02, "insulator": 0.08, "size": 0.12, "groove": 0.06, "thread-hand": 0.03,
        "housing-colour": 0.12, "housing-letter": 0.03, "marked-ohm": 0.03,
    }  # fmt: skip
    gross = 0.02
    phantom = 0.03
    overlooked = 0.01
    spread_mm = 0.06
    spread_threads = 0.3

    def __init__(self, rng: np.random.Generator, sizes: Sequence[str]) -> None:
        self.rng = rng
        self.sizes = list(sizes)
        self.times = 4.0 if rng.random() < 0.2 else 1.0

    def answer(self, feature: str, truth: Truth) -> Truth:
        """What this person says of a feature that truly is `truth`."""
        rng, times = self.rng, self.times
        if feature == "size":
            assert isinstance(truth, str)
            step = int(rng.choice((-1, 1))) if rng.random() < self.slip["size"] * times else 0
            return self.sizes[min(max(self.sizes.index(truth) + step, 0), len(self.sizes) - 1)]
        if feature in SEEN_VALUES:
            assert isinstance(truth, str)
            if rng.random() >= self.slip[feature] * times:
                return truth
            return _other(rng, BESIDE.get(truth, SEEN_VALUES[feature]), truth)
        if truth is None:
            return _rounded(feature, math.exp(rng.uniform(0.0, 2.5))) if rng.random() < self.phantom * times else None
        assert isinstance(truth, float)
        if rng.random() < self.overlooked * times:
            return None
        if rng.random() < self.gross * times:
            return _rounded(feature, truth * math.exp(rng.uniform(-0.7, 0.7)))
        spread = self.spread_threads if feature == THREADS else self.spread_mm
        return _rounded(feature, truth + rng.normal(0.0, spread * times))


class OneSided:
    """People who are all wrong in the same direction: what they mix up they never mix up the other way round."""

    mixes: Mapping[str, Mapping[str, tuple[str, float]]] = {
        "coupling": {
            "bayonet-sleeve": ("thread-inside", 0.06),
            "lugs": ("smooth", 0.04),
            "thread-inside": ("sleeve", 0.02),
        },
        "centre": {"pin": ("socket", 0.05)},
        "insulator": {"recessed": ("flush", 0.20), "air": ("recessed", 0.15)},
        "groove": {"inside": ("none", 0.15), "outside": ("none", 0.08)},
        "thread-hand": {"left": ("right", 0.15)},
        "housing-colour": {
            "carmine-red": ("pastel-orange", 0.10), "green": ("pastel-green", 0.08), "bordeaux": ("brown", 0.10),
            "blue": ("water-blue", 0.08), "curry": ("beige", 0.10), "black": ("grey", 0.06),
        },
        "housing-letter": {"e": ("f", 0.05), "n": ("m", 0.05), "g": ("c", 0.05)},
        "marked-ohm": {"75": ("none", 0.20)},
    }  # fmt: skip
    too_big = 0.15
    gross = 0.01
    overlooked = 0.02
    spread_mm = 0.12
    spread_threads = 0.3

    def __init__(self, rng: np.random.Generator, sizes: Sequence[str]) -> None:
        self.rng = rng
        self.sizes = list(sizes)

    def answer(self, feature: str, truth: Truth) -> Truth:
        """What this person says of a feature that truly is `truth`."""
        rng = self.rng
        if feature == "size":
            assert isinstance(truth, str)
            step = 1 if rng.random() < self.too_big else 0
            return self.sizes[min(self.sizes.index(truth) + step, len(self.sizes) - 1)]
        if feature in SEEN_VALUES:
            assert isinstance(truth, str)
            said, rate = self.mixes[feature].get(truth, (truth, 0.0))
            return said if rng.random() < rate else truth
        if truth is None:
            return None
        assert isinstance(truth, float)
        if rng.random() < self.overlooked:
            return None
        if rng.random() < self.gross:
            return _rounded(feature, truth * math.exp(rng.uniform(0.0, 0.7)))
        # jaws held askew read an outside too big and an inside too small, never the other way
        error = abs(rng.normal(0.0, self.spread_threads if feature == THREADS else self.spread_mm))
        return _rounded(feature, truth - error if feature in INSIDE else truth + error)
