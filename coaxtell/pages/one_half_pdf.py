"""The sheet of one half as PDF: pictures, life size, what to see and measure, what mates, what to beware of."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Literal, NamedTuple

from coaxtell.models.catalogue import tell
from coaxtell.models.drawings import face, panel, section
from coaxtell.models.drawings.drafting import Frame
from coaxtell.models.drawings.drawing import Item, Line, Point, Polygon
from coaxtell.models.half import Half
from coaxtell.models.palette import ACTION, FITS, HARM, INK, QUIET
from coaxtell.models.words import said
from coaxtell.pages.drawing_pdf import put
from coaxtell.pages.lifesize_page import MARGIN, Paper, TruePage, closing, hairline
from coaxtell.pages.one_half import OneHalf

SAID, NAMED = 8.0, 10.0
"""Sizes of the type [points]."""
LINE = 3.6
GAP = 6.0
OVER = 2.0
"""How far centre lines reach past the holes of a panel [mm]."""
PICTURE_SHARE, LEAST_SHARE = 0.62, 0.4
"""Height of a picture in the widths of its column, and down to which it gives way to words that then fit the page."""
BLOCK = 9.4
"""Height of a heading with the room above it [mm]."""
TERM = 30.0
"""Width of the column of looks [mm]."""
CUT_NEXT = "Panel cut-out: next page."

ADDED = {
    "bulkhead": "The side view at life size leaves out the panel nut and its washer.",
    "flange-2": "The side view at life size leaves out the flange.",
    "flange-4": "The side view at life size leaves out the flange.",
    "board-edge": "The side view at life size leaves out the block and its legs.",
    "through-hole": "The side view at life size leaves out the block and its legs.",
    "right-angle": "The side view at life size leaves out the block and the tail below it.",
}
"""What the side view, which is of turned parts alone, does not show of a body."""
CUT = "Check the hole against the part in hand before you cut: bodies differ by make."

Told = Callable[[int, int], None]
View = Literal["three-quarter", "cut"]
Pictured = Callable[[Half, View], Path | None]
"""Gives the file with a half's picture in a view; none where this machine draws none."""


def write(
    sheets: Sequence[OneHalf],
    path: Path,
    paper: Paper,
    title: str,
    pictured: Pictured,
    told: Told,
    address: str = "",
) -> None:
    """Write a page a half, two where one cannot hold it; `told` hears how many halves are done.

    `address`: of the page for the pocket, which stands on every page.
    """
    pdf = TruePage(title, paper, address)
    with closing(pdf):
        for done, one in enumerate(sheets, start=1):
            if done > 1:
                pdf.add_page()
            _page(pdf, one, pictured)
            told(done, len(sheets))
    pdf.output(str(path))


class _Block(NamedTuple):
    """A heading with its sentences, at least one, each with its colour."""

    heading: str
    lines: list[tuple[str, str]]


def _page(pdf: TruePage, one: OneHalf, pictured: Pictured) -> float:
    """One half on the page that is open, and on one more where that is full. Gives the lower edge of its words."""
    half = one.half
    pdf.ink(20, INK, bold=True)
    pdf.text(MARGIN, 19, half.name)
    ohm = "no constant impedance" if half.impedance_ohm is None else f"{half.impedance_ohm:g} ohm"
    pdf.ink(9, QUIET)
    right = f"{half.polarity} polarity, {ohm}"
    pdf.text(float(pdf.w) - MARGIN - float(pdf.get_string_width(right)), 19, right)
    names = [name for name in half.trade_names if name.lower() != half.name.lower()]
    y = _lines(pdf, MARGIN, 24.0, float(pdf.epw), f"{one.gender[:1].upper()}{one.gender[1:]}.", INK)
    if names:
        y = _lines(pdf, MARGIN, y, float(pdf.epw), f"Also called {', '.join(names)}.", QUIET)
    width = (float(pdf.epw) - GAP) / 2
    left, middle = MARGIN, MARGIN + width + GAP
    pdf.ink(SAID, INK, bold=True)
    floor = pdf.floor - 2 - LINE * sum(len(pdf.broken(words, float(pdf.epw))) for words in one.cautions)
    blocks = [block for block in (_mates(one), _order(one), _never(one), _body(half), _alike(one)) if block.lines]
    over = y + width * PICTURE_SHARE + 3 + _high(pdf, blocks, width) - floor
    least = width * LEAST_SHARE
    high = max(width * PICTURE_SHARE - max(over, 0.0), least)
    y = _pictures(pdf, half, (left, middle), y, width, high if high > least else width * PICTURE_SHARE, pictured)
    top = y + 3
    y, cut = _life_size(pdf, half, left, top, width, floor - _seen_high(pdf, one, width))
    y = _seen(pdf, one, left, y + 2, width)
    other, rest = _column(pdf, blocks, (middle, top - 1.5), width, floor)
    lowest = max(y, other) + 2
    for words in one.cautions:
        lowest = _lines(pdf, MARGIN, lowest, float(pdf.epw), words, INK, bold=True)
    return lowest - LINE if cut and not rest else max(lowest - LINE, _further(pdf, one, rest, cut))


def _seen(pdf: TruePage, one: OneHalf, left: float, y: float, width: float) -> float:
    """What to see and measure, in its column. Gives the base line after it."""
    y = _heading(pdf, left, y, width, "See" if one.half.precision else "See and measure")
    for words in one.before:
        y = _lines(pdf, left, y, width, words, INK)
    for feature, shown in one.measures:
        pdf.ink(SAID, QUIET)
        pdf.text(left, y, feature)
        y = _lines(pdf, left + TERM, y, width - TERM, shown, INK)
    return _lines(pdf, left, y + 1, width, one.weak, HARM) if one.weak else y


def _seen_high(pdf: TruePage, one: OneHalf, width: float) -> float:
    """Height that what to see and measure takes [mm]."""
    pdf.ink(SAID, INK)
    count = sum(len(pdf.broken(words, width)) for words in (*one.before, *([one.weak] if one.weak else [])))
    return BLOCK + 2 + LINE * (count + sum(len(pdf.broken(shown, width - TERM)) for _, shown in one.measures))


def _further(pdf: TruePage, one: OneHalf, rest: Sequence[_Block], cut: bool) -> float:
    """What the first page of a half had no room for; `cut`: the cut-out found its room. Gives the lower edge."""
    pdf.add_page()
    pdf.ink(20, INK, bold=True)
    pdf.text(MARGIN, 19, f"{one.half.name}, continued")
    y, _ = _column(pdf, rest, (MARGIN, 24.0), float(pdf.epw), pdf.floor)
    if not cut:
        holes = panel.cut_out(one.half)
        y = _cut_out(pdf, holes, (MARGIN + _reach(holes, 0) + OVER, y + _reach(holes, 1) + OVER), MARGIN)
    return y - LINE


def _high(pdf: TruePage, blocks: Sequence[_Block], width: float) -> float:
    """Height that blocks take in a column [mm]."""
    pdf.ink(SAID, INK)
    return sum(BLOCK + LINE * sum(len(pdf.broken(words, width)) for words, _ in block.lines) for block in blocks)


def _column(
    pdf: TruePage, blocks: Sequence[_Block], at: tuple[float, float], width: float, floor: float
) -> tuple[float, list[_Block]]:
    """Blocks one below the other down to the floor, which says where there are more.

    Gives the base line after them and what found no room.
    """
    x, y = at
    if y + _high(pdf, blocks, width) > floor:
        floor -= 2 * LINE
    for number, block in enumerate(blocks):
        for done, (words, colour) in enumerate(block.lines):
            if y + _high(pdf, [block._replace(lines=[(words, colour)])], width) - (BLOCK if done else 0.0) > floor:
                rest = [_Block(block.heading, block.lines[done:]), *blocks[number + 1 :]]
                more = f"More on the next page: {', '.join(one.heading.lower() for one in rest)}."
                return _lines(pdf, x, y if done else y + LINE, width, more, HARM, bold=True), rest
            if not done:
                y = _heading(pdf, x, y + BLOCK - 7.9, width, block.heading)
            y = _lines(pdf, x, y, width, words, colour)
    return y, []


def _mates(one: OneHalf) -> _Block:
    lines = [(f"✓ {', '.join(one.mates)}", FITS)] if one.mates else []
    lines += [(f"✓ {name}, with limits: {why}", FITS) for name, why in one.limited]
    return _Block("Mates with", lines or [("Nothing in the tables.", QUIET)])


def _order(one: OneHalf) -> _Block:
    fit = [(f"To fit it: {one.fit}.", INK)] if one.fit else []
    return _Block("To order", [*fit, (f"The half itself: {one.order}.", QUIET)])


def _never(one: OneHalf) -> _Block:
    lines = [(f"✗ {name} breaks. {why}", HARM) for name, why in one.breaks]
    if one.breaks_too:
        lines.append((f"✗ Breaks too: {', '.join(one.breaks_too)}.", HARM))
    if one.empty:
        lines.append((f"– Joins, no contact: {', '.join(one.empty)}.", INK))
    lines += [(f"? Not known: {name}, probably {probably}.", INK) for name, probably in one.open]
    return _Block("Never join", lines)


def _alike(one: OneHalf) -> _Block:
    return _Block("Looks like it", [(f"{alike.name}: {alike.tell}.", INK) for alike in one.alike])


def _body(half: Half) -> _Block:
    if half.back is None:
        return _Block("Body", [])
    lines = [(words, INK) for words in (f"{tell(f'style.{half.back.style}')}.".capitalize(), *said(half.back.states))]
    if half.back.style in ADDED:
        lines.append((ADDED[half.back.style], QUIET))
    if panel.cut_out(half):
        lines.append((CUT, HARM))
    return _Block("Body", lines)


def _pictures(
    pdf: TruePage, half: Half, lefts: tuple[float, float], y: float, width: float, high: float, pictured: Pictured
) -> float:
    """The half from three quarters and cut open; in drawn lines where no picture can be made. Gives the lower edge."""
    wide = high / PICTURE_SHARE
    views: tuple[View, View] = ("three-quarter", "cut")
    for left, view in zip(lefts, views, strict=True):
        file = pictured(half, view)
        if file is not None:
            pdf.image(str(file), left + (width - wide) / 2, y, wide, high)
            continue
        rear, front, radius = section.span(half)
        reach = max(front - rear, 2 * radius, 2 * max(face.extent(half)))
        scale = 0.8 * high / reach
        at = (left + width / 2, y + high / 2)
        items = (
            face.parts(half, at, scale)
            if view == "three-quarter"
            else section.parts(half, Frame(at[0] - scale * (front + rear) / 2, at[1], scale))
        )
        put(pdf, map(hairline, items))
    return y + high


def _life_size(pdf: TruePage, half: Half, left: float, y: float, width: float, floor: float) -> tuple[float, bool]:
    """Face on and from the side at exactly 1 : 1, and what a panel needs for its body, if it stays above the floor.

    Gives the lower edge, and whether nothing was left for another page.
    """
    rear, front, radius = section.span(half)
    wide, high = face.extent(half)
    top = _heading(pdf, left, y, width, "Life size") - 1.5
    middle = top + max(high, radius)
    frame = Frame(left + 2 * wide + GAP - rear, middle, 1.0)
    items = [*face.parts(half, (left + wide, middle), 1.0), *section.side(half, frame)]
    put(pdf, map(hairline, items))
    low = middle + max(high, radius) + 1
    low, cut = _panel(pdf, half, (left, left + 2 * wide + GAP + front - rear, left + width), (top, low), floor)
    if not cut:
        pdf.ink(SAID, HARM, bold=True)
        pdf.text(left + width - float(pdf.get_string_width(CUT_NEXT)), y + 4.4, CUT_NEXT)
    return low, cut


def _panel(
    pdf: TruePage, half: Half, across: tuple[float, float, float], down: tuple[float, float], floor: float
) -> tuple[float, bool]:
    """The cut-out of a panel: behind the views where there is room, else below. Gives the lower edge and if it stands.

    `across`: where the column begins, where the views end, where the column ends; `down`: where they begin and end.
    """
    holes = panel.cut_out(half)
    if not holes:
        return down[1], True
    (left, taken, right), (top, low) = across, down
    wide, high = _reach(holes, 0), _reach(holes, 1)
    room = right - taken >= 2 * wide + 2 * OVER + GAP
    at = (right - wide - OVER, top + high + OVER) if room else (left + wide + OVER, low + high + OVER + 1)
    if not room and at[1] + high + OVER + 4 > floor:
        return low, False
    return max(low, _cut_out(pdf, holes, at, right - 26 if room else left)), True


def _reach(holes: Sequence[tuple[Point, ...]], axis: int) -> float:
    """How far holes reach from their middle [mm]: across, down."""
    return max(abs(point[axis]) for hole in holes for point in hole)


def _cut_out(pdf: TruePage, holes: Sequence[tuple[Point, ...]], at: tuple[float, float], words_left: float) -> float:
    """The holes that a panel needs, at exactly 1 : 1 about a middle. Gives the lower edge."""
    wide, high = _reach(holes, 0), _reach(holes, 1)
    items: list[Item] = [Polygon((tuple((x + at[0], y + at[1]) for x, y in hole),), None, INK, 0.15) for hole in holes]
    chain = (4.0, 1.0, 1.0, 1.0)
    items.append(Line(((at[0] - wide - OVER, at[1]), (at[0] + wide + OVER, at[1])), QUIET, 0.1, chain))
    items.append(Line(((at[0], at[1] - high - OVER), (at[0], at[1] + high + OVER)), QUIET, 0.1, chain))
    put(pdf, items)
    pdf.ink(7, QUIET)
    foot = at[1] + high + OVER + 3
    pdf.text(words_left, foot, "panel cut-out, life size")
    return foot + 1


def _heading(pdf: TruePage, x: float, y: float, width: float, words: str) -> float:
    pdf.rule(x, y, width)
    pdf.ink(NAMED, ACTION, bold=True)
    pdf.text(x, y + 4.4, words)
    return y + 7.9


def _lines(pdf: TruePage, x: float, y: float, width: float, words: str, colour: str, bold: bool = False) -> float:
    """Words in lines from a base line on. Gives the base line after them."""
    pdf.ink(SAID, colour, bold)
    return pdf.lines(x, y, pdf.broken(words, width), LINE)
