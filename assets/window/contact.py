"""The contact sheet of the window: every scene and later state at four sizes, two text sizes and in both tones.

Run: python -m assets.window.contact [FOLDER]; where a folder is given, the full pictures go there, to be looked at.
"""

from __future__ import annotations

import sys
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

VARIANTS: list[tuple[tuple[int, int], int, Tone]] = [
    ((1024, 600), 100, "dark"), ((1024, 600), 200, "light"), ((1366, 768), 100, "light"), ((1366, 768), 200, "dark"),
    ((1920, 1080), 100, "dark"), ((1920, 1080), 200, "light"), ((2560, 1440), 100, "light"),
    ((2560, 1440), 200, "dark"),
]  # fmt: skip
"""Sizes [px], text [percent] and tone: each size in both text sizes, each of these in both tones."""
THUMB = (192, 110)
MARGIN, TOP, LEFT = 6, 26, 130
PATIENCE_S = 8.0
"""How long a state waits for its pictures; the flat one stands in for those that are not there by then."""
HERE = Path(__file__).parent


def nothing(hand: Hand) -> None:
    """The first look."""


def drawn(hand: Hand, pictures: Rendered) -> Image.Image:
    """A window with its pictures in full."""
    began = time.monotonic()
    picture = hand.picture()
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


def main() -> None:
    """Draw all, write the sheet beside this file and the full pictures into the folder given."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    states: dict[str, tuple[str, Callable[[Hand], None]]] = {
        **{scene.word: (scene.name, nothing) for scene in ALL},
        **STATES,
    }
    width = LEFT + len(VARIANTS) * (THUMB[0] + MARGIN)
    sheet = Image.new("RGB", (width, TOP + len(states) * (THUMB[1] + MARGIN)), (255, 255, 255))
    pen, font = ImageDraw.Draw(sheet), ImageFont.truetype(str(lettering.font_file()), 12)
    with tempfile.TemporaryDirectory() as place:
        pictures = Rendered(tables.load().halves, None, Path(place), time.monotonic)
        for column, (size, text, tone) in enumerate(VARIANTS):
            x = LEFT + column * (THUMB[0] + MARGIN)
            pen.text((x, 6), f"{size[0]} x {size[1]}, text {text} %", (0, 0, 0), font)
            for row, (name, (scene, reach)) in enumerate(states.items()):
                y = TOP + row * (THUMB[1] + MARGIN)
                pen.text((4, y + 4), name, (0, 0, 0), font)
                hand = Hand(scene, size, Settings(motion=False, text=text, tone=tone))
                # the flat pictures are there at once, so that no state waits for the others on its way
                reach(hand)
                hand.desk.pictures = pictures
                hand.desk.notice = ""
                hand.app.arrange()
                image = drawn(hand, pictures)
                if folder is not None:
                    image.save(folder / f"{name.replace(' ', '-')}-{size[0]}-{text}-{tone}.png")
                image.thumbnail(THUMB, Image.Resampling.LANCZOS)
                sheet.paste(image, (x, y))
                pictures.forget()
        pictures.close()
    sheet.save(HERE / "contact.webp", quality=60, method=6)


if __name__ == "__main__":
    main()
