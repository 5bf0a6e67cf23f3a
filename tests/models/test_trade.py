"""Intermateability over the whole trade: each statement of a standard, a sheet or a maker is a test of its own."""

from itertools import combinations_with_replacement
from pathlib import Path

import pytest

from coaxtell.models import tables
from coaxtell.models.mating import trust
from coaxtell.models.mating.mate import JOINED, Verdict, mate
from coaxtell.models.numbers import replaced, walk
from coaxtell.models.threads import limits
from coaxtell.models.words import said
from tests.halves import all_halves, changed_copy, half, mating, verdict


@pytest.mark.parametrize(
    "key",
    [
        *("2.4", "1.85", "1.0", "4.3-10", "smc", "smb", "ssmb", "smb-75", "mcx", "rp-mcx", "mcx-75", "mmcx"),
        *("micro-1", "micro-3", "micro-4", "qma", "qn", "mini-uhf", "n-left", "tnc-left", "fakra-c", "smp"),
    ],
)  # fmt: skip
def test_each_family_mates_with_itself(key: str) -> None:
    assert verdict(f"{key}-plug", f"{key}-jack") == "mates"


# Mated checks as the project's fact sheet works them out by hand from the same numbers (mating-critical.md): that we
# compute what a person computes, and no check of the numbers.
@pytest.mark.parametrize(
    ("key", "overlap", "turns"),
    [
        ("smb", (2.55, 2.7), None),
        ("smc", (2.55, 2.7), (3.5, 4.0)),
        ("mcx", (0.94, 1.01), None),
        ("mmcx", (0.905, 0.915), None),
        ("micro-1", (0.4, 0.6), None),
        ("qma", (2.15, 2.25), None),
        ("4.3-10", (3.4, 3.6), (4.5, 5.5)),
        ("2.4", (1.24, 1.4), (3.5, 4.5)),
        ("1.85", (1.24, 1.4), (3.5, 4.5)),
    ],
)
def test_mated_checks_of_the_whole_trade(
    key: str, overlap: tuple[float, float], turns: tuple[float, float] | None
) -> None:
    found = mating(f"{key}-plug", f"{key}-jack")
    assert overlap[0] <= found.overlap_mm <= overlap[1]
    if turns is not None:
        assert turns[0] <= found.turns_caught <= turns[1]


@pytest.mark.outside(
    "1.0 mm mates with no other family",
    "recalled, no source",
    "none: every pair",
)
@pytest.mark.parametrize("half_id", [h for h in all_halves() if not h.startswith("1.0")])
def test_10_mates_with_nothing_else(half_id: str) -> None:
    """Fact sheet, intermateability: 1.0 mm with any other of the list: no (memory; the thread is smaller than all)."""
    for own in ("1.0-plug", "1.0-jack"):
        assert verdict(own, half_id) == "does not join"


@pytest.mark.parametrize(("a", "b"), [("4.3-10-plug", "7-16-jack"), ("7-16-plug", "4.3-10-jack")])
def test_43_10_and_7_16_do_not_join(a: str, b: str) -> None:
    """M20x1 against M29x1.5 (fact sheet, thread limits): one cannot start, the other slides over."""
    assert mating(a, b).verdict is Verdict.NO_JOIN


@pytest.mark.outside(
    "2.4 and 1.85 mm intermate",
    "IEC 61169-40:2010",
    "none: both pairs",
)
def test_24_and_185_intermate() -> None:
    """IEC 61169-40:2010 states that 2.4 mm mates with 1.85 mm."""
    assert mating("2.4-plug", "1.85-jack").verdict in JOINED
    assert mating("1.85-plug", "2.4-jack").verdict in JOINED


@pytest.mark.parametrize("jack", ["2.4-jack", "1.85-jack"])
@pytest.mark.parametrize("plug", ["sma-plug", "3.5-plug", "2.92-plug", "rp-sma-plug"])
def test_an_sma_nut_cannot_start_on_a_metric_jack(plug: str, jack: str) -> None:
    """By the thread limits: crests of M7x0.75-6g 6.838 to 6.978 mm against a root of 6.35 mm in the nut."""
    found = mating(plug, jack)
    assert found.verdict is Verdict.NO_JOIN
    assert said(found.reasons)[0].startswith("The nut cannot start")
    assert "6.98 mm" in said(found.reasons)[0]


def test_a_24_nut_slides_over_an_sma_jack() -> None:
    """By the thread limits: minor diameter of M7x0.75-6H 6.188 to 6.378 mm, crests of 1/4-36 2A at most 6.327 mm."""
    found = mating("2.4-plug", "sma-jack")
    assert found.verdict is Verdict.NO_JOIN
    assert "slides over" in said(found.reasons)[0]


def test_an_f_nut_binds_on_a_mini_uhf_jack() -> None:
    """Same 3/8 in, 32 against 24 per inch: by hand, play 0.180 mm over 0.2646 mm a turn binds after 0.7 turns."""
    found = mating("f-plug", "mini-uhf-jack")
    assert found.verdict is Verdict.NO_JOIN
    assert "binds after 0.7 turns" in said(found.reasons)[0]
    outer, nut = half("mini-uhf-jack").thread, half("f-plug").nut
    assert outer is not None
    assert nut is not None
    assert nut.thread is not None
    inner = nut.thread
    play = (
        (limits(inner).pitch_min + limits(inner).pitch_max - limits(outer).pitch_min - limits(outer).pitch_max)
        / 2
        * 0.57735
    )  # tan 30 degrees
    assert play / abs(inner.pitch_mm - outer.pitch_mm) == pytest.approx(0.7, abs=0.05)


@pytest.mark.outside(
    "50 and 75 ohm kinds of SMB and MCX join with a step",
    "trade notes",
    "none: every pair",
)
@pytest.mark.parametrize(
    ("a", "b"), [("smb-plug", "smb-75-jack"), ("smb-75-plug", "smb-jack"), ("mcx-plug", "mcx-75-jack")]
)
def test_50_and_75_ohm_snap_families_join_with_a_step(a: str, b: str) -> None:
    """Trade notes: outer parts mate, the inner ratio differs (fact sheet, intermateability list)."""
    found = mating(a, b)
    assert found.verdict is Verdict.LIMITS
    assert found.return_loss_db == pytest.approx(13.979, abs=0.001)


@pytest.mark.parametrize(
    ("a", "b", "why"),
    [
        ("smb-plug", "smc-jack", "encyclopaedia text: same bore, thread against snap, no lock"),
        ("smc-plug", "smb-jack", "the same the other way"),
        ("mcx-plug", "mmcx-jack", "size"),
        ("mmcx-plug", "mcx-jack", "size"),
        ("mcx-plug", "ssmb-jack", "one goes inside, the other over"),
        ("ssmb-plug", "mcx-jack", "one goes inside, the other over"),
        ("ssmb-plug", "smb-jack", "size"),
        ("smb-plug", "ssmb-jack", "size"),
        ("qma-plug", "sma-jack", "no thread in the sleeve"),
        ("sma-plug", "qma-jack", "no thread on the barrel"),
        ("qn-plug", "n-50-jack", "no thread in the sleeve"),
        ("n-50-plug", "qn-jack", "no thread on the barrel"),
        ("f-plug", "sma-jack", "thread sizes"),
        ("sma-plug", "f-jack", "thread sizes"),
        ("smb-plug", "fakra-c-jack", "trade note: the housing prevents it"),
        ("fakra-c-plug", "smb-jack", "trade note: the housing prevents it"),
        ("tnc-plug", "bnc-50-jack", "thread against lugs"),
        ("bnc-50-plug", "tnc-jack", "thread against lugs"),
        ("tnc-plug", "tnc-left-jack", "opposite hands"),
        ("n-left-plug", "n-50-jack", "opposite hands"),
        ("1.0-plug", "2.4-jack", "sizes"),
    ],
)
def test_pairs_that_do_not_join(a: str, b: str, why: str) -> None:
    assert verdict(a, b) == "does not join", why


STRANGERS_THAT_TOUCH = {
    frozenset({"n-50", "uhf"}): "one thread for both (encyclopaedia articles on either)",
    frozenset({"n-75", "uhf"}): "the same",
    frozenset({"mmcx", "smp"}): "beads and lips of nearly one size, the shrouds' from weak memory",
}
"""Families that are not kin by the tables and of which some pair does more than not join."""


def test_families_that_are_not_kin_never_join() -> None:
    """Family against family over all pairs, as a practitioner expects: whatever joins, even without contact, or does
    harm is of one kin (common practice), but for the strangers named above, of which none connects."""
    loaded = tables.load()
    keys = {
        prefix: key
        for key, family in loaded.families.items()
        for prefix in (key, *([family.reverse_key] if family.reverse_key else []))
    }

    def key(half_id: str) -> str:
        return keys[max((p for p in keys if half_id == p or half_id.startswith(f"{p}-")), key=len)]

    met: set[frozenset[str]] = set()
    for a, b in combinations_with_replacement(all_halves().values(), 2):
        found = mate(a, b, doubt=False).geometry
        one, other = key(a.id), key(b.id)
        if found is Verdict.NO_JOIN or one == other or trust.kin(loaded, one, other):
            continue
        met.add(frozenset({one, other}))
        assert frozenset({one, other}) in STRANGERS_THAT_TOUCH, (a.id, b.id, found)
        assert found not in JOINED
    assert met == set(STRANGERS_THAT_TOUCH)


@pytest.mark.outside(
    "Generations of the micro snap families do not intermate",
    "a module maker's datasheet",
    "none: every pair",
)
@pytest.mark.parametrize("a", ["micro-1", "micro-3", "micro-4"])
@pytest.mark.parametrize("b", ["micro-1", "micro-3", "micro-4"])
def test_micro_generations_keep_apart(a: str, b: str) -> None:
    """A module maker's datasheet and board documents: the generations differ by tenths and do not intermate."""
    assert (mating(f"{a}-plug", f"{b}-jack").verdict in JOINED) == (a == b)


@pytest.mark.outside(
    "One SMP plug fits three shrouds",
    "two makers' sheets",
    "none: every pair",
)
@pytest.mark.parametrize("shroud", ["smp-jack", "smp-limited-jack", "smp-smooth-jack"])
def test_one_smp_plug_fits_three_shrouds_with_three_grips(shroud: str) -> None:
    """Two makers' sheets: full detent 22 N, limited detent 9 N, smooth bore 2.2 N at least to part."""
    found = mating("smp-plug", shroud)
    assert found.verdict is Verdict.MATES
    force = {"smp-jack": "22 N", "smp-limited-jack": "9 N", "smp-smooth-jack": "2.2 N"}[shroud]
    assert force in said(found.reasons)[0]
    assert ("friction" in said(found.reasons)[0]) == (shroud == "smp-smooth-jack")


@pytest.mark.outside(
    "Keyed housings by code and the neutral code",
    "trade note; letters from memory",
    "none: every pair",
)
def test_keyed_housings() -> None:
    """Codes keep each other out and the neutral code Z goes with all (trade note; letters from memory)."""
    codes = sorted(h.key.code for h in all_halves().values() if h.key is not None and h.gender == "plug")
    assert len(codes) == 14
    for a in codes:
        for b in codes:
            joined = verdict(f"fakra-{a.lower()}-plug", f"fakra-{b.lower()}-jack") == "mates"
            assert joined == (a == b or "Z" in (a, b)), (a, b)


def test_a_keyed_housing_stops_what_it_keeps_out() -> None:
    """By hand: the header's housing stands 4.2 mm in front of its plane, the cable half 1.6 mm in front of its own."""
    for plug in ("fakra-a-plug", "smb-plug"):
        found = mating(plug, "fakra-c-jack")
        assert found.stops_at_mm == pytest.approx(5.8)
        assert found.first_touch is not None
        assert found.first_touch.b == "housing"
    assert mating("smb-jack", "fakra-c-plug").verdict is Verdict.NO_JOIN


def test_a_nut_that_slides_over_is_not_stopped_by_the_thread() -> None:
    """By hand: the 2.4 mm sleeve, 4.72 mm, meets the SMA jack's rim, 1.93 mm in front of its plane."""
    found = mating("2.4-plug", "sma-jack")
    assert found.first_touch is not None
    assert (found.first_touch.a, found.first_touch.b) == ("outer contact sleeve", "rim")
    assert found.stops_at_mm == pytest.approx(1.93)


@pytest.mark.parametrize(
    ("pins", "teeth", "notches"),
    [
        ("uhf-plug", "count = { value = 2,", "count = { value = 3, "),
        ("uhf-plug", "height = { mm = 0.4, min = 0.25, max = 0.5,", "height = { mm = 0.9, min = 0.8, max = 1,"),
    ],
)
def test_index_teeth_that_do_not_enter_the_notches(tmp_path: Path, pins: str, teeth: str, notches: str) -> None:
    """Two teeth of 0.4 mm drop into 16 half-round notches of 0.51 mm; three do not line up, 0.9 mm stand out."""
    halves = changed_copy(tmp_path, "uhf.toml", "own", teeth, notches)
    assert mate(halves[pins], halves["uhf-jack"], doubt=False).verdict is Verdict.MATES
    found = mate(halves["own-plug"], halves["uhf-jack"], doubt=False)
    assert found.verdict is Verdict.NO_JOIN
    assert found.first_touch is not None
    assert found.first_touch.a == "index tooth"


def test_the_sexless_7_mm_joins_its_like() -> None:
    """One nut run forward, the other drawn back (connector digest): two equal halves butt and connect."""
    found = mating("7-mm", "7-mm")
    assert found.verdict is Verdict.MATES
    assert found.turns_caught > 3
    for other in ("n-50-plug", "n-50-jack", "tnc-jack"):
        assert verdict("7-mm", other) == "does not join"


def test_three_lugs_do_not_take_a_sleeve_with_two_slots(tmp_path: Path) -> None:
    """Triaxial BNC parts carry three lugs (memory): a coax BNC plug does not seat on them."""
    lugs = "[jack.lugs]\ncount = { value = "
    halves = changed_copy(tmp_path, "bnc-50.toml", "bnc-3", lugs + "2,", lugs + "3,")
    found = mate(halves["bnc-50-plug"], halves["bnc-3-jack"], doubt=False)
    assert found.verdict is Verdict.NO_JOIN
    assert "2 slots" in said(found.reasons)[0]
    assert "3 lugs" in said(found.reasons)[0]


def test_a_snap_ring_that_cannot_spring_far_enough(tmp_path: Path) -> None:
    halves = changed_copy(
        tmp_path,
        "smb.toml",
        "stiff",
        "bead = { mm = 3.4, min = 3.35, max = 3.5,",
        "bead = { mm = 3.1, min = 3.05, max = 3.15,",
    )
    found = mate(halves["stiff-plug"], halves["smb-jack"], doubt=False)
    assert found.verdict is Verdict.NO_JOIN
    assert "would have to spring" in said(found.reasons)[0]


@pytest.mark.parametrize("jack", ["sma-jack", "3.5-jack", "2.92-jack"])
def test_a_pin_of_either_class_mates(jack: str) -> None:
    """The SMA pin's shoulder of the gauge room's class (IEC 61169-15 grade 0, 0 to -0.076 mm) and of commercial parts
    (0 to -0.254 mm, memory), each at both ends: the pair mates, and at most the match suffers."""
    plug = half("sma-plug")
    path = ("centre", "pin", "shoulder")
    shoulder = dict(walk(plug))[path]
    assert [make.name for make in shoulder.makes] == ["commercial"]
    for z in (shoulder.low, shoulder.high, shoulder.makes[0].min, shoulder.makes[0].max):
        assert mate(replaced(plug, path, shoulder.at(z)), half(jack), doubt=False).geometry in JOINED
