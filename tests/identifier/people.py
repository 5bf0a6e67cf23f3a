"""Four kinds of simulated people whose mistakes are not the engine's own.

Written and committed before any error rate of the identifier was chosen or tuned, and importing nothing of it: all
rates here are this file's own guesses. A person holds one real half (`truth`: what each feature truly is on it,
`None` where there is nothing of the kind) and answers each feature once, so mistakes are persistent. Asked to look
once more they mostly see what they saw (`again`). The looks by eye of 0.2.0 and the last two kinds were written and
committed before those looks had a row in the identifier's table.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from enum import Enum

import numpy as np

Truth = str | float | None


class Unsure(Enum):
    """An answer that is none."""

    UNSURE = "not sure"


UNSURE = Unsure.UNSURE
PERSISTS = 0.6
"""Share of second looks that give what the first gave whatever is there (guessed; the identifier assumes less)."""

SEEN_VALUES = {
    "coupling": ("thread-outside", "thread-inside", "lugs", "bayonet-sleeve", "smooth", "sleeve", "housing"),
    "centre": ("pin", "socket", "flat"),
    "plastic": ("level", "sunk", "deep", "tube"),
    "touch": ("drops", "stands"),
    "rim": ("plain", "notched"),
    "nut-form": ("hex", "knurl", "round"),
    "groove": ("none", "outside", "inside"),
    "thread-hand": ("right", "left"),
    "comes-off": ("anticlockwise", "clockwise", "part-turn", "pulled"),
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
BEFORE_IT = {"socket-bore": 3.0}
"""The hole of a socket is read with the jaws held before it, since nothing goes in: so many times the spread."""


def _rounded(feature: str, value: float) -> float:
    """What is read off: calliper marks of 0.05 mm, half threads when counting."""
    step = 0.5 if feature == THREADS else 0.05
    return max(step, round(value / step) * step)


def _other(rng: np.random.Generator, values: Sequence[str], value: str) -> str:
    return str(rng.choice([v for v in values if v != value]))


def _stepped(scale: Sequence[str], thing: str, step: int) -> str:
    """The thing so many steps along the scale of things a width is likened to, as far as it goes."""
    return scale[min(max(scale.index(thing) + step, 0), len(scale) - 1)]


class Careless:
    """Ordinary people, but every fifth makes four times the mistakes in everything and measures four times as badly."""

    slip: Mapping[str, float] = {
        "coupling": 0.02, "centre": 0.02, "plastic": 0.08, "touch": 0.04, "rim": 0.03, "nut-form": 0.02, "size": 0.12,
        "hole-by-eye": 0.25, "groove": 0.06, "thread-hand": 0.03,
        "comes-off": 0.01, "housing-colour": 0.12, "housing-letter": 0.03, "marked-ohm": 0.03,
    }  # fmt: skip
    gross = 0.02
    phantom = 0.03
    overlooked = 0.01
    spread_mm = 0.06
    spread_threads = 0.3

    def __init__(self, rng: np.random.Generator, scales: Mapping[str, Sequence[str]]) -> None:
        self.rng = rng
        self.scales = scales
        self.times = 4.0 if rng.random() < 0.2 else 1.0

    def answer(self, feature: str, truth: Truth) -> Truth:
        """What this person says of a feature that truly is `truth`."""
        rng, times = self.rng, self.times
        if feature in self.scales:
            assert isinstance(truth, str)
            step = int(rng.choice((-1, 1))) if rng.random() < self.slip[feature] * times else 0
            return _stepped(self.scales[feature], truth, step)
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
        spread = self.spread_threads if feature == THREADS else self.spread_mm * BEFORE_IT.get(feature, 1.0)
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
        "plastic": {"sunk": ("level", 0.15), "deep": ("sunk", 0.15), "tube": ("sunk", 0.10)},
        "touch": {"drops": ("stands", 0.08)},
        "rim": {"notched": ("plain", 0.10)},
        "nut-form": {"hex": ("knurl", 0.03)},
        "groove": {"inside": ("none", 0.15), "outside": ("none", 0.08)},
        "thread-hand": {"left": ("right", 0.15)},
        "comes-off": {"part-turn": ("anticlockwise", 0.05), "clockwise": ("anticlockwise", 0.03)},
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

    def __init__(self, rng: np.random.Generator, scales: Mapping[str, Sequence[str]]) -> None:
        self.rng = rng
        self.scales = scales

    def answer(self, feature: str, truth: Truth) -> Truth:
        """What this person says of a feature that truly is `truth`."""
        rng = self.rng
        if feature in self.scales:
            assert isinstance(truth, str)
            return _stepped(self.scales[feature], truth, 1 if rng.random() < self.too_big else 0)
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
        error = abs(
            rng.normal(0.0, self.spread_threads if feature == THREADS else self.spread_mm * BEFORE_IT.get(feature, 1.0))
        )
        return _rounded(feature, truth - error if feature in INSIDE else truth + error)


class Settled:
    """People who make up their mind at the first sight: who errs on the centre errs on its touch and hole as well.

    They see what they expect in the plastic too, and a second look confirms the first one nine times in ten.
    """

    slip: Mapping[str, float] = {
        "coupling": 0.025, "plastic": 0.10, "rim": 0.04, "nut-form": 0.02, "size": 0.15, "hole-by-eye": 0.3,
        "groove": 0.08, "thread-hand": 0.04, "comes-off": 0.015, "housing-colour": 0.1,
        "housing-letter": 0.02, "marked-ohm": 0.03,
    }  # fmt: skip
    centre_wrong = 0.035
    touch_wrong = 0.02
    follows = 0.6
    """Share of those wrong about the centre who feel with the wood what they believe to see."""
    persists = 0.9
    spread_mm = 0.09
    spread_threads = 0.35

    def __init__(self, rng: np.random.Generator, scales: Mapping[str, Sequence[str]]) -> None:
        self.rng = rng
        self.scales = scales
        self.wrong = rng.random() < self.centre_wrong
        self.told = rng.random() < self.follows

    def answer(self, feature: str, truth: Truth) -> Truth:
        """What this person says of a feature that truly is `truth`."""
        rng = self.rng
        if feature == "centre":
            assert isinstance(truth, str)
            return {"pin": "socket", "socket": "pin"}.get(truth, truth) if self.wrong else truth
        if feature == "touch":
            assert isinstance(truth, str)
            wrong = (self.wrong and self.told) or rng.random() < self.touch_wrong
            return {"drops": "stands", "stands": "drops"}[truth] if wrong else truth
        if feature in self.scales:
            assert isinstance(truth, str)
            step = int(rng.choice((-1, 1))) if rng.random() < self.slip[feature] else 0
            return _stepped(self.scales[feature], truth, step)
        if feature in SEEN_VALUES:
            assert isinstance(truth, str)
            return truth if rng.random() >= self.slip[feature] else _other(rng, SEEN_VALUES[feature], truth)
        if truth is None or (feature in ("pin-diameter", "socket-bore") and self.wrong):
            return None
        assert isinstance(truth, float)
        spread = self.spread_threads if feature == THREADS else self.spread_mm * BEFORE_IT.get(feature, 1.0)
        return _rounded(feature, truth + rng.standard_t(4) * spread)

    def again(self, feature: str, truth: Truth, first: Truth) -> Truth:
        """What this person says on a second look, having said `first`."""
        return first if self.rng.random() < self.persists else truth


class Hurried:
    """People in a hurry: every eighth look ends in "not sure", and every twentieth reading is of another place.

    `around` is what else there is to measure on the part [mm]; they put the jaws on one of those.
    """

    slip = 0.035
    unsure = 0.12
    elsewhere = 0.05
    spread_mm = 0.1
    spread_threads = 0.4

    def __init__(
        self, rng: np.random.Generator, scales: Mapping[str, Sequence[str]], around: Sequence[float] = ()
    ) -> None:
        self.rng = rng
        self.scales = scales
        self.around = list(around)

    def answer(self, feature: str, truth: Truth) -> Truth | Unsure:
        """What this person says of a feature that truly is `truth`; `UNSURE` where he cannot tell."""
        rng = self.rng
        if rng.random() < self.unsure:
            return UNSURE
        if feature in self.scales:
            assert isinstance(truth, str)
            step = int(rng.choice((-1, 1))) if rng.random() < 0.2 else 0
            return _stepped(self.scales[feature], truth, step)
        if feature in SEEN_VALUES:
            assert isinstance(truth, str)
            times = 2.0 if feature in ("plastic", "touch") else 1.0
            return truth if rng.random() >= self.slip * times else _other(rng, SEEN_VALUES[feature], truth)
        if truth is None:
            return None
        assert isinstance(truth, float)
        if feature != THREADS and self.around and rng.random() < self.elsewhere:
            truth = float(rng.choice(self.around))
        spread = self.spread_threads if feature == THREADS else self.spread_mm * BEFORE_IT.get(feature, 1.0)
        return _rounded(feature, truth + rng.normal(0.0, spread))


def again(person: Person, feature: str, truth: Truth, first: Truth | Unsure) -> Truth | Unsure:
    """What a person says on a second look at the same thing: six times in ten what was said, else a fresh look."""
    if isinstance(person, Settled):
        assert not isinstance(first, Unsure)
        return person.again(feature, truth, first)
    return first if person.rng.random() < PERSISTS else person.answer(feature, truth)


Person = Careless | OneSided | Settled | Hurried
