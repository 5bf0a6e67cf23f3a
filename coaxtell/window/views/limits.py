"""What a pair that connects is limited by, as bars on one scale: how high each half goes, how firmly it is turned."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.half import Half
from coaxtell.models.mating.reasons import losses
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import SMALL, STEP
from coaxtell.window.views.scales import THIN
from coaxtell.window.views.viewpoints import draw_half

BAR = 30.0
"""Height of a bar with its half beside it [units]."""
THICK = 12.0
"""Thickness of a bar [units]."""


class Scale(NamedTuple):
    """One quantity of both halves: its unit, from where to where each half's bar reaches, where the pair stops; of a
    torque also what it is tightened to."""

    unit: str
    bars: tuple[tuple[float, float], tuple[float, float]]
    stops: float
    aim: float | None = None

    @property
    def words(self) -> str:
        """What holds for the two together."""
        most = f"{self.stops:g}{THIN}{self.unit} at most"
        return f"together {most}" if self.aim is None else f"tighten to {self.aim:g}{THIN}{self.unit}, {most}"


def scales(one: Half, two: Half) -> list[Scale]:
    """What the two lose of frequency [GHz] and of torque [N m]; empty where neither."""
    codes = {loss.code for loss in losses(one, two)}
    found = []
    if "loss.frequency" in codes:
        assert one.top_ghz is not None
        assert two.top_ghz is not None
        tops = (one.top_ghz.nominal, two.top_ghz.nominal)
        found.append(Scale("GHz", ((0.0, tops[0]), (0.0, tops[1])), min(tops)))
    if "loss.torque" in codes:
        assert one.torque_nm is not None
        assert two.torque_nm is not None
        ends = [(torque.low, torque.high) for torque in (one.torque_nm, two.torque_nm)]
        aim = min(one.torque_nm.nominal, two.torque_nm.nominal)
        found.append(Scale(f"N{THIN}m", (ends[0], ends[1]), min(high for _, high in ends), aim))
    return found


def height(pen: Pen, count: int, bar: float = BAR) -> float:
    """Room that so many scales take, each bar with so much room [units]."""
    return count * (2 * bar + pen.type.line(SMALL) + STEP)


def fitting(pen: Pen, count: int, room: float) -> float:
    """The room for each bar with which so many scales fit a height, as it is usually where that is enough [units]."""
    return min(BAR, (room / max(1, count) - pen.type.line(SMALL) - STEP) / 2)


def draw(pen: Pen, box: Box, desk: Desk, one: Half, two: Half, bar: float = BAR) -> None:
    """Each scale with a bar for each half: what both bear in the colour of what fits, what only one bears hatched."""
    y = box.y
    for scale in scales(one, two):
        y = _scale(pen, Box(box.x, y, box.w, 0.0), desk, (one, two), scale, bar) + STEP


def _scale(pen: Pen, box: Box, desk: Desk, halves: tuple[Half, Half], scale: Scale, bar: float) -> float:
    p, small = pen.palette, pen.type.line(SMALL)
    thick = min(THICK, 0.6 * bar)
    told = [f"{low:g} to {high:g}" if low else f"{high:g}" for low, high in scale.bars]
    told = [f"{words}{THIN}{scale.unit}" for words in told]
    left = box.x + bar + STEP
    # each bar's number stands behind it
    wide = box.right - left - max(pen.type.width(words, SMALL, True) for words in told) - STEP
    per = wide / max(high for _, high in scale.bars)
    stop = left + scale.stops * per
    for i, (half, (low, high)) in enumerate(zip(halves, scale.bars, strict=True)):
        middle = box.y + (i + 0.5) * bar
        reach = desk.art.extent(half).reach
        draw_half(pen, desk, half, (box.x + bar / 2, middle), bar / 2 / reach, 1.0)
        whole = Box(left + low * per, middle - thick / 2, max(2.0, (high - low) * per), thick)
        good = whole._replace(w=max(0.0, min(whole.w, stop - whole.x)))
        if good.w:
            pen.fill(good, p.fits)
        rest = Box(good.right, whole.y, whole.right - good.right, thick)
        if rest.w > 1:
            pen.hatch(rest, p.harm)
        pen.frame(whole, p.text, 1.4, 0)
        if low > 0 and scale.stops < low:
            # nothing of it may be used: crossed out
            pen.line((whole.x, whole.bottom), (whole.right, whole.y), p.harm, 2)
        pen.words(told[i], (whole.right + STEP, middle - small / 2), SMALL, p.text, True)
    foot = box.y + 2 * bar
    pen.line((left, foot), (left + wide, foot), p.quiet, 1)
    pen.line((stop, box.y), (stop, foot + 5), p.text, 2)
    reach = pen.type.width(scale.words, SMALL) / 2
    pen.words(scale.words, (max(left + reach, min(box.right - reach, stop)), foot + 5), SMALL, p.text, anchor="middle")
    pen.words("0", (left - 10, foot - small / 2), SMALL, p.quiet, anchor="right")
    return foot + 5 + small
