"""The bench under a picture: layout at one scale, millimetre grid, soft shadows, scale bar and names.

Plain numpy and Pillow. Screen coordinates in pixels, bench coordinates in mm.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from coaxtell.models.errors import RefusedError
from coaxtell.models.helix import Array
from coaxtell.models.lettering import font
from coaxtell.models.palette import BENCH, GRID_COARSE, GRID_FINE, INK, QUIET

Pixels = NDArray[np.float64]
BAR_STEPS = (0.5, 1, 2, 5, 10, 20, 50)
"""Lengths a scale bar may have [mm]."""
GAP = 0.12
"""Gap between neighbours in widths of the widest."""


SMALLEST, LARGEST = 160, 4096
"""Sides a picture may have [px]."""
MOST = 12
"""Halves in one picture: more would be too small to tell apart."""


def check(count: int, width: int, height: int) -> None:
    """Raise InputError where so many halves, or a size [px], make no picture."""
    if not 1 <= count <= MOST:
        raise RefusedError("models.pictured", count=count, most=MOST)
    if not all(SMALLEST <= side <= LARGEST for side in (width, height)):
        raise RefusedError("models.picture_size", width=width, height=height, least=SMALLEST, most=LARGEST)


class Theme(NamedTuple):
    """Colours of a bench: behind the parts, its grid, text."""

    bench: str
    grid_fine: str
    grid_coarse: str
    text: str
    quiet: str
    shadow: float


LIGHT = Theme(BENCH, GRID_FINE, GRID_COARSE, INK, QUIET, 0.42)
DARK = Theme("#15191C", "#20282C", "#2E393F", "#E9EDEA", "#A7B3B0", 0.70)


class Layout(NamedTuple):
    """Where each half lies: shift along the screen's right [mm], middle of the picture [mm], scale, outlines."""

    shifts: list[float]
    centre: tuple[float, float]
    px_per_mm: float
    spans: list[tuple[float, float]]
    low: float
    points: list[Array]


def lay_out(points: list[Array], right: Array, up: Array, size: tuple[int, int], names: bool) -> Layout:
    """Set groups of points [mm] side by side on the screen and find the largest scale that shows them all."""
    width, height = size
    across = [(float((p @ right).min()), float((p @ right).max())) for p in points]
    gap = GAP * max(b - a for a, b in across)
    shifts: list[float] = []
    spans: list[tuple[float, float]] = []
    x = 0.0
    for a, b in across:
        shifts.append(x - a)
        spans.append((x, x + b - a))
        x += b - a + gap
    total = x - gap
    low = min(float((p @ up).min()) for p in points)
    high = max(float((p @ up).max()) for p in points)
    caption = 0.13 * height if names else 0.03 * height
    room = width * 0.90, height * (0.92 if names else 0.94) - caption
    scale = min(room[0] / total, room[1] / (high - low))
    shown = height - caption
    centre_y = (low + high) / 2 - (height / 2 - shown / 2 - 0.01 * height) / scale
    moved = [p + right * s for p, s in zip(points, shifts, strict=True)]
    return Layout(shifts, (total / 2, centre_y), scale, spans, low, moved)


def _screen(layout: Layout, size: tuple[int, int], x: Array, y: Array) -> NDArray[np.float64]:
    """Pixels of screen positions [mm]."""
    width, height = size
    return np.column_stack([
        width / 2 + (x - layout.centre[0]) * layout.px_per_mm,
        height / 2 - (y - layout.centre[1]) * layout.px_per_mm,
    ])  # fmt: skip


def place(layout: Layout, size: tuple[int, int], x: float, y: float) -> tuple[float, float]:
    """Screen position [mm] of a pixel."""
    width, height = size
    return (
        layout.centre[0] + (x - width / 2) / layout.px_per_mm,
        layout.centre[1] - (y - height / 2) / layout.px_per_mm,
    )


def frame(layout: Layout, size: tuple[int, int], x: Array, y: Array) -> tuple[int, int, int, int]:
    """Left, top, right and bottom pixel of a frame round screen positions [mm], with a little air."""
    at = _screen(layout, size, x, y)
    left, top = (max(0, math.floor(v) - 4) for v in at.min(axis=0))
    right, bottom = (min(edge, math.ceil(v) + 4) for v, edge in zip(at.max(axis=0), size, strict=True))
    return left, top, right, bottom


def _hull(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Convex hull of points in the plane, Andrew's monotone chain."""
    rows = sorted(set(map(tuple, np.round(points, 2).tolist())))
    chains: list[list[tuple[float, float]]] = []
    for order in (rows, rows[::-1]):
        chain: list[tuple[float, float]] = []
        for p in order:
            while len(chain) > 1:
                (ax, ay), (bx, by) = chain[-2], chain[-1]
                if (bx - ax) * (p[1] - ay) - (by - ay) * (p[0] - ax) > 0:
                    break
                chain.pop()
            chain.append(p)
        chains.append(chain[:-1])
    return np.array(chains[0] + chains[1])


def _grid(image: Image.Image, layout: Layout, theme: Theme, ground: tuple[Array, Array] | None, over: int) -> None:
    """Millimetre lines: on the bench as it is seen, or behind a part seen square on."""
    draw = ImageDraw.Draw(image)
    size = image.width // over, image.height // over
    reach = 2.0 * (size[0] + size[1]) / layout.px_per_mm
    if ground is None:
        first, second = (np.array([1.0, 0.0]), np.array([0.0, 1.0]))
        start = np.array([0.0, 0.0])
    else:
        right, up = ground
        first = np.array([right[0], up[0]])
        second = np.array([right[2], up[2]])
        start = np.array([0.0, 0.0])
    fine = layout.px_per_mm >= (7 if ground is None else 12)
    steps = ((10, theme.grid_coarse),) if not fine else ((1, theme.grid_fine), (10, theme.grid_coarse))
    for step, colour in steps:
        count = math.ceil(reach / step)
        middle = start
        if ground is not None:
            # the ground point under the middle of the picture, so that the lines reach every corner
            a = np.linalg.solve(np.column_stack([first, second]), np.array(layout.centre))
            middle = first * round(a[0] / 10) * 10 + second * round(a[1] / 10) * 10
        else:
            middle = np.round(np.array(layout.centre) / 10) * 10
        for k in range(-count, count + 1):
            for one, other in ((first, second), (second, first)):
                ends = np.array([middle + one * k * step - other * reach, middle + one * k * step + other * reach])
                line = _screen(layout, size, ends[:, 0], ends[:, 1]) * over
                draw.line([tuple(p) for p in line], fill=colour, width=over if step == 1 else round(1.5 * over))


def _shadow(layout: Layout, size: tuple[int, int], ground: tuple[Array, Array]) -> Pixels:
    """How much light the parts take from the bench, 0 to 1: a wide faint shadow and a narrow one at the contact."""
    right, up = ground
    total = np.zeros((size[1], size[0]))
    for reach, strength, blur in ((0.55, 0.55, 0.30), (0.12, 0.75, 0.07)):
        image = Image.new("L", size, 0)
        draw = ImageDraw.Draw(image)
        biggest = 0.0
        for points in layout.points:
            flat = points[:: max(1, len(points) // 3000)].copy()
            if reach < 0.2:
                flat = flat[flat[:, 1] < flat[:, 1].min() + 0.12 * np.ptp(flat[:, 1])]
            # the key light stands upper left in front: shadows fall to the right and away
            flat[:, 0] += reach * flat[:, 1] * 0.6
            flat[:, 2] -= reach * flat[:, 1] * 0.5
            flat[:, 1] = 0.0
            hull = _hull(_screen(layout, size, flat @ right, flat @ up))
            if len(hull) > 2:  # what is tilted may stand on one corner
                draw.polygon([tuple(p) for p in hull], fill=255)
            biggest = max(biggest, float(np.ptp(points[:, 1])))
        soft = image.filter(ImageFilter.GaussianBlur(max(1.0, blur * biggest * layout.px_per_mm / 2)))
        total = 1 - (1 - total) * (1 - strength * np.asarray(soft, dtype=float) / 255)
    return total


def bar_length(px_per_mm: float, width: int) -> float:
    """Length of the scale bar [mm]: the longest even one within a sixth of the picture's width [px]."""
    fitting = [step for step in BAR_STEPS if step * px_per_mm <= width / 6]
    return fitting[-1] if fitting else BAR_STEPS[0]


class Label(NamedTuple):
    """One line of a name: its words, where its middle stands [px], lines above the lowest, size of the type [px]."""

    words: str
    middle: float
    above: int
    size: float


LEADING = 1.15
"""From line to line, in sizes of the type."""
SMALLEST_TYPE = 0.7
"""Names are never written smaller than this share of the usual size."""


def labels(draw: ImageDraw.ImageDraw, names: list[str], middles: list[float], size: float, width: float) -> list[Label]:
    """The names under their parts in lines of one size that do not touch: broken, and in two tiers where all is narrow.

    `middles` [px] rise from left to right; `size` [px] is the usual one of the type.
    """
    for share, tiers in ((1.0, 1), (1.0, 2), (0.85, 2), (SMALLEST_TYPE, 2)):
        found = _tiers(draw, names, middles, share * size, width, tiers)
        if found is not None:
            return found
    found = _tiers(draw, names, middles, SMALLEST_TYPE * size, width, 3, anyhow=True)
    assert found is not None
    return found


def _tiers(
    draw: ImageDraw.ImageDraw,
    names: list[str],
    middles: list[float],
    size: float,
    width: float,
    tiers: int,
    anyhow: bool = False,
) -> list[Label] | None:
    """The names in so many tiers, every one between its neighbours of the same tier; none where one has no room."""
    type_, below = font(size), 0
    found: list[Label] = []
    for tier in range(tiers):
        broken: dict[int, list[str]] = {}
        for i in range(tier, min(len(names), len(middles)), tiers):
            left = (middles[i - tiers] + middles[i]) / 2 if i >= tiers else 0.0
            right = (middles[i] + middles[i + tiers]) / 2 if i + tiers < len(middles) else width
            room = 2 * min(middles[i] - left, right - middles[i]) - 0.5 * size
            lines: list[str] = []
            for word in names[i].replace(" ohm", "\u00a0ohm").split(" "):
                if lines and draw.textlength(f"{lines[-1]} {word}", font=type_) <= room:
                    lines[-1] += f" {word}"
                else:
                    lines.append(word)
            if not anyhow and any(draw.textlength(line, font=type_) > room for line in lines):
                return None
            broken[i] = lines
        deepest = max(map(len, broken.values()), default=0)
        for i, lines in broken.items():
            found += [Label(line, middles[i], below + deepest - 1 - k, size) for k, line in enumerate(lines)]
        below += deepest
    return found


def compose(
    colour: Pixels,
    cover: Pixels,
    layout: Layout,
    theme: Theme,
    names: list[str],
    ground: tuple[Array, Array] | None,
    letters: float = 1.0,
    halo: bool = False,
) -> Image.Image:
    """Lay the rendered parts on the bench and write their names and the scale beside them.

    `colour` (already weighted by `cover`) as rendered; `ground`: right and up of the camera where the bench is
    seen from above; `letters`: the size of the type and the bar in the usual one; a larger one has a halo, since it
    may lie on a part, and so it has where `halo` asks for it.
    """
    height, width = cover.shape
    over = 2
    back = Image.new("RGB", (width * over, height * over), theme.bench)
    _grid(back, layout, theme, ground, over)
    under = np.asarray(back.resize((width, height), Image.Resampling.BOX), dtype=float) / 255
    if ground is not None:
        under = under * (1 - theme.shadow * _shadow(layout, (width, height), ground))[..., None]
    whole = colour + (1 - cover)[..., None] * under
    image = Image.fromarray((np.clip(whole, 0, 1) * 255 + 0.5).astype(np.uint8))
    draw = ImageDraw.Draw(image)
    size = letters * max(11.0, min(0.034 * height, 0.02 * width))
    base = height - 1.9 * size
    middles = [
        float(_screen(layout, (width, height), np.array([(a + b) / 2]), np.array([0.0]))[0, 0]) for a, b in layout.spans
    ]
    for label in labels(draw, names, middles, size, width):
        at = (label.middle, base - 1.6 * size - LEADING * label.size * label.above)
        draw.text(at, label.words, font=font(label.size), fill=theme.text, anchor="mm")
    length = bar_length(layout.px_per_mm, width)
    end = round(width - 1.2 * size)
    start = end - round(length * layout.px_per_mm)
    thick = max(2, round(size / 8))
    draw.rectangle([start, base + 0.6 * size, end - 1, base + 0.6 * size + thick - 1], fill=theme.text)
    for x in (start, end - thick):
        draw.rectangle([x, base + 0.3 * size, x + thick - 1, base + 0.9 * size + thick - 1], fill=theme.text)
    at = (start - 0.5 * size, base + 0.6 * size)
    edge = max(1, round(size / 8)) if halo or letters > 1 else 0
    draw.text(at, f"{length:g} mm", font=font(0.85 * size), fill=theme.text if edge else theme.quiet, anchor="rm",
              stroke_width=edge, stroke_fill=theme.bench)  # fmt: skip
    return image
