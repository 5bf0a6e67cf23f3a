"""The pictures of the window for the README, drawn by the window itself. Run: python assets/window/make.py"""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

os.environ["SDL_VIDEODRIVER"] = "dummy"

from coaxtell.identifier.features import Feature
from coaxtell.models import tables
from coaxtell.quiz import items, lesson
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.pictures import Rendered
from coaxtell.window.jobs import ALL
from coaxtell.window.kit.app import App
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.theme import Tone
from coaxtell.window.scenes.bring_together import BringTogether
from coaxtell.window.scenes.cable import Cable
from coaxtell.window.scenes.life_size import LifeSize
from coaxtell.window.scenes.name_port import NamePort
from coaxtell.window.scenes.practise import Practise

import pygame  # isort: skip
from PIL import Image  # isort: skip

SIZE = (1366, 768)
WIDTH = 1000
"""Width of the kept pictures [px]."""
RESTS = 30
"""Rounds of the loop without a picture being drawn after which no more is to come."""
CHANCE = 6
"""For the one item that is shown."""
HERE = Path(__file__).parent


def shortlist(app: App) -> None:
    """The first question, nothing answered yet."""
    assert isinstance(app.scene, NamePort)


def named(app: App) -> None:
    """A reverse-polarity TNC jack, named."""
    scene = app.scene
    assert isinstance(scene, NamePort)
    answers = ((Feature.COUPLING, "thread-outside"), (Feature.CENTRE, "pin"), (Feature.PLASTIC, "tube"),
               (Feature.SIZE, "aaa-cell"))  # fmt: skip
    for feature, value in answers:
        scene.inquiry.saw(feature, value)
    scene.early = True


def together(app: App) -> None:
    """The wrong pair that is met most often, at its stop."""
    scene = app.scene
    assert isinstance(scene, BringTogether)
    scene.bring("sma-plug", "rp-sma-jack")
    scene.pairing.move_to(scene.pairing.stop)


def life_size(app: App) -> None:
    """A plug at 1 : 1 on a screen of 141 pixels to the inch that was set with a card."""
    scene = app.scene
    assert isinstance(scene, LifeSize)
    scene.half_id = "n-50-plug"
    app.desk.settings.per_mm[app.desk.display] = 141 / 25.4


def practise(app: App) -> None:
    """The first item of the first lesson with its answer chosen."""
    scene = app.scene
    assert isinstance(scene, Practise)
    scene.sitter.name.set("Ada")
    scene.sitter.take_name()
    scene.begin_practice()
    assert scene.sitter.course is not None
    assert scene.item is not None
    stock = scene.sitter.course.stock
    # chance decides the pose and the order
    scene.item = lesson.plain(stock, items.make(stock, scene.item.task, Random(CHANCE)))
    scene.choosing(scene.item.right)()
    scene.sure = 0.7


def cable(app: App) -> None:
    """The usual run of a reader."""
    assert isinstance(app.scene, Cable)


PICTURES: dict[str, tuple[str, Tone, Callable[[App], None]]] = {
    "shortlist": ("name", "dark", shortlist),
    "named": ("name", "light", named),
    "together": ("together", "dark", together),
    "life-size": ("life-size", "dark", life_size),
    "practise": ("practise", "light", practise),
    "cable": ("cable", "dark", cable),
}


def main() -> None:
    """Draw each scene with its pictures in full and write it beside this file."""
    pygame.display.init()
    pygame.font.init()
    pygame.display.set_mode((64, 64))
    with tempfile.TemporaryDirectory() as folder:
        pictures = Rendered(tables.load().halves, None, Path(folder), time.monotonic)
        for name, (scene, tone, reach) in PICTURES.items():
            desk = Desk(Settings(scene=scene, tone=tone, motion=False), time.monotonic, pictures,
                        records=Path(folder) / f"{name}.db")  # fmt: skip
            app = App(desk, ALL, SIZE)
            reach(app)
            target = pygame.Surface(SIZE)
            quiet = 0
            # what is shown rough while it moves is asked for once more when it has come to rest
            while quiet < RESTS:
                app.tick()
                app.arrange()
                app.show(target)
                pictures.poll()
                quiet = 0 if pictures.busy else quiet + 1
                time.sleep(0.02)
            app.show(target)
            image = Image.frombytes("RGB", SIZE, pygame.image.tobytes(target, "RGB"))
            small = image.resize((WIDTH, round(SIZE[1] * WIDTH / SIZE[0])), Image.Resampling.LANCZOS)
            small.save(HERE / f"{name}.webp", quality=88, method=6)
            app.close()
        pictures.close()


if __name__ == "__main__":
    main()
