"""The loss curves of a run as a figure: lines by class, the run's length, and what is legal and useful."""

from __future__ import annotations

import math
from typing import NamedTuple

from coaxtell.axes import Axis, axis, spread
from coaxtell.cables.assembly import ASSUMED_GAIN
from coaxtell.cables.curves import Curve, Curves, bands, reach
from coaxtell.cables.words import say
from coaxtell.models.drawings.drafting import broken
from coaxtell.models.drawings.drawing import Anchor, Drawing, Item, Line, Text, hatch
from coaxtell.models.palette import ACTION, HARM, INK, PAPER, QUIET
from coaxtell.pages.plot import TITLE, TYPE, Area, grid
from coaxtell.pages.spacing import thin


class Sheet(NamedTuple):
    """How large a figure is, where its plot lies on it [mm] and how large its type is."""

    width: float
    height: float
    area: Area
    type: float
    title: float
    small: bool


LARGE = Sheet(180.0, 121.0, Area(16.0, 25.0, 150.0, 100.0), TYPE, TITLE, False)
SMALL = Sheet(91.0, 76.0, Area(11.0, 25.5, 72.0, 56.0), 2.2, 2.7, True)
"""Several to a page; only the curves that decide."""
_DASHES: tuple[tuple[float, ...], ...] = ((), (4.0, 1.2), (1.6, 1.0), (0.5, 0.9))
_LABEL_STEP = 4.0
_STEPS = 8
_BESIDE = 2
"""So many classes to either side of the chosen one decide."""


class _Axes(NamedTuple):
    """Where a length [m] and a loss [dB] stand on the sheet [mm]."""

    metres: Axis
    loss: Axis


def _hatched(left: float, top: float, right: float, bottom: float, step: float, rising: bool) -> list[Item]:
    box = ((left, top), (right, top), (right, bottom), (left, bottom))
    return list(hatch((box,), step, -45.0 if rising else 45.0, HARM, 0.15))


def _zone(area: Area, top: float, bottom: float, rising: bool) -> list[Item]:
    """A hatched band across the chart; the two bands slant apart, so that they differ without colour."""
    return _hatched(area.left, top, area.right, bottom, 1.7, rising) if bottom - top > 0.2 else []


def _legend(sheet: Sheet, entries: list[tuple[bool, str]]) -> list[Item]:
    """What the hatched bands mean, below the chart: side by side, on a small figure one below the other."""
    shapes: list[Item] = []
    x, top = sheet.area.left, sheet.area.bottom + (10.5 if sheet.small else 13.5)
    for rising, words in entries:
        shapes += _hatched(x, top, x + 8, top + 4, 1.1, rising)
        shapes.append(Line(((x, top), (x + 8, top), (x + 8, top + 4), (x, top + 4), (x, top)), HARM, 0.15))
        shapes.append(Text((x + 10, top + 2), thin(words), sheet.type, HARM))
        if sheet.small:
            top += 5.0
        else:
            x += 18 + 1.72 * len(words)
    return shapes


def deciding(found: tuple[Curve, ...]) -> tuple[Curve, ...]:
    """The chosen class among its neighbours by loss, which are what else would have been taken."""
    at = next((number for number, curve in enumerate(found) if curve.first), 0)
    return found[max(at - _BESIDE, 0) : at + _BESIDE + 1]


def _lines(shown: tuple[Curve, ...], axes: _Axes, sheet: Sheet) -> list[Item]:
    area = sheet.area
    shapes: list[Item] = []
    ends: list[tuple[float, float, Curve]] = []
    for i, curve in enumerate(shown):
        far = min(axes.metres.limit, axes.loss.limit / curve.db_per_m)
        end = (axes.metres.at(far), axes.loss.at(curve.at(far)))
        colour = ACTION if curve.first else INK
        width = 0.7 if curve.first else 0.3
        dash = () if curve.first else _DASHES[i % len(_DASHES)]
        shapes.append(Line(((area.left, area.bottom), end), colour, width, dash))
        ends.append((*end, curve))
    over = sorted((e for e in ends if e[0] < area.right - 0.5), key=lambda e: e[0])
    side = sorted((e for e in ends if e[0] >= area.right - 0.5), key=lambda e: e[1])
    last_x = -math.inf
    for x, y, curve in over:
        label_x = max(x, last_x + 11)
        shapes.append(Line(((x, y), (label_x, area.top - 1.5)), QUIET, 0.15))
        shapes.append(_label((label_x, area.top - 3.2), curve, "middle", sheet.type))
        last_x = label_x
    places = spread([y for _, y, _ in side], _LABEL_STEP, area.bottom)
    for (x, y, curve), place in zip(side, places, strict=True):
        shapes.append(Line(((x, y), (x + 3, place)), QUIET, 0.15))
        shapes.append(_label((x + 4, place), curve, "start", sheet.type))
    return shapes


def _label(at: tuple[float, float], curve: Curve, anchor: Anchor, size: float) -> Text:
    words = f"{curve.name}, chosen" if curve.first and anchor == "start" else curve.name
    return Text(at, words, size, ACTION if curve.first else INK, anchor)


def figure(data: Curves, title: str, sheet: Sheet = LARGE) -> Drawing:
    """The curves as a figure; a small one shows the curves that decide."""
    left, top, right, bottom = area = sheet.area
    metres, loss = reach(data)
    steps = _STEPS // 2 if sheet.small else _STEPS
    axes = _Axes(axis(left, right, metres, steps), axis(bottom, top, loss, steps))
    legal = "within the limits only by grant" if data.by_grant else "within the limits"
    shapes: list[Item] = []
    held = bands(data)
    for band in held:
        shapes += _zone(area, axes.loss.at(band.high), axes.loss.at(band.low), band.over)
    shapes += grid(axes.metres, axes.loss, area, "dB of cable", sheet.type)
    shapes += _lines(deciding(data.curves) if sheet.small else data.curves, axes, sheet)
    x = axes.metres.at(data.length_m)
    shapes.append(Line(((x, top), (x, bottom + 1.2)), ACTION, 0.35, (2.0, 1.2)))
    # the axis is named at the end that the run's own length leaves free
    at_left = x > (left + right) / 2
    along = "length, m" if sheet.small else "length of the run, m"
    below = bottom + (7.0 if sheet.small else 8.5)
    shapes.append(Text((left if at_left else right, below), along, sheet.type, INK, "start" if at_left else "end"))
    shapes.append(Text((x, below), thin(f"this run, {data.length_m:.4g} m"), sheet.type, ACTION, "middle"))
    useful = f"useful ({say(data.target.reason)})"
    window = f"the clear window is {legal} and {useful}"
    if data.gain_assumed:
        window = f"the clear window is {useful}; limits not judged, {ASSUMED_GAIN} supposed"
    if data.conducted_broken:
        window = "no length serves"
    room = sheet.width - 8
    shown = broken(title, room, sheet.title)
    shapes.append(Text((5, 5), thin(shown[0] if len(shown) == 1 else f"{shown[0]}…"), sheet.title, INK))
    assumed = f", gain assumed {ASSUMED_GAIN}" if data.gain_assumed else ""
    words = f"{data.frequency_mhz:g} MHz, reader set to {data.power_dbm:.2f} dBm{assumed}"
    step = 1.6 * sheet.type
    lines = [*broken(words, room, sheet.type), *broken(window, room, sheet.type)]
    shapes += [Text((5, 10.5 + step * k), thin(line), sheet.type, QUIET) for k, line in enumerate(lines)]
    shapes += _legend(sheet, [(band.over, say(band.why)) for band in held])
    return Drawing(sheet.width, sheet.height, title, PAPER, tuple(shapes), 1.0)
