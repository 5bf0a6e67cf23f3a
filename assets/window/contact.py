"""The contact sheets of the window: every scene and later state at four sizes and two sizes of text, a sheet a tone.

Run: python -m assets.window.contact [FOLDER] [--only STATE ...]; where a folder is given, the full pictures go there,
to be looked at; with states only their rows are drawn anew into the sheets that are there.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import pygame
from PIL import Image, ImageDraw, ImageFont

from coaxtell.models import lettering, tables
from coaxtell.window.desk.pictures import Rendered
from coaxtell.window.jobs import ALL
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.theme import Tone
from tests.window.driving import Hand
from tests.window.test_states import STATES

SIZES = ((1024, 600), (1366, 768), (1920, 1080), (2560, 1440))
"""Of windows [px]."""
TEXTS = (100, 200)
"""Sizes of text [percent]."""
TONES: tuple[Tone, ...] = ("dark", "light")
THUMB = (192, 110)
MARGIN, TOP, LEFT = 6, 26, 200
PATIENCE_S = 90.0
"""How long a state waits for its pictures; the flat one stands in for those that are not there by then."""
HERE = Path(__file__).parent


def nothing(hand: Hand) -> None:
    """The first look."""


def drawn(hand: Hand, pictures: Rendered) -> Image.Image:
    """A window with its pictures in full."""
    began = time.monotonic()
    hand.picture()
    # time passes: what moved has come to rest, and its picture is made in full
    hand.now += 1.0
    hand.app.tick()
    hand.app.arrange()
    picture = hand.picture()
    while pictures.busy and time.monotonic() - began < PATIENCE_S:
        time.sleep(0.02)
        pictures.poll()
        hand.app.arrange()
        picture = hand.picture()
    return Image.frombytes("RGB", hand.app.size, pygame.image.tobytes(picture, "RGB"))


class Sheet:
    """One tone's sheet: a row a state, a column a size of window and text."""

    def __init__(self, tone: Tone, rows: int, anew: bool) -> None:
        """An empty sheet, or the one that is there; raises ValueError where that has other rows."""
        size = (LEFT + len(SIZES) * len(TEXTS) * (THUMB[0] + MARGIN), TOP + rows * (THUMB[1] + MARGIN))
        self.tone, self.file = tone, HERE / f"contact-{tone}.webp"
        self.image = Image.new("RGB", size, (255, 255, 255)) if anew else Image.open(self.file).convert("RGB")
        if self.image.size != size:
            raise ValueError(f"{self.file} has other rows than there are states; draw all of them")
        self._pen, self._font = ImageDraw.Draw(self.image), ImageFont.truetype(str(lettering.font_file()), 12)

    def put(self, row: int, column: int, name: str, about: str, picture: Image.Image) -> None:
        """A small picture at its place."""
        x, y = LEFT + column * (THUMB[0] + MARGIN), TOP + row * (THUMB[1] + MARGIN)
        self._pen.text((x, 6), about, (0, 0, 0), self._font)
        self._pen.text((4, y + 4), name, (0, 0, 0), self._font)
        small = picture.copy()
        small.thumbnail(THUMB, Image.Resampling.LANCZOS)
        self.image.paste(small, (x, y))


def main() -> None:
    """Draw all, write the sheets beside this file and the full pictures into the folder given."""
    parser = argparse.ArgumentParser(prog="python -m assets.window.contact", description=__doc__)
    parser.add_argument("folder", nargs="?", type=Path)
    parser.add_argument("--only", nargs="+", default=[], metavar="STATE")
    args = parser.parse_args()
    folder = args.folder
    states: dict[str, tuple[str, Callable[[Hand], None]]] = {
        **{f"first look: {scene.word}": (scene.name, nothing) for scene in ALL},
        **STATES,
    }
    sheets = [Sheet(tone, len(states), not args.only) for tone in TONES]
    with tempfile.TemporaryDirectory() as place:
        pictures = Rendered(tables.load().halves, None, Path(place), time.monotonic)
        for column, (size, text) in enumerate((size, text) for size in SIZES for text in TEXTS):
            for row, (name, (scene, reach)) in enumerate(states.items()):
                if args.only and name not in args.only:
                    continue
                hand = Hand(scene, size, Settings(motion=False, text=text))
                # the flat pictures are there at once, so that no state waits for the others on its way
                reach(hand)
                hand.desk.pictures = pictures
                hand.desk.notice = ""
                for sheet in sheets:
                    # the second tone shows the pictures that were made for the first
                    hand.settings.tone = sheet.tone
                    hand.app.arrange()
                    if hand.app.focused is not None:  # what stood in words for the pictures is gone from above it
                        hand.app.focus(hand.app.focused.key)
                    image = drawn(hand, pictures)
                    if folder is not None:
                        image.save(folder / f"{name.replace(' ', '-')}-{size[0]}-{text}-{sheet.tone}.png")
                    sheet.put(row, column, name, f"{size[0]} x {size[1]}, text {text} %", image)
                pictures.forget()
        pictures.close()
    for sheet in sheets:
        sheet.image.save(sheet.file, quality=50, method=6)


if __name__ == "__main__":
    main()
