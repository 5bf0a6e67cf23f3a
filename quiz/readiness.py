"""How well a person would do now, or some days ahead, in all that an assessment asks: from their answers, with
forgetting, and with an honest word on how far that may be off.

Two stages. A logistic curve tells the chance of one right answer from what was right and wrong before and how long ago,
at four levels: the fact, its two lines, its kind and verdict, its skill. It was fitted on simulated learners
(`benchmarks/readiness.py`) and is fitted further on a team's own people (`quiz/team.py`). Then each person's own level,
speed of forgetting and start are fitted on their answers (most likely values under normal priors). The rate over the
whole blueprint follows by projection.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cache
from importlib import resources
from typing import Any, NamedTuple

import msgspec
import numpy as np

from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.log import Answered

Array = np.ndarray[Any, np.dtype[np.float64]]

BAR = 0.90
"""The rate over the blueprint that is meant by ready."""
FEW, BAND = 8, 25
"""Answers below which nothing is said, and below which a band is all that is said."""
WIDE = 1.28
"""Half the width of a band in spreads: it holds the rate of four people in five, as far as the spread is right."""
SLIPS = 0.98
"""No band has its middle above this rate: people slip (assumed)."""
PERSONAL = (1.0, 0.3, 1.0)
"""Standard deviations of a person's own level, slope of forgetting and start."""
AHEAD = 30
"""Days ahead of which a word is said [d]; no percentage, since none held."""
FADES, GONE = 0.05, 0.15
"""By how much the rate may fall until then to be called held, and to be called fading."""
RECENT = 20
LEVELS = 4
NAMED = 3
"""Strokes in the name of a fact: `kind/what it comes to/line/line`, and lines may hold more (7/16)."""
DAY = 86400.0


class Cell(NamedTuple):
    """A fact of a blueprint: its share of what is asked, and its names at the four levels."""

    share: float
    names: tuple[str, ...]


class Told(NamedTuple):
    """An answer as the model takes it: when [d], of which fact by its four names, right or wrong."""

    day: float
    names: tuple[str, ...]
    right: bool


class Weights(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What is shipped: the weights of the curve, and by how much its rates were off [logit] at 8, 25 and 60 answers, of
    learners that it had not seen, and of those after ten people of their kind had been."""

    curve: list[float]
    off: list[float]
    off_own: list[float]


class Forecast(NamedTuple):
    """What may be said of a person: how many answers, the rate and its spread [logit], and the rate `AHEAD` without
    practice; none of them with too few answers."""

    answers: int
    rate: float | None = None
    off: float = 0.0
    ahead: float | None = None
    chance: float | None = None
    """Chance to be above the bar; only where a team's own people have shown that it holds."""

    @property
    def then(self) -> str:
        """What becomes of it without practice, in a word: holds, fades or gone."""
        assert self.rate is not None
        assert self.ahead is not None
        fallen = self.rate - self.ahead
        return "holds" if fallen < FADES else "fades" if fallen < GONE else "gone"

    @property
    def band(self) -> tuple[float, float]:
        """The rate, from and to."""
        assert self.rate is not None
        middle = _logit(min(self.rate, SLIPS))
        return _chance(middle - WIDE * self.off), _chance(middle + WIDE * self.off)


def names(cell: str, skill: str) -> tuple[str, ...]:
    """The four levels of a fact `kind/what it comes to/line/line` of a skill."""
    kind, sort, *lines = cell.split("/")
    return cell, "lines " + "/".join(lines), f"sort {kind}/{sort}", f"skill {skill}"


def cells(plan: Blueprint) -> list[Cell]:
    """The facts of a blueprint."""
    from coaxtell.quiz import items

    found: dict[str, list[Any]] = {}
    for tasks in plan.shares.values():
        for task, share in tasks.items():
            cell = plan.cell(task)
            held = found.setdefault(cell, [0.0, items.skills_of(plan.stock, task)[0].value])
            held[0] += share / len(plan.shares)
    return [Cell(share, names(cell, skill)) for cell, (share, skill) in found.items()]


def told(answers: Iterable[Answered]) -> list[Told]:
    """Answers in the model's words; those that name no fact with its two lines are left out."""
    return [
        Told(one.time.timestamp() / DAY, names(one.cell, one.skills[0].value), one.correct)
        for one in answers
        if one.cell.count("/") >= NAMED and one.skills
    ]


class History:
    """What was answered so far, as the curve takes it."""

    def __init__(self) -> None:
        self._held: dict[str, tuple[int, int, float, int]] = {}
        self._right = self._all = 0
        self._latest: list[bool] = []

    def tell(self, one: Told) -> None:
        """Count an answer."""
        for name in one.names:
            right, wrong, last, days = self._held.get(name, (0, 0, -math.inf, 0))
            another = one.day - last > 0.5
            self._held[name] = right + one.right, wrong + (not one.right), one.day, days + another
        self._right, self._all = self._right + one.right, self._all + 1
        self._latest = [*self._latest, one.right][-RECENT:]

    def row(self, fact: Sequence[str], day: float) -> list[float]:
        """The curve's figures of a fact on a day."""
        found = [1.0, _logit((self._right + 1) / (self._all + 2)),
                 _logit((sum(self._latest) + 1) / (len(self._latest) + 2)), math.log1p(self._all)]  # fmt: skip
        for name in fact:
            held = self._held.get(name)
            if held is None:
                found += [0.0] * 5
                continue
            right, wrong, last, days = held
            lag = math.log1p(max(0.0, day - last))
            found += [math.log1p(right), math.log1p(wrong), 1.0, lag, lag / math.sqrt(1 + days)]
        return found


WIDTH = 4 + 5 * LEVELS
LAG, MET = 4 + 3, 4 + 2
"""Places of a fact's lag and of whether it was met."""


def rows(answers: Sequence[Told]) -> tuple[Array, Array]:
    """Figures before each answer, and whether it was right."""
    history, found = History(), []
    for one in answers:
        found.append(history.row(one.names, one.day))
        history.tell(one)
    return np.array(found).reshape(-1, WIDTH), np.array([one.right for one in answers], dtype=float)


def fit(figures: Array, right: Array, held: Array, firm: Array, offset: Array | None = None) -> Array:
    """The most likely weights under normal priors about `held` with precisions `firm`, by Newton's steps."""
    weights = held.copy()
    base = np.zeros(len(right)) if offset is None else offset
    for _ in range(30):
        chance = chances(base + figures @ weights)
        slope = figures.T @ (right - chance) - firm * (weights - held)
        bend = (figures * (chance * (1 - chance))[:, None]).T @ figures + np.diag(firm)
        step = np.linalg.solve(bend, slope)
        weights = weights + step
        if np.abs(step).max() < 1e-8:
            break
    return np.asarray(weights)


def personal(figures: Array) -> Array:
    """A person's own level, lag and start, from the curve's figures."""
    return np.stack([figures[:, 0], figures[:, LAG], 1 - figures[:, MET]], axis=1)


def own_of(figures: Array, right: Array, curve: Array) -> Array:
    """A person's own level, speed of forgetting and start, the most likely after some answers."""
    return fit(personal(figures), right, np.zeros(3), 1 / np.square(PERSONAL), figures @ curve)


class Model:
    """The curve with its weights, and whether a team's own people have shown its chances to hold."""

    def __init__(self, weights: Weights, proven: bool = False) -> None:
        self.weights, self.proven = weights, proven
        self._curve = np.array(weights.curve)

    @property
    def curve(self) -> Array:
        """The weights of the curve."""
        return self._curve

    def forecast(self, answers: Sequence[Told], plan: Sequence[Cell], day: float) -> Forecast:
        """What may be said of a person on a day [d] over the facts of a blueprint."""
        given = [one for one in answers if one.day <= day]
        if len(given) < FEW:
            return Forecast(len(given))
        figures, right = rows(given)
        own = own_of(figures, right, self._curve)
        history = History()
        for one in given:
            history.tell(one)
        rate, ahead = (self._projected(history, own, plan, day + days) for days in (0, AHEAD))
        off = spread(len(given), self.weights.off_own if self.proven else self.weights.off)
        chance = _normal((_logit(rate) - _logit(BAR)) / off) if self.proven and len(given) >= BAND else None
        return Forecast(len(given), rate, off, ahead, chance)

    def _projected(self, history: History, own: Array, plan: Sequence[Cell], day: float) -> float:
        figures = np.array([history.row(cell.names, day) for cell in plan])
        shares = np.array([cell.share for cell in plan])
        rates = chances(figures @ self._curve + personal(figures) @ own)
        return float(rates @ shares / shares.sum())


def gap(said: Array, came: Array, bins: int = 10) -> float:
    """Mean gap between stated chances and what came, over equal bins of the chances (expected calibration error)."""
    place = np.minimum((said * bins).astype(int), bins - 1)
    return float(sum(abs(said[place == one].sum() - came[place == one].sum()) for one in range(bins)) / len(said))


@cache
def shipped() -> Model:
    """The model as it ships."""
    text = (resources.files("coaxtell.quiz") / "readiness.json").read_text(encoding="utf-8")
    return Model(msgspec.json.decode(text, type=Weights))


def chances(logits: Array) -> Array:
    return np.asarray(1 / (1 + np.exp(-np.clip(logits, -30, 30))))


def _chance(logit: float) -> float:
    return 1 / (1 + math.exp(-logit))


def _logit(chance: float) -> float:
    chance = min(1 - 1e-6, max(1e-6, chance))
    return math.log(chance / (1 - chance))


def _normal(x: float) -> float:
    return 0.5 * (1 + math.erf(x / math.sqrt(2)))


def spread(answers: int, off: Sequence[float]) -> float:
    """The spread at so many answers, between those at 8, 25 and 60 on a logarithmic scale."""
    at = np.log([FEW, BAND, 60])
    return float(np.interp(math.log(answers), at, off))
