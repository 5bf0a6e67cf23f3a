"""A delivery's sweep as a figure: measured loss over frequency, what was expected, and the most a good one loses."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from coaxtell.axes import Axis, axis
from coaxtell.cables.arrival.judging import Arrival
from coaxtell.models.drawings.drawing import Drawing, Line, Text, hatch
from coaxtell.models.palette import ACTION, HARM, INK, PAPER, QUIET
from coaxtell.pages.plot import TITLE, TYPE, Area, grid
from coaxtell.pages.spacing import thin

WIDTH, HEIGHT = 180.0, 96.0
_LEFT, _TOP, _RIGHT, _BOTTOM = _AREA = Area(16.0, 16.0, 172.0, 78.0)
_POINTS = 240
"""Points of a curve that are drawn; more do not show."""


def figure(arrival: Arrival, title: str) -> Drawing:
    """The figure, 180 by 96 mm: loss where it was measured, else the return loss."""
    reading = arrival.reading
    measured = reading.match_db if reading.loss_db is None else reading.loss_db
    hz = reading.match_hz if reading.loss_db is None else reading.hz
    upper = arrival.expected_db + arrival.plus_minus_db
    most = float(max(np.percentile(measured, 99.5), upper.max() if reading.loss_db is not None else 0.0))
    along = axis(_LEFT, _RIGHT, float(reading.match_hz[-1]) / 1e6, 10)
    up = axis(_BOTTOM, _TOP, max(1.05 * most, 0.5), 8)
    shapes = grid(along, up, _AREA, "return loss, dB" if reading.loss_db is None else "loss, dB")
    shapes.append(Text((_RIGHT, _BOTTOM + 8), "frequency, MHz", TYPE, INK, "end"))
    if reading.loss_db is not None:
        lower = np.maximum(arrival.expected_db - arrival.plus_minus_db, 0)
        edge = (*_places(along, up, hz, upper), *reversed(_places(along, up, hz, lower)))
        shapes += hatch((edge,), 1.4, 45.0, QUIET, 0.12)
        shapes.append(Line(_places(along, up, hz, arrival.expected_db), QUIET, 0.35, (2.0, 1.2)))
        shapes.append(Line(_places(along, up, hz, upper), HARM, 0.3))
    shapes.append(Line(_places(along, up, hz, measured), ACTION, 0.5))
    run = along.at(arrival.ordered.mhz)
    shapes.append(Line(((run, _TOP), (run, _BOTTOM)), INK, 0.2, (0.8, 0.8)))
    shapes.append(Text((5, 5), thin(title[:80]), TITLE, INK))
    words = "measured (thick)"
    if reading.loss_db is not None:
        words += "; expected (dashes) with its plus-minus (hatched); the most a good one loses (thin, upper edge)"
    shapes.append(Text((_LEFT, _BOTTOM + 13), thin(words), TYPE, INK))
    return Drawing(WIDTH, HEIGHT, title, PAPER, tuple(shapes), 1.0)


def _places(
    along: Axis, up: Axis, hz: NDArray[np.float64], values: NDArray[np.float64]
) -> tuple[tuple[float, float], ...]:
    step = max(1, len(hz) // _POINTS)
    pairs = zip(hz[::step], values[::step], strict=True)
    return tuple((along.at(float(f) / 1e6), up.at(max(float(v), 0.0))) for f, v in pairs)
