"""Dimensions: every number of the table once, in words made from it alone; drawn where the number says."""

from __future__ import annotations

import math
from collections import Counter
from functools import cache
from itertools import combinations, pairwise

import pytest

from coaxtell.models import numbers
from coaxtell.models.drawings.annotation import NARROW, WIDE, spread
from coaxtell.models.drawings.detail_drawing import detail
from coaxtell.models.drawings.detail_layout import SHEETS, best_scale
from coaxtell.models.drawings.dimensions import dimensions, measure_words
from coaxtell.models.drawings.drawing import Drawing, Line, Point, Polygon, Text
from coaxtell.models.errors import InputError
from coaxtell.models.lettering import font
from coaxtell.models.measure import Grade, Measure
from tests.halves import all_halves, half

SOME = ("sma-plug", "sma-jack", "bnc-50-jack", "bnc-50-plug", "7-mm", "fakra-a-jack", "qma-plug", "smb-75-plug")


@cache
def drawn(half_id: str) -> Drawing:
    """The drawing of a half as the tables have it, made once."""
    return detail(half(half_id))


def words(drawing: Drawing) -> Counter[str]:
    return Counter(item.words for item in drawing.items if isinstance(item, Text))


@pytest.mark.parametrize("half_id", all_halves())
def test_every_number_of_the_table_stands_on_the_drawing_once(half_id: str) -> None:
    one = half(half_id)
    found = dimensions(one)
    assert [d.path for d in found] == [path for path, _ in numbers.walk(one)]
    said = words(drawn(half_id))
    wanted = Counter(d.words if d.kind != "note" else f"{d.name}: {d.words}" for d in found)
    for text, count in wanted.items():
        assert said[text] == count, text


def edited(measure: Measure) -> float:
    """The number after a small edit: a count by one, a size by a little."""
    return measure.nominal + (1 if measure.unit in ("slots", "lugs", "teeth", "notches") else 0.0125)


@pytest.mark.parametrize("half_id", SOME)
def test_one_changed_number_changes_its_dimension_and_no_other(half_id: str) -> None:
    """Every number of the half in turn, by a little, as an edit of its table would."""
    one = half(half_id)
    before = {d.path: d for d in dimensions(one)}
    for path, measure in numbers.walk(one):
        changed = numbers.replaced(one, path, measure.at(edited(measure)))
        after = {d.path: d for d in dimensions(changed)}
        assert [p for p in before if before[p].words != after[p].words] == [path]
        assert f"{edited(measure):g}".replace("-", "−") in after[path].words


def test_on_the_sheet_one_text_goes_and_one_comes() -> None:
    one = half("sma-jack")
    before = words(detail(one))
    for path, measure in numbers.walk(one):
        if len(path) < 2 or "thread" in path:
            continue
        after = words(detail(numbers.replaced(one, path, measure.at(edited(measure))), best_scale(one)))
        assert (before - after).total() == 1, path
        assert (after - before).total() == 1, path


def test_words_show_limits_and_a_mark_for_what_no_document_backs() -> None:
    """Limits beside the size and a diameter's sign: ISO 129-1; the marks are our own."""
    high = Measure(grade=Grade.HIGH, source=["x"], mm=4.58, max=4.593)
    assert measure_words(high, "⌀") == "⌀4.58 (max. 4.593)"
    memory = Measure(grade=Grade.MEMORY, source=["memory"], mm=-2.4, min=-3.2, max=-2.1)
    assert measure_words(memory) == "−2.4 (−3.2 to −2.1) [M]"
    weak = Measure(grade=Grade.MEMORY_LOW, source=["memory"], mm=1, min=0.5, max=2)
    assert measure_words(weak) == "1 (0.5 to 2) [m]"
    assumed = Measure(grade=Grade.ASSUMED, source=["assumption"], min=1, max=2)
    assert measure_words(assumed, with_mm=True) == "1.5 mm (1 to 2) [A]"


def test_the_plug_of_sma_reads_as_its_standard_prints_it() -> None:
    """MIL-STD-348 figure 310: the plug's sleeve is 4.593 mm at most, the pin 0.914 mm (as in shared facts M348)."""
    said = words(drawn("sma-plug"))
    assert said["⌀4.58 (max. 4.593)"] == 1
    assert said["⌀0.914"] == 1
    assert said["1/4-36 UNS 2B"] == 1


@pytest.mark.parametrize("half_id", SOME)
def test_arrows_and_extension_lines_end_where_the_number_says(half_id: str) -> None:
    """Each running dimension's line starts at its z, each leader's at its radius, at the scale stated."""
    one = half(half_id)
    drawing = drawn(half_id)
    starts = {(round(x, 3), round(y, 3)) for i in drawing.items if isinstance(i, Line) for x, y in i.points[:1]}
    origins = [p for i in drawing.items if isinstance(i, Polygon) and len(i.outlines[0]) == 24 for p in i.outlines[0]]
    x0 = (min(p[0] for p in origins) + max(p[0] for p in origins)) / 2
    found = dimensions(one)
    for dim in found:
        if dim.kind == "length":
            assert any(abs(x - (x0 + drawing.scale * dim.z)) < 0.002 for x, _ in starts), dim


@pytest.mark.outside(
    "Widths of lines",
    "ISO 128-2 and ISO 5457",
    "none: the widths",
)
def test_lines_have_the_two_widths_of_iso_128() -> None:
    """ISO 128-2: visible edges twice as wide as all other lines; the border is wider still (ISO 5457: 0.7)."""
    drawing = drawn("n-50-jack")
    assert pytest.approx(2, rel=0.06) == WIDE / NARROW
    edges = {i.width for i in drawing.items if isinstance(i, Polygon) and i.stroke}
    assert edges <= {WIDE, NARROW, 0.7}
    assert {i.width for i in drawing.items if isinstance(i, Line)} == {NARROW}


def box(item: Text) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of words on paper [mm], by the widths of their letters and the height of capitals."""
    size = 100
    along = item.size * font(size).getlength(item.words) / size
    first = {"start": 0.0, "middle": -along / 2, "end": -along}[item.anchor]
    high = 0.36 * item.size
    x, y = item.at
    if item.turn:
        return x - high, y - first - along, x + high, y - first
    return x + first, y - high, x + first + along, y + high


def leaders(drawing: Drawing) -> list[Line]:
    """Leaders are the lines that end in a level stretch under their words."""
    lines = [i for i in drawing.items if isinstance(i, Line) and len(i.points) == 3]
    return [i for i in lines if i.points[1][1] == i.points[2][1]]


def side_of(p: Point, q: Point, r: Point) -> float:
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])


def cross(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    (a, b), (c, d) = one, other
    return side_of(a, b, c) * side_of(a, b, d) < 0 and side_of(c, d, a) * side_of(c, d, b) < 0


def runs_through(stretch: tuple[Point, Point], box: tuple[float, float, float, float]) -> bool:
    """Whether a straight line has a piece within a box: it is cut at each of the four sides in turn."""
    (x0, y0), (x1, y1) = stretch
    left, top, right, bottom = box
    first, last = 0.0, 1.0
    for step, room in ((x0 - x1, x0 - left), (x1 - x0, right - x0), (y0 - y1, y0 - top), (y1 - y0, bottom - y0)):
        if step == 0:
            if room <= 0:
                return False
        elif step < 0:
            first = max(first, room / step)
        else:
            last = min(last, room / step)
    return first < last - 1e-9


@pytest.mark.parametrize("half_id", all_halves())
def test_no_leader_crosses_another_or_a_word(half_id: str) -> None:
    """Nor does a line that leads a running dimension to its words (ISO 129-1 keeps words free of every line)."""
    drawing = drawn(half_id)
    found = leaders(drawing)
    assert found
    for one, other in combinations(found, 2):
        assert not any(cross(a, b) for a in pairwise(one.points) for b in pairwise(other.points)), (one, other)
    led = [i for i in drawing.items if isinstance(i, Line) and len(i.points) == 3]
    said = [(i.words, box(i)) for i in drawing.items if isinstance(i, Text)]
    for line in led:
        through = [text for text, at in said if any(runs_through(stretch, at) for stretch in pairwise(line.points))]
        assert not through, (line, through)


@pytest.mark.parametrize("half_id", all_halves())
def test_the_drawing_fills_its_sheet(half_id: str) -> None:
    """At a scale of ISO 5455 the views with their words take most of the width or of the height that is free."""
    drawing = drawn(half_id)
    assert drawing.scale in (20, 10, 5, 2, 1)
    foot = next(i.at[1] for i in drawing.items if isinstance(i, Text) and i.words == "Further numbers") - 4
    xs, ys = [], []
    for item in drawing.items:
        if isinstance(item, Text):
            left, top, right, bottom = box(item)
            ends = [(left, top), (right, bottom)]
        elif isinstance(item, Polygon):
            ends = [] if item.width == 0.7 else [p for outline in item.outlines for p in outline]
        else:
            ends = list(item.points)
        xs += [x for x, y in ends if y < foot]
        ys += [y for _, y in ends if y < foot]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    assert wide > 0.85 * (drawing.width_mm - 22) or high > 0.85 * (foot - 11), (wide, high)


def test_few_leaders_lie_level() -> None:
    """ISO 128-2 keeps leaders off the directions of edges; one in nine still runs within 3 degrees of level."""
    level = every = 0
    for half_id in all_halves():
        drawing = drawn(half_id)
        upright = {i.points[0][0] for i in drawing.items if isinstance(i, Line) and i.points[0][0] == i.points[-1][0]}
        for line in leaders(drawing):
            (x0, y0), (x1, y1) = line.points[:2]
            if x0 in upright:
                continue  # it ends at a dimension line
            every += 1
            level += abs(y1 - y0) < math.tan(math.radians(3)) * abs(x1 - x0)
    assert level < 0.12 * every


@pytest.mark.parametrize("half_id", all_halves())
def test_the_drawing_stays_on_its_sheet_and_words_do_not_cover_each_other(half_id: str) -> None:
    drawing = drawn(half_id)
    assert (drawing.width_mm, drawing.height_mm) in SHEETS
    boxes = [(i.words, box(i)) for i in drawing.items if isinstance(i, Text)]
    for k, (said, (left, top, right, bottom)) in enumerate(boxes):
        inside = (left > 8, top > 8, right < drawing.width_mm - 8, bottom < drawing.height_mm - 8)
        assert all(inside), said
        for other, (x0, y0, x1, y1) in boxes[k + 1 :]:
            assert x1 <= left or right <= x0 or y1 <= top or bottom <= y0, (said, other)
    for item in drawing.items:
        if not isinstance(item, Text):
            runs = item.outlines if isinstance(item, Polygon) else (item.points,)
            assert all(0 <= x <= drawing.width_mm and 0 <= y <= drawing.height_mm for run in runs for x, y in run)


def test_a_scale_that_no_sheet_holds_is_told() -> None:
    with pytest.raises(InputError, match="larger than an A0 sheet"):
        detail(half("7-16-plug"), 90)


def test_places_are_spread_without_losing_their_order() -> None:
    """On paper: 10, 10.5 and 11 at a pitch of 5 lie about their mean, at 5.5, 10.5 and 15.5; 30 stays."""
    assert spread([10, 10.5, 11, 30], 5, 0, 100) == pytest.approx([5.5, 10.5, 15.5, 30])
    assert spread([99, 99], 5, 0, 100) == pytest.approx([95, 100])
    assert spread([], 5, 0, 100) == []
