"""Halves opened, taken apart and together: what is cut out is as large as its angle, what moves stays as it is."""

import math

import numpy as np
import pytest

from coaxtell.models import apart, tables
from coaxtell.models.solids.display import TO_THE_SIDE, TOWARDS_EYE, Display
from coaxtell.models.solids.lathe import volume
from coaxtell.models.solids.solid import solid

HALVES = tables.load().halves


def volumes(shown: Display) -> dict[str, float]:
    """Volume of each part [mm3]: its pieces together close it."""
    found: dict[str, float] = {}
    for piece in shown.pieces():
        name = str(piece.key[3])
        found[name] = found.get(name, 0.0) + volume(piece.placed.points, piece.placed.faces)
    return found


@pytest.mark.parametrize("opened", [30, 90, 120, 180])
def test_a_wedge_takes_its_share_of_a_turned_part(opened: int) -> None:
    # Pappus: a body of revolution loses the share of the whole turn that is cut out
    whole, cut = volumes(Display(HALVES["sma-plug"])), volumes(Display(HALVES["sma-plug"], opened))
    for name in ("insulator", "pin"):
        assert cut[name] == pytest.approx(whole[name] * (1 - opened / 360), rel=0.005)


@pytest.mark.parametrize("opened", [60, 180])
def test_nothing_is_left_within_the_opening(opened: int) -> None:
    for piece in Display(HALVES["n-50-jack"], opened).pieces():
        middles = piece.placed.points[piece.placed.faces].mean(axis=1)
        away = np.degrees(np.arctan2(middles[:, 1], middles[:, 0])) - TOWARDS_EYE
        off = np.abs((away + 180) % 360 - 180)
        wide = np.hypot(middles[:, 0], middles[:, 1]) > 0.05
        assert (off[wide] > opened / 2 - 0.5).all()


def test_the_mate_faces_the_half_at_its_distance_and_opens_to_the_same_side() -> None:
    one, two = HALVES["sma-plug"], HALVES["sma-jack"]
    shown = Display(one, 90, mate=two, distance=4.0)
    own = max(part.points[:, 2].max() for part in solid(two))
    flipped = [piece for piece in shown.pieces() if piece.flipped]
    assert min(piece.points()[:, 2].min() for piece in flipped) == pytest.approx(4.0 - own, abs=1e-9)
    for piece in shown.pieces():
        middles = piece.points()[piece.placed.faces].mean(axis=1)
        away = np.degrees(np.arctan2(middles[:, 1], middles[:, 0])) - TO_THE_SIDE
        wide = np.hypot(middles[:, 0], middles[:, 1]) > 0.05
        assert (np.abs((away[wide] + 180) % 360 - 180) > 44.0).all()


def test_sliding_moves_meshes_and_makes_none_anew() -> None:
    one, two = HALVES["sma-plug"], HALVES["sma-jack"]
    here, there = (Display(one, 90, mate=two, distance=d).pieces() for d in (5.0, 3.0))
    for a, b in zip(here, there, strict=True):
        assert a.placed.points is b.placed.points
        assert a.shift - b.shift == pytest.approx(2.0 if a.flipped else 0.0)


def test_a_harmed_pin_is_bent_at_its_end_only_and_keeps_its_root() -> None:
    one, two = HALVES["sma-plug"], HALVES["rp-sma-jack"]
    straight, bent = (
        next(p for p in Display(one, mate=two, distance=4.0, hurt=hurt).pieces() if p.key[3] == "pin" and not p.flipped)
        for hurt in (("", ""), ("pin", ""))
    )
    assert straight.placed.shine != bent.placed.shine
    moved = np.abs(straight.placed.points - bent.placed.points).max(axis=1)
    z = straight.placed.points[:, 2]
    assert moved[z < z.max() - 3.0].max() < 1e-9
    assert moved[z > z.max() - 0.2].min() > 0.1


@pytest.mark.parametrize("share", [0.5, 1.0])
def test_taken_apart_each_part_lies_where_its_shift_says(share: float) -> None:
    half = HALVES["tnc-plug"]
    moved = apart.shifts(half)
    for piece in Display(half, apart=share).pieces():
        assert piece.shift == pytest.approx(share * moved[str(piece.key[3])])
    assert math.isclose(moved["shell"], 0.0)
