"""The sheet of one half: what it says, that it holds its page at true size, and that pictures are made only once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import msgspec
import pytest

from coaxtell.cli.main import main
from coaxtell.cli.sheet import Photographer
from coaxtell.identifier.belief import Shortlist
from coaxtell.models import body, numbers
from coaxtell.models.drawings import panel
from coaxtell.models.mating.doubts import listed
from coaxtell.models.tables import load
from coaxtell.pages import one_half, one_half_pdf
from coaxtell.pages.lifesize_page import Paper, TruePage
from coaxtell.painter import Painter
from tests.drawings import paper
from tests.drawings.test_lifesize import TOLERANCE, check_furniture
from tests.halves import all_halves, half


@cache
def shortlist() -> Shortlist:
    return Shortlist(list(all_halves().values()), "any")


@cache
def told(half_id: str) -> one_half.OneHalf:
    return one_half.told(shortlist(), half(half_id), load(None).unmeasured.values())


def test_what_it_says_of_the_plug_of_sma() -> None:
    """SMA, 3.5 and 2.92 mm mate, the reverse jack breaks the pin, the reverse plug looks alike: common practice."""
    one = one_half.told(shortlist(), half("sma-plug"))
    assert one.mates == ("SMA jack",)
    assert {name for name, _ in one.limited} == {"3.5 mm jack", "2.92 mm jack"}
    assert all("rated only to the lower 18 GHz" in why for _, why in one.limited)
    assert [name for name, _ in one.breaks] == ["RP-SMA jack"]
    assert "meets the pin of rp-sma-jack" in one.breaks[0][1]
    assert one.alike[0] == one_half.Alike("RP-SMA plug", "centre here: a pin; there: a socket")
    assert ("pin diameter", "0.91 mm (about a 0.9 mm pencil lead)") in one.measures
    assert "socket bore" not in dict(one.measures)
    assert one.fit.startswith("SMA jack, standard polarity, 50 ohm")
    assert "Switch the transmitter off" in one.cautions[0]


def test_what_mates_by_common_practice_alone_is_marked() -> None:
    assert told("qma-jack").mates == ("QMA plug (by common practice)",)
    assert told("micro-4-jack").mates == ("micro snap generation 4 plug (by common practice)",)


def test_acts_are_named_before_what_is_seen_and_measured() -> None:
    """The table of acts: a look-alike of high voltage and a precision port are told before they are touched."""
    assert "MHV or SHV" in " ".join(told("bnc-50-jack").before)
    assert told("sma-plug").before == ()
    precise = told("3.5-jack")
    assert any("maker's own gauge" in words for words in precise.before)
    spoken = " ".join([*dict(precise.measures), *dict(precise.measures).values(), *(a.tell for a in precise.alike)])
    assert "pencil lead" not in spoken
    assert {"SMA jack", "2.92 mm jack"} <= {
        a.name for a in precise.alike if a.tell.startswith("read the marking; the maker's own gauge tells: bore")
    }
    assert "socket bore" not in dict(precise.measures)


def test_what_is_not_known_stands_as_such_and_nowhere_else() -> None:
    """The pairs of the committed list of doubts, with what becomes of them probably."""
    for half_id in ("rp-n-plug", "rp-tnc-plug", "mmcx-plug", "sma-plug"):
        one = told(half_id)
        doubtful = {pair for pair, sure in listed().items() if half_id in pair and not sure.known}
        names = {half(other).name for pair in doubtful for other in pair - {half_id}}
        assert {name for name, _ in one.open} == names
        said = {*one.mates, *one.empty, *one.breaks_too, *dict(one.limited), *dict(one.breaks)}
        assert not said & names
    assert told("rp-n-plug").open[0][1] == "joins, no contact"


def test_halves_that_only_a_marking_tells_apart_say_so() -> None:
    """MCX of 50 and 75 ohm share every size that is seen: their tables."""
    one = one_half.told(shortlist(), half("mcx-plug"))
    (other,) = [alike for alike in one.alike if alike.name == "MCX plug 75 ohm"]
    assert other.tell == "only a marking tells, where there is one; here: 50 ohm; there: 75 ohm"


def test_a_half_without_sizes_is_told_where_it_is_taken_for_this_one() -> None:
    """4.1-9.5 beside 4.3-10: what the table of halves without sizes says, by its source."""
    one = one_half.told(shortlist(), half("4.3-10-plug"), load(None).unmeasured.values())
    assert one.alike[0].name == "4.1-9.5 plug"
    assert "must not be brought together" in one.alike[0].tell
    none = one_half.told(shortlist(), half("sma-jack"), load(None).unmeasured.values())
    assert "not in the tables" not in none.alike[0].tell


class Heard(TruePage):
    """A document that remembers the words on each of its pages."""

    def __init__(self, kind: Paper) -> None:
        self.heard: dict[int, list[str]] = {}
        super().__init__("Every half", kind)

    def text(self, x: float, y: float, text: str = "") -> None:
        self.heard.setdefault(self.page_no(), []).append(text)
        super().text(x, y, text)


def words(pdf: Heard, first: int, last: int) -> str:
    return " ".join(" ".join(word for page in range(first, last + 1) for word in pdf.heard[page]).split())


@pytest.mark.parametrize(
    ("kind", "style"),
    [("a4", None), ("letter", None), ("letter", "bulkhead"), ("a4", "bulkhead"), ("letter", "flange-4")],
)
def test_every_half_fits_and_nothing_of_it_is_left_out(kind: Paper, style: str | None) -> None:
    """Of the housings that differ in their code alone, the first and the neutral one, which mates with all.

    What looks alike, and may carry kilovolts or harm, had been left out where a body took its room.
    """
    pdf = Heard(kind)
    for plain in all_halves().values():
        if plain.key is not None and plain.key.code not in "AZ":
            continue
        pdf.add_page()
        first = pdf.page_no()
        # a body changes nothing that is told of the mating face
        sheet = told(plain.id)
        if style is not None:
            sheet = msgspec.structs.replace(sheet, half=body.styled(plain, style))
        lowest = one_half_pdf._page(pdf, sheet, lambda *_: None)
        assert lowest <= pdf.floor, plain.id
        assert pdf.page_no() <= first + 1, "two pages hold every half"
        stand = words(pdf, first, pdf.page_no())
        for alike in sheet.alike:
            assert f"{alike.name}: {alike.tell}." in stand, plain.id
        assert all(name in stand for name, _ in (*sheet.breaks, *sheet.limited, *sheet.open)), plain.id
        assert all(name in stand for name in (*sheet.breaks_too, *sheet.empty)), plain.id
        assert ("panel cut-out, life size" in stand) == bool(panel.cut_out(sheet.half)), plain.id
        assert ("next page" in words(pdf, first, first)) == (pdf.page_no() > first), plain.id
    assert pdf.output()


def test_all_that_looks_alike_is_told_what_may_carry_kilovolts_first() -> None:
    """Five had been the most, the likeliest first."""
    assert [alike.name for alike in told("bnc-75-jack").alike][:2] == ["MHV jack", "SHV jack"]
    assert {"1.0 mm jack", "2.4 mm jack", "1.85 mm jack"} <= {alike.name for alike in told("sma-jack").alike}


def width(outline: tuple[tuple[float, float], ...], axis: int) -> float:
    return max(p[axis] for p in outline) - min(p[axis] for p in outline)


def test_the_cut_out_of_a_panel_is_that_of_its_table() -> None:
    """SMA: 6.5 mm with 6 mm across its flat, as a maker's public drawing has it (its table); F: two flats."""
    (hole,) = panel.cut_out(body.styled(half("sma-jack"), "bulkhead"))
    assert width(hole, 0) == pytest.approx(6.5, abs=1e-3)
    assert width(hole, 1) == pytest.approx(6.0, abs=1e-9)
    assert max(y for _, y in hole) == pytest.approx(2.75), "the flat lies at the foot"
    (two,) = panel.cut_out(body.styled(half("f-jack"), "bulkhead"))
    flat = body.sizes(half("f-jack")).bulkhead.flat
    assert flat is not None
    assert width(two, 1) == pytest.approx(flat.nominal)
    assert max(y for _, y in two) == pytest.approx(-min(y for _, y in two))


def test_the_holes_of_a_flange_are_those_of_its_table() -> None:
    made = body.styled(half("n-50-jack"), "flange-4")
    assert made.back is not None
    holes = panel.cut_out(made)
    assert len(holes) == 4
    middles = sorted(sum(x for x, _ in hole) / len(hole) for hole in holes)
    assert middles[-1] - middles[0] == pytest.approx(made.back.sizes["spacing"].nominal)
    assert width(holes[0], 0) == pytest.approx(made.back.sizes["hole"].nominal)
    assert len(panel.cut_out(body.styled(half("sma-jack"), "flange-2"))) == 2
    assert panel.cut_out(half("n-50-jack")) == ()
    assert panel.cut_out(body.styled(half("sma-plug"), "cable-crimp")) == ()


def test_a_sheet_with_a_body_shows_its_cut_out_at_life_size(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    path = tmp_path / "a.pdf"
    assert main(["sheet", "n-50-jack", "--body", "flange-4", "-o", str(path)]) == 0
    capsys.readouterr()
    hole = body.sizes(half("n-50-jack")).flange_4.hole.nominal
    assert sum(abs(c.d - hole) <= TOLERANCE for c in paper.circles(path, 1)) == 4
    said = " ".join(paper.words(path, 1).split())
    assert "Check the hole against the part in hand before you cut" in said
    assert "leaves out the flange" in said


def test_the_command_writes_a_page_a_half_at_true_size(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    path = tmp_path / "a.pdf"
    assert main(["sheet", "sma-plug", "n-50-jack", "-o", str(path)]) == 0
    assert "2 halves, a4" in capsys.readouterr().out
    assert check_furniture(path, 210, 297) == 2
    for page, half_id, contact in ((1, "sma-plug", 0.914), (2, "n-50-jack", 3.04)):
        assert half(half_id).name in paper.words(path, page)
        assert any(abs(c.d - contact) <= TOLERANCE for c in paper.circles(path, page)), "its centre contact"


def test_a_picture_is_made_once_for_a_table_and_a_view(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    one = half("sma-jack")
    changed = numbers.replaced(one, ("shell", "rim"), one.shell.rim.at(one.shell.rim.nominal + 0.01))
    with Photographer({one.id: one}, tmp_path) as pictured:
        first = pictured(one, "three-quarter")
        assert first is not None
        made = first.stat().st_mtime_ns

    def refused(*_: object) -> None:
        raise RuntimeError("no second picture")

    monkeypatch.setattr(Painter, "draw", refused)
    with Photographer({one.id: one}, tmp_path) as pictured:
        assert pictured(one, "three-quarter") == first
        assert first.stat().st_mtime_ns == made
        assert pictured(one, "cut") is None, "another view is another picture"
        assert pictured.why == "no second picture"
    with Photographer({one.id: changed}, tmp_path) as pictured:
        assert pictured(changed, "three-quarter") is None, "another number is another picture"
    assert [p.name for p in tmp_path.iterdir()] == [first.name]


def test_without_graphics_drawings_stand_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refused(*_: object) -> None:
        raise RuntimeError("no graphics")

    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(Painter, "draw", refused)
    monkeypatch.chdir(tmp_path)
    assert main(["sheet", "sma-plug"]) == 0
    assert "No picture can be rendered on this machine (no graphics)" in capsys.readouterr().out
    assert (tmp_path / "sheet-sma-plug.pdf").is_file()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "Name the halves by id, by --family or by --ports"),
        (["sma-plug", "--family", "SMA"], "one of the three"),
        (["sma-plg"], "No half is called 'sma-plg'"),
        (["sma-plug", "-o", "a.png"], "a sheet is .pdf"),
    ],
)
def test_bad_input_is_told_in_one_sentence(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["sheet", *words]) == 2
    assert said in capsys.readouterr().err
    assert not list(tmp_path.iterdir())
