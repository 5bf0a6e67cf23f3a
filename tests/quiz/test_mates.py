"""*Will they mate*: options, the right one, and which pairs may be asked."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from coaxtell.identifier.features import Feature
from coaxtell.models.catalogue import Reason
from coaxtell.models.mating.mate import Verdict
from coaxtell.models.words import said
from coaxtell.quiz import tells, words
from coaxtell.quiz.item import Task
from coaxtell.quiz.items import mates
from coaxtell.quiz.skills import Skill
from coaxtell.quiz.stock import Stock
from tests.halves import all_halves, changed_copy, shipped_text

# What the trade and the standards say of these pairs: the intermateability clauses of IEC 61169-15 and -35 for SMA
# with 3.5 and 2.92 mm, the rest common practice (no source).
KNOWN = [
    ("sma-plug", "sma-jack", Verdict.MATES, Skill.RULES),
    ("sma-plug", "3.5-jack", Verdict.LIMITS, Skill.SIZE),
    ("sma-plug", "rp-sma-jack", Verdict.DAMAGES, Skill.POLARITY),
    ("rp-sma-plug", "sma-jack", Verdict.NO_CONTACT, Skill.POLARITY),
    ("n-50-plug", "n-75-jack", Verdict.DAMAGES, Skill.IMPEDANCE),
    ("tnc-jack", "rp-tnc-jack", Verdict.NO_JOIN, Skill.GENDER),
    ("n-50-plug", "tnc-jack", Verdict.NO_JOIN, Skill.SIZE),
]


@pytest.mark.parametrize(("a", "b", "verdict", "skill"), KNOWN)
def test_right_option_is_the_trades_verdict(a: str, b: str, verdict: Verdict, skill: Skill) -> None:
    stock = Stock(all_halves())
    item = mates.make(stock, Task("mates", a, b), Random(1))
    # no picture tells N 50 from N 75: there the answer is to look closer
    assert item.right == ("look first" if a.startswith("n-") and skill is Skill.IMPEDANCE else verdict.value)
    assert skill in item.skills
    assert item.harmful == (verdict is Verdict.DAMAGES)
    assert len(item.options) == 6
    assert set(said(stock.mating(*item.explanation.pair or ("", "")).reasons)) <= set(words.of(item).reasons)


def test_same_generator_same_item() -> None:
    stock = Stock(all_halves())
    task = Task("mates", "sma-plug", "rp-sma-jack")
    assert mates.make(stock, task, Random(7)) == mates.make(stock, task, Random(7))
    assert len({words.of(mates.make(stock, task, Random(n))).reasons[0] for n in range(9)}) == 2


def test_pair_that_rests_on_an_assumed_number_is_not_asked(tmp_path: Path) -> None:
    # the thickest pin that the socket takes becomes a number from memory whose range ends far below the pin's 0.91 mm
    line = next(line for line in shipped_text("sma.toml").splitlines() if line.startswith("takes_max"))
    soft = 'takes_max = { mm = 0.95, min = 0.50, max = 0.98, grade = "memory", source = ["memory"] }'
    stock = Stock(changed_copy(tmp_path, "sma.toml", "doubt", line, soft))
    assert stock.mating("doubt-jack", "sma-plug").depends_on
    asked = {task.key for task in mates.tasks(stock)}
    assert Task("mates", "sma-plug", "doubt-jack").key not in asked
    assert Task("mates", "sma-plug", "sma-jack").key in asked


def test_of_what_is_not_told_by_looking_only_what_comes_to_something_else_is_named() -> None:
    stock = Stock(all_halves())
    asked = [task for task in mates.tasks(stock) if mates.sort(stock, task) == mates.LOOK_FIRST]
    ids = {half.name: half.id for half in stock.halves.values()}
    for task in asked:
        reasons = mates.make(stock, task, Random(1)).explanation.reasons
        (halves,) = [
            one.values["halves"] for one in reasons if not isinstance(one, str) and one.code == "mates.not-told"
        ]
        named = [ids[name] for name in str(halves).split(", ")]
        assert named
        own = stock.verdict(task.a, task.b)
        for one in named:
            others = [other for half, other in ((task.a, task.b), (task.b, task.a)) if one in mates.twins(stock, half)]
            pairs = [(one, two) for other in others for two in mates.twins(stock, other)]
            assert any(stock.verdict(*pair) is not own for pair in pairs), (task, one)


def test_what_is_not_told_by_looking_is_told_by_a_measure_or_a_marking() -> None:
    stock = Stock(all_halves())
    for task in mates.tasks(stock):
        if mates.sort(stock, task) == mates.LOOK_FIRST:
            item = mates.make(stock, task, Random(1))
            look = words.say(item.explanation.look)
            assert " mm" in look or " ohm" in look or "thread" in look, (task, look)
            assert not look.startswith(("Look at coupling", "Look where the plastic", "Look at the size")), (task, look)
            others = next(one for one in item.explanation.reasons if getattr(one, "code", "") == "mates.not-told")
            assert isinstance(others, Reason)
            for name in str(others.values["halves"]).split(", "):
                assert f"{name} has" in look or f"from {name}" in look or f", {name}." in look, (task, name, look)
    for (a, b), told in {
        ("n-50-plug", "n-50-jack"): ("N jack 50 ohm has 1.68 mm, N jack 75 ohm has 0.95 mm", "1.64 mm"),
        ("f-plug", "f-jack"): ("F jack has 1.07 mm, mini-UHF jack has 2.15 mm",),
        ("smb-plug", "smb-jack"): ("Read the impedance", "SMB jack has 50 ohm, SMB jack 75 ohm has 75 ohm"),
        ("3.5-plug", "2.92-jack"): ("Read the marking", "no calliper", "has 3.50 mm"),
    }.items():
        look = words.say(mates.make(stock, Task("mates", a, b), Random(1)).explanation.look)
        assert all(words_ in look for words_ in told), look


def test_nothing_that_is_the_same_on_both_is_said_to_tell() -> None:
    stock = Stock(all_halves())
    for task in mates.tasks(stock):
        look = mates.make(stock, task, Random(1)).explanation.look
        assert isinstance(look, Reason)
        if look.code in ("tells.plastic", "tells.coupling", "tells.coupling-size"):
            assert look.values["one"] != look.values["two"], (task, look)


def test_the_slope_of_a_thread_is_told_only_where_the_other_would_go_on() -> None:
    stock = Stock(all_halves())
    sloped = []
    for task in mates.tasks(stock):
        one, two = stock.half(task.a), stock.half(task.b)
        look = tells.for_mating(one, two, stock.verdict(task.a, task.b))
        if look.code == "tells.slope":
            sloped.append(task)
            assert (one.nut is None) != (two.nut is None), task
        if look.code == "tells.two-nuts":
            assert one.nut is not None
            assert two.nut is not None
    assert sloped
    told = tells.for_mating(stock.half("n-50-plug"), stock.half("n-left-plug"), Verdict.NO_JOIN)
    assert "a nut on both" in words.say(told)


def test_an_opening_that_is_a_fifth_wider_is_told_by_looking() -> None:
    """The key was to look first: but the nut of a 4.3-10 plug (M20) beside the thread of an N jack (5/8-24) is seen to
    slide over it."""
    stock = Stock(all_halves())
    item = mates.make(stock, Task("mates", "4.3-10-plug", "n-50-jack"), Random(1))
    assert item.right == Verdict.NO_JOIN.value


def test_no_item_sends_a_calliper_into_the_face_of_a_precision_port() -> None:
    stock = Stock(all_halves())
    jack, plug = (tuple(stock.half(f"{size}-{side}") for size in ("2.4", "1.85")) for side in ("jack", "plug"))
    for one, two in (jack, jack[::-1], plug):
        told = words.say(tells.between(stock, one, two, Feature.BORE))
        assert told.startswith("Read the marking, or have it gauged by the maker's own gauge")
    fine, plain = stock.half("2.4-jack"), stock.half("n-50-jack")
    outside = words.say(tells.between(stock, fine, plain, Feature.COUPLING_DIAMETER))
    assert outside.startswith("Measure "), "the thread of a jack is laid hold of from outside"
    assert words.say(tells.between(stock, stock.half("tnc-jack"), plain, Feature.BORE)).startswith("Measure ")
