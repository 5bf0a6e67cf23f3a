"""Items of every kind: one right option by a check of its own, the same from the same generator, fast, firm."""

from __future__ import annotations

import ast
import re
from functools import cache
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest

from benchmarks.quiz_one_right import STUDY, play
from benchmarks.study import kept_tallies
from coaxtell.cables import tables as cable_tables
from coaxtell.models.words import said
from coaxtell.quiz import items, legs, words
from coaxtell.quiz.item import Item, Picture, Task
from coaxtell.quiz.items import cable
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.visible import features, tells
from tests.halves import all_halves, changed_copy, half
from tests.quiz.right import connects, stock, tasks
from tests.rooms import sources


def test_no_item_has_two_right_options() -> None:
    """100,000 items in the study of benchmarks/quiz_one_right.py; here a few that it does not hold."""
    held = kept_tallies(STUDY.name)
    assert sum(tally.tries for label, tally in held.items() if label.endswith("one right")) >= 100_000
    found = play(STUDY.blocks, STUDY.sample)
    assert {label.removesuffix(", one right") for label in held} <= set(items.KINDS)
    assert set(found) == {f"{kind}, one right" for kind in items.KINDS}
    for tallies in (held, found):
        assert all(tally.mean == 1 for tally in tallies.values()), tallies
    assert min(tally.tries for tally in held.values()) >= 10_000


def test_a_thousand_items_are_made_within_a_few_times_a_thousand_shuffles() -> None:
    # No timed tests: the seconds stand in benchmarks/quiz_items.py. Here only that making items does not work the
    # matings out again, which costs a hundred times more.
    fresh = Stock(all_halves())
    every = items.tasks(fresh)
    held = len(fresh._matings)
    rng = Random(1)
    for task in rng.sample(every, 300):
        items.make(fresh, task, rng)
    assert len(fresh._matings) - held <= 300 * 4
    start = len(fresh._matings)
    for task in rng.sample(every, 300):
        items.make(fresh, task, rng)
    assert len(fresh._matings) - start < 300


@pytest.mark.parametrize("kind", items.KINDS)
def test_same_generator_same_item(kind: str) -> None:
    of_kind = [task for task in tasks() if task.kind == kind]
    for task in Random(3).sample(of_kind, min(12, len(of_kind))):
        assert items.make(stock(), task, Random(5)) == items.make(Stock(all_halves()), task, Random(5))


@cache
def some(kind: str, number: int = 150) -> list[Task]:
    """Tasks of a kind, drawn alike."""
    found = [task for task in tasks() if task.kind == kind]
    return Random(kind).sample(found, min(number if kind != "cable" else 40, len(found)))


@pytest.mark.parametrize("kind", items.KINDS)
def test_every_item_says_why_and_what_tells(kind: str) -> None:
    for task in some(kind):
        item = items.make(stock(), task, Random(4))
        assert item.explanation.reasons
        assert words.of(item).look.endswith(".")
        assert item.skills == items.skills_of(stock(), task)
        assert item.harmful == items.harmful(stock(), task)
        if item.explanation.pair is not None:
            mating = stock().mating(*item.explanation.pair)
            assert set(said(mating.reasons)) <= set(words.of(item).reasons)
            assert item.explanation.stop_mm == (mating.stops_at_mm or 0.0)


def test_after_a_wrong_answer_that_very_option_is_told() -> None:
    """Of several wrong ends the one that was ordered, of several names the one that was given."""
    seen = 0
    for task in [*some("order", 60), *some("name", 60)]:
        item = items.make(stock(), task, Random(4))
        assert items.told(stock(), item, item.right) == item
        for option in item.options:
            told = items.told(stock(), item, option.id)
            pair = told.explanation.pair
            if option.id == item.right or len(item.options) == 2:
                continue
            seen += 1
            end = option.id if task.kind == "order" else stock().mate_of(option.id)
            if pair is None:
                assert task.kind == "name"
                assert end is None or connects(task.a, end) or not stock().firm(task.a, end)
            else:
                assert pair == (task.a, end)
                mating = stock().mating(*pair)
                assert told.explanation.stop_mm == (mating.stops_at_mm or 0.0)
                assert set(said(mating.reasons)) <= set(words.of(told).reasons)
                assert told.explanation.cautions == tuple(mating.cautions)
            assert any(half(option.id).name in reason for reason in words.of(told).reasons)
            assert told.task == item.task
    assert seen > 300


def test_after_the_wrong_class_with_the_right_end_no_wrong_end_is_told() -> None:
    for task in some("cable", 12):
        item = items.make(stock(), task, Random(4))
        wrong = next(o.id for o in item.options if o.id.endswith(" own") and o.id != item.right)
        told = items.told(stock(), item, wrong)
        assert told.explanation.pair is not None
        assert connects(*told.explanation.pair)
        assert words.of(told).reasons[:4] == words.of(item).reasons[:4]


def find(kind: str, a: str, b: str) -> Task:
    """A task about two halves, in either order."""
    return next(task for task in tasks() if task.kind == kind and {task.a, task.b} == {a, b})


def make(kind: str, a: str, b: str, seed: int = 1) -> Item:
    return items.make(stock(), find(kind, a, b), Random(seed))


def test_what_tells_of_known_look_alikes() -> None:
    # common practice, no source: the trade tells these by pin or hole
    item = make("look", "sma-jack", "rp-sma-jack")
    assert item.right == "centre"
    assert Skill.POLARITY in item.skills
    # N 50 and N 75 differ by the pin's thickness alone (IEC 61169-16): what becomes of a pair is not told by looking
    assert make("mates", "n-50-plug", "n-75-jack").right == "look first"
    assert make("mates", "n-50-plug", "n-50-jack").right == "look first"
    assert make("mates", "sma-plug", "rp-sma-jack").right == "damages"


def test_looks_named_for_a_pair_hold_for_it() -> None:
    for kind in ("mates", "order"):
        for task in some(kind):
            look = words.of(items.make(stock(), task, Random(2))).look
            if "so neither takes the other" in look or "size of the coupling" in look:
                assert stock().verdict(task.a, task.b) == "does not join", task


def test_options_of_a_picture_are_what_it_is_taken_for() -> None:
    asked = {task.b for task in tasks() if task.kind == "name" and task.a == "rp-sma-jack"}
    assert "sma-jack" in asked
    item = make("order", "rp-sma-jack", "sma-plug")
    assert item.harmful
    assert item.right in ("rp-sma-plug", "sma-jack")


def test_halves_alike_in_a_picture_are_never_options_together() -> None:
    # N 50 and N 75 differ only inside by fractions of a millimetre (IEC 61169-16): no picture tells them
    for task in tasks():
        if task.kind == "name":
            assert not {"n-50-jack", "n-75-jack"} <= set(task.among)


def test_a_picture_is_never_the_same_and_tells_the_port_from_every_option() -> None:
    task = next(task for task in tasks() if task.kind == "name" and task.a == "rp-tnc-jack" and len(task.among) == 4)
    pictures = [items.make(stock(), task, Random(seed)).picture for seed in range(30)]
    assert len(set(pictures)) == 30
    for kind in ("name", "order"):
        for one in some(kind):
            picture = items.make(stock(), one, Random(9)).picture
            assert picture is not None
            for other in one.among:
                if other != one.a:
                    assert tells(stock(), half(one.a), half(other), picture), (one, other)
    for values in zip(*[(p.light, p.finish, p.bodies, p.azimuth) for p in pictures if p is not None], strict=True):
        assert len(set(values)) > 1


@pytest.mark.parametrize("kind", items.KINDS)
def test_no_end_is_asked_for_where_the_contact_is_hidden(kind: str) -> None:
    # the socket of an RP-TNC plug lies 5 mm deep in its plastic: seen from the side, nobody knows whether one is there
    from coaxtell.identifier.features import Feature
    from coaxtell.quiz.poses import STANDARD

    for task in [*some(kind), *(one for one in tasks() if one.kind == kind and one.a == "rp-tnc-plug")][:200]:
        picture = items.make(stock(), task, Random(7)).picture
        assert picture is not None
        for half_id in picture.halves:
            if Feature.CENTRE in features(half(half_id), STANDARD):
                assert Feature.CENTRE in features(half(half_id), picture), (task, picture)


def test_no_look_is_called_the_same_of_a_hole_that_is_seen_and_one_that_is_not() -> None:
    """An F jack shows a blank dimple, a TNC jack a hole: "the centre: the same on both" stood under the two."""
    from coaxtell.identifier.features import Feature
    from coaxtell.quiz.poses import STANDARD

    looks = [task for task in tasks() if task.kind == "look" and Feature.CENTRE.value in task.among]
    assert looks
    for task in looks:
        seen = [Feature.CENTRE in features(half(one), STANDARD) for one in (task.a, task.b)]
        assert seen[0] == seen[1], task


def test_a_face_from_the_side_hides_the_centre_and_no_scale_hides_the_width() -> None:
    from coaxtell.identifier.features import Feature

    jack = half("sma-jack")
    assert Feature.CENTRE in features(jack, Picture(("sma-jack",), 10, 10))
    assert Feature.CENTRE not in features(jack, Picture(("sma-jack",), 80, 10))
    assert Feature.SIZE not in features(jack, Picture(("sma-jack",), 10, 10, scale=False))
    # the socket of an N jack lies deep: by its table 9.2 mm behind a rim of 8.3 mm bore it is gone from 45 degrees on
    assert Feature.CENTRE not in features(half("n-50-jack"), Picture(("n-50-jack",), 50, 20))


def test_the_class_that_is_right_keeps_to_the_loss_beyond_doubt_and_the_thinner_would_not() -> None:
    classes = cable_tables.load().classes
    for task in some("cable"):
        for seed in range(4):
            item = items.make(stock(), task, Random(seed))
            found = re.search(r"lose ([\d.]+) dB at ([\d.]+) MHz", words.of(item).question)
            assert found is not None
            assert item.picture is not None
            allowed, mhz = map(float, found.groups())
            metres = sum(item.picture.legs)
            options = words.of(item).options.items()
            named = {option: text.split(",")[0].removesuffix("-class cable") for option, text in options}
            loss = {side: classes[named[f"{side} own"]].loss_db(metres, mhz) for side in ("thin", "thick")}
            right = item.right.split()[0]
            assert loss[right] <= 0.9 * allowed
            if right == "thick":
                assert loss["thin"] >= 1.1 * allowed
            for place in ("own", "other"):
                end = stock().mate_of(task.a if place == "own" else task.b)
                assert end is not None
                assert connects(task.a, end) == (place == "own")


def test_the_length_of_a_cable_stands_in_its_sketch_and_in_no_words_that_are_read_with_it() -> None:
    for task in some("cable"):
        item = items.make(stock(), task, Random(7))
        assert item.picture is not None
        metres = item.picture.legs
        told = words.of(item)
        read = " ".join([told.question, *told.options.values(), words.alternative(item)])
        assert re.search(r"\d\s?m\b", read) is None, read
        assert f" {sum(metres):g} m " in told.reasons[0]
        # where no picture can be shown, words give the legs in their turn
        said = [float(m) for m in re.findall(r"([\d.]+) m\b", told.in_words.split("sketched as")[1])]
        assert said == list(metres)


@pytest.mark.parametrize("metres", [0.5, 1.0, 1.5, 12.5, 60.0])
def test_a_way_is_split_into_whole_legs_that_meet_and_add_up(metres: float) -> None:
    numbers = set()
    for seed in range(40):
        found = legs.split(metres, Random(seed))
        numbers.add(len(found))
        assert sum(found) == metres
        assert all(leg > 0 and leg % 0.5 == 0 for leg in found)
        way = legs.course(found)
        assert [leg.metres for leg in way] == list(found)
        assert all(one.end == other.start for one, other in pairwise(way))
        assert all(leg.upright == (leg.start[1] != leg.end[1]) for leg in way)
    assert numbers == set(range(min(2, round(2 * metres)), min(4, round(2 * metres)) + 1))


def test_every_length_of_cable_is_stated_in_half_metres_and_lies_where_the_answer_is_clear() -> None:
    for between in cable._boundaries(stock()):
        for thin in (True, False):
            low, high = between.lengths(thin)
            for seed in range(12):
                metres = cable._length(low, high, Random(seed))
                assert low <= metres <= high
                assert metres % 0.5 == 0


SNAP_ON = [
    ("smb-jack", "smb-plug"),
    ("smc-plug", "smc-jack"),
    ("smp-jack", "smp-plug"),
    ("fakra-c-jack", "fakra-c-plug"),
]
"""Port and mate. MIL-STD-348 (figures of SMB, SMC and SMP): the words follow the body, the plug carries the socket."""


@pytest.mark.parametrize(("port", "mate_id"), SNAP_ON)
def test_wording_is_asked_where_body_and_contact_disagree(port: str, mate_id: str) -> None:
    for a, b in ((port, mate_id), (mate_id, port)):
        task = next(t for t in tasks() if (t.kind, t.a, t.b) == ("name", a, b) and len(t.among) == 2)
        item = items.make(stock(), task, Random(1))
        assert item.skills == (Skill.SNAP_ON,)
        assert item.right == a
        named = sorted(text.removeprefix(half(a).family).strip() for text in words.of(item).options.values())
        assert named == ["jack", "plug"]
        assert half(a).wording in words.of(item).reasons[0]


def test_wording_is_no_matter_where_body_and_contact_agree() -> None:
    # IEC 61169-36 (MCX) and -52 (MMCX): the plug enters and carries the pin; with screws and bayonets it does as well
    agreeing = {"mcx", "mmcx", "sma", "rp-sma", "tnc", "n-50", "bnc-50", "qma"}
    for task in tasks():
        if {h.removesuffix("-plug").removesuffix("-jack") for h in (task.a, task.b)} <= agreeing:
            assert Skill.SNAP_ON not in items.skills_of(stock(), task)


def test_names_are_unambiguous_where_words_disagree() -> None:
    for kind in ("name", "order"):
        for task in some(kind):
            if len(task.among) == 2:
                continue
            item = items.make(stock(), task, Random(6))
            offered = [half(option.id) for option in item.options]
            standard = [one for one in offered if one.polarity == "standard" and one.gender != "sexless"]
            if any((one.gender == "plug") != bool(one.centre.pin) for one in standard):
                assert all(o.endswith(" in the centre") for o in words.of(item).options.values()), item


def test_soft_numbers_keep_pairs_out_of_every_kind(tmp_path: Path) -> None:
    # as in test_mates: a socket whose grip is a number from memory that may not take the pin
    old = 'takes_max = { mm = 0.95, min = 0.94, max = 0.98, grade = "memory", source = ["memory"]'
    soft = 'takes_max = { mm = 0.95, min = 0.50, max = 0.98, grade = "memory", source = ["memory"]'
    doubtful = Stock(changed_copy(tmp_path, "sma.toml", "doubt", old, soft))
    assert doubtful.mating("doubt-jack", "sma-plug").depends_on
    for task in items.tasks(doubtful):
        if task.kind == "mates":
            assert doubtful.firm(task.a, task.b)
        elif task.kind == "order":
            ends = [doubtful.mate_of(port) for port in task.among]
            assert all(end is not None and doubtful.firm(task.a, end) for end in ends)


def test_nothing_but_the_first_lesson_names_a_kind() -> None:
    """A new kind is one file. `name`, a word for much else, is left out, and `look` in a code is another word."""
    found = {
        (module, node.value)
        for module, text in sources().items()
        if module.startswith("quiz") and not module.startswith("quiz.items.")
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Constant) and node.value in items.KINDS.keys() - {"name"}
    }
    assert found == {("quiz.lesson", "look"), ("quiz.tells", "look")}
