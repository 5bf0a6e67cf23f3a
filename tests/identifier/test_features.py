"""What an eye and a calliper find on a half, against what the trade says of it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from coaxtell.identifier import looks
from coaxtell.identifier.draws import COUNT, Draws, Nominal, spread
from coaxtell.identifier.features import (
    MEASURED,
    Feature,
    couplings,
    insulator,
    seen_values,
)
from coaxtell.identifier.sizes import nominal_size, size, sizes
from coaxtell.models.half import Half, Thread
from coaxtell.models.mating.mate import mate
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.numbers import walk
from coaxtell.models.threads import limits
from coaxtell.models.words import gender_words
from tests.halves import all_halves, changed_copy, half, pin_in_the_jack
from tests.identifier.kit import truths

ROOT = Path(__file__).parents[2]
TURNS = ("n-50", "uhf", "sma", "rp-sma", "f", "mini-uhf")
REACH = looks.load().table.jaws.reach
HALVES = list(all_halves().values())


def width(half_id: str) -> float:
    return float(size(half(half_id), Nominal())[0])


def test_the_page_tells_how_many_turns_mates_take() -> None:
    turns = {key: mate(half(f"{key}-plug"), half(f"{key}-jack"), doubt=False).turns_caught for key in TURNS}
    page = " ".join((ROOT / "docs" / "naming.md").read_text(encoding="utf-8").split())
    n, uhf, sma, rp_sma, f, mini = (f"{turns[key]:.1f}" for key in TURNS)
    assert f"N takes {n} and UHF {uhf}, SMA and RP-SMA both {sma}" in page
    assert rp_sma == sma
    assert f"F with {f} and mini-UHF with {mini}" in page


@pytest.mark.parametrize("one", [h for h in HALVES if h.coupling_thread is not None], ids=lambda h: h.id)
def test_jack_has_its_thread_outside_and_plug_inside(one: Half) -> None:
    """Common practice, no source; the sexless half has both, and shows the one or the other as its nut stands."""
    of_gender = {"jack": ["thread-outside"], "plug": ["thread-inside"], "sexless": ["thread-inside", "thread-outside"]}
    assert couplings(one) == of_gender[one.gender]


@pytest.mark.parametrize("one", HALVES, ids=lambda h: h.id)
def test_standard_polarity_has_the_pin_in_the_plug_and_reverse_in_the_jack(one: Half) -> None:
    """Common practice, no source.

    It holds wherever a thread outside or lugs make the jack; families whose words follow the body while the contact
    is the other way say so in their `wording`, and their plug then takes a pin. The sexless half has a flat contact.
    """
    pin_in = "plug" if one.polarity == "standard" else "jack"
    centre = truths(one)[Feature.CENTRE]
    if one.gender == "sexless":
        assert centre == "flat"
    elif centre != ("pin" if one.gender == pin_in else "socket"):
        assert one.wording, f"{one.id} has its contact the other way and does not say so"
        assert pin_in_the_jack(one.id)


def test_where_body_and_contact_disagree_every_text_says_both() -> None:
    for one in HALVES:
        male_body, male_contact = one.gender == "plug", one.centre.pin is not None
        if one.gender != "sexless" and male_body != male_contact:
            words = gender_words(one)
            assert f"by its body a {one.gender} ({'male' if male_body else 'female'}" in words
            assert f"by its contact {'male' if male_contact else 'female'}" in words
            assert one.polarity == "reverse" or one.wording in words


def test_sma_is_smallest_and_about_a_pencils_eraser() -> None:
    """Common practice, no source: of the three everyday families SMA is smallest, TNC in the middle, N largest."""
    for gender in ("plug", "jack"):
        assert width(f"sma-{gender}") < width(f"tnc-{gender}") < width(f"n-50-{gender}")
        assert truths(half(f"sma-{gender}"))[Feature.SIZE] == "pencil"


@pytest.mark.outside(
    "N near twice TNC in section",
    "common practice, no source; published nuts",
    "the test's own bounds",
)
def test_n_is_near_twice_tnc_in_cross_section() -> None:
    """Common practice, no source: areas of the faces.

    The threads, 5/8 and 7/16 in, give 2.04; the nuts, 20.3 and 15.0 mm as published (W-N, W-TNC), 1.83.
    """
    for gender in ("plug", "jack"):
        assert (width(f"n-50-{gender}") / width(f"tnc-{gender}")) ** 2 == pytest.approx(2, abs=0.2)


@pytest.mark.parametrize(
    ("half_id", "where"),
    [
        # SMA: PTFE at the reference plane on both halves (IEC 61169-15 and the makers' models in the tables)
        ("sma-plug", "flush"), ("sma-jack", "flush"), ("rp-sma-jack", "flush"),
        # air at the face with the bead behind: 3.5 mm, 2.92 mm, 7/16 (their standards' air lines)
        ("3.5-plug", "air"), ("3.5-jack", "air"), ("2.92-jack", "air"), ("7-16-jack", "air"),
        # MIL-STD-348 figure 301-2: the boss of the BNC jack, 4.72 mm at most, stands 5 mm in front of the plane
        ("bnc-50-jack", "tube"), ("tnc-jack", "tube"), ("rp-tnc-jack", "tube"),
        ("uhf-jack", "recessed"), ("bnc-75-plug", "air"),
        # 2.4, 1.85 and 1.0 mm and 7 mm are air lines (their standards' titles); the MCX jack's insulator stands free
        ("2.4-jack", "air"), ("1.85-plug", "air"), ("1.0-jack", "air"), ("7-mm", "air"), ("mcx-jack", "tube"),
    ],
)  # fmt: skip
def test_insulator_is_judged_at_the_reference_plane(half_id: str, where: str) -> None:
    assert insulator(half(half_id), Nominal()) == [where]


@pytest.mark.parametrize(
    ("half_id", "feature", "mm", "within"),
    [
        ("sma-jack", Feature.COUPLING_DIAMETER, 6.35, 0.16),  # 1/4-36 UNS, class 2A under the basic 1/4 in
        ("sma-plug", Feature.COUPLING_DIAMETER, 5.67, 0.09),  # 1/4-36 UNS-2B minor 5.586 to 5.74, ASME B1.1
        ("bnc-50-jack", Feature.COUPLING_DIAMETER, 9.65, 0.05),  # MIL-STD-348 figure 301-2 B
        ("f-plug", Feature.COUPLING_DIAMETER, 8.75, 0.1),  # 3/8-32 UNEF-2B minor, 0.341 to 0.349 in
        ("sma-plug", Feature.PIN_DIAMETER, 0.914, 0.005),  # 0.036 in
        ("sma-jack", Feature.BORE, 4.62, 0.03),  # takes the spigot of at most 4.593; PTFE stops the jaws there
        ("3.5-jack", Feature.BORE, 3.5, 0.005),  # air: the jaws pass the step and meet the line bore
        ("2.92-jack", Feature.BORE, 2.92, 0.005),
        ("n-50-jack", Feature.BORE, 8.08, 0.05),  # not the chamfer at the rim
        ("sma-plug", Feature.NUT_WIDTH, 7.94, 0.1),  # 5/16 in across flats
        ("sma-jack", Feature.THREADS, 36 / 2.54, 0.001),
        ("7-16-plug", Feature.THREADS, 10 / 1.5, 0.001),  # M29x1.5
        ("2.4-jack", Feature.BORE, 2.4, 0.005),  # the families are named after this bore (titles of their standards)
        ("1.85-jack", Feature.BORE, 1.85, 0.005),
        ("1.0-jack", Feature.BORE, 1.0, 0.005),
        ("4.3-10-plug", Feature.BORE, 10.0, 0.1),  # 4.3 inner, 10 outer: the name
        ("smb-jack", Feature.COUPLING_DIAMETER, 3.67, 0.05),  # its barrel, makers' models
        ("mcx-plug", Feature.COUPLING_DIAMETER, 3.65, 0.1),  # its bead, jaws over the springing fingers
    ],
)
def test_sizes_as_jaws_read_them(half_id: str, feature: Feature, mm: float, within: float) -> None:
    found = nominal_size(half(half_id), feature, REACH)
    assert found == pytest.approx(mm, abs=within)


@pytest.mark.parametrize(
    ("half_id", "feature"),
    [("sma-jack", Feature.PIN_DIAMETER), ("sma-plug", Feature.SOCKET_BORE), ("sma-jack", Feature.NUT_WIDTH),
     ("bnc-50-plug", Feature.THREADS), ("7-mm", Feature.PIN_DIAMETER), ("7-mm", Feature.SOCKET_BORE),
     ("qma-plug", Feature.THREADS), ("smb-plug", Feature.NUT_WIDTH)],
)  # fmt: skip
def test_what_is_not_there_has_no_size(half_id: str, feature: Feature) -> None:
    assert nominal_size(half(half_id), feature, REACH) is None


@pytest.mark.parametrize(
    ("half_id", "feature", "shown"),
    [
        ("n-left-plug", Feature.HAND, ["left"]), ("n-50-plug", Feature.HAND, ["right"]),
        ("bnc-50-jack", Feature.HAND, []), ("n-left-jack", Feature.OFF, ["clockwise"]),
        ("sma-plug", Feature.OFF, ["anticlockwise"]), ("rp-bnc-jack", Feature.OFF, ["part-turn"]),
        ("qma-plug", Feature.OFF, ["pulled"]), ("7-mm", Feature.OFF, ["anticlockwise"]),
        ("smb-jack", Feature.GROOVE, ["outside"]),
        ("mcx-jack", Feature.GROOVE, ["inside"]), ("smp-smooth-jack", Feature.GROOVE, ["none"]),
        ("sma-jack", Feature.GROOVE, ["none"]), ("fakra-c-plug", Feature.COUPLING, ["housing"]),
        ("fakra-c-plug", Feature.COLOUR, ["blue"]), ("fakra-c-jack", Feature.LETTER, ["c"]),
        ("fakra-b-jack", Feature.COLOUR, ["cream-white"]), ("smb-plug", Feature.COLOUR, []),
        ("smb-75-plug", Feature.MARKED, ["75"]), ("n-50-jack", Feature.MARKED, ["50"]),
        ("uhf-jack", Feature.MARKED, ["none"]), ("qma-plug", Feature.COUPLING, ["sleeve"]),
        ("qn-jack", Feature.COUPLING, ["smooth"]), ("smp-plug", Feature.COUPLING, ["sleeve"]),
    ],
)  # fmt: skip
def test_what_is_seen_beyond_the_everyday_families(half_id: str, feature: Feature, shown: list[str]) -> None:
    """Names, letters and colours as the trade gives them (common practice), hands of threads as the families say."""
    assert seen_values(half(half_id), feature, Nominal()) == shown


def test_a_changed_number_changes_its_feature(tmp_path: Path) -> None:
    copy = changed_copy(tmp_path, "uhf.toml", "uhf-thin", "mm = 3.96", "mm = 2.96", 2)
    assert nominal_size(copy["uhf-thin-plug"], Feature.PIN_DIAMETER, REACH) == pytest.approx(2.96)
    assert nominal_size(half("uhf-plug"), Feature.PIN_DIAMETER, REACH) == pytest.approx(3.96)


@pytest.mark.parametrize("one", HALVES, ids=lambda h: h.id)
def test_a_soft_number_is_spread_over_its_range_and_stays_in_it(one: Half) -> None:
    draw = Draws()
    for _, measure in walk(one):
        values = draw(measure)
        assert len(values) == COUNT
        low, high = spread(measure)
        assert measure.span[0] - 1e-9 <= low - 1e-9 <= values.min() <= values.max() <= high + 1e-9
        if measure.soft and measure.low < measure.high:
            assert values.max() - values.min() > 0.7 * (high - low)


def test_a_weak_number_is_spread_over_the_least_range_of_its_grade() -> None:
    """The project's sheet on verdicts: memory 10 % and at least 0.15 mm; of a small size two thirds are kept."""
    wide = Draws()(Measure(grade=Grade.MEMORY, source=["memory"], mm=8.0, min=7.9, max=8.1))
    assert (wide.min(), wide.max()) == pytest.approx((7.2, 8.8), abs=0.2)
    small = Measure(grade=Grade.MEMORY, source=["memory"], mm=0.2, min=0.19, max=0.21)
    assert spread(small) == pytest.approx((0.1333, 0.35), abs=1e-4)


def test_draws_are_triangular() -> None:
    """Mean and variance of a triangular distribution in closed form."""
    low, peak, high = 2.0, 3.0, 7.0
    values = Draws()(Measure(grade=Grade.MEMORY, source=["memory"], mm=peak, min=low, max=high))
    assert values.mean() == pytest.approx((low + peak + high) / 3, rel=0.005)
    variance = (low**2 + peak**2 + high**2 - low * peak - low * high - peak * high) / 18
    assert np.var(values) == pytest.approx(variance, rel=0.03)


def test_a_soft_insulator_face_is_seen_either_way() -> None:
    """The bead of the N jack may lie from 1 to 6 mm behind the plane (memory): recessed or out of sight."""
    assert set(insulator(half("n-50-jack"), Draws())) == {"recessed", "air"}


@pytest.mark.parametrize("one", HALVES, ids=lambda h: h.id)
def test_every_size_is_one_a_port_can_have(one: Half) -> None:
    for feature in MEASURED:
        found = sizes(one, feature, Draws(one), REACH)
        if found is not None:
            row = looks.load().table.measured[feature]
            assert row.least < found.min() <= found.max() < row.most


@pytest.mark.outside(
    "Everyday screws",
    "ISO 965-1 at 6g",
    "rounding alone",
)
def test_screws_among_the_everyday_things_have_their_standards_limits() -> None:
    """ISO 965-1 at 6g by the formulas of coaxtell.models.threads, themselves tested against printed rows."""
    for key, major, pitch in (("m2-screw", 2.0, 0.4), ("m3-screw", 3.0, 0.5), ("m5-screw", 5.0, 0.8)):
        number = {"grade": Grade.HIGH, "source": ["ISO-965"]}
        size_of = limits(
            Thread(size=key, major=Measure(mm=major, **number), pitch=Measure(mm=pitch, **number), tolerance="6g")  # type: ignore[arg-type]
        )
        thing = looks.load().things[key]
        assert thing.d.min == pytest.approx(size_of.major_min, abs=0.002)
        assert thing.d.max == pytest.approx(size_of.major_max, abs=0.002)


def test_every_number_of_the_identifier_has_a_known_source_and_assumed_ones_a_range() -> None:
    known = looks.load()
    measures = [m for part in (known.table, *known.things.values(), *known.settings.values()) for m in _measures(part)]
    assert len(measures) > 150
    for measure in measures:
        assert set(measure.source) <= set(known.sources)
        assert not measure.soft or (measure.min is not None and measure.max is not None)


def _measures(part: object) -> list[Measure]:
    if isinstance(part, Measure):
        return [part]
    if isinstance(part, dict):
        return [m for item in part.values() for m in _measures(item)]
    if isinstance(part, list):
        return [m for item in part for m in _measures(item)]
    return [m for name in getattr(part, "__struct_fields__", ()) for m in _measures(getattr(part, name))]
