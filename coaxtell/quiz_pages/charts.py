"""Plots of progress: skills with their intervals, the course of answers, honesty of the stated chances."""

from __future__ import annotations

from collections.abc import Sequence

from coaxtell.axes import shares
from coaxtell.models.drawings.drawing import Drawing, Item, Line, Polygon, Text, circle
from coaxtell.models.palette import ACTION, GRID_COARSE, HARM, INK, PAPER, QUIET
from coaxtell.pages import plot
from coaxtell.pages.plot import Area
from coaxtell.quiz.log import Answered
from coaxtell.quiz.overview import SITS, PersonState
from coaxtell.quiz.words import word

WIDTH = 180.0
TYPE = 3.2
WINDOW = 20
"""Answers in the running share."""


def _drawing(height: float, title: str, items: list[Item]) -> Drawing:
    return Drawing(WIDTH, height, title, PAPER, tuple(items), 1.0)


def skills(person: PersonState) -> Drawing:
    """Each skill's rate as a dot on the bar of its interval; a line at the rate from which a skill sits."""
    left, right, top, row = 62.0, 168.0, 12.0, 8.0
    shown = [state for state in person.skills if state.rate is not None]
    bottom = top + row * max(1, len(shown))
    items: list[Item] = [Text((2, 5), "Rate of right answers by skill, bar: 95 % interval", 3.8, INK)]
    rates = shares(left, right)
    items += plot.across(rates, Area(left, top, right, bottom), TYPE)
    at = rates.at(SITS)
    items.append(Line(((at, top - 1), (at, bottom)), QUIET, 0.3, (1.2, 0.8)))
    items.append(Text((at, top - 3), "sits from here", 2.8, QUIET, "middle"))
    for place, state in enumerate(shown):
        assert state.rate is not None
        y = top + row * (place + 0.5)
        low, high, dot = (rates.at(value) for value in (state.low, state.high, state.rate))
        colour = ACTION if state.rate >= SITS else HARM
        items.append(Text((left - 3, y), word(state.skill), TYPE, INK, "end"))
        items.append(Polygon((((low, y - 1), (high, y - 1), (high, y + 1), (low, y + 1)),), GRID_COARSE))
        # below the line the mark is a diamond, so that it does not hang on the colour
        shape = (
            circle((dot, y), 1.6) if state.rate >= SITS else ((dot, y - 2), (dot + 2, y), (dot, y + 2), (dot - 2, y))
        )
        items.append(Polygon((shape,), colour))
        items.append(Text((right + 3, y), f"{state.right + state.wrong}", TYPE, QUIET))
    items.append(Text((WIDTH - 1, top - 3), "answers", 2.8, QUIET, "end"))
    if not shown:
        items.append(Text((left, top + row / 2), "no answers yet", TYPE, QUIET))
    return _drawing(bottom + 7, f"Skills of {person.name}", items)


def course(name: str, given: Sequence[Answered]) -> Drawing:
    """The share of right answers over the latest ones as time goes on, beside the mean stated chance."""
    left, right, top, bottom = 18.0, 150.0, 12.0, 52.0
    items: list[Item] = [Text((2, 5), f"Over the latest {WINDOW} answers: right, and how sure", 3.8, INK)]
    up = shares(bottom, top)
    items += plot.up(up, Area(left, top, right, bottom), TYPE)
    number = len(given)
    for share, words in ((0.0, "first"), (1.0, f"answer {number}")):
        items.append(Text((left + (right - left) * share, bottom + 4), words, TYPE, QUIET, "middle"))
    if number > 1:
        ends: list[tuple[float, str, str]] = []
        for values, colour, dash, word in (
            ([answer.sure for answer in given], QUIET, (1.6, 1.0), "said sure"),
            ([float(answer.correct) for answer in given], ACTION, (), "right"),
        ):
            points = []
            for place in range(number):
                latest = values[max(0, place + 1 - WINDOW) : place + 1]
                x = left + (right - left) * place / (number - 1)
                points.append((x, up.at(sum(latest) / len(latest))))
            items.append(Line(tuple(points), colour, 0.6, dash))
            ends.append((points[-1][1], word, colour))
        ends.sort()
        if ends[1][0] - ends[0][0] < 4:  # two ends so near that their words would lie on each other
            middle = (ends[0][0] + ends[1][0]) / 2
            ends = [(middle - 2, *ends[0][1:]), (middle + 2, *ends[1][1:])]
        items += [Text((right + 3, y), word, TYPE, colour) for y, word, colour in ends]
    return _drawing(bottom + 8, f"Course of {name}", items)


BANDS = ((0.0, 0.4), (0.4, 0.6), (0.6, 0.75), (0.75, 0.95), (0.95, 1.01))


def honesty(name: str, given: Sequence[Answered]) -> Drawing:
    """Share of right answers against the stated chance: on the slanted line the figures were honest."""
    left, right, top, bottom = 62.0, 122.0, 12.0, 72.0
    items: list[Item] = [Text((2, 5), "Said sure, and right: honest on the slanted line", 3.8, INK)]
    across, up = shares(left, right), shares(bottom, top)
    area = Area(left, top, right, bottom)
    items += plot.across(across, area, TYPE) + plot.up(up, area, TYPE)
    items.append(Line(((left, bottom), (right, top)), QUIET, 0.3, (1.2, 0.8)))
    items.append(Text((right + 7, bottom + 3.4), "said sure", TYPE, QUIET))
    items.append(Text((left - 14, top), "right", TYPE, QUIET, "end"))
    for low, high in BANDS:
        band = [answer for answer in given if low <= answer.sure < high]
        if not band:
            continue
        said = sum(answer.sure for answer in band) / len(band)
        share = sum(answer.correct for answer in band) / len(band)
        at = (across.at(said), up.at(share))
        items.append(Polygon((circle(at, 1.7),), ACTION))
        items.append(Text((at[0] + 3, at[1] + 0.2), f"{len(band)}", 2.8, INK))
    items.append(Text((right + 10, top + 26), "beside each dot:", 2.8, QUIET))
    items.append(Text((right + 10, top + 30), "number of answers", 2.8, QUIET))
    return _drawing(bottom + 7, f"Honesty of {name}", items)
