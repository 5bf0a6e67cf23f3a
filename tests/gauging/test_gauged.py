"""Measured numbers in a folder of one's own: read everywhere, told with their ground, pooled, refused where wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.models import gauged, tables
from coaxtell.models.errors import InputError
from coaxtell.models.gauged import Book, Number, decode, encode
from coaxtell.models.measure import Grade
from coaxtell.models.numbers import walk
from coaxtell.models.parts import Sitting

HEX = "nut.body.outside.0.d"
PATH = ("nut", "body", "outside", 0, "d")


def sitting(*parts: list[float], who: str = "Ana", date: str = "2026-01-01") -> Sitting:
    return Sitting("calliper", 0.02, who, date, list(parts))


NEAR = sitting([7.93, 7.94], [7.95], [7.94, 7.94], [7.92, 7.93])


def folder_with(tmp_path: Path, text: str) -> Path:
    (tmp_path / gauged.FILE).write_text(text, encoding="utf-8")
    return tmp_path


def test_the_tables_take_what_was_measured(tmp_path: Path) -> None:
    book = Book().plus("sma-plug", HEX, [NEAR])
    loaded = tables.load(folder_with(tmp_path, encode(book)))
    found = dict(walk(loaded.half("sma-plug")))[PATH]
    assert found.grade is Grade.MEASURED
    assert not found.soft
    assert found.low < 7.92 < found.nominal < 7.95 < found.high
    for words in ("4 parts", "7 readings", "mean 7.938", "calliper +-0.02", "2026-01-01", "Ana"):
        assert words in found.note
    assert loaded.sources[found.source[0]].kind == "measured"
    shipped = tables.load()
    assert dict(walk(shipped.half("sma-plug")))[PATH].grade is not Grade.MEASURED
    assert loaded.half("sma-jack") is shipped.half("sma-jack")


def test_a_table_that_disagrees_stands_beside_it(tmp_path: Path) -> None:
    far = sitting([8.43], [8.45], [8.44])
    loaded = tables.load(folder_with(tmp_path, encode(Book().plus("sma-plug", HEX, [far]))))
    found = dict(walk(loaded.half("sma-plug")))[PATH]
    assert found.nominal == pytest.approx(8.44)
    assert [rival.value for rival in found.against] == [7.94]


names = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=20)
sittings = st.builds(
    Sitting,
    names,
    st.floats(0.001, 0.2),
    names,
    names,
    st.lists(st.lists(st.floats(0.1, 99).map(lambda x: round(x, 3)), min_size=1, max_size=4), min_size=1, max_size=4),
)


@given(st.lists(st.tuples(names, names, sittings), max_size=5))
def test_a_book_is_read_back_as_it_was_written(rows: list[tuple[str, str, Sitting]]) -> None:
    book = Book()
    for half, number, one in rows:
        book = book.plus(half, number, [one])
    assert decode(encode(book), "x") == book


def test_two_shops_pool_and_nothing_counts_twice() -> None:
    other = sitting([7.90], [7.91], who="Ben", date="2026-02-02")
    mine, theirs = Book().plus("sma-plug", HEX, [NEAR]), Book().plus("sma-plug", HEX, [other])
    both = mine.merged(theirs)
    assert both.number == [Number("sma-plug", HEX, [NEAR, other])]
    assert both.merged(theirs) == both
    assert both.merged(mine) == both


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("format = 99", "newer"),
        ("= 3", "mend"),
        ("colour = 3", "colour"),
        ('[[number]]\nhalf = "sma-plug"\nnumber = "x"\nsittings = []\n', "no length 'x'"),
        (encode(Book().plus("sma-plug", "torque_nm", [NEAR])), "no length"),
        (encode(Book().plus("nobody-plug", HEX, [NEAR])), "no half is called"),
        (encode(Book().plus("sma-plug", HEX, [NEAR])).replace("[7.95]", "[]"), "one reading or more"),
        (encode(Book().plus("sma-plug", HEX, [NEAR])).replace("7.95", "nan"), "no length of a connector"),
        (encode(Book().plus("sma-plug", HEX, [sitting([12.0])])), "second"),
        (encode(Book().plus("sma-plug", HEX, [sitting([3.0], [3.01])])), "cross"),
    ],
)
def test_a_broken_file_is_refused_in_one_sentence(text: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=words) as caught:
        tables.load(folder_with(tmp_path, text))
    assert "\n" not in str(caught.value)
    assert gauged.FILE in str(caught.value)
