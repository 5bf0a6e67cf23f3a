"""Plans opened in the programs that people open them with."""

import subprocess
from itertools import groupby
from pathlib import Path

import pypdf
import pytest
from PIL import Image

from coaxtell.cli.plan import write
from tests.cables.kit import cable_tables
from tests.cables.test_plan import made

DOTS_PER_MM = 10


def run_quietly(*words: str | Path) -> None:
    subprocess.run(words, check=True, capture_output=True, timeout=300)


def longest_dark_run(row: list[int]) -> int:
    return max((len(list(run)) for dark, run in groupby(row, lambda grey: grey < 110) if dark), default=0)


@pytest.mark.needs("chromium", "pdftoppm")
def test_the_bar_on_the_page_measures_100_mm_on_paper(tmp_path: Path) -> None:
    page, paper = tmp_path / "dock.html", tmp_path / "dock.pdf"
    write(made(), cable_tables(), page)
    run_quietly(
        *("chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path / 'profile'}"),
        *("--no-pdf-header-footer", f"--print-to-pdf={paper}", page.as_uri()),
    )
    texts = [sheet.extract_text() for sheet in pypdf.PdfReader(paper).pages]
    number = next(i for i, text in enumerate(texts, start=1) if "this bar is 100" in text)
    picture = tmp_path / "labels"
    dots = ("-r", str(DOTS_PER_MM * 25.4), "-singlefile", "-gray", "-png")
    run_quietly("pdftoppm", *dots, "-f", str(number), paper, picture)
    with Image.open(picture.with_suffix(".png")) as drawn:
        grey = drawn.convert("L")
        rows = [list(grey.crop((0, y, grey.width, y + 1)).tobytes()) for y in range(grey.height)]
    measured = {longest_dark_run(row) / DOTS_PER_MM for row in rows}
    assert any(length == pytest.approx(100, abs=0.2) for length in measured)


@pytest.mark.needs("soffice")
def test_each_sheet_of_the_workbook_prints_on_pages_of_its_width(tmp_path: Path) -> None:
    book = tmp_path / "dock.xlsx"
    write(made(), cable_tables(), book)
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    run_quietly("soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", tmp_path, book)
    pages = pypdf.PdfReader(tmp_path / "dock.pdf").pages
    # Seven sheets, each short enough for a page or two; a sheet too wide would take a page for each part of its width.
    assert 7 <= len(pages) <= 8
    first = " ".join(pages[0].extract_text().split())
    for part in ("No.", "What to order", "For", "12 m (39.4 ft)", "R1 to A1, R1 to A3"):
        assert part in first, part
    assert all(float(page.mediabox.width) > float(page.mediabox.height) for page in pages)
