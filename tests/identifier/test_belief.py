"""The belief: its laws, an outside oracle, and a case solved on paper."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.identifier import answers, looks
from coaxtell.identifier.answers import Answer, NotSure, NotThere, Read, Saw, State
from coaxtell.identifier.belief import Shortlist, ranked
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.models.errors import InputError
from tests.halves import all_halves, half
from tests.identifier.kit import shortlist, true_state

LOOKS = looks.load()


def any_answer(feature: Feature) -> st.SearchStrategy[Answer]:
    if feature in SEEN:
        seen: st.SearchStrategy[Answer] = st.sampled_from([Saw(v) for v in answers.values(feature, LOOKS)])
        return seen | st.just(NotSure())
    low, high = (4.0, 22.0) if feature is Feature.THREADS else (0.1, 100.0)
    reads: st.SearchStrategy[Answer] = st.builds(Read, st.floats(low, high), st.floats(0.01, 2.0))
    return reads | st.just(NotThere()) | st.just(NotSure())


told = st.lists(st.sampled_from(list(Feature)), unique=True, max_size=10).flatmap(
    lambda features: st.tuples(*(st.tuples(st.just(f), any_answer(f)) for f in features))
)
settings = st.sampled_from(list(LOOKS.settings))


def state_of(pairs: object, setting: str = "any") -> State:
    state = State(setting)
    assert isinstance(pairs, (tuple, list))
    for feature, answer in pairs:
        state = state.tell(feature, answer)
    return state


@given(told, settings)
def test_probabilities_sum_to_one_and_none_is_nought(pairs: object, setting: str) -> None:
    belief = shortlist(setting).belief(state_of(pairs, setting).answers)
    assert belief.sum() == pytest.approx(1, abs=1e-12)
    assert (belief > 0).all()
    assert np.isfinite(belief).all()


@given(told, st.randoms())
def test_the_order_of_answers_leaves_no_trace(pairs: object, chance: object) -> None:
    assert isinstance(pairs, tuple)
    mixed = list(pairs)
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    one, two = state_of(pairs), state_of(mixed)
    assert one == two
    assert (shortlist().belief(one.answers) == shortlist().belief(two.answers)).all()


@given(told, st.sampled_from(list(Feature)).flatmap(lambda f: st.tuples(st.just(f), any_answer(f))))
def test_the_same_answer_twice_counts_once_and_taking_it_back_undoes_it(
    pairs: object, more: tuple[Feature, Answer]
) -> None:
    before = state_of(pairs).withdraw(more[0])
    once = before.tell(*more)
    assert once.tell(*more) == once
    assert once.withdraw(more[0]) == before


@given(told, st.sampled_from(list(Feature)))
def test_not_sure_says_nothing(pairs: object, feature: Feature) -> None:
    without = state_of(pairs).withdraw(feature)
    unsure = without.tell(feature, NotSure())
    assert shortlist().belief(unsure.answers) == pytest.approx(shortlist().belief(without.answers), abs=1e-12)


@pytest.mark.outside(
    "Posterior over the halves",
    "scikit-learn's CategoricalNB",
    "a billionth",
)
def test_against_scikit_learn() -> None:
    """Posterior for one level of care on five seen features against CategoricalNB, fitted on weighted examples.

    Its examples are all combinations of values for each half with the product of their probabilities as weight, so
    that its counts are our tables and its posterior is worked out by scikit-learn alone.
    """
    from sklearn.naive_bayes import CategoricalNB

    known = shortlist()
    looked_at = (Feature.COUPLING, Feature.CENTRE, Feature.PLASTIC, Feature.HAND, Feature.MARKED)
    for care in range(len(known.care)):
        tables = [known.outcomes(f).table[care] for f in looked_at]
        rows, classes, weights = [], [], []
        combinations = list(product(*(range(t.shape[1]) for t in tables)))
        for i in range(len(known)):
            for combination in combinations:
                rows.append(combination)
                classes.append(i)
                weights.append(known.prior[i] * np.prod([t[i, v] for t, v in zip(tables, combination, strict=True)]))
        oracle = CategoricalNB(alpha=1e-300, force_alpha=True)
        oracle.fit(np.array(rows), np.array(classes), sample_weight=np.array(weights))
        expected = oracle.predict_proba(np.array(combinations[::7]))
        for combination, probabilities in zip(combinations[::7], expected, strict=True):
            state = State()
            for feature, v in zip(looked_at, combination, strict=True):
                state = state.tell(feature, Saw(known.outcomes(feature).names[v]))
            joint = known.joint(state.answers)[care]
            assert joint / joint.sum() == pytest.approx(probabilities, abs=1e-9)


def test_a_case_solved_on_paper() -> None:
    """SMA plug or RP-SMA plug, with a pin seen.

    Before: SMA 18, RP-SMA 10 of 100, both plugs: 18/28 and 10/28.
    A pin is taken for a pin by usual people with 1 - 0.02 (socket) - 0.01 (any other) = 0.97, by careful ones (half
    the slips) with 0.985, by careless ones (four times) with 0.88; a socket for a pin with 0.015 + 0.01/2 = 0.02,
    0.01 and 0.08. With shares of care 0.3 careful, 0.5 usual, 0.2 careless:
      pin there:    0.3 x 0.985 + 0.5 x 0.97 + 0.2 x 0.88 = 0.9565
      socket there: 0.3 x 0.01  + 0.5 x 0.02 + 0.2 x 0.08 = 0.029
    18 x 0.9565 = 17.217, 10 x 0.029 = 0.29: SMA plug 17.217 / 17.507 = 0.98344.
    """
    two = Shortlist([half("sma-plug"), half("rp-sma-plug")])
    assert two.prior == pytest.approx([18 / 28, 10 / 28])
    belief = two.belief(State().tell(Feature.CENTRE, Saw("pin")).answers)
    assert belief[0] == pytest.approx(17.217 / 17.507, abs=1e-9)


def test_one_odd_answer_makes_the_others_less_sure() -> None:
    """Who gives an answer that fits nothing else is likelier a careless person, whatever the half."""
    known = shortlist()
    careful = known.joint(true_state(half("sma-jack")).answers).sum(axis=1)
    odd = known.joint(true_state(half("sma-jack")).tell(Feature.BORE, Read(30.0, 0.05)).answers).sum(axis=1)
    assert odd[-1] > 2 * careful[-1]


def test_who_names_a_colour_or_a_hand_has_seen_a_housing_or_a_thread() -> None:
    """Said without a word on the coupling it counts for it, once; said after one, it adds nothing on the coupling."""
    known = shortlist()
    blue = State().tell(Feature.COLOUR, Saw("blue"))
    assert ranked(known, blue)[0][0].id == "fakra-c-jack"
    both = blue.tell(Feature.LETTER, Saw("c"))
    assert sum(p for h, p in ranked(known, both) if h.key is not None) > 0.9
    right = known.belief(State().tell(Feature.HAND, Saw("right")).answers)
    threaded = np.array([half.coupling_thread is not None for half in known.halves])
    assert right[threaded].sum() > 0.95
    told = State().tell(Feature.COUPLING, Saw("thread-outside"))
    before, after = known.belief(told.answers), known.belief(told.tell(Feature.HAND, Saw("right")).answers)
    assert after[threaded].sum() == pytest.approx(before[threaded].sum(), abs=1e-3)
    unsure = State().tell(Feature.COUPLING, NotSure()).tell(Feature.HAND, Saw("right"))
    assert known.belief(unsure.answers) == pytest.approx(right, abs=1e-12)


def test_measuring_a_pin_where_there_is_a_socket_is_a_mistake_and_no_proof() -> None:
    known = shortlist()
    state = State().tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.PIN_DIAMETER, Read(0.9, 0.05))
    belief = dict(zip(known.ids, known.belief(state.answers), strict=True))
    assert 1e-3 < belief["sma-jack"] < belief["rp-sma-jack"]


def test_settings_move_the_shortlist() -> None:
    """Common practice, no source: RFID readers carry RP-TNC, television carries 75 ohm BNC and F."""
    first = {name: ranked(shortlist(name), State(name))[0][0].family for name in ("uhf-reader", "wifi", "video")}
    assert first == {"uhf-reader": "RP-TNC", "wifi": "RP-SMA", "video": "BNC"}
    with pytest.raises(InputError, match="uhf-reader"):
        shortlist("moon")


def test_a_copied_table_does_not_count_twice() -> None:
    two = Shortlist([half("sma-plug"), half("tnc-plug")])
    three = Shortlist([half("sma-plug"), half("sma-plug"), half("tnc-plug")])
    assert two.prior[1] == pytest.approx(three.prior[2])


def test_no_halves_is_refused() -> None:
    with pytest.raises(InputError, match="no halves"):
        Shortlist([])


def test_what_was_asked_before_leaves_no_trace() -> None:
    """One set of answers after another, with and without second looks, and one that its owner goes on to change."""
    halves = list(all_halves().values())
    first: dict[Feature, Answer] = {Feature.COUPLING: Saw("thread-outside"), Feature.CENTRE: Saw("pin")}
    second: dict[Feature, Answer] = {Feature.CENTRE: Saw("socket")}
    one, told = Shortlist(halves), dict(first)
    for again in (None, second, {}, second):
        assert (one.belief(told, again) == Shortlist(halves).belief(told, again)).all()
    told[Feature.CENTRE] = Saw("socket")
    assert (one.belief(told, second) == Shortlist(halves).belief(told, second)).all()
    assert (one.belief(first) == Shortlist(halves).belief(first)).all()
