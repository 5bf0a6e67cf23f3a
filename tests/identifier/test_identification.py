"""Every half is found from true answers; contradictions; what mates, what looks alike, what it hangs on."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from coaxtell.identifier import contradiction, contrast, looks, report, words
from coaxtell.identifier.answers import NotSure, NotThere, Read, Saw, State
from coaxtell.identifier.belief import Shortlist, ranked
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import Identification, Settled, identify
from coaxtell.identifier.record import plain, state_from
from coaxtell.identifier.words import percent
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import mate
from coaxtell.models.words import gender_words, order_words
from tests.halves import all_halves, half, verdict
from tests.identifier.kit import shortlist, true_state, truths

HALVES = list(all_halves().values())
LOOKS = looks.load()
UNTOLD = {"micro-3-plug", "smp-jack"}
"""Halves whose weak numbers reach as far as what they differ by from micro-4 and from the limited detent: true answers
name the one that is met more often, and leave both open."""


@cache
def identified(half_id: str) -> Identification:
    """What true answers before a half come to."""
    return identify(shortlist(), true_state(half(half_id)))


@pytest.mark.parametrize("one", HALVES, ids=lambda h: h.id)
def test_true_answers_put_every_half_first(one: Half) -> None:
    first, _ = ranked(shortlist(), true_state(one))[0]
    assert (order_words(first) == order_words(one)) is (one.id not in UNTOLD)


@pytest.mark.parametrize("half_id", sorted(UNTOLD))
def test_what_weak_numbers_cannot_tell_apart_is_left_open(half_id: str) -> None:
    found = identify(shortlist(), true_state(half(half_id)))
    assert found.state is not Settled.SETTLED
    assert half_id in {candidate.id for candidate in found.candidates[:2]}


@pytest.mark.parametrize("setting", list(LOOKS.settings))
def test_true_answers_put_every_half_first_in_every_setting(setting: str) -> None:
    known = shortlist(setting)
    for one in (other for other in HALVES if other.id not in UNTOLD):
        orders = known.of_orders(known.belief(true_state(one, setting).answers))
        assert int(np.argmax(orders)) == known.order_of[known.index(one.id)], one.id


def test_share_of_halves_that_true_answers_make_sure() -> None:
    """Prints the share that reaches 0.95 and, for each half that does not, what it is confused with and why."""
    known = shortlist()
    sure = 0
    print()
    for one in HALVES:
        state = true_state(one)
        belief = known.belief(state.answers)
        stated = float(known.of_orders(belief)[known.order_of[known.index(one.id)]])
        if stated >= 0.95:
            sure += 1
            continue
        i = known.index(one.id)
        j = int(np.argmax(np.where(known.order_of == known.order_of[i], 0, belief)))
        apart = [f.value for f in Feature if contrast.overlap(known, f, i, j) < 0.9]
        met = known.prior[j] / known.prior[i]
        print(
            f"{one.id}: {stated:.3f}, confused with {known.ids[j]} ({belief[j]:.3f}), which is met {met:.3g} times as "
            f"often: they differ in {', '.join(apart)} alone, and true answers speak only "
            f"{met * belief[i] / belief[j]:.3g} : 1 for {one.id}"
        )
    print(f"{sure} of {len(HALVES)} halves reach 0.95 ({sure / len(HALVES):.0%})")
    assert sure >= 89


CLASHES = [
    # a bayonet has no thread
    ({Feature.COUPLING: Saw("lugs"), Feature.THREADS: Read(14.2, 0.2)}, {Feature.COUPLING, Feature.THREADS}),
    # a pin in the centre leaves no socket to measure
    ({Feature.CENTRE: Saw("pin"), Feature.SOCKET_BORE: Read(0.95, 0.05), Feature.SIZE: Saw("pencil")},
     {Feature.CENTRE, Feature.SOCKET_BORE}),
    # a thread of 1/4 in has 36 threads per inch in every family, never 24
    ({Feature.COUPLING: Saw("thread-outside"), Feature.COUPLING_DIAMETER: Read(6.3, 0.05),
      Feature.THREADS: Read(24 / 2.54, 0.2)}, {Feature.COUPLING_DIAMETER, Feature.THREADS}),
]  # fmt: skip


@pytest.mark.parametrize(("answers", "together"), CLASHES)
def test_answers_that_no_connector_gives_together_are_named(
    answers: dict[Feature, Saw | Read], together: set[Feature]
) -> None:
    found = contradiction.find(shortlist(), answers)
    assert found is not None
    assert set(found.features) == together
    assert found.misread in together
    for feature in together:
        assert feature in words.clash(found, answers)
        assert contradiction.find(shortlist(), {f: a for f, a in answers.items() if f is not feature}) is None


def test_the_answer_that_the_others_speak_against_is_the_one_misread() -> None:
    """Everything fits an N jack but the thread count: that is the one."""
    state = true_state(half("n-50-jack")).tell(Feature.THREADS, Read(36 / 2.54, 0.2))
    found = contradiction.find(shortlist(), state.answers)
    assert found is not None
    assert found.misread is Feature.THREADS


@pytest.mark.parametrize(
    ("wide", "per_inch", "misread"), [(6.3, 24, Feature.THREADS), (15.9, 36, Feature.COUPLING_DIAMETER)]
)
def test_of_two_readings_the_one_that_speaks_for_the_rarer_port_is_misread(
    wide: float, per_inch: float, misread: Feature
) -> None:
    """6.35 mm and 36 per inch is the thread of SMA, which is met more often than 15.9 mm and 24 per inch together."""
    answers: dict[Feature, Saw | Read] = {
        Feature.COUPLING: Saw("thread-outside"),
        Feature.COUPLING_DIAMETER: Read(wide, 0.05),
        Feature.THREADS: Read(per_inch / 2.54, 0.2),
    }
    found = contradiction.find(shortlist(), answers)
    assert found is not None
    assert found.misread is misread


def test_what_a_second_look_has_mended_is_told_no_more() -> None:
    """Left-hand at first, right-hand at the second look: nothing clashes, and nobody is sent to look a third time."""
    state = State().tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.HAND, Saw("left"))
    state = state.tell(Feature.COUPLING_DIAMETER, Read(6.3, 0.05))
    assert identify(shortlist(), state).contradiction is not None
    mended = identify(shortlist(), state.tell(Feature.HAND, Saw("right"), again=True))
    assert mended.contradiction is None
    assert not [one for one in words.cautions(mended) if "No connector" in one]


def test_what_does_not_go_with_the_port_is_told_as_it_was_read_last() -> None:
    state = true_state(half("sma-jack")).tell(Feature.BORE, Read(8.0, 0.05, "8.0"), again=True)
    found = identify(shortlist(), state)
    assert found.misfits == [Feature.BORE]
    assert "bore=8.0" in words.against(found)


def test_a_second_look_that_tells_nothing_leaves_the_wear() -> None:
    worn = true_state(half("rp-sma-jack")).tell(Feature.PIN_DIAMETER, Read(1.1, 0.05))
    assert identify(shortlist(), worn).worn == [Feature.PIN_DIAMETER]
    assert identify(shortlist(), worn.tell(Feature.PIN_DIAMETER, NotSure(), again=True)).worn == [Feature.PIN_DIAMETER]


@pytest.mark.parametrize(("spreads", "fits"), [(3.9, True), (4.1, False)])
def test_a_reading_fits_a_size_within_four_spreads(spreads: float, fits: bool) -> None:
    """Assumed: four. The calliper's 0.05 mm lies anywhere within, the hand's 0.08 mm on top (looks.toml)."""
    known = shortlist()
    here = known.index("sma-jack")
    widest = float(known.sizes(Feature.COUPLING_DIAMETER).mm[here].max())
    reading = Read(widest + spreads * math.hypot(0.05 / math.sqrt(3), 0.08), 0.05)
    assert contradiction.fits(known, Feature.COUPLING_DIAMETER, reading)[here] == fits


@pytest.mark.parametrize("one", HALVES, ids=lambda h: h.id)
@pytest.mark.parametrize("wrong", [Feature.COUPLING, Feature.CENTRE])
def test_a_single_mistake_among_true_answers_is_found(one: Half, wrong: Feature) -> None:
    swaps = {"pin": "socket", "socket": "pin", "flat": "pin", "thread-outside": "thread-inside",
             "thread-inside": "thread-outside" if one.gender != "sexless" else "lugs", "lugs": "bayonet-sleeve",
             "bayonet-sleeve": "lugs", "smooth": "thread-outside", "sleeve": "thread-inside",
             "housing": "thread-outside"}  # fmt: skip
    state = true_state(one)
    said = state.answers[wrong]
    assert isinstance(said, Saw)
    found = contradiction.find(shortlist(), state.tell(wrong, Saw(swaps[said.value])).answers)
    assert found is not None
    assert found.misread is wrong


@pytest.mark.parametrize("one", HALVES, ids=lambda h: h.id)
def test_true_answers_do_not_clash(one: Half) -> None:
    assert contradiction.find(shortlist(), true_state(one).answers) is None


def test_a_print_never_clashes_with_the_port() -> None:
    """A 50 ohm port on equipment for 75 ohm is met, and is no misreading (common practice, no source)."""
    state = true_state(half("bnc-50-jack")).tell(Feature.MARKED, Saw("75"))
    assert contradiction.find(shortlist(), state.answers) is None


def test_not_sure_never_clashes() -> None:
    assert contradiction.find(shortlist(), {f: NotSure() for f in Feature}) is None


@pytest.mark.parametrize("one", [h for h in HALVES if h.id not in UNTOLD], ids=lambda h: h.id)
def test_what_mates_comes_from_the_matings(one: Half) -> None:
    found = identified(one.id)
    assert found.candidates[0].id == one.id
    joined = {h.id for h in HALVES if verdict(one.id, h.id) in ("mates", "mates with limits")}
    assert set(found.mates_with) == joined
    fit = half(found.mates_with[0])
    # common practice, no source: same family, same polarity, opposite gender; the sexless half fits its like, and all
    # shrouds of SMP, whatever their grip, take the one kind of fingers
    family = "SMP" if one.family.startswith("SMP") else one.family
    assert (fit.family, fit.polarity) == (family, one.polarity)
    assert (fit.gender != one.gender) is (one.gender != "sexless")
    assert fit.impedance_ohm == one.impedance_ohm
    assert words.order(found).startswith("Not settled") is (found.state is Settled.NOT_SETTLED)
    assert found.state is not Settled.SETTLED or found.order_probability >= 0.9
    doubt, told = words.order(found).split("To fit this port order: ")
    assert told.startswith(order_words(fit))
    assert order_words(one) in told
    assert (doubt == "") is (found.state is Settled.SETTLED)
    assert doubt == "" or "look again first" in doubt or "fits every port" in doubt


@pytest.mark.parametrize("one", [h for h in HALVES if h.id not in UNTOLD], ids=lambda h: h.id)
def test_the_whole_identification_in_words(one: Half) -> None:
    """Name, gender both ways, mates, order words, and the look that tells each look-alike apart."""
    found = identified(one.id)
    text = " ".join("\n".join([*report.lines(found), *report.why(found)]).split())
    for part in (f"{one.name} ({one.id})", gender_words(one), order_words(one), "transmitter", "local codes"):
        assert " ".join(part.split()) in text, part
    for other in found.mates_with:
        limits = " (with limits)" if verdict(one.id, other) == "mates with limits" else ""
        assert f"{other}{limits}" in text
    for alike in found.beware:
        assert alike.verdict == mate(half(alike.id), half(alike.mate), doubt=False).verdict
        tell = words.say(alike.tell)
        assert tell == "Nothing that is seen or measured here tells them apart." or alike.look in tell


def test_the_left_hand_twin_is_pointed_out() -> None:
    found = identify(shortlist("uhf-reader"), true_state(half("n-50-jack"), "uhf-reader"))
    twin = {alike.id: alike for alike in found.beware}["n-left-jack"]
    assert (twin.verdict, twin.look) == ("does not join", "thread-hand")
    assert "a left-hand thread" in words.say(twin.tell)


def test_the_rp_trap_is_told() -> None:
    """A port taken for SMA that is RP-SMA: what would be ordered damages it, and the centre tells (design)."""
    found = identify(shortlist(), true_state(half("sma-jack")))
    trap = {alike.id: alike for alike in found.beware}["rp-sma-jack"]
    assert (trap.mate, trap.verdict, trap.look) == ("sma-plug", "damages", "centre")
    assert "a pin" in words.say(trap.tell)
    assert "a socket" in words.say(trap.tell)
    assert any("rp-sma-jack" in caution for caution in words.cautions(found))


def test_n_50_and_75_are_told_apart_by_the_pin_or_its_hole() -> None:
    """Radio World's note in the tables: the 50 ohm pin is thicker; only a calliper tells."""
    for gender, look in (("plug", "pin-diameter"), ("jack", "socket-bore")):
        found = identify(shortlist(), true_state(half(f"n-50-{gender}")))
        assert {a.id: a.look for a in found.beware}[f"n-75-{gender}"] == look


def test_what_is_still_possible_comes_first_among_look_alikes() -> None:
    state = State().tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.COUPLING_DIAMETER, Read(15.8, 0.05))
    found = identify(shortlist(), state)
    possible = [c.id for c in found.candidates[1:] if c.probability >= 0.01]
    assert {a.id for a in found.beware[: len(possible)]} == set(possible)
    assert any("look again" in caution for caution in words.cautions(found))


def test_it_says_what_it_rests_on() -> None:
    state = State().tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.CENTRE, Saw("pin"))
    state = state.tell(Feature.COUPLING_DIAMETER, Read(6.3, 0.05, "6.3")).tell(Feature.SIZE, NotSure())
    found = identify(shortlist(), state)
    assert {rest.feature for rest in found.rests_on} == {Feature.COUPLING, Feature.CENTRE, Feature.COUPLING_DIAMETER}
    for rest in found.rests_on:
        without = {h.id: p for h, p in ranked(shortlist(), state.withdraw(rest.feature))}
        assert rest.without == pytest.approx(without[found.candidates[0].id])


def test_a_memory_number_that_matters_is_named() -> None:
    """An MMCX jack by looks alone: how far its bead lies behind the rim is memory, and decides: sunk or deep."""
    state = State("wifi").tell(Feature.COUPLING, Saw("smooth")).tell(Feature.CENTRE, Saw("socket"))
    found = identify(shortlist("wifi"), state.tell(Feature.PLASTIC, Saw("deep")))
    assert found.half.id == "mmcx-jack"
    numbers = [words.number(found.half, soft) for soft in found.soft_numbers]
    assert any("insulator face" in number and "[memory]" in number for number in numbers)


def test_saved_and_loaded_it_asks_the_same() -> None:
    state = State("wifi", "ruler").tell(Feature.COUPLING, Saw("thread-outside")).tell(Feature.BORE, NotSure())
    state = state.tell(Feature.PIN_DIAMETER, NotThere()).tell(Feature.COUPLING_DIAMETER, Read(6.35, 0.5, "1/4in"))
    data = plain(state, identify(shortlist("wifi"), state), "x")
    back = state_from(data, "test", LOOKS)
    assert back == state
    assert plain(back, identify(shortlist("wifi"), back), "x") == data


def said(feature: str, **answer: object) -> dict[str, object]:
    """A record with one answer."""
    return {"setting": "any", "instrument": "calliper", "answers": {feature: answer}}


@pytest.mark.parametrize(
    "data",
    [
        None, [], {}, "x", {"setting": "any"},
        {"setting": "moon", "instrument": "calliper", "answers": {}},
        {"setting": "any", "instrument": "tape", "answers": {}},
        said("colour", type="saw", value="red"), said("centre", type="saw", value="red"),
        said("centre", type="not there"), said("bore", type="saw", value="pin"), said("bore", type="heard"),
        said("bore", type="read", value=-1, plus_minus=1), said("bore", type="read", value=1e300, plus_minus=1),
        said("bore", type="read", value=5, plus_minus=0),
    ],
)  # fmt: skip
def test_a_broken_record_is_refused_in_one_sentence(data: object) -> None:
    with pytest.raises(InputError) as refused:
        state_from(data, "port.json", LOOKS)
    assert "\n" not in str(refused.value)


def test_percent_is_never_certain() -> None:
    assert [percent(p) for p in (0.99999, 0.97, 0.004)] == ["over 99 %", "97 %", "under 1 %"]


def test_halves_with_the_same_order_words_count_as_one() -> None:
    """A second table of the same family, gender, polarity and impedance: which of the two it is needs no question."""
    import msgspec

    twin = msgspec.structs.replace(half("rp-tnc-jack"), id="rp-tnc-other-jack", name="RP-TNC jack, another maker")
    both = Shortlist([*HALVES, twin])
    state = true_state(half("rp-tnc-jack"))
    belief = both.belief(state.answers)
    orders = both.of_orders(belief)
    assert belief[both.index("rp-tnc-jack")] == pytest.approx(belief[both.index("rp-tnc-other-jack")])
    assert orders.max() > 0.95
    found = identify(both, state)
    assert found.next is None
    assert found.order_probability == pytest.approx(orders.max())
    assert not any("look again" in caution for caution in words.cautions(found))
    assert "rp-tnc-other-jack" not in {a.id for a in found.beware}


def test_true_sizes_are_on_offer() -> None:
    for one in HALVES:
        assert truths(one)[Feature.SIZE] in LOOKS.steps


def test_what_settles_is_never_how_a_mate_comes_off() -> None:
    """However quick: nobody said that a mate is on it."""
    known = shortlist()
    seconds = {feature: known.looks.row(feature).seconds.nominal for feature in Feature} | {Feature.OFF: 0.1}
    sma, bnc = known.index("sma-jack"), known.index("bnc-50-jack")
    assert contrast.overlap(known, Feature.OFF, sma, bnc) <= contrast.TELLS
    assert contrast.telling(known, sma, bnc, seconds) is Feature.COUPLING
