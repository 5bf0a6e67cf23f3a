"""The next question: laws, a case solved on paper, the exact optimum of small cases, golden traces."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings

from coaxtell.identifier import words
from coaxtell.identifier.answers import NotSure, NotThere, Read, Saw, State, Term
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import HELD_BESIDE, Feature, seen_values
from coaxtell.identifier.outlook import Outlook
from coaxtell.identifier.question import Look, choose, next_look, next_question, open_looks, question, weigh
from coaxtell.models.acts import Act
from coaxtell.models.half import Half
from tests.halves import all_halves, half
from tests.identifier.kit import HANDY, answer, shortlist, truths
from tests.identifier.optimum import Array, Case, cost_of, optimum, random_case
from tests.identifier.test_belief import state_of, told


def level(*rows: list[float]) -> Array:
    """An outcome table for one level of care."""
    return np.array([rows])


def test_a_case_solved_on_paper() -> None:
    """Four candidates, equally likely, two looks without mistakes.

    Even split, 10 s: 2 bit before, 1 bit after either outcome: gain 1 bit, 0.1 bit/s.
    One against three, 4 s: after it 1/4 x 0 + 3/4 x log2(3) = 1.1887 bit: gain 0.8113 bit, 0.2028 bit/s.
    Best order known with 1/4 before, with 2 x 1/2 x 1/2 = 1/2 and with 1/4 x 1 + 3/4 x 1/3 = 1/2 after.
    Two ahead both ways leave one pair apart with 1/2: gain 1.5 bit. The even split first is followed by the other in
    half the cases, 10 + 4/2 = 12 s: 0.125 bit/s, better than alone; the other first in three of four, 4 + 30/4 =
    11.5 s: 0.1304 bit/s, and it keeps the 0.2028 bit/s that it is worth by itself.
    A wrong order costs 100 s. Even split first: 100/4 - 10 s, then half the time 100/2 - 4 s: 15 + 23 = 38 s worth.
    The other first: 100/4 - 4 s, then three times in four 100/3 - 10 s: 21 + 17.5 = 38.5 s worth.
    """
    outlook = Outlook(
        [level([1, 0], [1, 0], [0, 1], [0, 1]), level([1, 0], [0, 1], [0, 1], [0, 1])], [10, 4], np.arange(4)
    )
    joint = np.full((1, 4), 0.25)
    found = outlook.prospects(joint[None])
    assert found.gain[0] == pytest.approx([1, 2 - 0.75 * np.log2(3)])
    assert found.sure[0] == pytest.approx([0.5, 0.5])
    weighed = weigh(outlook, joint, wrong_order=100)
    assert weighed.rate == pytest.approx([0.125, (2 - 0.75 * np.log2(3)) / 4])
    assert weighed.value == pytest.approx([38, 38.5])
    assert choose(outlook, joint, wrong_order=100) == 1


def test_only_orders_are_told_apart() -> None:
    """Two candidates with the same order words: the look between them is worth nothing and is not asked."""
    outlook = Outlook([level([1, 0], [0, 1])], [5], np.array([0, 0]))
    joint = np.array([[0.5, 0.5]])
    assert outlook.prospects(joint[None]).gain[0, 0] == pytest.approx(0, abs=1e-12)
    assert choose(outlook, joint, wrong_order=1e9) is None


def test_a_question_with_one_possible_answer_is_worth_nothing() -> None:
    outlook = Outlook([level([1.0], [1.0]), level([0.7, 0.3], [0.7, 0.3])], [1, 1], np.arange(2))
    assert outlook.prospects(np.array([[[0.4, 0.6]]])).gain[0] == pytest.approx([0, 0], abs=1e-12)
    assert choose(outlook, np.array([[0.4, 0.6]]), wrong_order=1e9) is None


def test_a_look_that_costs_more_than_it_saves_is_not_taken() -> None:
    """Settling an even doubt saves half the cost of a wrong order: 50 s of 100. 49 s are worth it, 51 s are not."""
    joint = np.array([[0.5, 0.5]])
    for seconds, taken in ((49, 0), (51, None)):
        outlook = Outlook([level([1, 0], [0, 1])], [seconds], np.arange(2))
        assert choose(outlook, joint, wrong_order=100) is taken


def test_two_looks_that_only_help_together_are_seen_two_ahead() -> None:
    """The order is 0 where the two outcomes agree: one look alone says nothing, both settle it.

    10 s of looking save half of a wrong order: worth it at 100 s, not at 18 s.
    """
    a = level([1, 0], [0, 1], [1, 0], [0, 1])
    b = level([1, 0], [0, 1], [0, 1], [1, 0])
    outlook = Outlook([a, b], [5, 5], np.array([0, 0, 1, 1]))
    joint = np.full((1, 4), 0.25)
    assert outlook.prospects(joint[None]).gain[0] == pytest.approx([0, 0], abs=1e-12)
    assert choose(outlook, joint, wrong_order=100) is not None
    assert choose(outlook, joint, wrong_order=18) is None


def _chooser(case: Case, by_gain_alone: bool = False) -> Callable[[Array, list[int]], int | None]:
    def pick(belief: Array, left: list[int]) -> int | None:
        if not left:
            return None
        seconds = np.ones(len(left)) if by_gain_alone else case.seconds[left]
        outlook = Outlook([case.tables[k][None] for k in left], list(seconds), np.arange(len(belief)))
        look = choose(outlook, belief[None], case.wrong_order)
        return None if look is None else left[look]

    return pick


@pytest.mark.parametrize("mistakes", [0.0, 0.05, 0.10])
def test_near_the_exact_optimum(mistakes: float) -> None:
    """Expected cost of asking and of wrong orders against the least possible, on random cases."""
    rng = np.random.default_rng(7)
    ratios, dear = [], []
    for _ in range(25):
        case = random_case(rng, candidates=6, looks=6, mistakes=mistakes, wrong_order=1800)
        best = optimum(case)
        ratios.append(cost_of(case, _chooser(case)) / best)
        dear.append(cost_of(case, _chooser(case, by_gain_alone=True)) / best)
    print(f"\nmistakes {mistakes:.0%}: x{np.mean(ratios):.3f} of the optimum, worst x{max(ratios):.2f}; ", end="")
    print(f"by gain without seconds x{np.mean(dear):.2f}, worst x{max(dear):.2f}")
    assert min(ratios) >= 1 - 1e-9
    assert np.mean(ratios) <= 1.06
    assert max(ratios) <= 1.25
    assert np.mean(dear) > np.mean(ratios) + 0.05


@given(told)
@hypothesis_settings(max_examples=40, deadline=None)
def test_asked_twice_it_asks_the_same_and_never_what_has_an_answer(pairs: object) -> None:
    state = state_of(pairs)
    first = next_question(shortlist(), state)
    assert next_question(shortlist(), state) == first
    assert first is None or first.again or first.feature not in state.answers


def test_not_sure_is_not_asked_again() -> None:
    state = State()
    first = next_look(shortlist(), state)
    assert first is not None
    assert next_look(shortlist(), state.tell(first.feature, NotSure())) != first


PHOTOGRAPH = Read(9.9, 1.2, "9.90mm+-1.20 by photograph")


def pictured(instrument: str = "calliper") -> State:
    """A socket in a thread outside with its insulator deep, 9.9 mm wide give or take 1.2 in a photograph: F or TNC."""
    state = State("uhf-reader", instrument, terms=HANDY).tell(Feature.COUPLING_DIAMETER, PHOTOGRAPH)
    for feature, value in ((Feature.COUPLING, "thread-outside"), (Feature.CENTRE, "socket"), (Feature.PLASTIC, "deep")):
        state = state.tell(feature, Saw(value))
    return state


def test_what_a_photograph_leaves_open_is_measured_by_the_calliper_at_hand() -> None:
    known, state = shortlist("uhf-reader"), pictured()
    again = Look(Feature.COUPLING_DIAMETER, True)
    assert next_look(known, state) == again
    assert next_look(known, state, once=True) != again
    for second in (NotSure(), Read(11.0, 0.05)):
        told = state.tell(again.feature, second, again=True)
        assert next_look(known, told) != again, "once is enough"
    by_calliper = state.withdraw(Feature.COUPLING_DIAMETER).tell(Feature.COUPLING_DIAMETER, Read(9.9, 0.05))
    assert next_look(known, by_calliper) != again
    assert next_look(known, pictured("none")) != again
    outside = pictured().tell(Feature.NUT_WIDTH, Read(14.2, 0.6, "14.20mm+-0.60 by photograph"))
    belief = known.belief(outside.answers)
    assert Look(Feature.NUT_WIDTH, True) not in open_looks(known, outside, belief), "nothing turns on a thread outside"
    forbidden = State("uhf-reader", terms=frozenset({Term.LOOK_ONLY}), answers=state.answers)
    assert next_look(known, forbidden) != again


@pytest.mark.parametrize("answer", [Read(9.85, 0.05), Read(11.0, 0.05), NotThere()])
def test_a_calliper_does_not_say_again_what_a_photograph_said(answer: Read | NotThere) -> None:
    """Two readings by calliper in part repeat one mistake, so that the second counts for less."""
    known, feature = shortlist("uhf-reader"), Feature.COUPLING_DIAMETER
    fresh = known.likelihood(feature, answer)
    assert np.array_equal(known.again(feature, answer, {feature: PHOTOGRAPH}), fresh)
    assert not np.array_equal(known.again(feature, answer, {feature: Read(9.9, 0.05)}), fresh)
    assert not np.array_equal(
        known.again(feature, PHOTOGRAPH, {feature: PHOTOGRAPH}), known.likelihood(feature, PHOTOGRAPH)
    )


def test_nothing_is_asked_when_everything_has_an_answer() -> None:
    state = State()
    for feature in Feature:
        state = state.tell(feature, NotSure())
    assert next_question(shortlist(), state) is None


TRACES = {
    ("rp-tnc-jack", "uhf-reader"): "coupling centre plastic centre-again size",
    ("rp-tnc-plug", "uhf-reader"): "coupling centre nut-form nut-width centre-again",
    ("sma-jack", "uhf-reader"): "coupling centre size plastic bore centre-again",
    ("rp-sma-jack", "uhf-reader"): "coupling centre plastic size centre-again pin-diameter",
    ("n-50-jack", "uhf-reader"): "coupling centre size plastic hole-by-eye",
    ("sma-jack", "any"): "coupling size centre plastic bore centre-again",
    ("n-50-plug", "cellular"): "coupling size nut-form pin-diameter",
    ("4.3-10-jack", "cellular"): "coupling size coupling-diameter centre",
    ("bnc-75-plug", "video"): "coupling plastic centre",
    ("bnc-75-jack", "video"): "coupling plastic centre",
    ("f-jack", "video"): "coupling size coupling-diameter centre",
    ("micro-1-jack", "wifi"): "coupling centre coupling-diameter",
    ("smb-plug", "any"): "coupling size centre coupling-diameter marked-ohm",
    ("fakra-c-plug", "cellular"): "coupling housing-colour centre housing-letter hole-by-eye centre-again",
    ("2.4-jack", "bench"): "coupling size plastic hole-by-eye coupling-diameter",
    ("7-mm", "bench"): "coupling nut-form plastic size centre centre-again nut-width",
}
"""Golden traces: the questions that true answers lead to, as they were when looked at and found sensible.

Of a printed impedance the usual answer is given: nothing of the kind is printed.
"""


def asked(known: Shortlist, one: Half) -> list[Look]:
    """The questions that true answers about a half lead to."""
    state, found = State(terms=HANDY), []
    while (look := next_look(known, state)) is not None:
        found.append(look)
        true = "none" if look.feature is Feature.MARKED else truths(one)[look.feature]
        state = state.tell(look.feature, answer(look.feature, true), look.again)
    return found


def said(looks: list[Look]) -> str:
    return " ".join(f"{look.feature}{'-again' if look.again else ''}" for look in looks)


@pytest.mark.parametrize(("half_id", "setting"), TRACES)
def test_golden_traces(half_id: str, setting: str) -> None:
    assert said(asked(shortlist(setting), half(half_id))) == TRACES[half_id, setting]


def test_rare_families_cost_the_everyday_ones_no_questions() -> None:
    """Readers of UHF RFID: the five everyday families, told from 30 halves of thirteen and from all there are."""
    families = {"SMA", "RP-SMA", "TNC", "RP-TNC", "N", "RP-N", "BNC", "RP-BNC", "UHF", "F", "7/16", "3.5 mm", "2.92 mm"}
    few = Shortlist([one for one in all_halves().values() if one.family in families], "uhf-reader")
    counts = []
    for key in ("sma", "rp-sma", "tnc", "rp-tnc", "n-50"):
        for gender in ("plug", "jack"):
            one = half(f"{key}-{gender}")
            counts.append((len(asked(few, one)), len(asked(shortlist("uhf-reader"), one))))
    print(f"\nquestions for ten everyday halves: {sum(a for a, _ in counts)} among {len(few)} halves, ", end="")
    print(f"{sum(b for _, b in counts)} among {len(shortlist())}")
    assert sum(b for _, b in counts) <= sum(a for a, _ in counts)


@pytest.mark.parametrize("one", list(all_halves().values()), ids=lambda h: h.id)
def test_nothing_is_asked_of_a_part_that_was_seen_to_be_missing(one: Half) -> None:
    """No hand of a thread on a port with lugs, no colour of a housing without one, no nut on a smooth barrel."""
    looks = shortlist().looks
    shown = {feature: seen_values(one, feature, Nominal()) for feature in (Feature.COUPLING, Feature.CENTRE)}
    for look in asked(shortlist(), one):
        for other, allowed in looks.row(look.feature).where.items():
            assert set(shown[Feature(other)]) & set(allowed)


@pytest.mark.parametrize(
    ("terms", "asked_first"),
    [
        ({Term.MATED, Term.NO_HIGH_VOLTAGE}, Feature.OFF),
        ({Term.NO_HIGH_VOLTAGE}, Feature.COUPLING),
        ({Term.MATED, Term.NO_HIGH_VOLTAGE, Term.LOOK_ONLY}, Feature.COUPLING),
        ({Term.MATED, Term.HIGH_VOLTAGE}, Feature.COUPLING),
    ],
)
def test_a_mate_comes_off_first_where_it_may(terms: set[Term], asked_first: Feature) -> None:
    """Never with power on, nor where a bayonet may carry kilovolts, nor where no mate is on."""
    look = next_look(shortlist(), State(terms=frozenset(terms)))
    assert look is not None
    assert look.feature is asked_first


def test_the_same_mistake_counts_once() -> None:
    """Who takes a port for threaded says its hand too: that he does is no second proof of a thread."""
    known = shortlist()
    before = State().tell(Feature.COUPLING, Saw("thread-inside"))
    share = dict(zip(known.ids, known.belief(before.answers), strict=True))["bnc-50-plug"]
    after = dict(zip(known.ids, known.belief(before.tell(Feature.HAND, Saw("right")).answers), strict=True))
    assert after["bnc-50-plug"] == pytest.approx(share, rel=0.02)


def test_a_question_says_why_and_how() -> None:
    found = next_question(shortlist(), State().tell(Feature.COUPLING, Saw("thread-outside")))
    assert found is not None
    assert found.ask.endswith("?")
    assert found.how
    assert f"{found.seconds:g} s" in words.say(found.why)


def test_where_nothing_may_be_held_beside_the_port_a_look_that_asks_for_it_says_so_first() -> None:
    """Common practice, no source. By what the looks ask: whoever has one hold something is held, or may not be done."""
    looks = shortlist("uhf-reader").looks
    for feature in Feature:
        row, second = looks.row(feature), looks.table.again.otherwise.get(feature)
        if row.act is Act.LOOK and any(
            "Hold" in how and "beside" in how for how in (row.how, second.how if second else "")
        ):
            assert feature in HELD_BESIDE, feature
    seen = {Feature.COUPLING: Saw("thread-outside"), Feature.CENTRE: Saw("socket")}
    lugs = {Feature.COUPLING: Saw("lugs"), Feature.CENTRE: Saw("socket")}
    live, kilovolts = "need.from_afar_live", "need.from_afar_kilovolts"
    for answers, terms, codes in (
        (seen, {Term.LOOK_ONLY}, [live]), (seen, {Term.HIGH_VOLTAGE}, [kilovolts]), (seen, set(), []),
        (lugs, set(), [kilovolts]), (lugs, {Term.NO_HIGH_VOLTAGE}, []), (lugs, {Term.LOOK_ONLY}, [live, kilovolts]),
    ):  # fmt: skip
        state = State("uhf-reader", answers=answers, terms=frozenset(terms))
        for feature in Feature:
            first = [reason.code for reason in question(shortlist("uhf-reader"), state, feature).first]
            assert first == (codes if feature in HELD_BESIDE else []), (feature, terms)
