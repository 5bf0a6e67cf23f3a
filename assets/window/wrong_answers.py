"""What the bench shows after a wrong answer: a picture for each kind of item and each verdict.

Run: python -m assets.window.wrong_answers; the pictures are described in docs/pictures.md.
"""

from __future__ import annotations

import tempfile
import time
from pathlib import Path
from random import Random

from PIL import Image

from assets.window.contact import drawn
from coaxtell.models import tables
from coaxtell.quiz import items
from coaxtell.quiz.item import Item
from coaxtell.quiz.sitting import Practising
from coaxtell.quiz.stock import Stock
from coaxtell.window.desk.pictures import Rendered
from coaxtell.window.kit.settings import Settings
from coaxtell.window.scenes.practise import Practise
from tests.window.driving import Hand
from tests.window.test_states import asked

SIZE = (1366, 768)
WIDTH = 640
"""Width of a kept picture [px]."""
CHANCE = 6
FOLDER = Path(__file__).parent / "wrong"
TASKS: dict[str, tuple[str, str, str]] = {
    "mates": ("mates", "n-50-plug", "n-50-jack"),
    "mates with limits": ("mates", "bnc-50-plug", "bnc-75-jack"),
    "limit of frequency": ("mates", "2.92-plug", "3.5-jack"),
    "limit of torque": ("mates", "3.5-plug", "sma-jack"),
    "joins, no contact": ("mates", "rp-sma-plug", "sma-jack"),
    "damages": ("mates", "sma-plug", "rp-sma-jack"),
    "does not join": ("mates", "n-50-plug", "tnc-jack"),
    "name": ("name", "rp-sma-jack", "sma-jack"),
    "order": ("order", "n-50-jack", "uhf-plug"),
    "look": ("look", "rp-sma-plug", "sma-plug"),
    "cable": ("cable", "", ""),
    "cable too thin": ("cable", "", "thick"),
    "cable too thick": ("cable", "", "thin"),
}
"""The items shown: kind and halves, none where any will do, or which class of cable is right where the wrong one is
chosen; the first seven by the verdict of their pair."""


def item_of(stock: Stock, kind: str, a: str, b: str) -> Item:
    """The item of a kind that asks about these halves, or without `a` whose right class is `b`.

    Raises LookupError where there is none.
    """
    for task in items.tasks(stock):
        if task.kind == kind and ({task.a, task.b} == {a, b} if a else not b or b in task.among):
            return items.make(stock, task, Random(CHANCE))
    raise LookupError(f"no item of kind {kind} asks about {a} {b}")


def main() -> None:
    """Answer each item wrongly and keep the bench."""
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as place:
        pictures = Rendered(tables.load().halves, None, Path(place), time.monotonic)
        for name, (kind, a, b) in TASKS.items():
            hand = Hand("practise", SIZE, Settings(motion=False), pictures)
            asked(hand)
            scene = hand.app.scene
            assert isinstance(scene, Practise)
            assert scene.sitter.course is not None
            assert isinstance(scene.sitting, Practising)
            scene.item = scene.sitting._item = item_of(scene.sitter.course.stock, kind, a, b)
            wrong = [option.id for option in scene.item.options if option.id != scene.item.right]
            # the picture is of the option chosen; of a cable that is one with the wrong end, or else the wrong class
            end = " own" if b and not a else " other"
            ends = [option for option in wrong if option == b or option.endswith(end)]
            scene.choosing([*ends, *wrong][0])()
            scene.give()
            hand.app.arrange()
            whole = drawn(hand, pictures)
            bench, scale = hand.widget("bench").box, hand.app.type.scale
            cut = whole.crop((0, round(bench.y * scale), round(bench.w * scale), round(bench.bottom * scale)))
            small = cut.resize((WIDTH, round(cut.height * WIDTH / cut.width)), Image.Resampling.LANCZOS)
            small.save(FOLDER / f"{name.replace(', ', '-').replace(' ', '-')}.webp", quality=82, method=6)
        pictures.close()


if __name__ == "__main__":
    main()
