"""Measured numbers in a folder of one's own: read everywhere, told with their ground, pooled, refused where wrong."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell import gauge_bench
from coaxtell.cli import gauge
from coaxtell.cli.main import main
from coaxtell.gauge_bench import Bench, Measuring, keep, own_book
from coaxtell.models import against, gauged, tables
from coaxtell.models.catalogue import MODELS
from coaxtell.models.drawings import pair
from coaxtell.models.drawings.drawing import Text
from coaxtell.models.errors import InputError
from coaxtell.models.gauged import Book, Number, aside, decode, encode
from coaxtell.models.gauging.asking import asked
from coaxtell.models.gauging.places import places
from coaxtell.models.half import Half
from coaxtell.models.mating.deciding import deciding
from coaxtell.models.mating.mate import JOINED, Mating, Verdict, grounds, mate
from coaxtell.models.measure import Grade
from coaxtell.models.numbers import replaced, walk
from coaxtell.models.parts import Sitting
from coaxtell.models.statements import shipped
from coaxtell.models.tables import gauged_halves
from coaxtell.models.words import said

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


def test_an_honest_reading_never_turns_a_family_against_itself() -> None:
    """Each weak number that may be measured, read on one part as its table has it: stated mates still mate."""
    known, tried = tables.load(), 0
    for half in known.halves.values():
        mates = [other for other in known.halves.values() if shipped().fit(half, other) is not None][:1]
        for place in places(half)[0]:
            table = dict(walk(half))[place.path]
            if table.soft and mates and half.housing is None:
                one = Number(half.id, gauged.written(place.path), [sitting([table.nominal])])
                now = replaced(half, place.path, gauged.measured(one, table)[0])
                assert mate(now, mates[0], doubt=False).geometry in JOINED, (half.id, place.path)
                tried += 1
    assert tried > 100


SLEEVE, COLLAR = ("bnc-50-plug", "nut.body.inside.0.d"), ("bnc-50-jack", "shell.outside.0.d")


def read(half: str, number: str, mm: float) -> Book:
    """Three parts that all read the same."""
    return Book().plus(half, number, [sitting([mm], [mm], [mm])])


@pytest.mark.parametrize(
    ("half", "number", "mm", "mate_of", "verdict"),
    [
        # narrower than any thread that must enter it
        ("sma-plug", "nut.body.inside.0.d", 5.6, "sma-jack", Verdict.NO_CONTACT),
        # narrower than any collar that it must pass
        (*SLEEVE, 8.9, "bnc-50-jack", Verdict.NO_JOIN),
    ],
)
def test_readings_against_a_stated_pair_do_not_count(
    half: str, number: str, mm: float, mate_of: str, verdict: Verdict
) -> None:
    halves = tables.load().halves
    book = read(half, number, mm)
    assert gauged_halves(halves, book, "here") == halves
    (left,) = aside(halves, book, "here")
    assert (left.number.half, left.number.number, left.other, left.verdict) == (half, number, mate_of, verdict)


def test_what_common_practice_alone_says_sets_no_reading_aside(monkeypatch: pytest.MonkeyPatch) -> None:
    """The two nuts are alike but for the hand of their thread; that TNC mates TNC stands in a standard."""
    monkeypatch.setattr(against, "BEFORE", 0.01)  # their numbers alone show either pair in 7 of 100 draws
    halves = tables.load().halves
    book = read("tnc-plug", "nut.body.inside.0.d", 9.0).merged(read("tnc-left-plug", "nut.body.inside.0.d", 9.0))
    assert [left.number.half for left in aside(halves, book, "here")] == ["tnc-plug"]


def test_what_goes_with_the_statements_counts_beside_what_does_not() -> None:
    halves = tables.load().halves
    book = read("sma-plug", "nut.body.inside.0.d", 5.6)
    book = book.plus("sma-plug", HEX, [sitting([7.95], [7.95], [7.96])])
    now = dict(walk(gauged_halves(halves, book, "here")["sma-plug"]))
    grades = {one.number: now[one.path].grade for one in book.number}
    assert grades[HEX] is Grade.MEASURED
    assert grades["nut.body.inside.0.d"] is not Grade.MEASURED


@pytest.mark.parametrize("turned", [False, True])
def test_of_two_halves_that_go_against_a_statement_only_together_neither_is_believed(turned: bool) -> None:
    """A BNC sleeve and its jack's collar: each alone may be; which stands first in the file does not matter."""
    halves = tables.load().halves
    rows = [(*SLEEVE, [sitting([9.6], [9.6], [9.6])]), (*COLLAR, [sitting([9.9], [9.9], [9.9])])]
    assert [aside(halves, Book().plus(*row), "here") for row in rows] == [[], []]
    both = Book().plus(*rows[turned]).plus(*rows[not turned])
    assert {one.number.half for one in aside(halves, both, "here")} == {"bnc-50-plug", "bnc-50-jack"}
    assert gauged_halves(halves, both, "here") == halves


def heads(a: Half, b: Half, found: Mating) -> list[str]:
    """The head of a pair's cut picture and the line under it."""
    words = [shape.words for shape in pair.drawn(a, b, found).items if isinstance(shape, Text)]
    at = next(i for i, one in enumerate(words) if one[0] in "?\N{CHECK MARK}\N{BALLOT X}\N{EN DASH}")
    return words[at : at + 2]


def test_how_often_the_numbers_alone_show_a_pair_is_worked_out_anew_from_readings() -> None:
    """All that a calliper reaches of both halves of BNC, read at the table's middle: what is left unsure is less."""
    halves = tables.load().halves
    book = Book()
    for half_id in ("bnc-50-plug", "bnc-50-jack"):
        for place in places(halves[half_id])[0]:
            size = dict(walk(halves[half_id]))[place.path].nominal
            book = book.plus(half_id, gauged.written(place.path), [sitting([size], [size], [size])])
    now = gauged_halves(halves, book, "here")
    ships, own = (mate(one["bnc-50-plug"], one["bnc-50-jack"]) for one in (halves, now))
    told = [said(grounds(now["bnc-50-plug"], now["bnc-50-jack"], one))[0] for one in (ships, own)]
    assert "IEC 61169-8" in told[0]
    shares = [float(re.findall(r"in (\d+) of 100", one)[0]) for one in told]
    assert shares[0] == 12
    assert shares[1] >= 15, "as drawn anew by hand: 22"
    # a pair of the same clan of which nothing was read keeps the share of the tables
    untouched = now["rp-bnc-plug"], now["rp-bnc-jack"]
    assert said(grounds(*untouched, mate(*untouched))) == said(
        grounds(halves["rp-bnc-plug"], halves["rp-bnc-jack"], mate(halves["rp-bnc-plug"], halves["rp-bnc-jack"]))
    )


def test_a_share_that_takes_long_is_told_as_that_of_the_tables_that_ship() -> None:
    halves = tables.load().halves
    now = gauged_halves(halves, read("micro-4-jack", "groove.lip", 1.50), "here")
    two = now["micro-4-plug"], now["micro-4-jack"]
    (told,) = said(grounds(*two, mate(*two)))
    assert told.endswith("The tables as they ship, without numbers of your own, show it alone in 1 of 100 ways.")


@pytest.mark.parametrize(
    ("half", "number", "mm", "words"),
    [
        (
            "sma-plug",
            "nut.body.inside.0.d",
            6.30,
            "with sma-jack, 3.5-jack, 2.92-jack; by the numbers that were read: joins,",
        ),
        ("qma-jack", "groove.lip", 10.70, "with qma-plug; by the numbers that were read: does not join"),
    ],
)
def test_gauge_says_at_its_end_what_goes_against_a_statement_though_it_counts(
    half: str, number: str, mm: float, words: str,
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path,
) -> None:  # fmt: skip
    keep(tmp_path, read(half, number, mm))
    monkeypatch.setattr("sys.stdin", io.StringIO("q\n"))
    assert main(["gauge", half, "--tables", str(tmp_path), "--who", "Ana"]) == 0
    told = " ".join(capsys.readouterr().out.split()).partition("not known:")[2]
    assert f"{half} is stated to mate {words}" in told
    assert "the readings count for every other pair" in told
    assert "do not count" not in told


def test_gauge_says_nothing_more_of_readings_that_go_with_what_is_stated(tmp_path: Path) -> None:
    keep(tmp_path, read("qma-jack", "groove.lip", 8.95))
    assert gauge_bench.told_against(tmp_path, ["qma-jack", "qma-plug"]) == []


@pytest.mark.parametrize(
    ("half", "number", "mm", "mate_of"),
    [
        ("micro-4-jack", "groove.lip", 1.58, "micro-4-plug"),  # as the table allows; what holds it is as unsure
        ("sma-plug", "nut.body.inside.0.d", 6.30, "sma-jack"),  # the thinnest thread of IEC 61169-15 would enter
        ("qma-jack", "groove.lip", 10.70, "qma-plug"),  # told by common practice, which no reading overrules
        ("tnc-left-plug", "nut.body.inside.0.d", 9.0, "tnc-left-jack"),
    ],
)
def test_a_reading_that_may_be_counts_and_the_pair_still_mates_as_stated(
    half: str, number: str, mm: float, mate_of: str
) -> None:
    halves = tables.load().halves
    book = read(half, number, mm)
    assert aside(halves, book, "here") == []
    now = gauged_halves(halves, book, "here")
    for doubt in (False, True):
        found = mate(now[half], now[mate_of], doubt=doubt)
        assert found.geometry not in JOINED
        assert found.verdict is Verdict.MATES
        assert found.against
        doubts = [reason.code for reason in found.reasons if reason.code.startswith("doubt.")]
        assert doubts == ["doubt.stated_against"], (
            "under a head that says mates nothing says not known, or another share"
        )
        assert f"measured here: {found.geometry.value}." in MODELS.say(found.reasons[0])
        if found.confidence is not None:
            assert found.confidence.verdict is Verdict.MATES
            assert Verdict.MATES not in found.confidence.otherwise
        head, _ = heads(now[half], now[mate_of], found)
        assert head == f"? stated to mate; by these numbers: {found.geometry.value}"
        # the window and the picture: the place is told as the numbers have it, and nothing is drawn as harm or contact
        place = deciding(now[half], now[mate_of], found.verdict)
        assert (place.what.code, place.kind in ("stop", "open")) == ("deciding.against", True)
    if half == "sma-plug":
        assert "The nut runs out of way" in heads(now[half], now[mate_of], found)[1]
        # what it mates with limits it still does
        assert mate(now[half], now["2.92-jack"], doubt=False).verdict is Verdict.LIMITS
        assert all(MODELS.say(reason) for reason in found.reasons)


def test_readings_that_do_not_go_with_what_is_stated_are_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A BNC sleeve of 9.4 mm would not pass its jack's collar of 9.6: what IEC 61169-8 states is not lost unsaid."""
    monkeypatch.setattr("sys.stdin", io.StringIO("y\n9.40\n9.40\n9.41\n9.41\n9.40\n\nq\n"))
    assert main(["gauge", "bnc-50-plug", "--tables", str(tmp_path / "own"), "--who", "Ana"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "bnc-50-plug is stated to mate with bnc-50-jack; by what was read of its" in told
    assert "does not join. Those readings are kept and do not count. Measure again" in told


def test_a_range_beside_that_of_a_weak_table_is_no_agreement(tmp_path: Path) -> None:
    """The SMA nut's mouth is written as 6.45 to 7 mm, and counts as 6.03 to 7.37 since nothing backs it."""
    number = Number("sma-plug", "nut.body.inside.0.d", [sitting([6.25], [6.25, 6.26], [6.25])])
    half = tables.load().half("sma-plug")
    asked_for = next(one for one in asked(half, []) if gauged.written(one.place.path) == number.number)
    keep(tmp_path, Book(number=[number]))
    measuring = Measuring(half, asked_for, Bench(tmp_path, "calliper", 0.02, "Ana", "2026-01-01"), "09:00")
    assert measuring.take("6.25") == ""
    assert measuring.result.endswith("the table says 6.45 to 7 mm, and is so weak that this may be.")


def test_a_newer_file_is_told_once_and_nothing_is_advised_against_its_readings() -> None:
    with pytest.raises(InputError) as told:
        decode("format = 9\n", "own/gauged.toml")
    assert str(told.value) == "own/gauged.toml: was written by a newer coaxtell; update this one to read it."


def test_what_another_shop_may_not_have_measured_is_not_merged(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    mine = tmp_path / "mine"
    for half, number, read, words in (
        ("3.5-jack", "shell.rim", 1.9, "is not to be measured here"),  # a precision port: its maker's own gauge only
        ("sma-plug", "nut.body.inside.0.d", 99.0, "cross"),
    ):
        sent = tmp_path / "sent.toml"
        sent.write_text(encode(Book().plus(half, number, [sitting([read], [read], [read])])), encoding="utf-8")
        assert main(["gauge", "--merge", str(sent), "--tables", str(mine)]) == 2
        told = capsys.readouterr().err
        assert told.count("\n") == 1
        assert words in told
        assert not (mine / gauged.FILE).exists(), "a folder that no command could read"


def test_merged_readings_against_what_is_stated_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sent = tmp_path / "sent.toml"
    sent.write_text(
        encode(Book().plus("sma-plug", "nut.body.inside.0.d", [sitting([5.6], [5.6], [5.6])])), encoding="utf-8"
    )
    assert main(["gauge", "--merge", str(sent), "--tables", str(tmp_path / "mine")]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "sma-plug is stated to mate with sma-jack; by what was read of its" in told
    assert "joins, no contact. Those readings are kept and do not count. Measure again" in told


def test_every_command_says_where_the_tables_have_changed_since_it_was_measured(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = Book(tables="of long ago").plus("sma-plug", HEX, [NEAR], [7.90, 7.8, 8.0])
    folder = folder_with(tmp_path, encode(book))
    assert main(["mate", "sma-plug", "sma-jack", "--tables", str(folder)]) == 0
    told = capsys.readouterr()
    assert "sma-plug with sma-jack: mates" in told.out
    assert told.err.startswith("coaxtell: ")
    assert "7.9" in told.err


names = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=20)
sittings = st.builds(
    Sitting,
    names,
    st.floats(0.001, 0.2),
    names,
    st.dates().map(str),
    st.lists(st.lists(st.floats(0.1, 99).map(lambda x: round(x, 3)), min_size=1, max_size=4), min_size=1, max_size=4),
)


@given(st.lists(st.tuples(names, names, sittings), max_size=5))
def test_a_book_is_read_back_as_it_was_written(rows: list[tuple[str, str, Sitting]]) -> None:
    book = Book()
    for half, number, one in rows:
        book = book.plus(half, number, [one])
    assert decode(encode(book), "x") == book


def test_two_sittings_into_one_folder_lose_nothing(tmp_path: Path) -> None:
    """Two people at two halves at once, and a second part that reads the same as the first, on the same day."""
    known = tables.load()

    def begun(half_id: str, who: str, at: str) -> Measuring:
        half = known.half(half_id)
        return Measuring(half, asked(half, [])[0], Bench(tmp_path, "calliper", 0.02, who, "2026-01-01"), at)

    ana, ben = begun("sma-plug", "Ana", "9:00"), begun("n-50-plug", "Ben", "9:01")
    # read as the table has it, so that nothing is strange
    for one in (ana, ben, ana, begun("sma-plug", "Ana", "9:30")):
        assert one.take(f"{one.place.reading(one.table.nominal):.2f}mm") == ""
    kept = {number.half: [len(sat.parts) for sat in number.sittings] for number in own_book(tmp_path).number}
    assert kept == {"sma-plug": [2, 1], "n-50-plug": [1]}


def test_nobody_else_writes_between_reading_and_writing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """By the turn that the record's writers take too (tests/quiz plays 32 of them at once)."""
    done: list[str] = []

    @contextmanager
    def turn(path: Path, wait_s: float) -> Iterator[None]:
        done.append(f"turn at {path.parent.name}, {wait_s:g} s at most")
        yield
        done.append("turn over")

    def own_book_told(folder: Path) -> Book:
        done.append("read")
        return own_book(folder)

    def keep_told(folder: Path, book: Book) -> None:
        done.append("written")
        keep(folder, book)

    half = tables.load().half("sma-plug")
    ana = Measuring(half, asked(half, [])[0], Bench(tmp_path / "own", "calliper", 0.02, "Ana", "2026-01-01"), "9:00")
    for module in (gauge_bench, gauge):
        monkeypatch.setattr(module, "own_book", own_book_told)
        monkeypatch.setattr(module, "keep", keep_told)
    monkeypatch.setattr(gauge_bench, "turn", turn)
    alone = ["turn at own, 10 s at most", "read", "written", "turn over"]
    assert ana.take(f"{ana.place.reading(ana.table.nominal):.2f}mm") == ""
    assert done == alone
    monkeypatch.setattr("sys.stdin", io.StringIO("q\n"))
    assert main(["gauge", "sma-plug", "--tables", str(tmp_path / "own"), "--who", "Ana"]) == 0
    own = ["--tables", str(tmp_path / "own")]
    assert main(["gauge", "--export", str(tmp_path / "ours.toml"), *own]) == 0
    done.clear()
    assert main(["gauge", "--merge", str(tmp_path / "ours.toml"), *own]) == 0
    assert done[:4] == alone


def test_of_a_sitting_that_went_on_the_longer_account_counts() -> None:
    first = Sitting("calliper", 0.02, "Ana", "2026-01-01", [[7.9]], "9:00")
    later = Sitting("calliper", 0.02, "Ana", "2026-01-01", [[7.9], [7.9]], "9:00")
    for book in (Book().plus("a", "b", [first, later]), Book().plus("a", "b", [later, first])):
        assert book.number[0].sittings == [later]


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
        ("colour = 3", "holds no readings"),
        ("format = 0", "holds no readings"),
        ("format = 3\ncolour = 3", "colour"),
        ('[[number]]\nhalf = "sma-plug"\nnumber = "x"\nsittings = []\n', "one reading or more"),
        (encode(Book().plus("sma-plug", HEX, [NEAR], [8.1, 8.0, 8.2])).replace(", 8.2]", "]"), "three numbers"),
        (encode(Book().plus("sma-plug", "x", [NEAR])), "no length 'x'"),
        (encode(Book().plus("sma-plug", "shell.outside.².d", [NEAR])), "no length 'shell"),
        (encode(Book().plus("sma-plug", "torque_nm", [NEAR])), "no length"),
        (encode(Book().plus("nobody-plug", HEX, [NEAR])), "no half is called"),
        (encode(Book().plus("n-75-jack", "centre.socket.takes_max", [NEAR])), "lies in its centre contact"),
        (encode(Book().plus("sma-plug", HEX, [NEAR])).replace("[7.95]", "[]"), "one reading or more"),
        (encode(Book().plus("sma-plug", HEX, [NEAR])).replace("7.95", "nan"), "no length of a connector"),
        (encode(Book().plus("sma-plug", HEX, [sitting([3.0], [3.01])])), "cross"),
        (encode(Book().plus("sma-plug", HEX, [NEAR])).replace(NEAR.date, "not a date"), "written like 2026-01-31"),
    ],
)
def test_a_broken_file_is_refused_in_one_sentence(text: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=words) as caught:
        tables.load(folder_with(tmp_path, text))
    assert "\n" not in str(caught.value)
    assert gauged.FILE in str(caught.value)


def test_a_file_that_is_being_written_is_not_read(tmp_path: Path) -> None:
    folder = folder_with(tmp_path, encode(Book().plus("sma-plug", HEX, [NEAR])))
    (folder / ".coaxtell-abc12345.toml").write_text("half a fi", encoding="utf-8")
    assert dict(walk(tables.load(folder).half("sma-plug")))[PATH].grade is Grade.MEASURED


def test_one_part_that_contradicts_the_table_waits_for_another(tmp_path: Path) -> None:
    alone = Book().plus("sma-plug", HEX, [sitting([9.3])])
    loaded = tables.load(folder_with(tmp_path, encode(alone)))
    assert dict(walk(loaded.half("sma-plug")))[PATH].grade is not Grade.MEASURED
    both = alone.plus("sma-plug", HEX, [sitting([9.32])])
    loaded = tables.load(folder_with(tmp_path, encode(both)))
    assert dict(walk(loaded.half("sma-plug")))[PATH].grade is Grade.MEASURED


def test_what_a_table_says_otherwise_than_when_it_was_measured_is_told() -> None:
    shipped = tables.load().halves
    table = dict(walk(shipped["sma-plug"]))[PATH]
    same = Book().plus("sma-plug", HEX, [NEAR], gauged.beside(table))
    assert not gauged.changes(shipped, same)
    assert decode(encode(same), "x") == same
    then = Book().plus("sma-plug", HEX, [NEAR], [8.1, 8.0, 8.2])
    (sentence,) = said(gauged.changes(shipped, then))
    for words in ("sma-plug", "said 8.100 (8.000 to 8.200) mm", f"says {table.nominal:.3f}", "worked out anew"):
        assert words in sentence


def test_a_file_of_before_is_read() -> None:
    text = encode(Book().plus("sma-plug", HEX, [NEAR])).replace("format = 3", "format = 1").replace('tables = ""\n', "")
    assert "tables" not in text
    assert decode(text, "x") == Book().plus("sma-plug", HEX, [NEAR])
