"""The loss curves of a run as a figure: lines by class, the run's length, and what is legal and useful."""

from __future__ import annotations

import math
from typing import NamedTuple

from coaxtell.axes import Axis, axis, spread
from coaxtell.cables.curves import Curve, Curves, bands, reach
from coaxtell.cables.words import say
from coaxtell.models.drawings.drawing import Anchor, Drawing, Item, Line, Text, hatch
from coaxtell.models.palette import ACTION, HARM, INK, PAPER, QUIET
from coaxtell.pages.plot import TITLE, TYPE, Area, grid
from coaxtell.pages.spacing import thin

WIDTH, HEIGHT = 180.0, 121.0
_LEFT, _TOP, _RIGHT, _BOTTOM = _AREA = Area(16.0, 25.0, 150.0, 100.0)
_DASHES: tuple[tuple[float, ...], ...] = ((), (4.0, 1.2), (1.6, 1.0), (0.5, 0.9))
_LABEL_STEP = 4.0
_STEPS = 8
_TITLE_LETTERS = 76


class _Axes(NamedTuple):
    """Where a length [m] and a loss [dB] stand on the sheet [mm]."""

    metres: Axis
    loss: Axis


def _hatched(left: float, top: float, right: float, bottom: float, step: float, rising: bool) -> list[Item]:
    box = ((left, top), (right, top), (right, bottom), (left, bottom))
    return list(hatch((box,), step, -45.0 if rising else 45.0, HARM, 0.15))


def _zone(top: float, bottom: float, rising: bool) -> list[Item]:
    """A hatched band across the chart; the two bands slant apart, so that they differ without colour."""
    return _hatched(_LEFT, top, _RIGHT, bottom, 1.7, rising) if bottom - top > 0.2 else []


def _legend(entries: list[tuple[bool, str]]) -> list[Item]:
    """What the hatched bands mean, below the chart."""
    shapes: list[Item] = []
    x, top = _LEFT, _BOTTOM + 13.5
    for rising, words in entries:
        shapes += _hatched(x, top, x + 8, top + 4, 1.1, rising)
        shapes.append(Line(((x, top), (x + 8, top), (x + 8, top + 4), (x, top + 4), (x, top)), HARM, 0.15))
        shapes.append(Text((x + 10, top + 2), thin(words), TYPE, HARM))
        x += 18 + 1.72 * len(words)
    return shapes


def _lines(data: Curves, axes: _Axes) -> list[Item]:
    shapes: list[Item] = []
    ends: list[tuple[float, float, Curve]] = []
    for i, curve in enumerate(data.curves):
        far = min(axes.metres.limit, axes.loss.limit / curve.db_per_m)
        end = (axes.metres.at(far), axes.loss.at(curve.at(far)))
        colour = ACTION if curve.first else INK
        width = 0.7 if curve.first else 0.3
        dash = () if curve.first else _DASHES[i % len(_DASHES)]
        shapes.append(Line(((_LEFT, _BOTTOM), end), colour, width, dash))
        ends.append((*end, curve))
    over = sorted((e for e in ends if e[0] < _RIGHT - 0.5), key=lambda e: e[0])
    side = sorted((e for e in ends if e[0] >= _RIGHT - 0.5), key=lambda e: e[1])
    last_x = -math.inf
    for x, y, curve in over:
        label_x = max(x, last_x + 11)
        shapes.append(Line(((x, y), (label_x, _TOP - 1.5)), QUIET, 0.15))
        shapes.append(_label((label_x, _TOP - 3.2), curve, "middle"))
        last_x = label_x
    places = spread([y for _, y, _ in side], _LABEL_STEP, _BOTTOM)
    for (x, y, curve), place in zip(side, places, strict=True):
        shapes.append(Line(((x, y), (x + 3, place)), QUIET, 0.15))
        shapes.append(_label((x + 4, place), curve, "start"))
    return shapes


def _label(at: tuple[float, float], curve: Curve, anchor: Anchor) -> Text:
    words = f"{curve.name}, chosen" if curve.first and anchor == "start" else curve.name
    return Text(at, words, TYPE, ACTION if curve.first else INK, anchor)


def figure(data: Curves, title: str) -> Drawing:
    """The curves as a figure of 180 by 121 mm."""
    metres, loss = reach(data)
    axes = _Axes(axis(_LEFT, _RIGHT, metres, _STEPS), axis(_BOTTOM, _TOP, loss, _STEPS))
    legal = "within the limits only by grant" if data.by_grant or data.gain_assumed else "within the limits"
    shapes: list[Item] = []
    held = bands(data)
    for band in held:
        shapes += _zone(axes.loss.at(band.high), axes.loss.at(band.low), band.over)
    shapes += grid(axes.metres, axes.loss, _AREA, "dB of cable")
    shapes += _lines(data, axes)
    x = axes.metres.at(data.length_m)
    shapes.append(Line(((x, _TOP), (x, _BOTTOM + 1.2)), ACTION, 0.35, (2.0, 1.2)))
    # the axis is named at the end that the run's own length leaves free
    at_left = x > (_LEFT + _RIGHT) / 2
    shapes.append(
        Text(
            (_LEFT if at_left else _RIGHT, _BOTTOM + 8.5),
            "length of the run, m",
            TYPE,
            INK,
            "start" if at_left else "end",
        )
    )
    shapes.append(Text((x, _BOTTOM + 8.5), thin(f"this run, {data.length_m:.4g} m"), TYPE, ACTION, "middle"))
    useful = f" and useful ({say(data.target.reason)})"
    window = "no length serves" if data.conducted_broken else f"the clear window is {legal}{useful}"
    shown = title if len(title) <= _TITLE_LETTERS else f"{title[: _TITLE_LETTERS - 1]}…"
    shapes.append(Text((5, 5), thin(shown), TITLE, INK))
    assumed = ", gain assumed 6 dBi" if data.gain_assumed else ""
    words = f"{data.frequency_mhz:g} MHz, reader set to {data.power_dbm:.2f} dBm{assumed}"
    shapes += [Text((5, 11), thin(words), TYPE, QUIET), Text((5, 15.5), thin(window), TYPE, QUIET)]
    shapes += _legend([(band.over, say(band.why)) for band in held])
    return Drawing(WIDTH, HEIGHT, title, PAPER, tuple(shapes), 1.0)
