"""Dimensions: every number of the table once, in words made from it alone; drawn where the number says."""

from __future__ import annotations

import math
from collections import Counter

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


def words(drawing: Drawing) -> Counter[str]:
    return Counter(item.words for item in drawing.items if isinstance(item, Text))


@pytest.mark.parametrize("half_id", all_halves())
def test_every_number_of_the_table_stands_on_the_drawing_once(half_id: str) -> None:
    one = half(half_id)
    found = dimensions(one)
    assert [d.path for d in found] == [path for path, _ in numbers.walk(one)]
    drawn = words(detail(one))
    wanted = Counter(d.words if d.kind != "note" else f"{d.name}: {d.words}" for d in found)
    for text, count in wanted.items():
        assert drawn[text] == count, text


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
    drawn = words(detail(half("sma-plug")))
    assert drawn["⌀4.58 (max. 4.593)"] == 1
    assert drawn["⌀0.914"] == 1
    assert drawn["1/4-36 UNS 2B"] == 1


@pytest.mark.parametrize("half_id", SOME)
def test_arrows_and_extension_lines_end_where_the_number_says(half_id: str) -> None:
    """Each running dimension's line starts at its z, each leader's at its radius, at the scale stated."""
    one = half(half_id)
    drawing = detail(one)
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
    drawing = detail(half("n-50-jack"))
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


@pytest.mark.parametrize("half_id", all_halves())
def test_no_leader_crosses_another(half_id: str) -> None:
    found = leaders(detail(half(half_id)))
    assert found
    for k, one in enumerate(found):
        a, b = one.points[:2]
        for other in found[k + 1 :]:
            c, d = other.points[:2]
            apart = side_of(a, b, c) * side_of(a, b, d) >= 0 or side_of(c, d, a) * side_of(c, d, b) >= 0
            assert apart, (one, other)


def test_few_leaders_lie_level() -> None:
    """ISO 128-2 keeps leaders off the directions of edges; one in nine still runs within 3 degrees of level."""
    level = every = 0
    for half_id in all_halves():
        for line in leaders(detail(half(half_id))):
            (x0, y0), (x1, y1) = line.points[:2]
            every += 1
            level += abs(y1 - y0) < math.tan(math.radians(3)) * abs(x1 - x0)
    assert level < 0.12 * every


@pytest.mark.parametrize("half_id", all_halves())
def test_the_drawing_stays_on_its_sheet_and_words_do_not_cover_each_other(half_id: str) -> None:
    drawing = detail(half(half_id))
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
