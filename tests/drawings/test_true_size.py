"""SVG, PDF and PNG at true size, read back with other people's libraries: resvg for SVG, pypdf for PDF."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
import resvg_py
from PIL import Image
from pypdf import PdfReader

from coaxtell.cli.main import main
from coaxtell.models.drawings import face
from coaxtell.models.drawings.drawing import Drawing
from tests.drawings import paper
from tests.halves import half

Pixels = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]

DPI = 600
PX = 25.4 / DPI
MM = 1 / PX


def rastered(svg: str) -> Pixels:
    """An SVG at 600 dots per inch by resvg, as an array (row, column, channel)."""
    data = bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=DPI, skip_system_fonts=True))
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB")).astype(np.int64)


def extent(mask: Mask) -> tuple[int, int]:
    """Columns and rows [px] that a mask spans."""
    return int(np.ptp(np.flatnonzero(mask.any(axis=0)))) + 1, int(np.ptp(np.flatnonzero(mask.any(axis=1)))) + 1


def life_size(half_id: str) -> Drawing:
    """The half face on at 1 : 1 on 50 x 50 mm of white."""
    return Drawing(50, 50, half_id, "#FFFFFF", tuple(face.parts(half(half_id), (25.0, 25.0), 1.0)), 1.0)


@pytest.mark.parametrize(
    ("half_id", "across"),
    [("n-50-plug", "nut"), ("tnc-plug", "nut"), ("tnc-jack", "shell"), ("qma-plug", "nut"), ("smb-plug", "shell")],
)
def test_svg_rasterised_at_600_dpi_is_within_one_pixel(half_id: str, across: str) -> None:
    """Widest circle on the face as the table has it, plus the edge of 0.2 mm that is drawn half outside."""
    one = half(half_id)
    steps = one.nut.body.outside if one.nut is not None and across == "nut" else one.shell.outside
    widest = max(step.d.nominal for step in steps if step.d is not None)
    if one.thread is not None:
        widest = max(widest, one.thread.major.nominal)
    picture = rastered(life_size(half_id).svg())
    assert picture.shape[:2] == (round(50 * MM), round(50 * MM))
    for px in extent(picture.sum(axis=2) < 420):
        assert abs(px - (widest + 0.2) * MM) <= 1.0 + 1e-6


@pytest.mark.parametrize("half_id", ["sma-plug", "n-50-plug", "rp-tnc-jack", "7-16-plug", "smb-jack", "mcx-plug"])
def test_the_edge_of_the_pin_in_the_svg_lies_where_the_table_says(half_id: str) -> None:
    """The edge is 0.2 mm wide about the pin's radius: its inner flank along the row through the axis, to one pixel."""
    pin = half(half_id).centre.pin
    assert pin is not None
    picture = rastered(life_size(half_id).svg())
    dark = picture[round(25 * MM)].sum(axis=1) < 250
    inner = pin.d.nominal / 2 - 0.1
    for side, flanks in ((1, dark[1:] & ~dark[:-1]), (-1, dark[:-1] & ~dark[1:])):
        places = np.flatnonzero(flanks) + 1
        assert np.abs(places - (25 + side * inner) * MM).min() <= 1.0


def test_our_png_and_resvg_show_the_same() -> None:
    drawing = life_size("bnc-50-jack")
    into = io.BytesIO()
    drawing.png(into, DPI)
    into.seek(0)
    ours = np.asarray(Image.open(into).convert("RGB")).astype(np.int64)
    theirs = rastered(drawing.svg())
    assert ours.shape == theirs.shape
    dark, other = ours.sum(axis=2) < 380, theirs.sum(axis=2) < 380
    # every dark pixel of one has a dark one of the other within one pixel beside it
    for a, b in ((dark, other), (other, dark)):
        near = np.zeros_like(b)
        for dy in (-1, 0, 1):
            for dx in (-1, 0, 1):
                near |= np.roll(np.roll(b, dy, axis=0), dx, axis=1)
        assert (a & ~near).sum() <= 0.001 * a.sum()


@pytest.mark.parametrize(
    ("words", "scale", "size"),
    [
        (["sma-plug"], 5, (297, 210)),
        (["n-50-jack", "--scale", "2:1"], 2, (297, 210)),
        (["7-16-plug", "--scale", "5"], 5, (594, 420)),
    ],
)
def test_pdf_of_a_half_is_true_to_the_scale_it_states(
    words: list[str], scale: float, size: tuple[float, float], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.pdf"
    assert main(["draw", *words, "-o", str(path)]) == 0
    assert f"scale {scale:g} : 1" in capsys.readouterr().out
    pdf = PdfReader(path)
    box = pdf.pages[0].mediabox
    assert (float(box.width) * paper.PER_POINT, float(box.height) * paper.PER_POINT) == pytest.approx(size, abs=0.1)
    assert paper.print_scaling(path) == "/None"
    one = half(words[0])
    widest = max(s.d.nominal for s in (one.nut.body if one.nut else one.shell).outside if s.d is not None)
    runs = paper.outlines(path, 1)
    heights = {round(max(y for _, y in r.points) - min(y for _, y in r.points), 2) for r in runs if len(r.points) == 2}
    assert any(abs(height - scale * widest) < 0.02 for height in heights), "dimension line as long as the part is wide"
    contact = one.centre.pin.d.nominal if one.centre.pin is not None else one.centre.d.nominal
    assert any(abs(circle.d - scale * contact) < 0.02 for circle in paper.circles(path, 1)), "face on"


def test_a_pair_is_drawn_where_it_stops_with_the_overlap_in_red(tmp_path: Path) -> None:
    """SMA plug on RP-SMA jack: pin on pin, common practice, no source; the red is that of the sheet's harm."""
    for kind in ("svg", "pdf", "png"):
        path = tmp_path / f"a.{kind}"
        assert main(["draw", "sma-plug", "rp-sma-jack", "--scale", "6", "-o", str(path)]) == 0
    assert "pin of SMA plug meets pin of RP-SMA jack" in (tmp_path / "a.svg").read_text(encoding="utf-8")
    assert "pin of SMA plug meets pin of RP-SMA jack" in paper.words(tmp_path / "a.pdf", 1)
    with Image.open(tmp_path / "a.png") as image:
        red, green, blue = (np.asarray(channel) for channel in image.convert("RGB").split())
    assert ((red > 150) & (green < 60) & (blue < 60)).sum() > 500


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["sma-plug", "-o", "a.doc"], "a drawing is .svg, .pdf or .png"),
        (["sma-plug", "--scale", "nan"], "not a number"),
        (["sma-plug", "--scale", "1:0"], "out of range"),
        (["sma-plug", "--scale", "1:20"], "no scale from 1:10"),
        (["sma-plug", "--scale", "٥:١"], "digits of another script"),
        (["sma-plug", "--scale", "100"], "larger than an A0 sheet"),
        (["a", "b", "c"], "too many for one drawing"),
        (["smapluck"], "Did you mean sma-plug"),
    ],
)
def test_bad_input_is_told_in_one_sentence(
    words: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["draw", *words]) == 2
    assert told in capsys.readouterr().err
    assert not list(tmp_path.iterdir())
