"""Words and picture of an item agree: what stands for the picture is held against the meshes that are drawn.

Sixty items of each kind, and sheets to look at, come from `python -m benchmarks.item_sheets FOLDER`; here a few.
"""

from __future__ import annotations

from random import Random

import msgspec
import pytest

from coaxtell.identifier.features import Feature
from coaxtell.models.catalogue import Reason
from coaxtell.quiz import items, poses, visible, words
from coaxtell.quiz.item import Item, Picture
from coaxtell.quiz.poses import STANDARD
from tests.halves import half
from tests.quiz.right import stock
from tests.quiz.seen import disagreements, read
from tests.quiz.test_attackers import plan


@pytest.mark.parametrize("kind", items.KINDS)
def test_words_say_what_the_picture_shows(kind: str) -> None:
    tasks, shares = list(plan(False).shares[kind]), list(plan(False).shares[kind].values())
    rng = Random(kind)
    for task in rng.choices(tasks, shares, k=5):
        assert disagreements(items.make(stock(), task, rng), stock()) == []


def test_a_socket_in_a_cavity_of_plastic_is_seen_from_near_the_axis_only() -> None:
    plug = half("rp-tnc-plug")
    aside = Picture((plug.id,), 25, 18)
    assert read(plug, "", aside).centre < 0.3
    assert Feature.CENTRE not in visible.features(plug, aside)
    assert read(plug, "", STANDARD).centre > 0.5
    assert Feature.CENTRE in visible.features(plug, STANDARD)


def plain(text: str) -> Reason:
    """A clause of these words."""
    return Reason("shown.value", {"value": text})


def test_wrong_words_are_found_out() -> None:
    task = next(task for task in plan(False).shares["name"] if task.a == "sma-jack")
    item = items.make(stock(), task, Random(1))
    for wrong in ("in the centre a pin", "a sleeve that turns", "no plastic near the metal rim",
                  "its face is 9.9 mm wide"):  # fmt: skip
        said = msgspec.structs.replace(item, in_words=Reason("shown.port", {"clauses": [plain(wrong)]}))
        assert len(disagreements(said, stock())) == 1, wrong


@pytest.fixture(scope="module")
def in_panels() -> list[Item]:
    """Items whose port stands in a panel, of each kind that shows one port."""
    found: list[Item] = []
    for kind in ("name", "order", "cable"):
        tasks, shares = list(plan(False).shares[kind]), list(plan(False).shares[kind].values())
        rng = Random(kind)
        made = (items.make(stock(), task, rng) for task in rng.choices(tasks, shares, k=40))
        found += [item for item in made if item.picture is not None and item.picture.panel][:2]
    return found


def test_what_stands_in_a_panel_shows_what_its_words_say(in_panels: list[Item]) -> None:
    assert len(in_panels) == 6
    for item in in_panels:
        assert disagreements(item, stock()) == []
        assert words.of(item).question.endswith("In the picture a ring marks it.")


def test_a_neighbour_that_stands_before_the_port_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    look = Picture(("sma-jack",), 38, 10, panel=("sma-jack", "bnc-50-jack"))
    apart = read(half("sma-jack"), "", look).plastic_mm2
    monkeypatch.setattr("coaxtell.models.panel.APART", -2.4)
    assert read(half("sma-jack"), "", look).plastic_mm2 < 0.7 * apart


def test_a_panel_changes_no_answer_and_tells_of_none(in_panels: list[Item], monkeypatch: pytest.MonkeyPatch) -> None:
    """Question, options and key are those of the same item without one, and each option could have stood there."""
    monkeypatch.setattr("coaxtell.quiz.poses.IN_PANEL", 0.0)
    for kind in ("name", "order", "cable"):
        tasks, shares = list(plan(False).shares[kind]), list(plan(False).shares[kind].values())
        rng = Random(kind)
        plain = [items.make(stock(), task, rng) for task in rng.choices(tasks, shares, k=40)]
        for item in (one for one in in_panels if one.task.kind == kind):
            assert item.picture is not None
            bare = msgspec.structs.replace(item.picture, panel=())
            same = [one for one in plain if one.task == item.task and one.picture is not None
                    and one.picture.grain == item.picture.grain]  # fmt: skip
            assert len(same) == 1
            assert same[0].picture is not None
            bare = msgspec.structs.replace(bare, bodies=same[0].picture.bodies)
            assert msgspec.structs.replace(item, picture=bare) == same[0]
            rivals = [one for one in item.task.among if one in stock().halves]
            assert all(poses.common_bodies([stock().half(one)]) for one in (*rivals, *item.picture.panel))
