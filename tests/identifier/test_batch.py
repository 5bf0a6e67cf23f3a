"""`identify --batch`: every row gets what `identify` says of its port, bad rows are told by line, nothing is lost."""

from __future__ import annotations

import csv
import gc
import io
import os
import re
import signal
import sys
import tracemalloc
from collections.abc import Callable, Iterator
from html import unescape
from multiprocessing import active_children
from pathlib import Path
from random import Random

import msgspec
import openpyxl
import pytest

from benchmarks.identify_batch import write, write_clashing
from coaxtell import crew, start
from coaxtell.cli import identify_batch
from coaxtell.cli.identify_batch import RESULT
from coaxtell.cli.main import main
from coaxtell.identifier import bulk, likelihood
from coaxtell.identifier.answers import Read, Saw, State, Term
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Array
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import brief, identify
from coaxtell.identifier.looks import Looks, load
from coaxtell.identifier.partners import partners_of
from coaxtell.identifier.words import settles
from coaxtell.models import cells, tables
from coaxtell.pages import html
from coaxtell.pages.table import Table
from tests.halves import all_halves

WALK = """place;coupling;Centre;coupling-diameter;note
=Gate 1;thread-outside;pin;6,26;"by the ""old"" door"
Gate 2;thread-outside;socket;15.7mm;
Gate 3;lugs;socket;wide;a word
Gate 4;hooks;socket;;

Gate 5;;;;nothing said
Gate 6;thread-outside;pin;6.26;a;b;c
Gate 7;not-sure;not-sure
"""


@pytest.fixture
def walk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "walk.csv").write_text(WALK, encoding="utf-8")
    return tmp_path / "out.csv"


def rows(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline="")))


def test_every_row_is_told_or_its_line_is(walk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 1
    out, err = capsys.readouterr()
    found = rows(walk)
    assert [cells.restored(row["place"]) for row in found] == ["=Gate 1", *(f"Gate {n}" for n in range(2, 8))]
    assert found[0]["place"] == "'=Gate 1"
    assert found[0]["note"] == 'by the "old" door'
    assert (found[0]["port"], found[0]["named"], found[0]["mates with"]) == ("rp-sma-jack", "settled", "rp-sma-plug")
    assert found[0]["order"].startswith("RP-SMA plug, reverse polarity")
    assert found[1]["named"] == "not settled"
    assert found[1]["order"] == ""
    assert "plastic" in found[1]["look next"] or ":" in found[1]["look next"]
    # lines of the file as an editor counts them
    for line, said in ((4, "coupling-diameter"), (5, "hooks"), (7, "nothing was seen"), (8, "more cells")):
        assert f"walk.csv, line {line}: " in err
        assert said in err
    assert err.count("\n") == 4
    assert [row["what is wrong"] != "" for row in found] == [False, True, True, True, True, True, True]
    empty = ("coupling-diameter", "note", "port", "port name", "how sure", "mates with", "order")
    assert found[6] == {
        "place": "Gate 7",
        "coupling": "not-sure",
        "Centre": "not-sure",
        **dict.fromkeys(empty, ""),
        "named": "not settled",
        "look next": found[6]["look next"],
        "what is wrong": "Nothing was seen or measured, so no port is named.",
    }
    assert "(b; c)" in found[5]["what is wrong"], "nothing of a row is lost"
    assert "7 rows" in out
    assert "4 not read" in out


def test_what_was_written_is_read_again_and_written_the_same(walk: Path) -> None:
    main(["identify", "--batch", "walk.csv", "-o", "out.csv"])
    first = rows(walk)
    main(["identify", "--batch", "out.csv", "-o", "again.csv"])
    again = rows(walk.parent / "again.csv")
    assert list(again[0]) == list(first[0])
    assert again[:5] == first[:5]


def test_the_workbook_and_the_page_hold_the_same_rows(walk: Path) -> None:
    for name in ("out.csv", "out.xlsx", "out.html"):
        main(["identify", "--batch", "walk.csv", "-o", name])
    book = openpyxl.load_workbook(walk.with_suffix(".xlsx"))
    table = [["" if cell is None else cell for cell in row] for row in book["Ports"].iter_rows(values_only=True)]
    assert [str(cell) for cell in table[0]] == list(rows(walk)[0])
    for made, row in zip(table[1:], rows(walk), strict=True):
        assert [str(cell) for cell in made] == list(row.values())
    assert isinstance(table[1][table[0].index("how sure")], float)
    assert all(cell.data_type != "f" for row in book["Ports"].iter_rows() for cell in row)
    page = walk.with_suffix(".html").read_text(encoding="utf-8")
    assert page.count("<tr>") == 8
    assert ">'=Gate 1<" in page.replace("&#39;", "'")


@pytest.mark.parametrize("line", ["sep=;", '"sep=;"', "sep=;\r"])
def test_a_first_line_that_says_what_stands_between_cells_is_no_heading(
    line: str, walk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Spreadsheets write and read such a line; the lines of a file are counted with it."""
    main(["identify", "--batch", "walk.csv", "-o", "out.csv"])
    plain, faults = rows(walk), capsys.readouterr().err
    (walk.parent / "walk.csv").write_text(f"{line}\n{WALK}", encoding="utf-8", newline="")
    main(["identify", "--batch", "walk.csv", "-o", "out.csv"])
    assert rows(walk) == plain
    later = re.sub(r"line (\d+)", lambda found: f"line {int(found[1]) + 1}", faults)
    assert capsys.readouterr().err == later != faults


def test_a_tab_said_before_the_headings_holds_for_them(walk: Path) -> None:
    (walk.parent / "walk.csv").write_text("sep=\t\nplace; of it\tcoupling\nGate 1\tlugs\n", encoding="utf-8")
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 0
    assert rows(walk)[0]["place; of it"] == "Gate 1"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("sep=;\n", "no row below"),
        ("", "no row below"),
        ("coupling\n", "no row below"),
        ("place,where\na,b\n", "no heading names a look"),
        ("coupling,coupling\nlugs,lugs\n", "stands twice"),
        ("couplign,centre\nlugs,pin\n", "is 'coupling' meant"),
        ('coupling,"centre\nlugs,pin\n', "line 1: holds a quotation mark that is not closed"),
    ],
)
def test_a_file_that_does_not_serve_gets_one_sentence(
    text: str, said: str, walk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (walk.parent / "walk.csv").write_text(text, encoding="utf-8")
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 2
    err = capsys.readouterr().err
    assert said in err
    assert err.count("\n") == 1
    assert not walk.exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "give it with -o"),
        (["-o", "a.png"], ".csv, .html or .xlsx"),
        (["-o", "walk.csv"], "is what is read"),
        (["-o", "no/a.csv"], "no such folder"),
        (["-o", "a.csv", "--saw", "centre=pin"], "no --saw"),
        (["-o", "a.csv", "--json"], "no --json"),
        (["-o", "a.csv", "--setting", "moon"], "moon"),
    ],
)
def test_what_does_not_go_with_it_is_refused(
    words: list[str], said: str, walk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["identify", "--batch", "walk.csv", *words]) == 2
    assert said in capsys.readouterr().err


def test_a_person_s_own_column_of_the_same_name_stays(walk: Path) -> None:
    (walk.parent / "walk.csv").write_text("order,coupling\n4711,lugs\n", encoding="utf-8")
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 0
    headings, row = list(csv.reader(io.StringIO(walk.read_text(encoding="utf-8-sig"), newline="")))
    assert headings == ["order", "coupling", *RESULT]
    assert row[:2] == ["4711", "lugs"]


def test_a_column_nearly_called_as_a_look_is_a_slip_only_with_its_values(
    walk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A column `site` had refused the whole walk, as `size` mistyped."""
    own = "site,Side,more,core,trim,rims,sizes\nA,left,none,copper,?,7,12\n12,,2 dents,,plain paint,6,not-sure\n"
    looks = "coupling,centre", "thread-outside,pin", "lugs,socket"
    text = "".join(f"{line},{look}\n" for line, look in zip(own.splitlines(), looks, strict=True))
    (walk.parent / "walk.csv").write_text(text, encoding="utf-8")
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 0
    assert [row["site"] for row in rows(walk)] == ["A", "12"]
    assert [row["more"] for row in rows(walk)] == ["none", "2 dents"]
    told = capsys.readouterr().err
    assert told.count("\n") == 1, "once for the file"
    near = ("'site' (near 'size')", "'Side' (near 'size')", "'more' (near 'bore')", "'trim' (near 'rim')")
    assert all(one in told for one in near)
    assert "call the column so and fill in that look's values" in told
    for slip, cells_ in (("siez", ("pencil", "")), ("sizes", ("pencil", "6 mm")), ("bores", ("4.1", "none")),
                         ("coupling-diamter", ("11", "12.5mm")), ("Rimm", ("plain", "odd"))):  # fmt: skip
        text = f"{slip},centre\n{cells_[0]},pin\n{cells_[1]},socket\n"
        (walk.parent / "walk.csv").write_text(text, encoding="utf-8")
        assert main(["identify", "--batch", "walk.csv", "-o", "no.csv"]) == 2
        assert f"no look is called {slip!r}" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("slip", "words", "meant"),
    [
        ("couplng", ("inside thread", "?? rusty"), "coupling"),
        ("center", ("male", "female"), "centre"),
        ("center", ("pin?", "pin (bent)"), "centre"),
        ("Nut form", ("six sides", ""), "nut-form"),
        ("coupling diameter", ("wide", "narrow"), "coupling-diameter"),
    ],
)
def test_a_mistyped_heading_of_a_long_name_is_refused_whatever_stands_below(
    slip: str, words: tuple[str, str], meant: str, walk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It was left out without a word, and the row settled as the contrary port."""
    text = f"place,{slip},rim,pin-diameter\n1,{words[0]},plain,0.93\n2,{words[1]},plain,0.93\n"
    (walk.parent / "walk.csv").write_text(text, encoding="utf-8")
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 2
    assert f"no look is called {slip!r}; is {meant!r} meant" in capsys.readouterr().err


def test_a_column_without_a_word_in_it_is_no_slip(walk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (walk.parent / "walk.csv").write_text("center,site,coupling\n,,lugs\n", encoding="utf-8")
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 0
    assert capsys.readouterr().err == ""


OPENED = {
    "alone": ([(3, '"North gate,lugs,pin')], [3]),
    "closed by another": ([(3, '"North gate,lugs,pin'), (6, '"South gate",lugs,pin')], [3]),
    "behind an inch mark": ([(3, 'lamp 5",lugs,"pin'), (6, 'lamp 5",lugs,pin')], [3]),
    "closed by an inch mark": ([(3, '"North gate,lugs,pin'), (6, 'lamp 5",lugs,pin')], [3]),
    "not doubled": ([(3, '"by the "old" door",lugs,pin')], [3]),
    "in a cell of two lines": ([(3, '"two\nlines",lugs,"pin')], [4]),
    "two of them": ([(3, '"North gate,lugs,pin'), (6, 'South gate,"lugs,pin')], [3, 6]),
}


@pytest.mark.parametrize("case", OPENED)
def test_a_quotation_mark_that_is_not_closed_costs_its_own_row_alone(
    case: str, walk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The whole walk was lost by it, and the line that was named was the last one."""
    given, lines = OPENED[case]
    text = ["place,coupling,centre", *(f"Gate {number},lugs,socket" for number in range(2, 9))]
    for line, row in given:
        text[line - 1] = row
    (walk.parent / "walk.csv").write_text("\n".join(text) + "\n", encoding="utf-8")
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 1
    told = capsys.readouterr().err.splitlines()
    assert [re.findall(r"line (\d+)", one) for one in told] == [[str(line)] for line in lines]
    assert all("a quotation mark that is not closed" in one for one in told)
    found = rows(walk)
    assert len(found) == 7
    assert [row["named"] == "not read" for row in found].count(True) == len(lines)
    lost = [cells.restored(row["place"]) for row in found if row["named"] == "not read"]
    assert lost == [row for line, row in given][: len(lost)], "what stands in it is kept as it is"


def test_in_brief_a_port_is_what_it_is_at_length() -> None:
    """The brief and the whole identification agree in all that both say."""
    shortlist = Shortlist(list(all_halves().values()), "uhf-reader")
    rng = Random(7)
    for _ in range(25):
        terms = frozenset(rng.sample([Term.LOOK_ONLY, Term.HIGH_VOLTAGE], rng.randrange(3)))
        state = State("uhf-reader", terms=terms).tell(
            Feature.COUPLING, Saw(rng.choice(["thread-outside", "thread-inside", "lugs", "smooth"]))
        )
        if rng.random() < 0.8:
            state = state.tell(Feature.CENTRE, Saw(rng.choice(["pin", "socket"])))
        if rng.random() < 0.6:
            state = state.tell(Feature.COUPLING_DIAMETER, Read(round(rng.uniform(4, 16), 2), 0.05))
        whole, short = identify(shortlist, state), brief(shortlist, state, lambda half: partners_of(shortlist, half))
        assert (short.half, short.state, short.fit, short.mates_with) == (
            whole.half, whole.state, whole.fit, whole.mates_with,
        )  # fmt: skip
        assert (short.probability, short.order_probability) == (whole.probability, whole.order_probability)
        told = ("answers", "contradiction", "misfits", "worn", "joining", "high_voltage", "on_it")
        assert [getattr(short, name) for name in told] == [getattr(whole, name) for name in told]
        if not whole.settled:
            assert settles(short) == settles(whole)


def test_a_row_that_was_measured_in_a_photograph_says_that_this_is_experimental(walk: Path) -> None:
    """It was named, and ordered for, with no word of it but in the person's own column."""
    head = "coupling;centre;rim;coupling-diameter\n"
    sizes = ("20.58mm+-1.12 by photograph", "20.58mm+-1.12", "15.7+-0.4 BY  PHOTOGRAPH")
    lines = "".join(f"thread-outside;socket;plain;{size}\n" for size in sizes)
    (walk.parent / "walk.csv").write_text(head + lines, encoding="utf-8")
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 0
    said = ["Measured in a photograph, which is experimental" in row["what is wrong"] for row in rows(walk)]
    assert said == [True, False, True]
    assert "coupling-diameter=20.58mm+-1.12 by photograph" in rows(walk)[0]["what is wrong"]


def test_nothing_is_ordered_for_a_row_that_was_read_worn(walk: Path) -> None:
    row = "thread-outside,pin,sunk,pencil"
    text = f"coupling,centre,plastic,size,pin-diameter\n{row},0.7\n{row},0.93\n"
    (walk.parent / "walk.csv").write_text(text, encoding="utf-8")
    main(["identify", "--batch", "walk.csv", "-o", "out.csv", "--setting", "uhf-reader"])
    worn, sound = rows(walk)
    assert worn["port"] == sound["port"] == "rp-sma-jack"
    assert (worn["order"], sound["look next"]) == ("", "")
    assert "Worn or not made to standard (pin-diameter): do not mate it" in worn["look next"]
    assert sound["order"].startswith("RP-SMA plug")


WARNED = """coupling,centre,coupling-diameter,plastic
thread-outside,socket,6.27,level
lugs,socket,9.73,sunk
lugs,socket,9.73,tube
thread-inside,pin,15.2,level
thread-outside,socket,6.27,
thread-outside,socket,6.27,sunk
thread-outside,socket,15.8,
"""
"""A clash on a settled name, one on an order that fits all, a bayonet that does not clash, a worn clash that is not
settled, what may be a precision port, nothing to warn of, and what has no sizes and looks alike."""


@pytest.mark.parametrize("terms", [(), ("--look-only", "--high-voltage")])
def test_a_row_warns_as_the_single_port_does(
    terms: tuple[str, ...], walk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (walk.parent / "walk.csv").write_text(WARNED, encoding="utf-8")
    for kind in ("csv", "xlsx", "html"):
        assert main(["identify", "--batch", "walk.csv", "-o", f"out.{kind}", *terms]) == 0
    book = openpyxl.load_workbook(walk.with_suffix(".xlsx"))
    page = unescape(walk.with_suffix(".html").read_text(encoding="utf-8")).replace("\N{NARROW NO-BREAK SPACE}", " ")
    capsys.readouterr()
    for number, row in enumerate(rows(walk)):
        said = [
            word for look in ("coupling", "centre", "plastic") if row[look] for word in ("--saw", f"{look}={row[look]}")
        ]
        main(["identify", *said, "--measured", f"coupling-diameter={row['coupling-diameter']}", *terms])
        single = " ".join(capsys.readouterr().out.replace("\n  - ", "\n").split())
        wrong = row["what is wrong"]
        warnings = (
            "No connector in the tables gives", "of a kind that the tables do not hold", "Does not go with",
            "MHV or SHV looks alike and may carry kilovolts", "It is energised", "It may carry high voltage",
            "Worn or not", "looks alike and is not among the answers", "Nothing but the maker's own gauge",
        )  # fmt: skip
        for warning in warnings:
            if not (terms and row["coupling"] == "lugs" and "MHV or SHV" in warning):  # `look next` says more then
                assert (warning in wrong + row["look next"]) == (warning in single), warning
        assert all(f"{sentence}." in single for sentence in wrong.removesuffix(".").split(". ") if sentence)
        assert (row["order"] != "") == ("To order, what fits it" in single)
        assert (book["Ports"].cell(number + 2, book["Ports"].max_column).value or "") == wrong
        assert wrong in page
    if not terms:
        assert [row["what is wrong"] != "" for row in rows(walk)] == [True, True, True, True, True, False, True]
        assert "most likely misread: plastic" in rows(walk)[0]["what is wrong"]
        assert not any("--why" in row["what is wrong"] for row in rows(walk)), "--batch takes no --why"


def test_many_rows_are_written_at_once(walk: Path) -> None:
    """Ten thousand in ten seconds is a figure of benchmarks/identify_batch.py."""
    write(walk.parent / "walk.csv", 150)
    assert main(["identify", "--batch", "walk.csv", "-o", "out.csv", "--setting", "uhf-reader"]) == 0
    assert len(rows(walk)) == 150


def new_tables() -> tables.Tables:
    """Tables for which nothing is worked out yet."""
    known = tables.load()
    return msgspec.structs.replace(known, halves=dict(known.halves))


def test_rows_that_clash_share_what_their_readings_come_to(walk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """How likely a reading is on every half is worked out once however many rows have it, and rows stay what they
    are by themselves."""
    write_clashing(walk.parent / "walk.csv", 60)
    heading, *lines = (walk.parent / "walk.csv").read_text(encoding="utf-8").splitlines()
    asked: list[Read] = []
    whole = likelihood.reading_likelihood

    def counted(feature: Feature, found: likelihood.Sizes, read: Read, looks: Looks) -> Array:
        if len(found.there) > 1:
            asked.append(read)
        return whole(feature, found, read, looks)

    monkeypatch.setattr(likelihood, "reading_likelihood", counted)
    looks = bulk.columns(heading.split(","), [line.split(",") for line in lines], load(), "walk.csv")
    engine = bulk.Bulk(new_tables(), State())
    rows = [{feature: line.split(",")[place] for place, feature in looks.items()} for line in lines]
    found = [engine.row(row) for row in (*rows, *({**row, Feature.PLASTIC: "not-sure"} for row in rows))]
    assert len(asked) == len({row[Feature.COUPLING_DIAMETER] for row in rows})
    for row, one in list(zip(rows, found, strict=False))[::15]:
        assert bulk.Bulk(new_tables(), State()).row(row) == one


def test_on_all_cores_the_rows_are_the_same(
    walk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    write_clashing(walk.parent / "walk.csv", 40)
    with (walk.parent / "walk.csv").open("a", encoding="utf-8") as file:
        file.write("mast x,hooks,pin,6.3,level\n")
    said = []
    for many in (1000, 1):
        monkeypatch.setattr(identify_batch, "MANY", many)
        monkeypatch.setattr(identify_batch, "PART", 7)
        monkeypatch.setattr(crew, "hands", lambda: 2)
        assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 1
        said.append((walk.read_bytes(), *capsys.readouterr()))
    assert said[0] == said[1]


def _squares(ended: str) -> Callable[[int], int]:
    here = os.getpid()

    def squared(number: int) -> int:
        if ended and here != int(ended) and number % 3 == 0:
            os._exit(9)
        return number * number

    return squared


@pytest.mark.parametrize("ended", [False, True])
def test_work_is_done_in_order_even_where_processes_are_ended(ended: bool) -> None:
    given = (str(os.getpid()) if ended else "",)
    assert list(crew.shared_out(_squares, given, range(10), 2)) == [one * one for one in range(10)]
    assert list(crew.shared_out(_squares, given, range(3), 1)) == [0, 1, 4]


@pytest.fixture
def heard() -> Iterator[None]:
    """A test run in the background hands on that the keyboard's signal is ignored."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.needs("linux")
@pytest.mark.usefixtures("heard")
def test_ctrl_c_reaches_no_process_from_its_first_instruction(capfd: pytest.CaptureFixture[str]) -> None:
    pipes = crew._started(_squares, ("",), 2)
    for process in active_children():
        assert process.pid is not None
        os.kill(process.pid, signal.SIGINT)  # long before any of it is loaded
    for pipe in pipes:
        pipe.send(3)
        assert pipe.recv() == 9
        pipe.close()
    assert capfd.readouterr().err == ""


@pytest.mark.needs("linux")
@pytest.mark.usefixtures("heard")
def test_ctrl_c_while_a_process_starts_comes_just_after() -> None:
    started = []

    def pressed() -> None:
        with crew._deaf_children():
            os.kill(os.getpid(), signal.SIGINT)
            started.append(True)

    with pytest.raises(KeyboardInterrupt):
        pressed()
    assert started
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())


def test_what_is_more_than_a_page_or_a_walk_is_refused_before_any_work(
    walk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """50,000 rows of nearly 30 MB make a page with a peak of 414 MB, 200,000 rows a .csv with one below 1 GB."""
    assert (identify_batch.MOST_ROWS, identify_batch.MOST_ON_A_PAGE) == (200_000, 50_000)
    for most, status in ((7, 1), (6, 2)):
        monkeypatch.setattr(identify_batch, "MOST_ON_A_PAGE", most)
        assert main(["identify", "--batch", "walk.csv", "-o", "out.html"]) == status
    err = capsys.readouterr().err.splitlines()[-1]
    assert err == "coaxtell: walk.csv: has 7 rows, and a page shows at most 6; write them as .csv or .xlsx."
    for name in ("out.csv", "out.xlsx"):
        assert main(["identify", "--batch", "walk.csv", "-o", name]) == 1
    size = (walk.parent / "walk.csv").stat().st_size
    for least, status in ((size, 1), (size - 1, 2)):
        monkeypatch.setattr(identify_batch, "MOST_BYTES", least)
        assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == status
    assert "is larger than" in capsys.readouterr().err.splitlines()[-1]


def test_more_columns_than_a_walk_has_are_refused_before_rows_are_written(
    walk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """16,384 are those of a spreadsheet saved at its full width; no workbook holds more."""
    most = identify_batch.MOST_COLUMNS
    assert most + len(RESULT) <= 16_384
    for columns, status in ((most, 0), (most + 1, 2), (16_384, 2), (200_001, 2)):
        text = "coupling" + "," * (columns - 1) + "\n" + "lugs\n" * 2
        (walk.parent / "walk.csv").write_text(text, encoding="utf-8")
        assert main(["identify", "--batch", "walk.csv", "-o", "out.xlsx"]) == status
    assert capsys.readouterr().err.splitlines()[-1] == (
        f"coaxtell: walk.csv: has 200001 columns; leave out those that are not needed, and empty ones: at most {most}."
    )


def test_more_cells_or_rows_than_fit_are_refused_before_they_are_kept(
    walk: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ten million in one row of 30 MB had taken 1 GB; a walk of 200,000 rows has room for nineteen columns."""
    assert identify_batch.MOST_CELLS == identify_batch.MOST_ROWS * 20
    (walk.parent / "walk.csv").write_text("coupling,note\nlugs,a\nlugs" + ",ab" * 7 + "\n", encoding="utf-8")
    for most, status in ((12, 1), (11, 2)):
        monkeypatch.setattr(identify_batch, "MOST_CELLS", most)
        assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == status
    assert capsys.readouterr().err.splitlines()[-1] == (
        "coaxtell: walk.csv: has more than 11 cells; leave out columns that are not needed, or give it in parts."
    )
    monkeypatch.setattr(identify_batch, "MOST_CELLS", 12)
    for most, status in ((2, 1), (1, 2)):
        monkeypatch.setattr(identify_batch, "MOST_ROWS", most)
        assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == status
    assert capsys.readouterr().err.splitlines()[-1] == "coaxtell: walk.csv: has more than 1 rows; give it in parts."


def test_short_rows_are_filled_up_one_by_one(walk: Path) -> None:
    (walk.parent / "walk.csv").write_text("coupling" + "," * 199 + "\n" + "lugs\n" * 2_500, encoding="utf-8")
    main(["identify", "--batch", "walk.csv", "-o", "out.csv"])  # loads what stays
    tracemalloc.start()
    try:
        assert main(["identify", "--batch", "walk.csv", "-o", "out.csv"]) == 0
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < 2_500 * 200 * 8, "less than the places of all cells take"


def test_what_turns_or_controls_is_a_blank_in_every_file(walk: Path) -> None:
    note = '"a\u202eb\x00c\u2066d\u200fe\x85f\rg\r\nh\ti\u00a0\u05d0"'
    (walk.parent / "walk.csv").write_bytes(f"no\u202ete,coupling\n{note},lugs\n{note},ho\u202eoks\n".encode())
    for kind in ("csv", "xlsx", "html"):
        main(["identify", "--batch", "walk.csv", "-o", f"out.{kind}"])
    first, second = rows(walk)
    assert first["no te"] == second["no te"] == "a b c d e f\ng\nh\ti\u00a0\u05d0"
    book = openpyxl.load_workbook(walk.with_suffix(".xlsx"))
    written = walk.read_text(encoding="utf-8-sig") + walk.with_suffix(".html").read_text(encoding="utf-8")
    written += "".join(str(cell) for row in book["Ports"].iter_rows(values_only=True) for cell in row)
    assert not set("\u202e\x00\u2066\u200f\x85") & set(written)


def test_a_page_is_written_piece_by_piece(walk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = (("a", "<b>", "0.5") for _ in range(8_000))
    table = Table(("one", "two", "sure"), (1.0, 1.0, 1.0), (), frozenset({2}))
    html.write(walk, "rows", title="Ports", table=table, rows=())  # loads what writes templates, which stays
    tracemalloc.start()
    try:
        html.write(walk, "rows", title="Ports", table=table, rows=rows)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert walk.stat().st_size > 800_000
    assert peak < 300_000
    assert walk.read_text(encoding="utf-8").count("&lt;b&gt;") == 8_000


def test_a_disk_that_is_full_is_one_sentence_for_a_workbook_too(
    walk: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """The library's own file would complain once more as it is let go."""
    whole = Path.write_bytes

    def full(self: Path, data: bytes) -> int:
        if self.suffix == ".xlsx":
            raise OSError(28, "No space left on device", str(self))
        return whole(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    assert main(["identify", "--batch", "walk.csv", "-o", "out.xlsx"]) == 2
    gc.collect()
    err = capfd.readouterr().err
    assert "No space left on device" in err
    assert "Traceback" not in err


def test_ctrl_c_while_the_program_is_loaded_is_told_as_any(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Pressed:
        @staticmethod
        def find_spec(name: str, *_: object) -> None:
            if name == "coaxtell.cli.main":
                raise KeyboardInterrupt

    monkeypatch.delitem(sys.modules, "coaxtell.cli.main")
    monkeypatch.setattr(sys, "meta_path", [Pressed, *sys.meta_path])
    assert start.main(["list"]) == 130
    assert capsys.readouterr().err == "\nStopped.\n"
