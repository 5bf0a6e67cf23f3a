"""A run on the bench: both ports with what goes onto them, cut open at one scale, and the cable between."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.cables.assembly import Assembly
from coaxtell.models.half import Half
from coaxtell.window.desk.art import Art
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import SMALL, STEP
from coaxtell.window.views.scales import THIN, ground, scale_bar


class Ends(NamedTuple):
    """The two ports of a run, and whether each is settled so that something may be ordered for it."""

    ports: tuple[Half, Half]
    settled: tuple[bool, bool]


def draw(pen: Pen, box: Box, art: Art, ends: Ends, chosen: Assembly, length_m: float) -> Box:
    """Draw a run at the top of the bench; returns the room left below it."""
    # what goes onto a port: the cable's own end, or the adapter or jumper before it
    links = chosen.links
    onto = [side[0].outer if side else end for side, end in zip(links, chosen.ends, strict=True)]
    kinds = ["" if not side else " (jumper)" if side[0].jumper else " (adapter)" for side in links]
    if chosen.pigtail is not None:
        onto[0], kinds[0] = chosen.pigtail.ends[0], " (pigtail)"
    shown = [half for half in (ends.ports[0], *onto, ends.ports[1]) if half is not None]
    reach = [art.extent(half) for half in shown]
    small, wide = pen.type.line(SMALL), box.w / 2 - 4 * STEP
    words = [_said(*told) for told in zip(("reader", "antenna"), ends.ports, ends.settled, onto, kinds, strict=True)]
    lines = max(2, *(len(pen.type.folded(told, SMALL, wide)) for told in words))
    top = lines * small + STEP / 2
    high = Box(box.x, box.y + STEP, box.w, max(96.0, min(200.0, box.h * 0.3)) + (lines - 2) * small)
    per_mm = min(
        (high.h - top - small) / (2 * max(one.radius for one in reach)),
        box.w * 0.16 / max(one.length for one in reach),
    )
    axis = high.y + top + max(one.radius for one in reach) * per_mm
    left, right = box.x + 3 * STEP, box.right - 3 * STEP
    pen.grid(ground(box), per_mm, (left, axis))
    start = _half(pen, art, ends.ports[0], left, axis, per_mm, 1) + STEP
    end = _half(pen, art, ends.ports[1], right, axis, per_mm, -1) - STEP
    if onto[0] is not None:
        long = art.extent(onto[0]).length * per_mm
        _half(pen, art, onto[0], start + long, axis, per_mm, -1)
        start += long
    if onto[1] is not None:
        long = art.extent(onto[1]).length * per_mm
        _half(pen, art, onto[1], end - long, axis, per_mm, 1)
        end -= long
    _cable(pen, chosen, start, end, axis, length_m)
    pen.lines(words[0], Box(left, high.y, wide, top), SMALL, pen.palette.quiet)
    pen.lines(words[1], Box(right - wide, high.y, wide, top), SMALL, pen.palette.quiet, anchor="right")
    bar = Box(box.x, high.bottom, box.w, 3.5 * STEP)
    scale_bar(pen, bar, per_mm)
    return Box(box.x + STEP, bar.bottom + STEP, box.w - 2 * STEP, box.bottom - bar.bottom - 2 * STEP)


def _said(name: str, own: Half, settled: bool, onto: Half | None, kind: str) -> str:
    """The two lines of a port: what it is, and what is ordered for it."""
    if not settled:
        return f"{name}: {own.name}\nnot settled"
    return f"{name}: {own.name}" + ("" if onto is None else f"\norder {onto.name}{kind}")


def _cable(pen: Pen, chosen: Assembly, start: float, end: float, axis: float, length_m: float) -> None:
    """The cable between the ends, with what stands in it where it stands, and its words."""
    small = pen.type.line(SMALL)
    pen.line((start, axis), (end, axis), pen.palette.action, 5)
    if chosen.inline is not None:
        at = start + (end - start) * chosen.inline.at_m / chosen.length_m
        mark = Box(at - STEP, axis - STEP, 2 * STEP, 2 * STEP)
        pen.fill(mark, pen.palette.panel)
        pen.frame(mark, pen.palette.text, 2)
        words, room = chosen.inline.kind.value, end - start
        half = min(room, pen.type.width(words, SMALL)) / 2
        at = min(max(at, start + half), end - half)
        pen.lines(words, Box(at - room / 2, axis + STEP + 2, room, small), SMALL, pen.palette.text, anchor="middle")
    words, room = f"{length_m:.4g}{THIN}m of class {chosen.cable.name}", end - start - STEP
    tall = len(pen.type.folded(words, SMALL, room, True)) * small
    place = Box(start + STEP / 2, axis - tall - STEP - 2, room, tall)
    pen.lines(words, place, SMALL, pen.palette.text, True, "middle")


def _half(pen: Pen, art: Art, half: Half, edge: float, axis: float, per_mm: float, towards: int) -> float:
    """Draw a half cut open from its back edge on, its face to the right or left; where its face ends."""
    size = art.extent(half)
    wide, tall = size.length * per_mm, 2 * size.radius * per_mm
    x = edge if towards > 0 else edge - wide
    at = (edge - towards * size.rear * per_mm, axis)
    place = Box(x, axis - tall / 2, wide, tall)
    pen.shape(art.cut_open(half, pen.palette, towards), at, per_mm, place, half.id)
    return edge + towards * wide
