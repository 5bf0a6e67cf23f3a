"""Make the contact sheet of the page for the pocket. Run: python -m assets.pocket.make [FILE] (needs chromium)."""

from __future__ import annotations

import sys
import tempfile
import time
from datetime import date
from pathlib import Path

from PIL import Image

from coaxtell.models import tables
from coaxtell.pocket import build
from coaxtell.pocket.data import Wanted
from tests.pocket.browser import Phone

WIDE, HIGH, GAP = 390, 844, 12
"""A phone [CSS px], and the room between two on the sheet [px]."""
SCALE = 0.6
"""Of the sheet."""
ANSWERS = "answered('coupling', {saw: 'thread-outside'}); "
SIZE = "answered('coupling-diameter', {read: 6.3, off: 0.05, typed: '6.3'}); "
SCREENS = (
    ("light", "go('name')"),
    ("light", ANSWERS + SIZE + "answered('centre', {saw: 'pin'}); document.querySelector('.named').scrollIntoView()"),
    ("light", "go('turn', {turned: 'n-50-plug'})"),
    ("light", "go('together', {pair: ['sma-plug', 'rp-sma-jack']})"),
    ("dark", "change({life: {screen: screenNow(), perMm: 6}}); go('life', {turned: 'tnc-jack'})"),
    ("dark", "change({run: {length: '12m', power: '30', want: '26', antenna: 'n-50-jack'}}); go('cable')"),
    ("dark", "change({practice: {...state.practice, person: 'Ada'}}); go('practise')"),
    ("dark", "go('name'); addToSite()"),
)
"""Each screen: its tone, and what is done before it is taken."""


def main() -> None:
    """Take the screens of a page made today and lay them side by side."""
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "screens.webp"
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "page.html"
        page.write_bytes(build.single(build.made(Wanted(tables.load(), date.today()))))
        shots: list[Image.Image] = []
        with Phone(Path(folder) / "profile", (WIDE, HIGH)) as phone:
            phone.open(page.as_uri())
            for tone, script in SCREENS:
                phone.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": tone}])
                phone.run(f"{script}; null")
                time.sleep(1.0)
                shot = Path(folder) / f"{len(shots)}.png"
                phone.picture(shot)
                shots.append(Image.open(shot).convert("RGB"))
        wide, high = round(WIDE * SCALE), round(HIGH * SCALE)
        across = len(shots) // 2
        sheet = Image.new("RGB", (across * (wide + GAP) - GAP, 2 * (high + GAP) - GAP), "#c9c2b2")
        for place, one in enumerate(shots):
            row, column = divmod(place, across)
            small = one.resize((wide, high), Image.Resampling.LANCZOS)
            sheet.paste(small, (column * (wide + GAP), row * (high + GAP)))
        sheet.save(target, quality=80, method=6)


if __name__ == "__main__":
    main()
