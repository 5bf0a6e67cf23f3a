"""A picture for each verdict and kind of item after a wrong answer, drawn and described."""

from pathlib import Path

from assets.window.wrong_answers import TASKS, item_of
from coaxtell import kept_items
from coaxtell.models import tables
from coaxtell.models.mating.mate import JOINED, mate
from coaxtell.quiz import items
from coaxtell.quiz.items.mates import VERDICTS

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "docs" / "pictures.md").read_text(encoding="utf-8")


def test_each_verdict_and_kind_has_its_row() -> None:
    rows = {line.split("|")[1].strip() for line in TEXT.splitlines() if line.startswith("| ")}
    assert {verdict.value for verdict in VERDICTS} <= rows
    assert set(items.KINDS) <= rows


def test_each_picture_is_there_and_none_without_its_words() -> None:
    drawn = sorted((ROOT / "assets" / "window" / "wrong").glob("*.webp"))
    assert len(drawn) >= 9
    for path in drawn:
        assert f"../assets/window/wrong/{path.name}" in TEXT
    assert TEXT.count("](../assets/window/wrong/") == len(drawn)


def test_each_picture_is_of_an_item_that_is_asked_and_of_its_verdict() -> None:
    halves = tables.load().halves
    stock = kept_items.stock(halves)
    for name, (kind, a, b) in TASKS.items():
        item = item_of(stock, kind, a, b)
        if kind != "mates":
            continue
        verdict = mate(halves[a], halves[b]).verdict
        assert verdict.value == name or (name.startswith("limit of") and verdict in JOINED), name
        assert item.explanation.pair is not None
        assert set(item.explanation.pair) == {a, b}
