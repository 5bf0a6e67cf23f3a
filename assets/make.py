"""Make the contact sheets in `families/` and the page that shows them. Run: python assets/make.py [FOLDER [KEY ...]]

One sheet for each family table: its halves side by side at one scale, from three quarters, face on and cut open, as
`coaxtell show` pictures them; many halves, such as all codes of a keyed housing, in several rows.
"""

from __future__ import annotations

import sys
from pathlib import Path

from PIL import Image

from coaxtell.models import tables
from coaxtell.models.half import Half
from coaxtell.models.solids import picture
from coaxtell.models.solids.studio import Studio
from coaxtell.models.tables import Tables

WIDTH, ROW, LOW = 1080, 360, 230
"""Width of a sheet, height of a row, and of one with many halves [px]."""
MOST = 7
"""Halves in one row."""
QUALITY = 76
VIEWS: tuple[picture.View, ...] = ("three-quarter", "face", "cut")
EVERYDAY = ("sma-jack", "tnc-jack", "n-50-jack", "bnc-50-jack", "uhf-jack", "f-jack")


def of_family(known: Tables, key: str) -> list[Half]:
    """The halves that follow from one table, the reverse pair included."""
    table = known.families[key]
    keys = [key, *([table.reverse_key] if table.reverse_key else [])]
    longer = [k for k in known.families if k.startswith(f"{key}-")]
    found = [h for k in keys for h in known.halves.values() if h.id == k or h.id.startswith(f"{k}-")]
    return [h for h in found if not any(h.id == k or h.id.startswith(f"{k}-") for k in longer)]


def rows(halves: list[Half]) -> list[tuple[picture.View, list[Half]]]:
    """The rows of a sheet: every view of every half."""
    return [(view, halves[i : i + MOST]) for view in VIEWS for i in range(0, len(halves), MOST)]


def sheet(studio: Studio, shown: list[tuple[picture.View, list[Half]]]) -> Image.Image:
    """The rows under one another."""
    heights = [LOW if len(halves) == MOST else ROW for _, halves in shown]
    whole = Image.new("RGB", (WIDTH, sum(heights)))
    top = 0
    for (view, halves), height in zip(shown, heights, strict=True):
        whole.paste(picture.picture(halves, view, WIDTH, height, studio=studio), (0, top))
        top += height
    return whole


def page(known: Tables) -> str:
    """The page of all sheets, in Markdown."""
    lines = [
        "# Every family, as coaxtell draws it",
        "",
        "Each sheet shows the halves of one table at one scale: from three quarters, face on, cut open. What rests on",
        "memory is drawn as remembered; `coaxtell sources ID` says what. Made by `python assets/make.py`.",
        "",
    ]
    for key, table in known.families.items():
        ohm = "" if table.impedance is None else f", {table.impedance.nominal:g} ohm"
        reverse = f" and {table.reverse_family or 'RP-' + table.family}" if table.reverse_key else ""
        lines += [f"## {table.family}{reverse}{ohm}", "", f"![{table.family}](families/{key}.webp)", ""]
    return "\n".join(lines[:-1]) + "\n"


def main(folder: Path, wanted: list[str]) -> None:
    """Write the sheets into `folder`/families, the everyday jacks beside them, and the page that shows them."""
    known = tables.load()
    (folder / "families").mkdir(parents=True, exist_ok=True)
    with Studio() as studio:
        for key in wanted or known.families:
            made = sheet(studio, rows(of_family(known, key)))
            made.save(folder / "families" / f"{key}.webp", "WEBP", quality=QUALITY, method=6)
        if not wanted:
            halves = [known.halves[i] for i in EVERYDAY]
            image = picture.picture(halves, "three-quarter", WIDTH, ROW, studio=studio)
            image.save(folder / "everyday.webp", "WEBP", quality=QUALITY, method=6)
            (folder / "families.md").write_text(page(known), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent, sys.argv[2:])
