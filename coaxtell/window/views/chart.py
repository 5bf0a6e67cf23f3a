"""The loss curves of a run on the bench: lines by class, this run, and the window that is legal and useful."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.axes import Axis, axis, spread
from coaxtell.cables.curves import Band, Curves, bands, reach
from coaxtell.cables.words import say
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import SMALL, STEP, Colour
from coaxtell.window.views.scales import THIN

PATCH = 36.0
"""Room for the hatched patch before its words [units]."""


class Axes(NamedTuple):
    """Where a length [m] and a loss [dB] stand in a box [units]."""

    metres: Axis
    loss: Axis


def metres_per_unit(box: Box, data: Curves, least_m: float) -> float:
    """How much longer the run is for each unit along the chart in a bench of this size [m/unit]."""
    return _along(0.0, box.w, reach(data, least_m)[0]).limit / (box.w - _MARGINS)


_MARGINS = 120.0
"""What the bench leaves free beside the chart [units], about."""


def _along(start: float, end: float, metres: float) -> Axis:
    return axis(start, end, metres, max(2, int((end - start) / 70)))


def draw(pen: Pen, box: Box, data: Curves, least_m: float) -> Axes:
    """The chart with its words below it, `least_m` long at least; returns its axes."""
    p = pen.palette
    small = pen.type.line(SMALL)
    label = pen.type.width("RG-213", SMALL) + STEP
    legend = max(len(pen.type.folded(say(one.why), SMALL, box.w - 2 * STEP - PATCH)) for one in bands(data)) * small
    foot = 2 * small + legend + 2 * STEP
    inner = Box(box.x + 44, box.y + 2 * small + 4, box.w - 44 - label, box.h - foot - 2 * small - 4)
    metres, loss = reach(data, least_m)
    axes = Axes(
        _along(inner.x, inner.right, metres),
        axis(inner.bottom, inner.y, loss, max(2, int(inner.h / 40))),
    )
    pen.fill(inner, p.panel)
    _zones(pen, inner, axes, data)
    for x, words in axes.metres.marks():
        pen.line((x, inner.y), (x, inner.bottom), p.grid_coarse)
        pen.words(words, (x, inner.bottom + 4), SMALL, p.quiet, anchor="middle")
    for y, words in axes.loss.marks()[:-1]:
        pen.line((inner.x, y), (inner.right, y), p.grid_coarse)
        if y < inner.bottom:
            pen.words(words, (inner.x - STEP, y - small / 2), SMALL, p.quiet, anchor="right")
    pen.words(f"{axes.loss.limit:g}{THIN}dB of cable", (box.x + STEP, inner.y - 2 * small - 3), SMALL, p.quiet)
    pen.words("length of the run, m", (inner.right, inner.bottom + 4 + small), SMALL, p.quiet, anchor="right")
    _lines(pen, inner, axes, data, small)
    _legend(pen, Box(box.x + STEP, inner.bottom + 2 * small + STEP, box.w - 2 * STEP, small), data, axes)
    return axes


def _zones(pen: Pen, inner: Box, axes: Axes, data: Curves) -> None:
    for band in bands(data):
        top, bottom = axes.loss.at(band.high), axes.loss.at(band.low)
        if bottom > top:
            pen.hatch(Box(inner.x, top, inner.w, bottom - top), *_hatching(pen, band, 10, 18))


def _hatching(pen: Pen, band: Band, over: float, short: float) -> tuple[Colour, float]:
    """Colour and pitch of a band's strokes; over the limits they stand closer."""
    return (pen.palette.harm, over) if band.over else (pen.palette.quiet, short)


def _lines(pen: Pen, inner: Box, axes: Axes, data: Curves, small: float) -> None:
    p = pen.palette
    side: list[tuple[float, str, bool]] = []
    over: list[tuple[float, str, bool]] = []
    for curve in sorted(data.curves, key=lambda c: c.first):
        end_m = min(axes.metres.limit, axes.loss.limit / curve.db_per_m)
        end = (axes.metres.at(end_m), axes.loss.at(curve.at(end_m)))
        colour, width = (p.action, 4.0) if curve.first else (p.quiet, 1.6)
        pen.curve([(axes.metres.at(0), axes.loss.at(0)), end], colour, width)
        if end[0] > inner.right - 1:
            side.append((end[1], curve.name, curve.first))
        else:
            over.append((end[0], curve.name, curve.first))
    # every line has its name: beside the chart, or above it, moved apart where they would cover each other
    side.sort()
    for (y, name, first), place in zip(
        side, spread([y for y, _, _ in side], small, inner.bottom + 3 - small / 2), strict=True
    ):
        pen.line((inner.right, y), (inner.right + 5, place), p.quiet)
        pen.words(name, (inner.right + 6, place - small / 2), SMALL, p.text if first else p.quiet, first)
    over.sort()
    wide = max((pen.type.width(name, SMALL, first) for _, name, first in over), default=0.0) + STEP / 2
    places = spread([x for x, _, _ in over], wide, inner.right + 44 - wide / 2)
    for (x, name, first), place in zip(over, places, strict=True):
        pen.line((x, inner.y), (place, inner.y - 4), p.quiet)
        pen.words(name, (place, inner.y - small - 3), SMALL, p.text if first else p.quiet, first, "middle")
    x = axes.metres.at(data.length_m)
    pen.line((x, inner.y), (x, inner.bottom), p.action, 1.6)
    here = next(c for c in data.curves if c.first).at(data.length_m)
    pen.ring((x, axes.loss.at(here)), 7, p.bench)
    pen.ring((x, axes.loss.at(here)), 5, p.action)


def _legend(pen: Pen, box: Box, data: Curves, axes: Axes) -> None:
    """What the hatched bands mean, in words."""
    p = pen.palette
    band = next((one for one in bands(data) if one.low < axes.loss.limit), None)
    if band is None:
        kept = "within the limits only by grant" if data.by_grant or data.gain_assumed else "within the limits"
        pen.words(f"every length is {kept}", (box.x, box.y), SMALL, p.quiet)
        return
    colour, pitch = _hatching(pen, band, 6.0, 9.0)
    patch = Box(box.x, box.y + 1, 28, box.h - 2)
    pen.hatch(patch, colour, pitch)
    pen.frame(patch, colour, 1, 2)
    pen.lines(say(band.why), Box(box.x + PATCH, box.y, box.w - PATCH, box.h), SMALL, p.text)
