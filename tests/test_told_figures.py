"""Figures that pages of the manual quote are those that are kept, to the last digit that stands there."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest

from benchmarks.study import RESULTS, ROOT, Tally, kept_tallies

BY_WIDTH = {
    "two echoes nearer than this are one": "resolution along the cable, m",
    "a good cable is not called good": "false alarm",
    "length within 2 % or 5 cm": "length within 2 % or 5 cm",
    "a cut of 10 % named": "cut of 10 % named",
    "another class: cannot be told": "wrong class, cannot tell",
    "another class that can be told: named": "wrong class named, where it can be told",
    "another class with a bad connector: cannot be told": "wrong class with a bad connector, cannot tell",
    "another class with a bad connector, that can be told: named": (
        "wrong class with a bad connector named, where it can be told"
    ),
    "loss at a joint over twice the plus-minus: not passed": "lossy joint over twice the plus-minus seen",
    "loss at a joint called another class": "lossy joint called another class",
    "crushed place seen": "fault seen",
    "its distance within 10 cm, where seen": "fault told within 10 cm",
    "bad near connector seen": "bad near connector seen",
    "bad far connector seen": "bad far connector seen",
}  # fmt: skip
"""Rows of the page on arrival, by how they begin, and the figures of its study."""
BY_SPREAD = {
    "limits printed, as they state": "as stated",
    "limits printed, 1.3 times as wide": "1.3 times as wide",
    "from memory, as the general tolerance has it": "weak number",
    "from memory, half as wide": "weak number, half as wide",
    "from memory, 1.3 times as wide": "weak number, 1.3 times as wide",
}
"""Rows of the page on gauging and the figures of its study."""


def page(name: str) -> str:
    return (ROOT / "docs" / name).read_text(encoding="utf-8")


def row(name: str, begins: str) -> list[str]:
    """The cells of the one row of a page that begins so, without its first."""
    found = [line for line in page(name).splitlines() if re.match(rf"\| {re.escape(begins)}(?: \([^|]*\))? \|", line)]
    assert len(found) == 1, (name, begins)
    return [cell.strip(" *") for cell in found[0].strip("|").split("|")[1:]]


def as_told(cell: str, kept: Tally) -> str:
    """A cell with what is kept in the place of each of its figures: shares, lengths, counts."""

    def share(found: re.Match[str]) -> str:
        digits = len(found[1].partition(".")[2])
        return f"{(100 if found[2] == ' %' else 1) * kept.mean:.{digits}f}{found[2]}"

    counted = re.sub(r"(?<!\d)[\d,]+ of [\d,]+", f"{kept.total:,.0f} of {kept.tries:,}", cell)
    return re.sub(r"% of [\d,]+", f"% of {kept.tries:,}", re.sub(r"([\d.]+)( %| m\b)", share, counted))


def rows() -> Iterator[tuple[str, str, str, str]]:
    """Page, beginning of the row, study, and the figure of each of its cells, parted by a bar."""
    for begins, figure in BY_WIDTH.items():
        yield "arrival.md", begins, "arrival", f"wide, all: {figure}|narrow, all: {figure}"
    for begins, how in BY_SPREAD.items():
        asked = ("parts held", "slipped digit caught", "honest part asked for again")
        yield "gauging.md", begins, "gauge_range", "|".join(f"{how}, {what}" for what in asked)


@pytest.mark.parametrize(("name", "begins", "study", "figures"), [*rows()])
def test_a_row_quotes_what_is_kept(name: str, begins: str, study: str, figures: str) -> None:
    kept = kept_tallies(study)
    cells = row(name, begins)
    assert cells == [as_told(cell, kept[one]) for cell, one in zip(cells, figures.split("|"), strict=True)]


def test_a_figure_that_is_not_the_kept_one_is_found() -> None:
    kept = Tally(209, 209)
    assert as_told("99 % of 209", kept) == as_told("100 % of 208", kept) == "100 % of 209"
    assert as_told("0.14 m", Tally(1.5, 10)) == "0.15 m"
    assert as_told("0.05 % (2 of 1,914)", Tally(1, 1914)) == "0.05 % (1 of 1,914)"


def test_sentences_quote_what_is_kept() -> None:
    kill = json.loads((RESULTS / "quiz_kill.json").read_text(encoding="utf-8"))
    assert kill["lost"] == kill["faults"] == 0
    for name in ("record.md", "training.md"):
        assert f"of {kill['told']:,} answers told safe none was lost" in " ".join(page(name).split()), name
    pocket = " ".join(page("pocket.md").split())
    cuts, jobs = kept_tallies("pocket_cuts"), kept_tallies("pocket_jobs")
    pairs, parts = cuts["pairs whose polygons lie within 0.002 mm"], cuts["parts whose volume is within 0.1%"]
    worked = [tally for label, tally in jobs.items() if label.startswith("jobs by")]
    for told in (
        f"the same in all {kept_tallies('pocket_traces')['states alike'].total:,.0f} states",
        f"all {pairs.total:,.0f} pairs cut open",
        f"all {parts.total:.0f} parts within 0.1 %",
        f"{sum(one.total for one in worked):.0f} of {sum(one.tries for one in worked)} worked and kept",
        f"no fault by axe in {jobs['views without a fault'].total:.0f} views",
    ):
        assert told in pocket, told


def test_the_page_of_the_window_tells_its_speed_as_kept() -> None:
    held = json.loads((RESULTS / "window_start.json").read_text(encoding="utf-8"))
    page = " ".join((ROOT / "docs" / "window.md").read_text(encoding="utf-8").split())
    assert (
        f"first picture after {held['x11_first_picture_s']:.2f} s, "
        f"{held['x11_turning_per_s']:.1f} new pictures a second "
        f"while turning, an answer to a key in {held['x11_answer_slowest_ms']:.0f} ms at most, "
        f"{held['x11_memory_most_mb']:.0f} MB at most; without a screen {held['first_picture_s']:.2f} s, "
        f"{held['turning_per_s']:.1f} pictures, {held['answer_slowest_ms']:.0f} ms and {held['memory_most_mb']:.0f} MB."
        in page
    )
