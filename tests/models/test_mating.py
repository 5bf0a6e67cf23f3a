"""Matings: the trade's rules and the standards' statements must come out of the geometry."""

import ast
import re
from importlib import resources
from itertools import combinations_with_replacement, product
from pathlib import Path

import pytest

from coaxtell.models import tables
from coaxtell.models.mating.mate import JOINED, Verdict, mate
from coaxtell.models.words import said
from tests.halves import all_halves, changed_copy, half, mating, verdict

EVERYDAY = [h for h in all_halves() if re.fullmatch(r"(rp-)?(sma|tnc|n|bnc)(-50|-75)?-(plug|jack)", h)]


@pytest.mark.outside(
    "Halves mate exactly if family and polarity agree and gender is opposite",
    "common practice of the trade, no source",
    "none: every pair of ten families",
)
@pytest.mark.parametrize(("a", "b"), list(combinations_with_replacement(EVERYDAY, 2)))
def test_three_rules(a: str, b: str) -> None:
    """Two halves join and connect exactly if family and polarity are the same and gender opposite.

    Common practice of the trade, no source. N 50 and 75 ohm are two families by this rule (their pins differ);
    BNC 50 and 75 are one.
    """
    one, two = half(a), half(b)

    def kin(h: str) -> str:
        return h.removeprefix("rp-").rsplit("-", 1)[0].replace("bnc-75", "bnc-50").replace("bnc-50", "bnc")

    same_family = kin(a).removesuffix("-50") == kin(b).removesuffix("-50")
    expected = same_family and one.polarity == two.polarity and one.gender != two.gender
    assert (mate(one, two, doubt=False).verdict in JOINED) == expected


@pytest.mark.outside(
    "SMA, 3.5 and 2.92 mm intermate",
    "IEC 61169-15:2021 and IEC 61169-35:2011",
    "none: every pair",
)
@pytest.mark.parametrize(
    ("plug", "jack"), list(product(("sma-plug", "3.5-plug", "2.92-plug"), ("sma-jack", "3.5-jack", "2.92-jack")))
)
def test_sma_35_and_292_intermate(plug: str, jack: str) -> None:
    """IEC 61169-15:2021 and IEC 61169-35:2011 state that SMA, 3.5 mm and 2.92 mm intermate."""
    found = mating(plug, jack)
    assert found.verdict in JOINED
    assert said(found.depends_on) == []
    if plug.removesuffix("plug") != jack.removesuffix("jack"):
        assert found.verdict is Verdict.LIMITS
        assert any("GHz" in reason for reason in said(found.reasons))


def test_thick_n_pin_breaks_the_thin_socket() -> None:
    """Radio World note on N connectors: a 50 ohm plug spoils a 75 ohm jack, the other way does not touch."""
    found = mating("n-50-plug", "n-75-jack")
    assert found.verdict is Verdict.DAMAGES
    assert found.first_touch is not None
    assert (found.first_touch.a, found.first_touch.b) == ("pin", "socket")
    assert found.turns_caught > 2
    assert verdict("n-75-plug", "n-50-jack") == "joins, no contact"


@pytest.mark.parametrize(("a", "b"), [("n-50-plug", "uhf-jack"), ("uhf-plug", "n-50-jack"), ("uhf-plug", "n-75-jack")])
def test_n_and_uhf_share_a_thread_and_do_not_mate(a: str, b: str) -> None:
    """Both carry 5/8-24 UNEF (encyclopaedia articles on either); pins of 1.6 and 4.0 mm; derived."""
    found = mating(a, b)
    assert said(found.reasons)[0].startswith("The thread fits: 5/8-24")
    assert found.verdict not in JOINED


def test_an_insulator_is_harmed_only_where_the_coupling_has_caught(tmp_path: Path) -> None:
    """By hand: the N plug's sleeve meets the UHF insulator 0.89 mm behind the rim, where the nut's front, at +1.0 mm,
    stands 0.90 mm short of the thread at -2.79; with a thread that starts at the rim it catches and drives."""
    found = mating("n-50-plug", "uhf-jack")
    assert found.verdict is Verdict.NO_JOIN
    assert found.turns_caught == 0
    assert found.stops_at_mm == pytest.approx(-0.89)
    assert "Before the coupling can catch" in said(found.reasons)[1]
    halves = changed_copy(
        tmp_path, "uhf.toml", "own", 'd = { mm = 14.15, grade = "medium", source = ["CAD-UHF"] }, to = { mm = -2.79,',
        'd = { mm = 14.15, grade = "medium", source = ["CAD-UHF"] }, to = { mm = -0.1,',
    )  # fmt: skip
    found = mate(halves["n-50-plug"], halves["own-jack"], doubt=False)
    assert found.turns_caught > 0
    assert found.verdict is Verdict.DAMAGES


@pytest.mark.parametrize(("a", "b"), [("bnc-50-plug", "bnc-75-jack"), ("bnc-75-plug", "bnc-50-jack")])
def test_bnc_50_and_75_mate_with_limits(a: str, b: str) -> None:
    """Return loss of 50 against 75 ohm by hand: -20 log10(25/125) = 13.98 dB (facts: about 14 dB)."""
    found = mating(a, b)
    assert found.verdict is Verdict.LIMITS
    assert found.return_loss_db == pytest.approx(13.979, abs=0.001)


@pytest.mark.outside(
    "Reverse polarity: pin on pin harms, socket to socket stays open",
    "makers' statement that contacts swap",
    "none: every pair",
)
def test_reverse_polarity_traps() -> None:
    """Pin on pin damages, socket to socket joins open: derived from the makers' statement that contacts swap."""
    found = mating("sma-plug", "rp-sma-jack")
    assert found.verdict is Verdict.DAMAGES
    # by hand: pin tip +2.3 and reverse pin at the rim +2.35 meet with 4.65 mm to go, and the nut's thread (front
    # +2.0) would reach the jack's thread (front +1.15) only at 3.15 mm
    assert found.stops_at_mm == pytest.approx(4.65)
    assert found.turns_caught == 0
    assert verdict("rp-sma-plug", "sma-jack") == "joins, no contact"
    assert verdict("tnc-plug", "rp-tnc-jack") == "damages"
    assert verdict("rp-n-plug", "n-50-jack") == "joins, no contact"
    assert verdict("bnc-50-plug", "rp-bnc-jack") == "damages"


# Mated checks as the project's fact sheet works them out by hand from the same numbers (mating-critical.md): that we
# compute what a person computes, and no check of the numbers.
@pytest.mark.parametrize(
    ("plug", "jack", "overlap", "turns"),
    [
        ("sma-plug", "sma-jack", (1.1, 2.5), (4.0, 4.6)),
        ("n-50-plug", "n-50-jack", (4.2, 6.2), (5.9, 6.3)),
        ("tnc-plug", "tnc-jack", (4.78, 5.3), (6.2, 6.6)),
        ("bnc-50-plug", "bnc-50-jack", (4.0, 4.9), (0.25, 0.25)),
        ("uhf-plug", "uhf-jack", (9.0, 11.6), (5.7, 6.1)),
        ("f-plug", "f-jack", (4.0, 6.0), (4.4, 6.7)),
        ("7-16-plug", "7-16-jack", (6.0, 8.0), (3.5, 5.0)),
        ("3.5-plug", "3.5-jack", (1.9, 2.2), (4.4, 4.6)),
        ("2.92-plug", "2.92-jack", (1.4, 1.6), (4.4, 4.6)),
    ],
)
def test_mated_checks(plug: str, jack: str, overlap: tuple[float, float], turns: tuple[float, float]) -> None:
    found = mating(plug, jack)
    assert found.verdict is Verdict.MATES
    assert overlap[0] <= found.overlap_mm <= overlap[1]
    assert turns[0] <= found.turns_caught <= turns[1]
    assert found.stops_at_mm == 0
    assert found.gap_mm == 0


def test_the_order_of_the_two_halves_does_not_matter() -> None:
    halves = list(all_halves().values())
    for a, b in combinations_with_replacement(halves, 2):
        one, two = mate(a, b, doubt=False), mate(b, a, doubt=False)
        assert one.verdict is two.verdict
        assert one.stops_at_mm == two.stops_at_mm
        assert one.turns_caught == two.turns_caught
        if one.first_touch is not None and one.first_touch.distance_mm != 0:
            assert two.first_touch is not None
            assert one.first_touch.distance_mm == two.first_touch.distance_mm


def test_mating_knows_no_names() -> None:
    """Same numbers under other names give the same verdict: mating.py reads no id, family, gender or polarity."""
    import msgspec

    hidden = {"family": "?", "gender": "plug", "polarity": "standard", "name": "?", "trade_names": []}
    nameless = [msgspec.structs.replace(h, id=f"half-{i}", **hidden) for i, h in enumerate(all_halves().values())]
    for (a, na), (b, nb) in combinations_with_replacement(list(zip(all_halves().values(), nameless, strict=True)), 2):
        assert mate(a, b, doubt=False).geometry is mate(na, nb, doubt=False).geometry


READ_NO_NAMES = ("contacts", "coupling", "meeting", "outcome")
"""The modules that decide a verdict."""


@pytest.mark.parametrize("module", READ_NO_NAMES)
def test_what_decides_a_verdict_reads_no_names(module: str) -> None:
    """No attribute with which a half could be told by name, and no half at all: profiles only."""
    tree = ast.parse((resources.files("coaxtell.models") / "mating" / f"{module}.py").read_text(encoding="utf-8"))
    read = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    assert read.isdisjoint({"id", "family", "polarity", "gender", "trade_names", "wording"})
    taken = {alias.name for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) for alias in node.names}
    assert "Half" not in taken


def test_a_thinner_pin_loses_contact(tmp_path: Path) -> None:
    """Pin 1.64 to 0.91: the N 50 plug no longer touches its jack, and the text quotes the new millimetres."""
    halves = changed_copy(
        tmp_path,
        "n-50.toml",
        "copy",
        "d = { mm = 1.64, min = 1.600, max = 1.676,",
        "d = { mm = 0.91, min = 0.9, max = 0.92,",
    )
    assert mate(halves["n-50-plug"], halves["n-50-jack"], doubt=False).verdict is Verdict.MATES
    found = mate(halves["copy-plug"], halves["n-50-jack"], doubt=False)
    assert found.verdict is Verdict.NO_CONTACT
    assert any("0.91 mm" in reason for reason in said(found.reasons))
    assert mate(halves["copy-plug"], halves["n-75-jack"], doubt=False).verdict is Verdict.LIMITS


def test_another_pitch_binds(tmp_path: Path) -> None:
    """24 to 28 per inch on 5/8 in: by hand, play 0.0905 mm over 0.1512 mm a turn binds after 0.6 turns."""
    halves = changed_copy(tmp_path, "n-50.toml", "copy", "tpi = { value = 24,", "tpi = { value = 28,")
    found = mate(halves["n-50-plug"], halves["copy-jack"], doubt=False)
    assert found.verdict is Verdict.NO_JOIN
    assert "1.058 mm" in said(found.reasons)[0]
    assert "0.907 mm" in said(found.reasons)[0]
    assert "binds after" in said(found.reasons)[0]
    assert mate(halves["copy-plug"], halves["copy-jack"], doubt=False).verdict is Verdict.MATES


def test_a_longer_pin_bottoms(tmp_path: Path) -> None:
    """Pin tip 3 mm longer: tip +5.3 meets the hole bottom -3.2 with 2.1 mm still to go."""
    halves = changed_copy(
        tmp_path,
        "sma.toml",
        "copy",
        "tip = { mm = 2.3, min = 1.27, max = 2.54,",
        "tip = { mm = 5.3, min = 5.2, max = 5.4,",
    )
    found = mate(halves["copy-plug"], halves["sma-jack"], doubt=False)
    assert found.verdict is Verdict.DAMAGES
    assert found.stops_at_mm == pytest.approx(2.1)
    assert any("2.10 mm" in reason for reason in said(found.reasons))
    assert found.first_touch is not None
    assert found.first_touch.b == "bottom of the socket hole"


def test_the_other_hand_does_not_join(tmp_path: Path) -> None:
    halves = changed_copy(tmp_path, "tnc.toml", "copy", 'inside = "2B"', 'inside = "2B"\nhand = "left"')
    found = mate(halves["copy-plug"], halves["tnc-jack"], doubt=False)
    assert found.verdict is Verdict.NO_JOIN
    assert "opposite hands" in said(found.reasons)[0]
    assert mate(halves["copy-plug"], halves["copy-jack"], doubt=False).verdict is Verdict.MATES


def test_reasons_quote_millimetres() -> None:
    """Every verdict that is decided on the way along the axis quotes a distance."""
    for a, b in combinations_with_replacement(list(all_halves().values()), 2):
        found = mate(a, b, doubt=False)
        assert said(found.reasons)
        assert all(reason.endswith(".") for reason in said(found.reasons))
        if found.geometry is not Verdict.NO_JOIN:
            assert any(" mm" in reason for reason in said(found.reasons)[1:])
        assert found.cautions


def test_user_tables_join_in(tmp_path: Path) -> None:
    halves = changed_copy(tmp_path, "f.toml", "my-f", 'family = "F"', 'family = "My F"')
    assert mate(halves["my-f-plug"], halves["f-jack"], doubt=False).verdict is Verdict.MATES
    assert set(tables.load().halves) < set(halves)
