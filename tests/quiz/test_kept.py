"""What the kept studies of training hold: attackers, words against pictures, practice and expiry, by their own figures.

They are made by the modules of the same name in `benchmarks`; a poor figure stands there as it came.
"""

from __future__ import annotations

import json
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from coaxtell.quiz import items
from coaxtell.quiz.assessment import UNTIL_DAYS
from tests.quiz import page

RESULTS = Path(__file__).parents[2] / "benchmarks" / "results"


def rows(name: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((RESULTS / f"{name}.json").read_text(encoding="utf-8"))["rows"]
    return found


def test_attackers_on_3000_items_a_kind() -> None:
    found = {row["kind"]: row for row in rows("quiz_attackers")}
    in_tries = found.pop("harmful part of a try")
    assert set(found) == set(items.KINDS)
    for row in found.values():
        assert row["items"] == 3000
        assert row["right"] <= row["chance"] + 0.05
    # a pair of the census damages or mates, so that no more than one of two is asked of; the page says so
    assert in_tries["items"] == 3000
    assert in_tries["right"] < 0.75


def test_words_and_pictures_of_sixty_items_a_kind() -> None:
    by_kind: dict[str, set[int]] = defaultdict(set)
    for row in rows("quiz_shown"):
        by_kind[row["kind"]].add(row["number"])
        assert row["disagreements"] == []
        assert row["words"]
        assert row["picture"]
    assert {kind: len(numbers) for kind, numbers in by_kind.items()} == dict.fromkeys(items.KINDS, 60)


def test_practice_needs_fewer_items_than_drawing_at_random() -> None:
    found = {(row["policy"], row["learner"]): row for row in rows("quiz_practice")}
    learners = {learner for _, learner in found}
    assert len(learners) == 4
    for learner in learners:
        for bar in ("to 0.88", "to 0.95"):  # to 0.88 one of them (C) is fewer by no more than chance may do
            assert found["program", learner][bar]["mean"] < found["random", learner][bar]["mean"], (learner, bar)
    for policy in ("program 0.1.0", "FSRS by skill", "hardest first"):
        assert sum(found[policy, one]["to 0.95"]["mean"] for one in learners) > sum(
            found["program", one]["to 0.95"]["mean"] for one in learners
        )


def test_ready_lasts_as_long_as_nobody_is_below_the_bar_on_one_day_in_ten_of_it() -> None:
    for row in rows("quiz_expiry"):
        assert row["cleared"] >= 300
        if row["days"] == UNTIL_DAYS:
            assert row["high"] < 0.10
    assert any(row["days"] == 21 and row["below"] > 0.10 for row in rows("quiz_expiry"))


def test_a_chance_is_stated_where_a_teams_own_record_brings_its_error_to_0_08() -> None:
    """Six laws of learning, three teams of ten each: told by the record alone, and held against fresh people."""
    found = [row for row in rows("quiz_readiness") if row["weights"] == "ten of a team"]
    assert {row["stated"] for row in found} == {True, False}
    for row in found:
        assert row["stated"] is (row["by its record"] <= 0.08)
    late = [row for row in found if row["answers"] == "60 and more"]
    means = {
        stated: sum(row["calibration error"] for row in late if row["stated"] is stated)
        / sum(row["stated"] is stated for row in late)
        for stated in (True, False)
    }
    assert means[True] <= 0.08 < means[False]


@pytest.mark.parametrize("name", ["quiz_attackers", "quiz_shown", "quiz_practice", "quiz_expiry", "quiz_readiness"])
def test_every_study_names_the_tables_it_stands_for(name: str) -> None:
    held = json.loads((RESULTS / f"{name}.json").read_text(encoding="utf-8"))
    assert len(held["tables"]) == 16


def test_the_page_on_training_shows_what_the_studies_hold() -> None:
    text = page.PAGE.read_text(encoding="utf-8")
    assert page.written(text) == text, "python -m tests.quiz.page"


def test_learner_c_needs_fewer_items_than_at_random_as_the_page_says() -> None:
    held = json.loads((RESULTS / "quiz_practice_bar.json").read_text(encoding="utf-8"))
    program, random, apart = held["program"]["mean"], held["random"]["mean"], held["apart"]
    assert held["people"] == len(held["items"]["program"]) == len(held["items"]["random"]) == 4000
    apart_by_hand = [a - b for a, b in zip(held["items"]["program"], held["items"]["random"], strict=True)]
    assert sum(apart_by_hand) / 4000 == pytest.approx(apart["mean"])
    assert apart["mean"] + apart["plus_minus"] < 0
    text = " ".join(page.PAGE.read_text(encoding="utf-8").split())
    assert (
        f"{program:.1f} items against {random:.1f}, fewer by {-apart['mean']:.2f} ± {apart['plus_minus']:.2f}." in text
    )
