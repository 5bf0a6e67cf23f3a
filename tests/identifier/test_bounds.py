"""Every assumed constant of what eye, hand and calliper find, just below and just above it; figures stand in full."""

from __future__ import annotations

from typing import cast

import numpy as np
import pytest

from coaxtell.identifier import misfit, question
from coaxtell.identifier.answers import Read, State
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.contrast import telling
from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import Feature, insulator, plastic
from coaxtell.identifier.likelihood import misreading
from coaxtell.identifier.outlook import Outlook
from coaxtell.identifier.sizes import bore
from coaxtell.models.acts import Act, Need, allowed
from coaxtell.models.half import Half
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.numbers import Path, replaced, walk
from tests.halves import half
from tests.identifier import kit


def at(half_id: str, path: Path, value: float) -> Half:
    """A half with one of its numbers held at a value."""
    one = half(half_id)
    found: Half = replaced(one, path, dict(walk(one))[path].at(value))
    return found


class TwoHalves:
    """Two halves that overlap by so much in some features and wholly in all others: sqrt(1 x o^2) is o."""

    looks = kit.shortlist().looks
    halves = (half("sma-jack"), half("n-50-jack"))

    def __init__(self, **overlaps: float) -> None:
        self.overlaps = {Feature[name]: overlap for name, overlap in overlaps.items()}

    def usual(self, feature: Feature) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
        both = self.overlaps.get(feature, 1.0) ** 2
        return np.array([[1.0, 0.0], [both, 1.0 - both]])


@pytest.mark.parametrize(("overlap", "look"), [(0.44, Feature.CENTRE), (0.46, Feature.BORE)])
def test_a_quick_look_tells_where_it_overlaps_by_less_than_0_45(overlap: float, look: Feature) -> None:
    """Assumed: 0.45. The slow look of the bore overlaps by 0.1 and tells them anyway."""
    two = cast(Shortlist, TwoHalves(CENTRE=overlap, BORE=0.1))
    seconds = dict.fromkeys(Feature, 30.0) | {Feature.CENTRE: 5.0}
    assert telling(two, 0, 1, seconds) is look


@pytest.mark.parametrize(("face", "tube"), [(0.98, False), (1.02, True)])
def test_an_insulator_a_millimetre_in_front_is_a_tube(face: float, tube: bool) -> None:
    """Assumed: 1 mm in front of what is round it, here the plane; TNC jack."""
    rings = half("tnc-jack").insulator
    (place,) = (i for i, ring in enumerate(rings) if ring.outer is not None)
    assert (insulator(at("tnc-jack", ("insulator", place, "face"), face), Nominal()) == ["tube"]) is tube


@pytest.mark.parametrize(("bite", "d"), [(0.28, 8.08), (0.32, 7.0)])
def test_jaws_read_a_narrower_bore_from_0_3_mm_of_it(bite: float, d: float) -> None:
    """Assumed: 0.3 mm. N jack: a sleeve bore of 8.08 mm down to the plane, a line bore of 7.0 mm behind it."""
    one = at("n-50-jack", ("insulator", 0, "face"), -5.0)
    reach = Measure(grade=Grade.DERIVED, source=["geometry"], mm=one.shell.rim.nominal + bite)
    assert float(bore(one, Nominal(), reach)[0]) == pytest.approx(d, abs=0.02)


@pytest.mark.parametrize(("behind", "where"), [(2.9, "sunk"), (3.1, "deep")])
def test_plastic_is_deep_from_three_millimetres_behind_the_rim(behind: float, where: str) -> None:
    """Assumed: 3 mm. MCX plug, which has one ring."""
    one = half("mcx-plug")
    assert len(one.insulator) == 1
    moved = at("mcx-plug", ("insulator", 0, "face"), one.shell.rim.nominal - behind)
    assert plastic(moved, Nominal()) == [where]


@pytest.mark.parametrize(("likely", "odd"), [(0.029, [Feature.BORE]), (0.031, [])])
def test_an_answer_does_not_go_with_a_half_below_three_hundredths(
    likely: float, odd: list[Feature], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Chosen on other people than those it is reported on: 0.03 of the likeliest answer."""
    monkeypatch.setattr(misfit, "ratio", lambda *_: likely)
    state = State().tell(Feature.BORE, Read(5.0, 0.1))
    assert misfit.misfits(kit.shortlist(), state, 0) == odd


@pytest.mark.parametrize(("spreads", "odd"), [(1.98, []), (2.02, [Feature.COUPLING_DIAMETER])])
def test_a_reading_more_than_two_spreads_beyond_all_parts_is_wear(spreads: float, odd: list[Feature]) -> None:
    """Assumed: 2 spreads of a usual reading beyond the largest part."""
    known = kit.shortlist()
    place = next(i for i, one in enumerate(known.halves) if one.id == "n-50-jack")
    table = known.looks.table
    off = 0.05
    spread = misreading(table.measured[Feature.COUPLING_DIAMETER], table.levels["usual"], off).spread
    largest = known.sizes(Feature.COUPLING_DIAMETER).mm[place].max()
    state = State().tell(Feature.COUPLING_DIAMETER, Read(float(largest + spreads * spread), off))
    assert misfit.worn(known, state, place) == odd


def believed(half_id: str, chance: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """A port that is one half with this chance, else an N jack, which nothing keeps from being touched."""
    ids = kit.shortlist().ids
    found = np.zeros(len(ids))
    found[ids.index("n-50-jack")], found[ids.index(half_id)] = 1 - chance, chance
    return found


@pytest.mark.parametrize(("chance", "touched"), [(0.0499, True), (0.0501, False)])
@pytest.mark.parametrize(("half_id", "need"), [("7-mm", Need.NOT_PRECISION), ("bnc-50-jack", Need.NO_HIGH_VOLTAGE)])
def test_from_one_in_twenty_on_a_port_counts_as_what_must_not_be_touched(
    half_id: str, need: Need, chance: float, touched: bool
) -> None:
    """Assumed: 0.05, of a precision port and of a two-lug bayonet that may be one for high voltage."""
    held = question.holds(kit.shortlist(), State(), believed(half_id, chance))
    assert (need in held) is touched
    assert allowed(Act.TOUCH, held) is touched
    sizes = question.open_looks(kit.shortlist(), State(), believed(half_id, chance))
    assert (question.Look(Feature.BORE) in sizes) is touched


@pytest.mark.parametrize(("second", "seconds"), [(None, 7200.0), (Read(11.0, 0.05), 3600.0)])
def test_a_wrong_order_counts_twice_on_a_photograph(second: Read | None, seconds: float) -> None:
    """Assumed: twice the 3,600 s that it counts by calliper."""
    photograph = Read(9.9, 1.2, "9.90mm+-1.20 by photograph")
    state = State().tell(Feature.COUPLING_DIAMETER, photograph)
    if second is not None:
        state = state.tell(Feature.COUPLING_DIAMETER, second, again=True)
    assert question.wrong_order(kit.shortlist(), state) == seconds


@pytest.mark.parametrize(("gain", "asked"), [(0.9 * 25 / 7200, False), (1.1 * 25 / 7200, True)])
def test_a_look_of_25_s_pays_on_a_photograph_from_one_in_288_on(gain: float, asked: bool) -> None:
    """Assumed: 25 s / (2 x 3,600 s). Two orders, of which the look names the rarer without a mistake."""
    outlook = Outlook([np.array([[[1.0, 0.0], [0.0, 1.0]]])], [25.0], np.arange(2))
    cost = question.wrong_order(
        kit.shortlist(), State().tell(Feature.COUPLING_DIAMETER, Read(9.9, 1.2, "9.90mm+-1.20 by photograph"))
    )
    assert (question.choose(outlook, np.array([[1 - gain, gain]]), cost) is not None) is asked
