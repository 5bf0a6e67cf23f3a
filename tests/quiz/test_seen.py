"""Words and picture of an item agree: what stands for the picture is held against the meshes that are drawn.

Sixty items of each kind, and sheets to look at, come from `python -m benchmarks.item_sheets FOLDER`; here a few.
"""

from __future__ import annotations

from random import Random

import msgspec
import pytest

from coaxtell.identifier.features import Feature
from coaxtell.models.catalogue import Reason
from coaxtell.quiz import items, visible
from coaxtell.quiz.item import Picture
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
