"""Colours, type sizes and spacing of the window; the only place that knows any of them."""

from __future__ import annotations

from typing import Literal, NamedTuple

Colour = tuple[int, int, int]
Tone = Literal["dark", "light"]

SMALL, BODY, LARGE, HUGE = 14, 18, 24, 36
"""The four sizes of type [units]."""
STEP = 8
"""Spacing goes in steps of this [units]."""
CORNER = 6
"""Radius of corners [units]."""
TARGET = 40
"""Height of a button or field [units]."""
BAND = 56
"""Height of the band with the word of the job [units]."""
LEAST_TARGET = 24
"""No target is smaller than this [units]."""
MOTION_S = 0.22
"""How long a movement that explains lasts [s]."""
TEXT_SIZES = (100, 150, 200)
"""Sizes of text a person may choose [percent]."""


def rgb(code: str) -> Colour:
    """The colour of a code such as `#15191C`."""
    return int(code[1:3], 16), int(code[3:5], 16), int(code[5:7], 16)


class Palette(NamedTuple):
    """All colours of one tone of bench."""

    tone: Tone
    bench: Colour
    grid_fine: Colour
    grid_coarse: Colour
    panel: Colour
    raised: Colour
    """Cards and fields on the panel."""
    edge: Colour
    """Outline of a card or field."""
    text: Colour
    quiet: Colour
    action: Colour
    on_action: Colour
    harm: Colour
    fits: Colour
    ink: Colour
    """Outlines of drawn parts."""
    metal: Colour
    """Cut face of a shell or nut."""
    skin: Colour
    """Outside of a shell or nut."""
    ptfe: Colour
    brass: Colour
    shade: Colour
    """What rendered pictures are weighted by on this bench, so that gold stands off it."""


DARK = Palette(
    tone="dark",
    bench=rgb("#15191C"),
    grid_fine=rgb("#20282C"),
    grid_coarse=rgb("#2E393F"),
    panel=rgb("#1E2529"),
    raised=rgb("#273035"),
    edge=rgb("#6F7C7F"),
    text=rgb("#E9EDEA"),
    quiet=rgb("#A7B3B0"),
    action=rgb("#5CC8C4"),
    on_action=rgb("#0E1214"),
    harm=rgb("#FF7A6B"),
    fits=rgb("#9AD48A"),
    ink=rgb("#0B0E10"),
    metal=rgb("#7E8F98"),
    skin=rgb("#C7CBC9"),
    ptfe=rgb("#F3F0E6"),
    brass=rgb("#D9A53A"),
    shade=(255, 255, 255),
)
LIGHT = Palette(
    tone="light",
    bench=rgb("#F4F1EA"),
    grid_fine=rgb("#E2DDD1"),
    grid_coarse=rgb("#C9C2B2"),
    panel=rgb("#FFFFFF"),
    raised=rgb("#F7F5F0"),
    edge=rgb("#7D8485"),
    text=rgb("#1A1F21"),
    quiet=rgb("#545D5F"),
    action=rgb("#00666B"),
    on_action=rgb("#FFFFFF"),
    harm=rgb("#B3261E"),
    fits=rgb("#2F6B1E"),
    ink=rgb("#23292B"),
    metal=rgb("#8496A0"),
    skin=rgb("#D6D8D4"),
    ptfe=rgb("#FFFDF6"),
    brass=rgb("#A87A1C"),
    shade=(196, 196, 196),
)
PALETTES: dict[Tone, Palette] = {"dark": DARK, "light": LIGHT}


def mixed(one: Colour, other: Colour, share: float) -> Colour:
    """`share` of the other colour mixed into one."""
    r, g, b = (round(p + (q - p) * share) for p, q in zip(one, other, strict=True))
    return r, g, b


def _linear(channel: int) -> float:
    value = channel / 255
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def contrast(one: Colour, other: Colour) -> float:
    """Contrast of two colours, 1 to 21, as WCAG 2 defines it."""
    light, dark = sorted(
        (0.2126 * _linear(c[0]) + 0.7152 * _linear(c[1]) + 0.0722 * _linear(c[2]) for c in (one, other)),
        reverse=True,
    )
    return (light + 0.05) / (dark + 0.05)


def scale_for(width: int, height: int, text_percent: int) -> float:
    """Pixels per unit for a window [px] at a chosen text size [percent]; never less than the text size asks."""
    return max(1.0, min(width / 1366, height / 768)) * text_percent / 100
