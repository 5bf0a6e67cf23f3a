"""Life-size sheets and the wall chart, read back from the PDF: bar, card, every circle, every name."""

from __future__ import annotations

import argparse
import contextlib
import math
import os
import re
import signal
import subprocess
import sys
from itertools import combinations
from pathlib import Path
from unittest.mock import MagicMock

import pytest

from coaxtell.cli.lifesize import address, of_family
from coaxtell.cli.main import main
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict, mate
from coaxtell.models.numbers import SHAPELESS, walk
from coaxtell.models.tables import load
from coaxtell.models.threads import limits
from coaxtell.pages import address_code, guide_pdf, lifesize_pdf, wallchart
from coaxtell.pages.lifesize import _insulator, rows
from coaxtell.pages.lifesize_page import TruePage
from coaxtell.pages.lifesize_pdf import Placed
from coaxtell.quiz import everyday
from coaxtell.quiz.stock import Stock
from tests.drawings import paper
from tests.halves import all_halves, half

TOLERANCE = 0.02
"""What the issue allows a circle on paper [mm]."""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Placed]]:
    """The sheets of the whole trade with where each half was put."""
    path = tmp_path_factory.mktemp("sheets") / "all.pdf"
    told: list[tuple[int, int]] = []
    placed = lifesize_pdf.write(
        list(all_halves().values()), path, "a4", "All", lambda done, of: told.append((done, of))
    )
    assert told == [(k, told[-1][1]) for k in range(1, len(told) + 1)], "progress is told row by row"
    return path, placed


def table_diameters(one: Half) -> list[float]:
    """Every diameter the table states or ASME B1.1 / ISO 965 gives for its threads [mm]."""
    found = [m.nominal for path, m in walk(one) if m.unit == "mm" and path[0] not in SHAPELESS]
    for thread in (one.thread, one.nut.thread if one.nut is not None else None):
        if thread is not None:
            size = limits(thread)
            found += [thread.major.nominal, size.minor_min]
    return found


def is_lead(one: Half, d: float) -> bool:
    """Whether a circle is the lead into a socket's hole, which is drawn between the hole and the outside, at no
    number of the table."""
    socket = one.centre.socket
    if socket is None:
        return False
    return socket.hole.nominal < d < 1.1 * socket.hole.nominal + 0.05 and d < (socket.od or one.centre.d).nominal


def check_furniture(path: Path, width: float, height: float) -> int:
    """Bar and card stand on each page at true size; gives the number of pages."""
    pdf = paper.reader(path)
    assert paper.print_scaling(path) == "/None"
    for page in range(1, len(pdf.pages) + 1):
        box = pdf.pages[page - 1].mediabox
        assert (float(box.width) * paper.PER_POINT, float(box.height) * paper.PER_POINT) == pytest.approx(
            (width, height), abs=0.05
        )
        runs = paper.outlines(path, page)
        bars = [
            r for r in runs
            if len(r.points) == 2 and abs(r.points[0][1] - r.points[1][1]) < 1e-6
            and abs(abs(r.points[0][0] - r.points[1][0]) - 100.0) < 0.005
        ]  # fmt: skip
        assert len(bars) == 1, f"one bar of 100.00 mm on page {page}"
        # ISO/IEC 7810 ID-1: 85.60 x 53.98 mm, corners of 3.18 mm
        cards = [r for r in runs if r.curves == 4 and _size(r) == pytest.approx((85.60, 53.98), abs=TOLERANCE)]
        assert len(cards) == 1
        xs = sorted({round(x, 2) for x, _ in cards[0].points})
        assert xs[1] - xs[0] == pytest.approx(3.18, abs=TOLERANCE)
        words = " ".join(paper.words(path, page).split())
        assert "If the bar is not 100 mm, the printer scaled" in words
        assert "85.60 x 53.98 mm" in words
    return len(pdf.pages)


def _size(run: paper.Run) -> tuple[float, float]:
    xs, ys = [x for x, _ in run.points], [y for _, y in run.points]
    return max(xs) - min(xs), max(ys) - min(ys)


def test_bar_and_card_stand_on_every_page_at_true_size(whole: tuple[Path, list[Placed]]) -> None:
    assert check_furniture(whole[0], 210, 297) >= 8
    assert "the part beside its side view" in " ".join(paper.words(whole[0], 1).split())


def test_every_half_stands_on_the_sheets_once(whole: tuple[Path, list[Placed]]) -> None:
    assert sorted(p.half_id for p in whole[1]) == sorted(all_halves())


@pytest.mark.parametrize("half_id", all_halves())
def test_every_circle_is_within_two_hundredths_of_its_table(half_id: str, whole: tuple[Path, list[Placed]]) -> None:
    path, placed = whole
    one = half(half_id)
    (place,) = [p for p in placed if p.half_id == half_id]
    mine = [c for c in paper.circles(path, place.page) if math.dist((c.x, c.y), place.face) < TOLERANCE]
    assert len(mine) >= 3
    known = table_diameters(one)
    for circle in mine:
        off = min(abs(circle.d - d) for d in known)
        assert off <= TOLERANCE or is_lead(one, circle.d), f"a circle of {circle.d:.3f} mm is no number of {half_id}"
    contact = one.centre.pin.d if one.centre.pin is not None else one.centre.d
    if one.centre.socket is not None:
        contact = one.centre.socket.od or one.centre.d
    assert any(abs(c.d - contact.nominal) <= TOLERANCE for c in mine), "the centre contact"
    # nothing else stands where this half stands
    reach = max(c.d for c in mine) / 2
    for other in placed:
        if other.page == place.page and other.half_id != half_id:
            assert math.dist(other.face, place.face) > reach


def test_side_views_are_as_long_as_the_half(whole: tuple[Path, list[Placed]]) -> None:
    """The plug of SMA: nut rim at +2.5, body end at -12 from the reference plane (its table)."""
    path, placed = whole
    (place,) = [p for p in placed if p.half_id == "sma-plug"]
    near = [
        x
        for run in paper.outlines(path, place.page)
        for x, y in run.points
        if abs(y - place.side[1]) < 4.2 and -13 < x - place.side[0] < 3.5
    ]
    assert max(near) - place.side[0] == pytest.approx(2.5, abs=TOLERANCE)
    assert place.side[0] - min(near) == pytest.approx(12.0, abs=TOLERANCE)


def test_names_both_gender_words_and_weak_numbers_are_said(whole: tuple[Path, list[Placed]]) -> None:
    path, _ = whole
    text = " ".join(" ".join(paper.words(path, k + 1) for k in range(len(paper.reader(path).pages))).split())
    for one in all_halves().values():
        assert one.name in text
    assert "by body plug (male), by contact female (socket)" in text
    assert "by body jack (female), by contact male (pin)" in text
    weak = sum(any(m.grade.value in ("memory-low", "not found") for p, m in walk(h) if p[0] not in SHAPELESS)
               for h in all_halves().values())  # fmt: skip
    assert len(re.findall(r"Weak: \d+ of \d+ sizes only weakly remembered", text)) == weak
    assert "read the marking" in text, "halves that nothing seen tells apart say so"


def test_look_alikes_stand_in_one_row() -> None:
    """SMA, 3.5 and 2.92 mm share a thread; 50 and 75 ohm N share all but the pin: common practice, no source."""
    found = [{one.half.id for one in row.shown} for row in rows(list(all_halves().values()))]
    assert any({"sma-jack", "rp-sma-jack", "3.5-jack", "2.92-jack"} <= row for row in found)
    assert any({"n-50-jack", "n-75-jack", "rp-n-jack"} <= row for row in found)
    assert not any({"sma-jack", "n-50-jack"} <= row for row in found)
    # the one thing to look at between a jack and its reverse is the contact
    (row,) = rows([half("sma-jack"), half("rp-sma-jack")])
    assert [one.look_at[0] for one in row.shown] == ["a socket in the centre", "a pin in the centre"]


@pytest.mark.outside(
    "US Letter paper",
    "8.5 by 11 in",
    "the test's own bounds",
)
def test_letter_families_and_port_list(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """US Letter is 8.5 by 11 inches: 215.9 by 279.4 mm."""
    path = tmp_path / "a.pdf"
    assert main(["lifesize", "--family", "tnc", "--family", "SMA", "--paper", "letter", "-o", str(path)]) == 0
    check_furniture(path, 215.9, 279.4)
    text = paper.words(path, 1)
    assert "RP-TNC jack" in text
    assert "N jack" not in text
    ports = tmp_path / "ports.toml"
    blocks = (
        '[[port]]\nid = "rp-tnc-jack"\ncount = 2\nwhere = ["r1", "r2"]\ntakes = "rp-tnc-plug"\n'
        '[[port]]\nid = "n-50-plug"\n'
    )
    ports.write_text(f'site = "North gate"\n{blocks}', encoding="utf-8")
    other = tmp_path / "b.pdf"
    assert main(["lifesize", "--ports", str(ports), "-o", str(other)]) == 0
    assert "2 halves" in capsys.readouterr().out
    said = " ".join(paper.words(other, 1).split())
    assert "Ports of North gate" in said
    assert "On r1, r2; 2 of them; takes RP-TNC plug." in said


def test_a_family_name_takes_in_its_codes_and_further_kinds() -> None:
    known = load(None)
    fakra = {one.id for one in of_family(known, "fakra")}
    assert {"fakra-a-plug", "fakra-z-jack"} <= fakra
    assert all(half_id.startswith("fakra-") for half_id in fakra)
    assert {one.id for one in of_family(known, "TNC")} == {
        "tnc-plug", "tnc-jack", "rp-tnc-plug", "rp-tnc-jack", "tnc-left-plug", "tnc-left-jack"
    }  # fmt: skip
    assert {one.id for one in of_family(known, "RP-SMA")} == {"rp-sma-plug", "rp-sma-jack"}


def test_a_site_file_in_place_of_its_port_list_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = tmp_path / "site.toml"
    site.write_text('[site]\nname = "North gate"\n', encoding="utf-8")
    assert main(["lifesize", "--ports", str(site), "-o", str(tmp_path / "a.pdf")]) == 2
    assert "is a site file; give the port list that `coaxtell plan` writes" in capsys.readouterr().err


def test_the_wall_chart_is_one_page_with_worked_out_verdicts(tmp_path: Path) -> None:
    """Three rules and what becomes of a pair that breaks one: common practice, no source."""
    chart = {half_id: half(half_id) for row in wallchart.ROWS for half_id in row}
    assert everyday.halves(Stock(all_halves())) < chart.keys()
    harming = {
        f"{wallchart.name(later)} + {wallchart.name(other)}"
        for one, two in combinations(chart.values(), 2)
        if mate(one, two).verdict is Verdict.DAMAGES
        for later, other in ((one, two), (two, one))
    }
    for kind, size in (("a4", (210.0, 297.0)), ("letter", (215.9, 279.4)), ("a3", (297.0, 420.0))):
        path = tmp_path / f"{kind}.pdf"
        assert main(["lifesize", "--chart", "--paper", kind, "-o", str(path)]) == 0
        assert check_furniture(path, *size) == 1
        printed = paper.words(path, 1)
        text = " ".join(printed.split())
        assert "lay the port on its picture, face down: outline on outline" in text
        assert "side view" not in text, "it shows faces alone, and no precision port"
        for rule in ("Same family", "Same polarity", "Opposite gender"):
            assert rule in text
        assert "mates: SMA plug + SMA jack, RP-SMA plug + RP-SMA jack" in text
        assert "breaks: SMA plug + RP-SMA jack" in text
        assert "not known: TNC jack + RP-TNC plug" in text
        assert "N plug + N jack 75" in text, "50 ohm pin in a 75 ohm socket: common practice"
        assert "UHF plug + N jack" in text, "one thread, another pin: common practice"
        # every pair that harms, of one row or of two
        red = re.findall(r"✗ breaks: ([^✓✗–?\n]+)", printed)
        told = {pair.strip() for sentence in red for pair in sentence.split(", ")}
        assert told <= harming
        assert len(told) == len(harming) / 2
        named = {name for pair in told for name in pair.split(" + ")}
        assert named <= {wallchart.name(one) for one in chart.values()}, "each is pictured"
        assert min(paper.sizes(path, 1)) >= 6, "points"
        # nothing but the card reaches below the floor of the pictures
        floor = size[1] - 14 - 54
        assert all(c.y + c.d / 2 < floor for c in paper.circles(path, 1) if c.d > 0.5)


@pytest.mark.outside(
    "The page's code on paper",
    "OpenCV's reader",
    "none: read back whole",
)
@pytest.mark.needs("pdftoppm")
@pytest.mark.parametrize(
    ("words", "url"),
    [
        (["lifesize", "--chart"], "https://ports.example/north-gate/"),
        (["guide", "--family", "SMA"], "https://ports.example/north-gate/"),
        (["guide", "--family", "SMA"], "https://ports.example/" + "north-gate-" * 8 + "98/"),
    ],
)
def test_the_address_of_the_page_is_read_back_from_the_paper(words: list[str], url: str, tmp_path: Path) -> None:
    """OpenCV's reader takes the code off the rasterised sheet, as a phone does off the paper."""
    import cv2

    path = tmp_path / "chart.pdf"
    assert main([*words, "--page", url, "-o", str(path)]) == 0
    subprocess.run(
        ["pdftoppm", "-r", "200", "-l", "1", "-gray", "-png", str(path), str(tmp_path / "chart")], check=True
    )
    (picture,) = tmp_path.glob("chart*.png")
    seen = cv2.imread(str(picture))
    assert seen is not None
    assert cv2.QRCodeDetector().detectAndDecode(seen)[0] == url
    assert url in "".join(paper.words(path, 1).split())


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--page", "ports.example"], "is no address"),
        (["--page", "https://a b"], "is no address"),
        (["--page", "https://" + "a" * 200], "letters long"),
        (["--family", "SNA"], "No family is called 'SNA'"),
        (["--family", " "], "No family is called ' '"),
        (["-o", "a.svg"], "are .pdf"),
        (["--chart", "--family", "SMA"], "leave out --family"),
        (["--ports", "none.toml"], "cannot be read"),
        (["--ports", "none.toml", "--family", "SMA"], "not both"),
    ],
)
def test_bad_input_is_told_in_one_sentence(
    words: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["lifesize", *words]) == 2
    assert told in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_ctrl_c_leaves_no_half_written_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped in the third row, with an older sheet in place: that one stays whole, nothing else lies about."""
    path = tmp_path / "a.pdf"
    path.write_bytes(b"the older sheet")
    done = 0

    def stopped(*_: object) -> None:
        nonlocal done
        done += 1
        if done == 3:
            raise KeyboardInterrupt

    monkeypatch.setattr("coaxtell.cli.progress_line.Progress.__call__", stopped)
    assert main(["lifesize", "-o", str(path)]) == 130
    assert done == 3
    assert [p.name for p in tmp_path.iterdir()] == ["a.pdf"]
    assert path.read_bytes() == b"the older sheet"


@pytest.mark.needs("linux")
@pytest.mark.parametrize(
    ("command", "said"), [(["lifesize", "-o", "a.pdf"], "Rows drawn"), (["guide", "-o", "a.pdf"], "Questions drawn")]
)
def test_a_signal_from_the_keyboard_stops_the_program_itself(command: list[str], said: str, tmp_path: Path) -> None:
    """The real program at a terminal of its own, stopped by SIGINT once its progress line shows."""
    import pty

    (tmp_path / "a.pdf").write_bytes(b"the older sheet")
    ours, theirs = pty.openpty()
    program = subprocess.Popen(
        [sys.executable, "-m", "coaxtell", *command], cwd=tmp_path, stdout=subprocess.DEVNULL, stderr=theirs,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # a run in the background ignores it
    )  # fmt: skip
    os.close(theirs)
    told = b""
    while f"{said}: 3 of".encode() not in told:
        told += os.read(ours, 4096)
    program.send_signal(signal.SIGINT)
    with contextlib.suppress(OSError):
        while more := os.read(ours, 4096):
            told += more
    assert program.wait(timeout=60) == 130
    os.close(ours)
    assert b"Stopped." in told
    assert b"Traceback" not in told
    assert [p.name for p in tmp_path.iterdir()] == ["a.pdf"]
    assert (tmp_path / "a.pdf").read_bytes() == b"the older sheet"


def test_progress_is_told_on_a_terminal_and_nowhere_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["lifesize", "--family", "SMA", "-o", str(tmp_path / "a.pdf")]
    assert main(words) == 0
    assert capsys.readouterr().err == ""
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    assert main(words) == 0
    assert "Rows drawn: 1 of 2" in capsys.readouterr().err
    assert main(["guide", "--family", "F", "-o", str(tmp_path / "g.pdf")]) == 0
    assert "Finding the shortest way to every half ... (Ctrl-C stops)" in capsys.readouterr().err


@pytest.mark.parametrize(("letters", "read"), [(120, True), (121, False)])
def test_an_address_of_120_letters_is_the_longest(letters: int, read: bool) -> None:
    """Assumed: what a phone still reads off paper."""
    given = argparse.Namespace(page="https://".ljust(letters, "a"))
    if read:
        assert address(given) == given.page
        return
    with pytest.raises(InputError, match="121 letters long"):
        address(given)


def test_the_pages_code_is_32_mm_wide_on_sheets_and_28_in_the_guide(monkeypatch: pytest.MonkeyPatch) -> None:
    """Assumed: read from an arm's length."""
    sides: list[float] = []
    monkeypatch.setattr(address_code, "put", lambda pdf, url, x, y, side: sides.append(side))
    pdf = MagicMock(w=210.0)
    pdf.lines.return_value = pdf.get_y.return_value = 0.0
    TruePage._code(pdf, 0.0, 0.0)
    guide_pdf._beside(pdf, "https://ports.example/")
    assert sides == [32.0, 28.0]


def test_where_the_plastic_lies_is_told_by_both_planes() -> None:
    """The rim that one sees stands 1.93 mm before the reference plane on an SMA jack, and the plastic 0.1 mm behind
    that; on its plug rim and plane are one."""
    assert _insulator(half("sma-jack")) == "insulator level with the reference plane, 2.0 mm behind the rim"
    assert _insulator(half("bnc-50-plug")).startswith("insulator")
    assert _insulator(half("sma-plug")) == "insulator level with the reference plane"
