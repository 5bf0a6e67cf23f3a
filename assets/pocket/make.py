"""Make the contact sheet of the page for the pocket. Run: python -m assets.pocket.make [FILE] (needs chromium)."""

from __future__ import annotations

import json
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

from benchmarks.photo_scene import scene
from coaxtell.cli.main import main as command
from tests.pocket.browser import Phone

WIDE, HIGH, GAP = 390, 844, 12
"""A phone [CSS px], and the room between two on the sheet [px]."""
SCALE = 0.6
"""Of the sheet."""
ANSWERS = "await answered('coupling', {saw: 'thread-outside'}); "
SIZE = "await answered('coupling-diameter', {read: 6.3, off: 0.05, typed: '6.3'}); "
CENTRE = "await answered('centre', {saw: 'pin'}); "
BEGIN = "port = port.in({answers: {}, again: {}}); "
PHOTO = "shot = {feature: 'coupling-diameter', answers: port.answers, level: 'unknown', mm: '', refused: ''}; "
RUN = "{length: '12m', power: '30', want: '26', reader: 'rp-tnc-jack', antenna: 'n-50-jack'}"
SCREENS = (
    ("light", "go('name')"),
    ("light", ANSWERS + SIZE + CENTRE + "scrollTo(0, 0)"),
    ("light", BEGIN + ANSWERS + PHOTO + "ask('coupling-diameter')"),
    ("light", "go('turn', {turned: 'n-50-plug'})"),
    ("light", "go('together', {pair: ['sma-plug', 'rp-sma-jack']})"),
    ("dark", "change({life: {screen: screenNow(), perMm: 6}}); go('life', {turned: 'tnc-jack'})"),
    ("dark", f"change({{run: {RUN}}}); go('cable')"),
    ("dark", "change({practice: {...state.practice, person: 'Ada'}}); go('practise')"),
    ("dark", ANSWERS + SIZE + CENTRE + "addToSite()"),
    ("dark", "document.documentElement.style.fontSize = '225%'; " + ANSWERS + "go('name')"),
)
"""Each screen: its tone, and what is done before it is taken; the last with text of twice the size."""


def _photographed(phone: Phone, folder: Path) -> None:
    """Open a drawn photograph, put the marks where they belong, and look at the face."""
    shot = scene(59, 2048, 1536, np.array([11.11]), False)
    Image.fromarray(shot.picture).save(folder / "port.jpg", quality=92)
    phone.until("document.querySelector('main input[type=file]:not([capture])') !== null")
    phone.choose_file("main input[type=file]:not([capture])", folder / "port.jpg")
    phone.until("document.querySelector('canvas.shot') !== null")
    marks = {"corners": shot.corners.tolist(), "face": shot.centre.tolist(), "radius": float(shot.radius),
             "placed": True}  # fmt: skip
    phone.run(f"Object.assign(shot.marks, {json.dumps(marks)}); show()")
    phone.until("document.querySelector('[data-mm]') !== null")
    phone.tap("Face", "main")
    nearer = "[...document.querySelectorAll('main label')].find((one) => one.innerText.startsWith('Nearer'))"
    phone.run(f"(s => {{ s.value = 2.5; s.dispatchEvent(new Event('input')); }})({nearer}.querySelector('input'))")
    phone.run("document.querySelector('canvas.shot').scrollIntoView()")


def main() -> None:
    """Take the screens of a page made today and lay them side by side."""
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "screens.webp"
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "page.html"
        command(["pocket", "-o", str(page)])
        shots: list[Image.Image] = []
        with Phone(Path(folder) / "profile", (WIDE, HIGH)) as phone:
            phone.open(page.as_uri())
            for tone, script in SCREENS:
                phone.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": tone}])
                phone.run(f"(async () => {{ {script}; }})()")
                if PHOTO in script:
                    _photographed(phone, Path(folder))
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
