"""Every assumed constant of the physics, just below and just above it.

The figures stand here in full and are not read from the program: a constant that moves fails its test.
"""

from __future__ import annotations

import msgspec
import pytest

from coaxtell.models.half import Half, Thread
from coaxtell.models.mating.mate import Mating, Verdict, mate
from coaxtell.models.mating.meeting import first_collision
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.numbers import Path, replaced, walk
from coaxtell.models.profile import Annulus, Profile, profile
from coaxtell.models.tables import load
from coaxtell.models.threads import depth
from tests.halves import half


def at(one: Half | str, *numbers: tuple[Path, float]) -> Half:
    """A half with some of its numbers held at a value."""
    found = half(one) if isinstance(one, str) else one
    held = dict(walk(found))
    for path, value in numbers:
        found = replaced(found, path, held[path].at(value))
    return found


def verdict_of(a: Half | str, b: Half | str) -> Verdict:
    return found_of(a, b).verdict


def found_of(a: Half | str, b: Half | str) -> Mating:
    one, two = (half(h) if isinstance(h, str) else h for h in (a, b))
    return mate(one, two, doubt=False)


TIP: Path = ("centre", "pin", "tip")
SHOULDER: Path = ("centre", "pin", "shoulder")
SOCKET_TIP: Path = ("centre", "socket", "tip")
PIN: Path = ("centre", "pin", "d")


@pytest.mark.parametrize(("share", "verdict"), [(0.49, Verdict.NO_CONTACT), (0.51, Verdict.MATES)])
def test_a_pin_stands_half_its_diameter_deep_or_makes_no_contact(share: float, verdict: Verdict) -> None:
    """Assumed: half a diameter. SMA pin of 0.914 mm; the socket's tip lies 0.1 mm behind the plane."""
    assert verdict_of(at("sma-plug", (TIP, 0.1 + share * 0.914)), "sma-jack") is verdict


@pytest.mark.parametrize(
    ("d", "verdict"),
    [(0.879, Verdict.NO_CONTACT), (0.881, Verdict.MATES), (0.949, Verdict.MATES), (0.951, Verdict.DAMAGES)],
)
def test_a_socket_grips_what_its_table_says(d: float, verdict: Verdict) -> None:
    """SMA jack: pins of 0.88 to 0.95 mm."""
    assert verdict_of(at("sma-plug", (PIN, d)), "sma-jack") is verdict


@pytest.mark.parametrize(("early", "verdict"), [(0.009, Verdict.MATES), (0.011, Verdict.DAMAGES)])
def test_a_stop_within_a_hundredth_of_the_seat_is_the_seat(early: float, verdict: Verdict) -> None:
    """Assumed: 0.01 mm of play. The pin's shoulder meets the socket's tip so far before the outer contacts seat."""
    pair = at("sma-plug", (SHOULDER, early)), at("sma-jack", (SOCKET_TIP, 0.0))
    found = found_of(*pair)
    assert found.verdict is verdict
    assert found.stops_at_mm == pytest.approx(0.0 if verdict is Verdict.MATES else 0.011)


@pytest.mark.parametrize(("early", "verdict"), [(0.009, Verdict.MATES), (0.011, Verdict.NO_CONTACT)])
def test_a_nut_that_stops_within_a_hundredth_lets_the_halves_seat(early: float, verdict: Verdict) -> None:
    """The SMA nut's front, drawn forward until it meets the jack's hex at -4.62 mm, so far before the seat."""
    assert verdict_of(at("sma-plug", (("nut", "body", "rim"), 4.62 + early)), "sma-jack") is verdict


@pytest.mark.parametrize(("early", "verdict"), [(0.149, Verdict.MATES), (0.151, Verdict.DAMAGES)])
def test_a_bead_snaps_in_up_to_the_locks_play_short_of_its_groove(early: float, verdict: Verdict) -> None:
    """Assumed: 0.15 mm. SMB locks with the planes together; the pin's shoulder meets the socket so far before."""
    plug, jack = at("smb-plug", (SOCKET_TIP, 0.05 + early)), at("smb-jack", (SHOULDER, -0.05))
    assert half("smb-plug").snap is not None
    assert half("smb-jack").groove is not None
    found = found_of(plug, jack)
    assert found.verdict is verdict
    assert found.stops_at_mm == pytest.approx(early)


@pytest.mark.parametrize(("short", "verdict"), [(0.349, Verdict.MATES), (0.351, Verdict.NO_JOIN)])
def test_a_bayonet_locks_up_to_its_spring_short_of_its_place(short: float, verdict: Verdict) -> None:
    """Assumed: 0.35 mm. The BNC sleeve's lock lies that far from the lug's centre, 4.17 mm in front of the plane."""
    assert verdict_of(at("bnc-50-plug", (("nut", "ramps", "lock"), -4.17 - short)), "bnc-50-jack") is verdict


@pytest.mark.parametrize(("over", "verdict"), [(9.84, Verdict.NO_JOIN), (9.86, Verdict.MATES)])
def test_lugs_no_higher_than_the_sleeves_bore_hold_nothing(over: float, verdict: Verdict) -> None:
    """The BNC sleeve's bore is 9.85 mm: lugs below that pass it, however many and however thick."""
    found = found_of("bnc-50-plug", at("bnc-50-jack", (("lugs", "over"), over)))
    assert found.verdict is verdict
    if verdict is Verdict.NO_JOIN:
        assert found.reasons[0].code == "coupling.lugs_too_low"


@pytest.mark.parametrize(("stud", "fits"), [(2.309, True), (2.31, False)])
def test_a_stud_enters_a_slot_wider_than_itself(stud: float, fits: bool) -> None:
    """The BNC sleeve's slots are at least 2.31 mm wide."""
    found = found_of("bnc-50-plug", at("bnc-50-jack", (("lugs", "d"), stud)))
    assert (found.reasons[0].code != "coupling.lug_too_wide") == fits


@pytest.mark.parametrize(("ride", "verdict"), [(0.249, Verdict.MATES), (0.251, Verdict.NO_JOIN)])
def test_a_snap_ring_springs_as_far_as_its_table_says(ride: float, verdict: Verdict) -> None:
    """SMB: 0.25 mm a side; the bead made so much narrower than the lip of 3.67 mm."""
    assert verdict_of(at("smb-plug", (("snap", "bead"), 3.67 - 2 * ride)), "smb-jack") is verdict


def drawn(inside: bool, major: float, pitch: float) -> Thread:
    """A thread of exactly these sizes, without allowance or tolerance."""

    def exact(mm: float) -> Measure:
        return Measure(grade=Grade.HIGH, source=["x"], mm=mm)

    return Thread(
        size="test", major=exact(major), pitch=exact(pitch), tolerance="drawn-inside" if inside else "drawn-outside"
    )


def cut(nut: Thread, screw: Thread) -> Mating:
    """The SMA pair with other threads."""
    plug, jack = half("sma-plug"), half("sma-jack")
    assert plug.nut is not None
    plug = msgspec.structs.replace(plug, nut=msgspec.structs.replace(plug.nut, thread=nut))
    return mate(plug, msgspec.structs.replace(jack, thread=screw), doubt=False)


def threaded(nut_major: float, nut_pitch: float, major: float, pitch: float) -> Mating:
    return cut(drawn(True, nut_major, nut_pitch), drawn(False, major, pitch))


@pytest.mark.parametrize(("share", "holds"), [(0.333, False), (0.334, True)])
def test_flanks_hold_from_a_third_of_the_full_depth(share: float, holds: bool) -> None:
    """Assumed: one third. A thread so much smaller than the nut that this share of 5/8 H is left a side."""
    full = 0.625 * 3**0.5 / 2 * 0.7
    assert depth(0.7) == pytest.approx(full)
    found = threaded(6.4, 0.7, 6.4 - 2 * (1 - share) * full, 0.7)
    assert (found.reasons[0].code != "coupling.slides_over") == holds
    assert (found.verdict is Verdict.MATES) == holds


@pytest.mark.parametrize(("apart", "fits"), [(0.00009, True), (0.00011, False)])
def test_pitches_agree_within_a_ten_thousandth(apart: float, fits: bool) -> None:
    """0.1 um a turn: far below what a class 2 thread allows itself."""
    found = threaded(6.4, 0.7, 6.35, 0.7 + apart)
    assert (found.reasons[0].code != "coupling.pitches_differ") == fits


@pytest.mark.parametrize(("major", "code"), [(25.677, "thread_fits"), (25.679, "thread_too_thick")])
def test_a_thread_thicker_than_the_nuts_widest_does_not_enter(major: float, code: str) -> None:
    """1-8 UN by hand: the nut's pitch diameter at most 0.2259 mm over basic, the thread's 0.0522 mm under its own."""
    eight = Measure(grade=Grade.HIGH, source=["x"], value=8, unit="per inch")
    inch, over = (Measure(grade=Grade.HIGH, source=["x"], mm=d) for d in (25.4, major))
    nut = Thread(size="test", major=inch, tpi=eight, tolerance="2B")
    screw = Thread(size="test", major=over, tpi=eight, tolerance="2A")
    assert cut(nut, screw).reasons[0].code == f"coupling.{code}"


def faced(one: Profile, z0: float, z1: float) -> Profile:
    """A profile with one face, from a radius of 1 to one of 2 mm."""
    return msgspec.structs.replace(one, fixed=(Annulus("cone", "outer", 1.0, 2.0, z0, z1),), teeth=None, notches=None)


@pytest.mark.parametrize(
    ("one", "two", "distance"),
    [((0.0, 1.0), (0.0, 0.0), 1.0), ((1.0, 0.0), (0.0, 0.5), 1.0), ((0.0, 1.0), (0.0, 0.5), 1.5)],
)
def test_cones_meet_at_their_foremost_place(
    one: tuple[float, float], two: tuple[float, float], distance: float
) -> None:
    """By hand: two straight lines over the same radii come nearest at one of their ends."""
    base = profile(half("sma-plug"))
    for a, b in ((one, two), (two, one)):
        found = first_collision(faced(base, *a), faced(base, *b), 0.01)
        assert found is not None
        assert found.distance == pytest.approx(distance)


def rated(one: str, path: Path, unit: str, low: float, value: float, high: float, grade: Grade = Grade.HIGH) -> Half:
    measure = Measure(grade=grade, source=["x"], value=value, unit=unit, min=low, max=high)
    moved: Half = replaced(half(one), path, measure)
    return moved


@pytest.mark.parametrize(("high", "told"), [(0.89, True), (0.91, False)])
def test_torques_differ_where_their_ranges_do(high: float, told: bool) -> None:
    """One half tightened with at most `high`, the other with 0.9 to 1.1 N m: ranges that overlap agree somewhere."""
    gentle = rated("sma-plug", ("torque_nm",), "N m", 0.5, 0.6, high)
    firm = rated("sma-jack", ("torque_nm",), "N m", 0.9, 1.0, 1.1)
    found = mate(gentle, firm, doubt=False)
    assert any(reason.code == "loss.torque" for reason in found.reasons) == told
    assert (found.verdict is Verdict.LIMITS) == told


@pytest.mark.parametrize(("gap", "verdict"), [(0.001, Verdict.NO_CONTACT), (-0.001, Verdict.MATES)])
def test_flat_contacts_touch_or_do_not(gap: float, verdict: Verdict) -> None:
    """7 mm: the flat springs reach as far in front of the plane as they are told."""
    own = half("7-mm")
    assert own.centre.butt is not None
    face: Path = ("centre", "butt", "face")
    assert verdict_of(at("7-mm", (face, -gap / 2)), at("7-mm", (face, -gap / 2))) is verdict


@pytest.mark.parametrize("jack", ["rp-tnc-jack", "rp-n-jack", "rp-bnc-jack"])
def test_the_reverse_pin_ends_within_half_a_millimetre_of_its_rim(jack: str) -> None:
    """Assumed, since no public standard was found; of SMA, where parts were measured, see test_reverse."""
    pin, rim = load().halves[jack].centre.pin, half(jack).shell.rim.nominal
    assert pin is not None
    assert [pin.tip.low - rim, pin.tip.high - rim] == pytest.approx([-0.5, 0.5])


@pytest.mark.parametrize(("widest", "verdict"), [(4.597, Verdict.MATES), (4.599, Verdict.NO_CONTACT)])
def test_a_bore_counts_at_its_tightest(widest: float, verdict: Verdict) -> None:
    """The SMA spigot of at most 4.593 mm enters a bore whose least is 4.597 mm, with 2 um a side; were that least
    smaller than the spigot, the spigot would stand on the rim, with the pin short of the socket."""
    spigot: Path = ("shell", "outside", 0, "d")
    held = dict(walk(half("sma-plug")))[spigot]
    thick: Half = replaced(half("sma-plug"), spigot, Measure(grade=Grade.HIGH, source=held.source, mm=4.58, max=widest))
    assert verdict_of(thick, "sma-jack") is verdict
