"""What two classes of cable lose over a run, against what is allowed: a bar for each, its cable in cross-section."""

from __future__ import annotations

from coaxtell.quiz import words
from coaxtell.quiz.class_loss import ClassLoss, Losses
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import SMALL, STEP
from coaxtell.window.kit.widgets import mark
from coaxtell.window.views.scales import THIN

THIN_BAR, THICK_BAR = 16.0, 44.0
"""Thickness of a bar on a low bench and on a high one [units]."""
MOST = 640.0
"""No wider than this do the bars become [units]."""
BEYOND = 1.08
"""How far the scale reaches beyond the longest bar, or what is allowed."""


def draw(pen: Pen, box: Box, told: Losses) -> None:
    """The run in words, the thinner class over the thicker; what is lost beyond what is allowed is hatched."""
    p, small = pen.palette, pen.type.line(SMALL)
    wide = min(MOST, box.w - 4 * STEP)
    inner = Box(box.x + (box.w - wide) / 2, box.y + STEP, wide, box.h - 2 * STEP)
    run = f"{told.length_m:g}{THIN}m of cable at {told.mhz:g}{THIN}MHz may lose {told.allowed_db:g}{THIN}dB"
    run = f"{run}; the end is right"
    head = len(pen.type.folded(run, SMALL, wide, True)) * pen.type.line(SMALL, True) + STEP
    room = inner.h - head - small - STEP
    thick = max(THIN_BAR, min(THICK_BAR, room / 2 - 2 * small - STEP))
    row = 2 * small + thick + STEP
    side = row - STEP
    inner = inner._replace(y=inner.y + max(0.0, (room - 2 * row) / 2))
    pen.lines(run, inner, SMALL, bold=True)
    y = inner.y + head
    left = inner.x + side + STEP
    per_db = (inner.right - left) / (BEYOND * max(told.allowed_db, *(one.db for one in told.classes)))
    at = left + told.allowed_db * per_db
    per_mm = side / max(one.diameter_mm for one in told.classes)
    for one in told.classes:
        bar = Box(left, y + small, one.db * per_db, thick)
        _row(pen, bar, told, one, at)
        pen.line((at, bar.y), (at, bar.bottom), p.text, 2)
        centre, radius = (inner.x + side / 2, y + side / 2), one.diameter_mm * per_mm / 2
        pen.ring(centre, radius, p.quiet)
        pen.ring(centre, radius, p.harm if one.chosen else p.fits, 2)
        y += row
    pen.line((left, y), (inner.right, y), p.quiet, 1)
    pen.line((at, y - 4), (at, y + 4), p.text, 2)
    limit = f"{told.allowed_db:g}{THIN}dB allowed"
    half = pen.type.width(limit, SMALL, True) / 2
    pen.words(limit, (max(left + half, min(inner.right - half, at)), y + 4), SMALL, p.text, True, "middle")


def _row(pen: Pen, bar: Box, told: Losses, one: ClassLoss, at: float) -> None:
    """One class: its name with its loss, the bar, and what is wrong or right with it."""
    p, small = pen.palette, pen.type.line(SMALL)
    name = words.say(one.cable)
    pen.words(f"{name}, {one.diameter_mm:g}{THIN}mm: {one.db:.1f}{THIN}dB", (bar.x, bar.y - small), SMALL, p.text, True)
    good = bar._replace(w=min(bar.w, at - bar.x))
    pen.fill(good, p.fits)
    rest = Box(good.right, bar.y, bar.right - good.right, bar.h)
    if rest.w > 1:
        pen.hatch(rest, p.harm)
    pen.frame(bar, p.text, 1.4, 0)
    over, thicker = one.db - told.allowed_db, one.diameter_mm / min(c.diameter_mm for c in told.classes)
    if one.chosen:
        why = f"{over:.1f}{THIN}dB too much" if over > 0 else f"{thicker:.1f} times as thick as needed"
        said = f"chosen: {why}"
    else:
        said = "right: keeps to it"
    mark(pen, Box(bar.x, bar.bottom + 2, small, small), not one.chosen)
    pen.words(said, (bar.x + small + STEP / 2, bar.bottom + 2), SMALL, p.harm if one.chosen else p.fits, True)
