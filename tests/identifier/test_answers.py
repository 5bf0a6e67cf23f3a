"""What people type: units, fractions, instruments, nonsense."""

from __future__ import annotations

import itertools
import re
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxtell.identifier import answers, instruments, looks, words
from coaxtell.identifier.answers import NotSure, NotThere, Read, Saw, State
from coaxtell.identifier.features import MEASURED, SEEN, Feature
from coaxtell.models.errors import InputError

LOOKS = looks.load()


def read(feature: Feature, typed: str, instrument: str = "calliper") -> Read:
    found = answers.measured(feature, typed, instrument, LOOKS)
    assert isinstance(found, Read)
    return found


@pytest.mark.outside(
    "Inches to millimetres",
    "ISO 80000-3, 25.4 mm exactly",
    "rounding alone",
)
@pytest.mark.parametrize(
    ("typed", "mm", "off"),
    [
        ("6.3", 6.3, 0.05),
        ("6,3", 6.3, 0.05),
        (" 6.3 mm ", 6.3, 0.05),
        ("0.63cm", 6.3, 0.05),
        ("0.25in", 6.35, 0.05),
        (".25 in", 6.35, 0.05),
        ("1/4in", 6.35, 0.05),
        ('1/4"', 6.35, 0.05),
        ("1-1/8in", 28.575, 0.05),
        ("1 1/8 inch", 28.575, 0.05),
        ("250mil", 6.35, 0.05),
        ("6.3+-0.1", 6.3, 0.1),
        ("6.3 ± 0.1 mm", 6.3, 0.1),
        ("6.3mm+/-0.1mm", 6.3, 0.1),
        ("6.3 +/- 0.1", 6.3, 0.1),
        ("6.3 +/- 0.1 mm", 6.3, 0.1),
        ("0.25in+-0.01", 6.35, 0.254),
        ("0.25in+-0.2mm", 6.35, 0.2),
        ("0.25+-0.01in", 6.35, 0.254),
        ("1/4+-1/64 in", 6.35, 0.396875),
    ],
)
def test_a_size_in_mm_or_inches(typed: str, mm: float, off: float) -> None:
    """An inch is 25.4 mm exactly (ISO 80000-3 and national law)."""
    found = read(Feature.COUPLING_DIAMETER, typed)
    assert (found.value, found.plus_minus) == pytest.approx((mm, off))


@pytest.mark.parametrize(
    ("instrument", "off"), [("calliper", 0.05), ("ruler", 0.5), ("+-0.1", 0.1), ("0.2mm", 0.2), ("+-0.01in", 0.254)]
)
def test_the_instrument_gives_the_uncertainty(instrument: str, off: float) -> None:
    assert read(Feature.BORE, "6.3", instrument).plus_minus == pytest.approx(off)


@pytest.mark.parametrize(
    ("typed", "per_10mm"), [("36tpi", 36 / 2.54), ("14.2", 14.2), ("24 TPI", 24 / 2.54), ("36+-1tpi", 36 / 2.54)]
)
def test_threads_on_10mm_or_per_inch(typed: str, per_10mm: float) -> None:
    assert read(Feature.THREADS, typed).value == pytest.approx(per_10mm)


@pytest.mark.parametrize(
    "typed",
    ["", "six", "nan", "inf", "-6.3", "0", "1/0in", "6300", "6.3+-7", "6.3+-0", "6.3+-", "6.3 furlong", "1e3", "٣",
     "6.3.1", "36tpi", "9" * 400, "6.3\x00", "--help"],
)  # fmt: skip
def test_nonsense_is_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(InputError) as refused:
        answers.measured(Feature.BORE, typed, "calliper", LOOKS)
    assert str(refused.value).startswith("bore: ")
    assert "\n" not in str(refused.value)


def test_threads_typed_without_tpi_get_the_hint() -> None:
    with pytest.raises(InputError, match="36tpi"):
        answers.measured(Feature.THREADS, "36", "calliper", LOOKS)


@pytest.mark.parametrize("instrument", ["tape", "", "+-0", "+-9", "nan", "36tpi", "6+-1", "1/64", "+-1/64"])
def test_an_unknown_instrument_is_refused(instrument: str) -> None:
    with pytest.raises(InputError):
        answers.measured(Feature.BORE, "6.3", instrument, LOOKS)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("7/16", "without a unit"),
        ("500mm", "no coaxial port"),
        ("0.001mm", "no coaxial port"),
        ("5' 1/0\"", "nought"),
        ("11mm+-3", "leave it out"),
        ("11 +- 3 mm", "leave it out"),
    ],
)
def test_a_width_by_eye_is_no_bare_fraction_and_one_that_a_port_has(typed: str, why: str) -> None:
    with pytest.raises(InputError, match=why):
        answers.saw(Feature.SIZE, typed, LOOKS)
    assert answers.saw(Feature.SIZE, "7/16in", LOOKS) == Saw("aaa-cell")


def test_of_two_looks_the_second_counts_where_it_told_something() -> None:
    state = State().tell(Feature.CENTRE, Saw("pin")).tell(Feature.BORE, Read(6.5, 0.05))
    state = state.tell(Feature.CENTRE, Saw("socket"), again=True).tell(Feature.BORE, NotSure(), again=True)
    assert state.counted == {Feature.CENTRE: Saw("socket"), Feature.BORE: Read(6.5, 0.05)}


def test_not_there_and_not_sure() -> None:
    assert answers.measured(Feature.PIN_DIAMETER, "none", "calliper", LOOKS) == NotThere()
    assert answers.measured(Feature.PIN_DIAMETER, "not-sure", "calliper", LOOKS) == NotSure()
    assert answers.saw(Feature.CENTRE, "not-sure", LOOKS) == NotSure()
    assert answers.saw(Feature.CENTRE, " PIN ", LOOKS) == Saw("pin")


def test_unknown_features_and_values_are_refused_with_what_there_is() -> None:
    with pytest.raises(InputError, match="threads-per-10mm"):
        answers.feature_named("colour")
    with pytest.raises(InputError, match="bayonet-sleeve"):
        answers.saw(Feature.COUPLING, "welded", LOOKS)
    with pytest.raises(InputError, match="--measured"):
        answers.saw(Feature.BORE, "6.3", LOOKS)
    with pytest.raises(InputError, match="--saw"):
        answers.measured(Feature.CENTRE, "6.3", "calliper", LOOKS)


@given(st.text(max_size=40), st.sampled_from(list(Feature)))
def test_any_text_is_an_answer_or_one_sentence(typed: str, feature: Feature) -> None:
    """Nothing but an InputError ever comes out of parsing."""
    with suppress(InputError):
        answers.saw(feature, typed, LOOKS)
    with suppress(InputError):
        answers.measured(feature, typed, "calliper", LOOKS)
    with suppress(InputError):
        answers.measured(Feature.BORE, "6.3", typed, LOOKS)


@given(st.floats(0.11, 99.0), st.sampled_from([f for f in MEASURED if f is not Feature.THREADS]))
def test_a_size_reads_back(mm: float, feature: Feature) -> None:
    assert read(feature, f"{mm:.4f}").value == pytest.approx(mm, abs=1e-4)
    assert read(feature, f"{mm / 25.4:.6f}in").value == pytest.approx(mm, abs=1e-4)


def test_telling_gives_a_new_state_and_the_latest_answer_counts() -> None:
    empty = State()
    one = empty.tell(Feature.CENTRE, Saw("pin"))
    two = one.tell(Feature.CENTRE, Saw("socket"))
    assert (empty.answers, one.answers[Feature.CENTRE], two.answers[Feature.CENTRE]) == ({}, Saw("pin"), Saw("socket"))
    assert two.withdraw(Feature.CENTRE) == empty
    assert two.withdraw(Feature.BORE) == two
    assert set(SEEN) | set(MEASURED) == set(Feature)


def test_a_fraction_without_a_unit_asks_what_is_meant() -> None:
    with pytest.raises(InputError, match="7/16in where the inch is meant"):
        answers.measured(Feature.COUPLING_DIAMETER, "7/16", "calliper", LOOKS)


@pytest.mark.parametrize(("typed", "thing"), [("11.1", "aaa-cell"), ("11mm", "aaa-cell"), ("1/4in", "pencil")])
def test_a_number_at_a_width_is_a_reading_by_eye(typed: str, thing: str) -> None:
    assert answers.saw(Feature.SIZE, typed, LOOKS) == Saw(thing)


@pytest.mark.parametrize(
    ("feature", "typed", "instrument"),
    [
        (Feature.COUPLING_DIAMETER, "6.3+-0.0000001", "calliper"), (Feature.COUPLING_DIAMETER, "6.3+-0.00049", "none"),
        (Feature.COUPLING_DIAMETER, "6.3", "+-0.0001"), (Feature.THREADS, "14.2+-0.0009", "calliper"),
    ],
)  # fmt: skip
def test_a_plus_minus_finer_than_any_instrument_is_refused(feature: Feature, typed: str, instrument: str) -> None:
    with pytest.raises(InputError, match="half of its step, which leaves"):
        instruments.reading(feature, typed, instrument, looks.load())


def test_the_finest_plus_minus_is_taken() -> None:
    known = looks.load()
    assert instruments.reading(Feature.BORE, "4.1+-0.0005", "calliper", known).plus_minus == 0.0005
    assert instruments.reading(Feature.BORE, "4.1", "+-0.0005", known).plus_minus == 0.0005
    assert instruments.reading(Feature.THREADS, "14.2+-0.001", "calliper", known).plus_minus == 0.001


@pytest.mark.parametrize(
    "typed", ["9.29mm+-1.45 by photograph", " 9.29mm+-1.45  By Photograph ", "9.29+-1.45by photograph"]
)
def test_a_size_by_photograph_says_so_as_long_as_it_is_kept(typed: str) -> None:
    found = read(Feature.COUPLING_DIAMETER, typed)
    assert (found.value, found.plus_minus) == (9.29, 1.45)
    assert found.pictured
    assert found.typed.endswith("1.45 by photograph")
    again = read(Feature.COUPLING_DIAMETER, answers.as_typed(found))
    assert again == found
    assert words.said(Feature.COUPLING_DIAMETER, found).endswith(" by photograph (experimental)")
    plain = read(Feature.COUPLING_DIAMETER, "9.29mm+-1.45")
    assert not plain.pictured
    assert "experimental" not in words.said(Feature.COUPLING_DIAMETER, plain)


@pytest.mark.parametrize("typed", ["9.29 by photograph", "9.29mm by photograph", "by photograph", "none by photograph"])
def test_a_photograph_has_a_plus_minus_of_its_own_and_not_that_of_the_calliper(typed: str) -> None:
    with pytest.raises(InputError):
        read(Feature.COUPLING_DIAMETER, typed)


@pytest.mark.parametrize(
    "typed", ["9.3mm+-1.5 BY  PHOTOGRAPH", "9.3mm+-1.5  by\tphotograph ", "9.3mm+-1.5by photograph"]
)
def test_by_photograph_is_read_however_many_blanks_stand_in_it(typed: str) -> None:
    found = read(Feature.COUPLING_DIAMETER, typed)
    assert found.pictured
    assert found.typed == "9.3mm+-1.5 by photograph"


SIZE = Feature.COUPLING_DIAMETER
CALLIPER, RULER = Read(15.75, 0.05, "15.75"), Read(16.0, 2.0, "16+-2")
PICTURED, APART = Read(15.9, 1.0, "15.9mm+-1 by photograph"), Read(19.7, 1.04, "19.70mm+-1.04 by photograph")
EXCLUDES = "19.70 +-1.04 by photograph exclude each other"


@pytest.mark.parametrize(
    ("before", "shot", "counts", "said"),
    [
        (CALLIPER, APART, CALLIPER, f"15.75 +-0.05, told before, and {EXCLUDES}"),
        (CALLIPER, PICTURED, CALLIPER, "15.75 +-0.05, told before, stays, being finer than 15.90 +-1.00 by photograph"),
        (RULER, APART, APART, f"16.00 +-2.00, told before, and {EXCLUDES}"),
        (RULER, PICTURED, PICTURED, "15.90 +-1.00 by photograph stays, being finer than 16.00 +-2.00, told before."),
        (PICTURED, APART, PICTURED, f"15.90 +-1.00 by photograph, told before, and {EXCLUDES}"),
        (PICTURED, PICTURED, PICTURED, ""),
        (PICTURED, CALLIPER, CALLIPER, "15.75 +-0.05 takes the place of 15.90 +-1.00 by photograph, told before."),
        (APART, CALLIPER, CALLIPER, "15.75 +-0.05 takes the place of 19.70 +-1.04 by photograph, told before, which"),
        (Saw("lugs"), APART, APART, ""),
    ],
)
def test_a_photograph_takes_the_place_of_no_finer_reading_and_it_is_said(
    before: answers.Answer, shot: Read, counts: Read, said: str
) -> None:
    """A calliper's 15.75 of an N jack went without a word for a photograph's 19.70 of another ring: a 4.3-10 jack."""
    state = State().tell(SIZE, before)
    assert said in (told := words.other_reading(state, SIZE, shot))
    assert bool(said) == bool(told)
    excluded = shot is APART and isinstance(before, Read)
    assert ("a ring that is not the rim" in told) == excluded
    for again in (False, True):
        told_on = state.tell(SIZE, shot, again)
        assert told_on.counted[SIZE] == counts
        # neither of two that exclude each other goes, but where one by hand takes the first look's place
        both = excluded or (again and before is APART)
        assert told_on.apart == ({SIZE: (before, shot)} if both else {})
    # taken back, the photograph's counts
    taken_back = state.withdraw(SIZE)
    assert taken_back.tell(SIZE, shot).answers == {SIZE: shot}


def test_a_photograph_is_held_against_the_second_look_which_counts() -> None:
    state = State().tell(SIZE, RULER).tell(SIZE, CALLIPER, again=True)
    assert state.tell(SIZE, PICTURED) == state
    assert state.tell(SIZE, APART).apart == {SIZE: (CALLIPER, APART)}
    coarse = State().tell(SIZE, RULER).tell(SIZE, RULER, again=True)
    assert coarse.tell(SIZE, APART).counted == {SIZE: APART}
    assert coarse.tell(SIZE, PICTURED).counted == {SIZE: PICTURED}


def test_readings_exclude_each_other_only_beyond_the_plus_minus_of_both() -> None:
    hand = Read(15.75, 0.25, "15.75+-0.25")
    for value, excludes in ((17.0, False), (17.01, True), (14.5, False), (14.49, True)):
        shot = Read(value, 1.0, f"{value}mm+-1 by photograph")
        assert bool(State().tell(SIZE, hand).tell(SIZE, shot).apart) is excludes
        assert answers.apart(shot, hand) is answers.apart(hand, shot) is excludes


def test_a_photograph_taken_anew_takes_the_place_of_the_one_that_was_excluded() -> None:
    """Who put the ring on the wrong rim puts it right; what was read by hand stays meanwhile."""
    finer = Read(15.8, 0.9, "15.8mm+-0.9 by photograph")
    for hand, anew, counts in ((CALLIPER, PICTURED, CALLIPER), (RULER, PICTURED, PICTURED), (PICTURED, finer, finer)):
        clash = State().tell(SIZE, hand).tell(SIZE, APART)
        assert clash.apart
        mended = clash.tell(SIZE, anew)
        assert (mended.counted, mended.again) == ({SIZE: counts}, {})
    other = Read(11.2, 0.96, "11.20mm+-0.96 by photograph")
    assert State().tell(SIZE, RULER).tell(SIZE, APART).tell(SIZE, other).apart == {SIZE: (RULER, other)}


@pytest.mark.parametrize("shot", [PICTURED, APART])
def test_a_reading_by_hand_told_after_a_photograph_counts_wherever_that_lies(shot: Read) -> None:
    """At the second look a photograph went on counting, and a calliper's reading told last did not."""
    hand = Read(6.3, 0.05, "6.3")
    twice = State().tell(SIZE, RULER).tell(SIZE, RULER, again=True).tell(SIZE, shot)
    assert twice.again == {SIZE: shot}
    assert twice.tell(SIZE, hand) == State().tell(SIZE, hand)
    assert twice.tell(SIZE, hand, again=True).counted == {SIZE: hand}
    assert twice.tell(SIZE, hand, again=True).apart == {}


def shot(value: float, off: float) -> Read:
    return Read(value, off, f"{value}mm+-{off} by photograph")


def after(*told: tuple[Read, bool]) -> tuple[State, str]:
    """The state after these readings, each at the first look or again, and what was said at the last."""
    state, said = State(), ""
    for reading, again in told:
        said = words.other_reading(state, SIZE, reading, again)
        state = state.tell(SIZE, reading, again)
    return state, said


RING = shot(11.2, 0.96)
COARSE, FIRST, SECOND = Read(6.5, 1.0, "6.5+-1"), Read(6.3, 0.05, "6.3"), Read(6.4, 0.05, "6.4")


def test_a_photograph_that_is_kept_no_longer_is_not_said_to_stay() -> None:
    """Of 11.20 it was said that it stays, being finer, while it went."""
    state, said = after((COARSE, False), (RING, False), (shot(6.4, 1.2), False))
    assert (state.answers, state.again) == ({SIZE: COARSE}, {})
    assert "6.50 +-1.00, told before, stays, being finer than 6.40 +-1.20 by photograph" in said
    assert "11.20 +-0.96 by photograph, told before, is kept no longer" in said


def test_a_third_photograph_takes_the_place_of_those_that_go_and_names_them() -> None:
    """The one it went with was dropped without a word, and the one it excluded was left."""
    state, said = after((RING, False), (shot(6.3, 0.6), False), (shot(6.4, 0.6), False))
    assert (state.answers, state.again) == ({SIZE: shot(6.4, 0.6)}, {})
    assert "6.40 +-0.60 by photograph takes the place of 6.30 +-0.60 by photograph" in said
    assert "11.20 +-0.96 by photograph, told before, is kept no longer: 6.40" in said
    state, said = after((RING, False), (shot(6.3, 0.6), False), (shot(6.4, 0.9), False))
    assert (state.answers, state.again) == ({SIZE: shot(6.3, 0.6)}, {})
    assert "6.30 +-0.60 by photograph, told before, stays, being finer than 6.40" in said
    # one that goes with both tells neither wrong
    state, said = after((RING, False), (shot(6.3, 0.6), False), (shot(8.6, 2.4), False))
    assert state.apart == {SIZE: (RING, shot(6.3, 0.6))}
    assert "8.60 +-2.40 by photograph goes with both readings" in said
    assert after((FIRST, False), (shot(9.3, 2.5), False), (shot(8.0, 2.0), False))[0].apart == {
        SIZE: (FIRST, shot(9.3, 2.5))
    }


def test_two_photographs_beside_a_reading_by_hand_that_both_exclude_leave_the_finer() -> None:
    state, said = after((FIRST, False), (RING, False), (shot(11.0, 0.8), False))
    assert state.apart == {SIZE: (FIRST, shot(11.0, 0.8))}
    assert "6.30 +-0.05, told before, and 11.00 +-0.80 by photograph exclude each other" in said
    assert "11.00 +-0.80 by photograph takes the place of 11.20 +-0.96 by photograph, told before." in said
    state, said = after((FIRST, False), (RING, False), (shot(11.0, 1.2), False))
    assert state.apart == {SIZE: (FIRST, RING)}
    assert "11.20 +-0.96 by photograph, told before, stays, being finer than 11.00" in said


def test_of_two_looks_by_hand_beside_a_photograph_the_one_that_goes_is_named() -> None:
    state, said = after((FIRST, False), (SECOND, True), (RING, False))
    assert state.apart == {SIZE: (SECOND, RING)}
    assert "6.40 +-0.05, told before, and 11.20 +-0.96 by photograph exclude each other" in said
    assert "6.30 +-0.05, told first, is kept no longer" in said


def test_a_second_look_by_hand_that_excludes_the_photograph_before_stands_beside_it() -> None:
    """It was told of the port that it is worn, and nothing of the two readings."""
    state, said = after((RING, False), (FIRST, True))
    assert state.apart == {SIZE: (RING, FIRST)}
    assert state.counted == {SIZE: FIRST}
    assert "11.20 +-0.96 by photograph, told before, and 6.30 +-0.05 exclude each other" in said
    # a photograph taken anew goes in the place of the photograph, never of the hand
    state, said = after((RING, False), (FIRST, True), (shot(6.2, 0.9), False))
    assert (state.answers, state.again) == ({SIZE: FIRST}, {})
    assert "11.20 +-0.96 by photograph, told before, is kept no longer" in said
    assert after((RING, False), (FIRST, True), (shot(15.0, 0.9), False))[0].apart == {SIZE: (FIRST, shot(15.0, 0.9))}
    assert after((RING, False), (FIRST, False))[0].apart == {}


def test_nothing_that_was_told_goes_without_a_word() -> None:
    """Of every row of readings, by hand and by photograph, at both looks: whatever goes is named; hand after hand alone
    is the same answer told anew."""
    rows = [COARSE, FIRST, SECOND, RING, shot(6.3, 0.6), shot(6.4, 1.2), shot(8.6, 2.4), shot(15.9, 1.0)]
    tried = 0
    for row in itertools.permutations(rows, 3):
        for looks_again in itertools.product((False, True), repeat=2):
            told = list(zip(row, (False, *looks_again), strict=True))
            (before, _), (state, said) = after(*told[:-1]), after(*told)
            if not any(read.pictured for read in [*before.readings(SIZE), row[-1]]):
                continue
            for read in [*before.readings(SIZE), row[-1]]:
                tried += read not in state.readings(SIZE)
                assert read in state.readings(SIZE) or f"{read.value:.2f} +-{read.plus_minus:.2f}" in said
            for stays in re.findall(r"(\d+\.\d\d) \+-(\S+)[^.]*?, told before, stays", said):
                assert [float(part) for part in stays] in [
                    [read.value, read.plus_minus] for read in state.readings(SIZE)
                ]
    assert tried > 500


def test_a_first_look_told_anew_takes_the_place_of_both() -> None:
    twice = State().tell(Feature.CENTRE, Saw("pin")).tell(Feature.CENTRE, Saw("socket"), again=True)
    assert twice.tell(Feature.CENTRE, Saw("pin")).counted == {Feature.CENTRE: Saw("pin")}
