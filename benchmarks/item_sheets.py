"""Items as people see them, on sheets to look at, and a table of what each picture shows against its words.

`python -m benchmarks.item_sheets FOLDER [ITEMS] [KIND ...]` draws so many items of each kind (60), as the blueprint
does: picture, words and answers on a sheet of twelve. It holds the words against geometry (`tests/quiz/seen.py`); the
table goes to shown.json. Seeded.
"""

from __future__ import annotations

import json
import sys
import textwrap
from pathlib import Path
from random import Random

from PIL import Image, ImageDraw, ImageFont

from coaxtell.models import tables
from coaxtell.quiz import items, words
from coaxtell.quiz.blueprint import Blueprint
from coaxtell.quiz.item import Item
from coaxtell.quiz.stock import Stock
from coaxtell.quiz_pages import item_picture
from tests.quiz.seen import held

ITEMS, SEED = 60, 2026
ACROSS, DOWN = 3, 4
PICTURE, LINES, LETTERS = (480, 320), 13, 84


def drawn(plan: Blueprint, kind: str, number: int) -> list[Item]:
    """Items of a kind, as often as the blueprint draws them."""
    rng = Random(f"{SEED}/{kind}")
    tasks, shares = list(plan.shares[kind]), list(plan.shares[kind].values())
    return [items.make(plan.stock, rng.choices(tasks, shares)[0], rng) for _ in range(number)]


def tile(item: Item, number: int, stock: Stock) -> Image.Image:
    """The picture of an item with its words below."""
    assert item.picture is not None
    width, height = PICTURE
    sheet = Image.new("RGB", (width, height + LINES * 14 + 6), "white")
    halves = [stock.half(half_id) for half_id in item.picture.row]
    sheet.paste(item_picture.image(halves, item.picture, PICTURE), (0, 0))
    said = words.of(item)
    right = item.right if item.task.kind == "mates" else said.options[item.right]
    options = "" if item.task.kind == "mates" else " | ".join(said.options.values())
    lines = [f"{number}. {' + '.join(item.picture.halves)} -> {right}", *textwrap.wrap(said.question, LETTERS)]
    lines += [*textwrap.wrap(said.in_words, LETTERS), *textwrap.wrap(options, LETTERS)]
    assert len(lines) <= LINES, f"item {number} has {len(lines)} lines of words"
    pen, type_ = ImageDraw.Draw(sheet), ImageFont.load_default(11)
    for place, line in enumerate(lines):
        pen.text((4, height + 2 + 14 * place), line, fill="black", font=type_)
    return sheet


def main() -> None:
    folder, number = Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else ITEMS
    folder.mkdir(parents=True, exist_ok=True)
    plan = Blueprint(Stock(tables.load().halves))
    table = []
    for kind in sys.argv[3:] or list(plan.shares):
        found = drawn(plan, kind, number)
        tables_of = [held(item, plan.stock) for item in found]
        faults = [[fault for one in halves for fault in one.faults] for halves in tables_of]
        for place, halves in enumerate(tables_of, start=1):
            for one in halves:
                shows = {name: round(value, 3) if isinstance(value, float) else value
                         for name, value in one.seen._asdict().items()}  # fmt: skip
                shows["widths_mm"] = [round(mm, 2) for mm in one.seen.widths_mm]
                table.append({"kind": kind, "number": place, "half": one.half, "words": one.said, "picture": shows,
                              "disagreements": one.faults})  # fmt: skip
                for line in one.faults:
                    print(f"{kind} {place}: {one.half}: {line}", flush=True)
        print(f"{kind}: {sum(map(bool, faults))} of {number} items disagree with their picture", flush=True)
        for first in range(0, number, ACROSS * DOWN):
            tiles = [
                tile(item, first + i + 1, plan.stock) for i, item in enumerate(found[first : first + ACROSS * DOWN])
            ]
            w, h = tiles[0].size
            sheet = Image.new("RGB", (ACROSS * w, DOWN * h), "grey")
            for i, one in enumerate(tiles):
                sheet.paste(one, (i % ACROSS * w, i // ACROSS * h))
            sheet.save(folder / f"{kind}-{first // (ACROSS * DOWN) + 1}.png")
        text = {"tables": plan.tables, "seed": SEED, "rows": table}
        (folder / "shown.json").write_text(json.dumps(text) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
