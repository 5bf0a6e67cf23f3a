"""Ports as they are met: what a technician answers, what is said, and that no sight is overruled by one number."""

from __future__ import annotations

from typing import get_args

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from coaxtell.identifier import report, words
from coaxtell.identifier.answers import Read, Saw, State, Term
from coaxtell.identifier.belief import Shortlist, ranked
from coaxtell.identifier.features import COUPLINGS, SEEN, Feature
from coaxtell.identifier.identification import SURE, Identification, Settled, identify, with_unmeasured
from coaxtell.identifier.instruments import NONE
from coaxtell.identifier.question import next_look
from coaxtell.models import tables
from coaxtell.models.family import Held
from coaxtell.models.half import Half
from tests.halves import all_halves
from tests.identifier.kit import shortlist, true_state

HALVES = list(all_halves().values())


def saw(**answers: str) -> State:
    """What was seen; `size` and the like by their names with low lines."""
    state = State("uhf-reader")
    for name, value in answers.items():
        state = state.tell(Feature(name.replace("_", "-")), Saw(value))
    return state


def named(state: State) -> Identification:
    return identify(shortlist(state.setting), state)


def test_thread_and_a_size_alone_are_not_settled_and_the_centre_comes_next() -> None:
    found = named(
        State().tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.COUPLING_DIAMETER, Read(6.3, 0.05))
    )
    assert found.state is Settled.NOT_SETTLED
    assert found.next is not None
    assert found.next.feature is Feature.CENTRE
    doubt = " ".join(report.lines(found)[:3])
    for part in ("Not settled", "RP-SMA jack", "damages", "centre"):
        assert part in doubt


def test_over_the_lugs_no_thread_is_named_at_ninety() -> None:
    """Bayonet lugs seen, 11.0 mm read over them: a threaded jack is named by the number, and is never settled."""
    state = saw(coupling="lugs", centre="socket").tell(Feature.COUPLING_DIAMETER, Read(11.0, 0.05))
    found = named(state)
    assert found.state is Settled.NOT_SETTLED or found.half.lugs is not None
    assert found.half.lugs is not None or found.order_probability < 0.9


def test_a_left_hand_thread_is_settled_by_its_second_look() -> None:
    state = saw(coupling="thread-outside", centre="socket", size="aaa-cell", thread_hand="left", plastic="tube")
    once = named(state)
    twice = named(state.tell(Feature.HAND, Saw("left"), again=True))
    assert twice.order_probability > once.order_probability
    assert twice.half.coupling_thread is not None
    assert twice.half.coupling_thread.hand == "left"


def test_a_left_hand_thread_is_settled_by_unscrewing_and_its_slant() -> None:
    """Neither settles it alone; the two are different acts, so that the one hardly follows the other's mistake."""
    state = saw(coupling="thread-outside", centre="socket", size="aaa-cell", plastic="tube")
    unscrewed = state.tell(Feature.OFF, Saw("clockwise"))
    assert named(unscrewed).state is Settled.NOT_SETTLED
    assert named(state.tell(Feature.HAND, Saw("left"))).state is Settled.NOT_SETTLED
    both = named(unscrewed.tell(Feature.HAND, Saw("left")))
    assert both.state is Settled.SETTLED
    assert both.half.id == "tnc-left-jack"


def test_a_hand_that_was_seen_is_not_overruled_by_the_rest() -> None:
    """The tables hold of N the left-hand kind alone: who saw a right-hand thread is told no left-hand port for sure."""
    known = Shortlist([one for one in HALVES if one.family != "N"])
    state = saw(coupling="thread-inside", centre="pin", size="us-cent", nut_form="knurl", thread_hand="right")
    for feature, mm in ((Feature.COUPLING_DIAMETER, 14.95), (Feature.PIN_DIAMETER, 1.7), (Feature.NUT_WIDTH, 20.55)):
        state = state.tell(feature, Read(mm, 0.05))
    for told in (state, state.tell(Feature.HAND, Saw("right"), again=True)):
        found = identify(known, told)
        assert found.half.id == "n-left-plug"
        assert found.misfits == [Feature.HAND]
        assert found.state is Settled.NOT_SETTLED
    assert identify(known, state.tell(Feature.HAND, Saw("left"), again=True)).state is Settled.SETTLED


def test_a_calliper_that_agrees_overrules_a_width_by_eye() -> None:
    """An SMA jack likened to an AAA cell, far too wide: 6.25 mm read by calliper settles the width."""
    state = saw(coupling="thread-outside", centre="socket", plastic="sunk", size="aaa-cell", touch="drops")
    found = named(state.tell(Feature.COUPLING_DIAMETER, Read(6.25, 0.05)).tell(Feature.BORE, Read(4.6, 0.05)))
    assert found.half.id == "sma-jack"
    assert found.misfits == []
    assert found.state is Settled.SETTLED


def test_answers_that_no_connector_gives_together_are_told_beside_the_name() -> None:
    """The letter of a car connector with a hole that is wider than any of those has, named for sure by the letter."""
    told = saw(plastic="level", hole_by_eye="lead-05", housing_letter="e", marked_ohm="50")
    found = named(msgspec.structs.replace(told, setting="any"))
    assert found.order_probability > SURE
    assert found.misfits == []
    assert found.contradiction is not None
    assert found.state is Settled.SETTLED
    assert "No connector in the tables gives" in "\n".join(report.lines(found)[:6])


def test_a_pin_that_is_too_thin_is_told_as_worn() -> None:
    state = saw(coupling="thread-outside", centre="pin", plastic="sunk", size="pencil")
    found = named(state.tell(Feature.PIN_DIAMETER, Read(0.7, 0.05)))
    assert found.half.id == "rp-sma-jack"
    assert found.worn == [Feature.PIN_DIAMETER]
    assert any("Worn" in caution for caution in words.cautions(found))
    assert found.settled
    said = "\n".join(report.lines(found))
    assert "To order" not in said
    assert "Order nothing yet" in said
    assert words.order(found).startswith("Worn or not made to standard: order nothing")


def test_without_the_centre_no_reverse_port_is_settled() -> None:
    found = named(saw(coupling="thread-inside", size="aa-cell", nut_form="knurl"))
    assert not found.centre_told
    assert found.state is Settled.NOT_SETTLED


def test_with_none_nothing_is_measured_and_look_only_touches_nothing() -> None:
    for start, barred in (
        (State("uhf-reader", NONE), {feature for feature in Feature if feature not in SEEN}),
        (
            State("uhf-reader", terms=frozenset({Term.LOOK_ONLY})),
            {f for f in Feature if f not in SEEN} | {Feature.TOUCH},
        ),
    ):
        for one in HALVES:
            state = start
            while (look := next_look(shortlist("uhf-reader"), state)) is not None:
                assert look.feature not in barred
                state = state.tell(look.feature, true_state(one).answers[look.feature], look.again)


def test_nothing_is_touched_at_a_bayonet_before_high_voltage_is_ruled_out() -> None:
    state = State("bench").tell(Feature.COUPLING, Saw("lugs"))
    while (look := next_look(shortlist("bench"), state)) is not None:
        assert look.feature in SEEN
        assert look.feature is not Feature.TOUCH
        state = state.tell(look.feature, true_state(all_halves()["bnc-50-jack"]).answers[look.feature], look.again)


@pytest.mark.parametrize("one", HALVES, ids=lambda half: half.id)
def test_the_answer_is_short(one: Half) -> None:
    """The 24 lines of 80 of a small terminal, the last of them for the picture and the reasons, for every half."""
    found = with_unmeasured(identify(shortlist(), true_state(one)), tables.load())
    lines = report.lines(found)
    assert len(lines) <= 23, (one.id, len(lines))
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize(("seen", "told"), [("thread-outside", False), ("lugs", True), (None, True)])
def test_what_has_no_sizes_is_not_told_where_its_coupling_was_seen_to_be_another(seen: str | None, told: bool) -> None:
    """A C jack has two lugs (unmeasured.toml): it is looked for behind an N jack only where no thread was seen."""
    state = State("bench").tell(Feature.CENTRE, Saw("socket")).tell(Feature.COUPLING_DIAMETER, Read(15.8, 0.05))
    if seen is not None:
        state = state.tell(Feature.COUPLING, Saw(seen))
    found = with_unmeasured(identify(shortlist("bench"), state), tables.load())
    assert found.half.id == "n-50-jack"
    names = words.names_unmeasured(found.joining, found.half)
    assert ("C jack" in names) is told
    assert ("HN jack" in names) is (seen != "lugs")


def test_what_is_known_of_the_unmeasured_is_said_in_the_looks_own_words() -> None:
    assert set(get_args(Held)) == set(COUPLINGS)


@given(st.permutations(list(Feature)))
@hypothesis_settings(max_examples=8)
def test_no_order_of_warming_up_leaves_a_trace(order: list[Feature]) -> None:
    """Fresh tables, asked for in any order, and the answers told in any order: the same to the last digit."""
    fresh = Shortlist(HALVES)
    for feature in order:
        fresh.outcomes(feature)
        if feature not in SEEN:
            fresh.sizes(feature)
    true = true_state(all_halves()["rp-tnc-jack"])
    state = State()
    for feature in order:
        state = state.tell(feature, true.answers[feature])
    assert state == true
    assert ranked(fresh, state) == ranked(shortlist(), true)
    assert np.array_equal(fresh.belief(state.answers), shortlist().belief(true.answers))
    few = State().tell(Feature.COUPLING, Saw("thread-outside"))
    assert next_look(fresh, few) == next_look(shortlist(), few)
