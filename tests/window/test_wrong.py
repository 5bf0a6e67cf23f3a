"""A picture for each verdict and kind of item after a wrong answer, drawn and described."""

import re
from pathlib import Path

import pytest

from assets.window.wrong_answers import TASKS, item_of
from coaxtell import kept_items
from coaxtell.models import tables
from coaxtell.models.mating.mate import JOINED, mate
from coaxtell.quiz import items
from coaxtell.quiz import words as quiz_words
from coaxtell.quiz.class_loss import losses
from coaxtell.quiz.items.mates import VERDICTS
from coaxtell.window.kit.pen import Hatch, Shape, Words
from coaxtell.window.scenes.practise import Practise
from tests.window.test_states import LARGE_TEXT, Ready, asked, at_once, in_sight

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


@pytest.mark.parametrize("size", LARGE_TEXT, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("kind", ["look", "mates", "limits", "order"])
def test_with_large_text_what_was_wrong_is_seen_whole(kind: str, size: tuple[int, int]) -> None:
    """The names of both halves, the halves, what tells them apart first and the way on stand in sight together."""
    hand = at_once("practise", asked, Ready(), size)
    scene = hand.app.scene
    assert isinstance(scene, Practise)
    assert scene.sitter.course is not None
    assert scene.sitting is not None
    names = {"look": "look", "mates": "damages", "limits": "limit of torque", "order": "order"}
    item = scene.item = scene.sitting._item = item_of(scene.sitter.course.stock, *TASKS[names[kind]])  # type: ignore[union-attr]
    scene.choosing(next(option.id for option in item.options if option.id != item.right))()
    scene.give()
    hand.app.arrange()
    hand.app.arrange()
    assert hand.app.offset == 0
    assert in_sight(hand, "bench", "verdict", "next")
    bench = hand.widget("bench").box
    told = scene.item
    halves = told.explanation.pair or (told.picture.halves if told.picture else ())
    assert len(set(halves)) == 2
    calls = [call for call in hand.calls() if isinstance(call, Words | Shape) and call.box.y < bench.bottom]
    said = "".join(call.words for call in calls if isinstance(call, Words))
    for half_id in halves:
        assert hand.desk.half(half_id).name.replace(" ", "") in said.replace(" ", "")
    # after a look item the look itself is the first
    first = "centre:apin" if kind == "look" else r"\d\.\d\dmm"
    assert re.search(first, said.replace(" ", "").replace("\u2009", "")), said
    parts = [call.box for call in calls if isinstance(call, Shape) and call.name.split()[0] in halves]
    assert parts
    for box in parts:
        assert bench.y <= box.y
        assert box.bottom <= bench.bottom
        # 140 px of 1024 where two halves stand beside each other: before it was 75
        assert box.w * hand.app.type.scale >= 0.13 * hand.app.size[0]


ASKED_FOR = {
    ("rp-n-plug", "n-50-jack"): "coupling", ("n-50-jack", "uhf-jack"): "plastic", ("sma-plug", "rp-sma-plug"): "centre",
    ("f-plug", "sma-plug"): "coupling diameter",
}  # fmt: skip
"""The look that alone tells two halves apart, by their ids; a size by the diameter that it is taken from."""


@pytest.mark.parametrize(("size", "text"), [((1024, 600), 200), ((1366, 768), 100)])
def test_the_look_that_was_asked_for_is_told_first(size: tuple[int, int], text: int) -> None:
    """Where there is room for one difference alone it is that which the answer is about."""
    hand = at_once("practise", asked, Ready(), size, text)
    scene = hand.app.scene
    assert isinstance(scene, Practise)
    assert scene.sitter.course is not None
    assert scene.sitting is not None
    for (a, b), look in ASKED_FOR.items():
        item = scene.item = scene.sitting._item = item_of(scene.sitter.course.stock, "look", a, b)  # type: ignore[union-attr]
        assert look.startswith(item.right) or (item.right, look) == ("size", "coupling diameter")
        scene.phase = "item"
        scene.choosing(next(option.id for option in item.options if option.id != item.right))()
        scene.give()
        hand.app.arrange()
        hand.app.arrange()
        bench = hand.widget("bench").box
        said = [call.words for call in hand.calls() if isinstance(call, Words)
                and bench.y <= call.box.y < bench.bottom and call.box.x < bench.right]  # fmt: skip
        values = [words.partition(":")[0] for words in said if ":" in words]
        assert values[0] == look, (a, b, said)


@pytest.mark.parametrize("kind", ["order", "name"])
def test_the_bench_shows_the_option_that_was_chosen_and_not_the_costliest(kind: str) -> None:
    """Of three wrong ends or names each by itself: the pair it leads to, or the half it was taken for."""
    hand = at_once("practise", asked, Ready(), (1366, 768), 100)
    scene = hand.app.scene
    assert isinstance(scene, Practise)
    assert scene.sitter.course is not None
    stock = scene.sitter.course.stock
    first = item_of(stock, *TASKS[kind])
    seen = set()
    for option in (one.id for one in first.options if one.id != first.right):
        assert scene.sitting is not None
        scene.item = scene.sitting._item = first  # type: ignore[union-attr]
        scene.phase = "item"
        scene.choosing(option)()
        scene.give()
        hand.app.arrange()
        other = option if kind == "order" else stock.mate_of(option)
        pair = scene.item.explanation.pair
        shown = {call.name.removesuffix(" section") for call in hand.calls() if isinstance(call, Shape)}
        if pair is None:
            other = option  # nothing is harmed: the two halves stand beside each other
        assert {first.task.a, other} <= shown
        assert hand.says(hand.desk.half(option).name)
        seen.add(other)
    assert len(seen) == len(first.options) - 1


@pytest.mark.parametrize("size", [(*size, 200) for size in LARGE_TEXT] + [(1366, 768, 100)])
@pytest.mark.parametrize("right", ["thick", "thin"])
def test_the_wrong_class_of_cable_with_the_right_end_is_seen_by_its_loss(
    right: str, size: tuple[int, int, int]
) -> None:
    """No pair that joins stands beside "wrong": what each class loses stands against what is allowed."""
    hand = at_once("practise", asked, Ready(), size[:2], size[2])
    scene = hand.app.scene
    assert isinstance(scene, Practise)
    assert scene.sitter.course is not None
    assert scene.sitting is not None
    item = scene.item = scene.sitting._item = item_of(scene.sitter.course.stock, "cable", "", right)  # type: ignore[union-attr]
    scene.choosing(next(o.id for o in item.options if o.id.endswith(" own") and o.id != item.right))()
    scene.give()
    hand.app.arrange()
    hand.app.arrange()
    assert in_sight(hand, "bench", "verdict", "next")
    bench = hand.widget("bench").box
    calls = hand.calls()
    words = [call for call in calls if isinstance(call, Words) and bench.y <= call.box.y < bench.bottom
             and call.box.x < bench.right]  # fmt: skip
    said = " ".join(call.words for call in words).replace("\u2009", " ")
    lost = losses(scene.sitter.course.stock, item, scene.chosen)
    assert lost is not None
    assert f"{lost.length_m:g} m of cable at {lost.mhz:g} MHz" in said
    assert f"{lost.allowed_db:g} dB allowed" in said
    # as the cable tables have it: the loss of a class over the length that was asked about
    assert item.picture is not None
    assert (lost.length_m, lost.mhz) == (sum(item.picture.legs), item.question.values["mhz"])
    for one in lost.classes:
        (cable,) = (c for c in scene.sitter.course.stock.cables.classes.values()
                    if c.name in quiz_words.say(one.cable).replace("-class", " ").split())  # fmt: skip
        assert cable.diameter.nominal == one.diameter_mm
        assert f": {cable.loss_db(lost.length_m, lost.mhz):.1f} dB" in said
    assert ("dB too much" in said) == (right == "thick")
    assert ("times as thick as needed" in said) == (right == "thin")
    assert all(call.box.bottom <= bench.bottom and call.box.right <= bench.right for call in words)
    assert not [c for c in calls if isinstance(c, Shape) and c.name.endswith(" section")]
    assert bool([c for c in calls if isinstance(c, Hatch)]) == (right == "thick")
