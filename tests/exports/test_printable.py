"""Printed pairs, judged by the same mating code: they join with room between surfaces and bind without.

Clearance 0.3 mm and line growth 0.2 mm at the printed size are the figures of the issue; the geometry is checked a
second time on the solids themselves.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from coaxtell.cli.main import main
from coaxtell.models import body
from coaxtell.models.cut_threads import meshing_turn
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict, mate
from coaxtell.models.solids import print_layout
from coaxtell.models.solids.printable import printable
from coaxtell.models.solids.solid import solid
from coaxtell.models.threads import depth, limits
from coaxtell.models.words import said
from tests.exports.kit import DISTINCT
from tests.halves import all_halves, half

PAIRS = [(h, h.replace("-plug", "-jack")) for h in DISTINCT if h.endswith("-plug")] + [("7-mm", "7-mm")]
THREADED = [(a, b) for a, b in PAIRS if half(a).coupling_thread is not None]


@cache
def printed(half_id: str, clearance: float, growth: float) -> Half:
    return printable(half(half_id), 10.0, clearance, growth).half


def verdict(a: str, b: str, clearance: float, growth: float) -> Verdict:
    return mate(printed(a, clearance, growth), printed(b, clearance, growth), doubt=False).verdict


@pytest.mark.parametrize(("a", "b"), PAIRS)
def test_a_printed_pair_mates_at_the_stated_clearance(a: str, b: str) -> None:
    assert verdict(a, b, 0.3, 0.0) is Verdict.MATES
    assert verdict(a, b, 0.3, 0.2) is Verdict.MATES


@pytest.mark.parametrize(("a", "b"), THREADED)
def test_a_threaded_pair_binds_without_clearance_on_lines_that_grow(a: str, b: str) -> None:
    assert verdict(a, b, 0.0, 0.2) in (Verdict.NO_JOIN, Verdict.DAMAGES)
    found = mate(printed(a, 0.0, 0.2), printed(b, 0.0, 0.2), doubt=False)
    assert "cannot start" in said(found.reasons)[0]


def test_what_does_not_mate_in_metal_does_not_mate_in_plastic() -> None:
    """The lessons of the training room: reverse polarity, other families, other hand."""
    for a, b, wanted in (
        ("sma-plug", "rp-sma-jack", Verdict.DAMAGES),
        ("rp-sma-plug", "sma-jack", Verdict.NO_CONTACT),
        ("n-50-plug", "n-75-jack", Verdict.DAMAGES),
        ("bnc-50-plug", "tnc-jack", Verdict.NO_JOIN),
        ("tnc-plug", "tnc-left-jack", Verdict.NO_JOIN),
    ):
        assert mate(half(a), half(b), doubt=False).verdict is wanted, (a, b)
        assert verdict(a, b, 0.3, 0.0) is wanted, (a, b)


def meshed(a: str, b: str, clearance: float, growth: float) -> float:
    """Volume shared by the printed nut and the printed jack with the nut turned to fit, in nut volumes."""
    import manifold3d

    plug, jack = printed(a, clearance, growth), printed(b, clearance, growth)
    nut = next(p for p in solid(plug, "fine") if p.role == "nut")
    shell = next(p for p in solid(jack, "fine") if p.role == "outer")
    # the mate faces it turned about the vertical axis: half a turn more than in the drawing
    turn = math.degrees(meshing_turn(plug, jack, 0.0)) + 180
    facing = shell.points * np.array([-1.0, 1.0, -1.0])
    one = manifold3d.Manifold(manifold3d.Mesh64(nut.points, nut.faces.astype(np.uint64))).rotate((0, 0, turn))
    two = manifold3d.Manifold(manifold3d.Mesh64(facing, shell.faces.astype(np.uint64)))
    return float((one ^ two).volume() / one.volume())


@pytest.mark.parametrize(("a", "b"), [("sma-plug", "sma-jack"), ("n-50-plug", "n-50-jack"), ("f-plug", "f-jack")])
def test_the_solids_say_the_same(a: str, b: str) -> None:
    """With clearance nut and jack share nothing, even on grown lines; without it grown lines cut into each other."""
    assert meshed(a, b, 0.3, 0.0) == 0.0
    assert meshed(a, b, 0.3, 0.2) == 0.0
    assert meshed(a, b, 0.0, 0.2) > 1e-3


def test_clearance_is_the_gap_square_to_the_flank() -> None:
    """A flank at sixty degrees to the axis: its radial gap is the square one over sin 30 (ISO 68-1)."""
    plug, jack = printed("sma-plug", 0.3, 0.0), printed("sma-jack", 0.3, 0.0)
    assert plug.nut is not None
    assert plug.nut.thread is not None
    assert jack.thread is not None
    radial = (limits(plug.nut.thread).pitch_min - limits(jack.thread).pitch_max) / 2
    assert radial * math.sin(math.radians(30)) * 10 == pytest.approx(0.3)
    # the crests still hold over half of the thread's depth
    overlap = (limits(jack.thread).major_min - limits(plug.nut.thread).minor_max) / 2
    assert overlap > 0.5 * depth(jack.thread.pitch_mm)
    # a round surface: bore of the jack and spigot of the plug each give half of it
    spigot, bore = plug.shell.outside[0].d, jack.shell.inside[0].d
    assert spigot is not None
    assert bore is not None
    assert ((bore.nominal - spigot.nominal) - (4.62 - 4.58)) / 2 * 10 == pytest.approx(0.3)


def test_index_teeth_keep_the_clearance_from_their_notches_too() -> None:
    """UHF: teeth 0.85 mm wide in half-round notches of 0.51 mm radius; either flank gains the clearance."""
    plug, jack = printed("uhf-plug", 0.3, 0.0), printed("uhf-jack", 0.3, 0.0)
    assert plug.teeth is not None
    assert jack.notches is not None
    room = jack.notches.r.nominal - plug.teeth.width.nominal / 2
    assert (room - (0.51 - 0.85 / 2)) * 10 == pytest.approx(0.3)


def test_too_small_a_scale_is_refused_with_the_scale_that_works() -> None:
    with pytest.raises(InputError, match=r"print at scale 3\.1 or larger"):
        printable(half("sma-jack"), 2.0)
    assert printable(half("sma-jack"), 3.2)
    assert printable(half("n-50-jack"), 3.2)


def test_thin_walls_are_thickened_or_told() -> None:
    """SSMB jack: 0.1 mm of wall under its groove is 1.0 mm at scale 10 and 0.4 mm at scale 4."""
    assert not [n for n in said(printable(half("sma-jack"), 10.0).notes) if "thin" in n]
    assert [n for n in said(printable(half("ssmb-jack"), 4.0).notes) if "thinnest wall" in n]
    made = printable(half("sma-plug"), 3.2)
    assert [n for n in said(made.notes) if "line bore is narrowed" in n]
    assert not [n for n in said(made.notes) if "thinnest wall" in n]
    narrowed, plain = made.half.shell.inside[-1].d, half("sma-plug").shell.inside[-1].d
    assert narrowed is not None
    assert plain is not None
    assert narrowed.nominal < plain.nominal
    # the wall of the spigot, 4.58 outside, prints two lines thick, and the pair still joins
    spigot = made.half.shell.outside[0].d
    assert spigot is not None
    assert (spigot.nominal - narrowed.nominal) / 2 * 3.2 == pytest.approx(0.8)
    assert mate(made.half, printable(half("sma-jack"), 3.2).half, doubt=False).verdict is Verdict.MATES


@pytest.mark.parametrize("half_id", ["sma-plug", "sma-jack", "bnc-50-jack", "bnc-50-plug", "smb-plug", "f-plug"])
def test_parts_lie_flat_on_the_plate_without_touching(half_id: str) -> None:
    of = printable(half(half_id), 10.0).half
    laid = print_layout.plate([of], 10.0, "display").parts
    boxes = []
    for name, part in laid:
        mesh = part.mesh()
        assert mesh.is_watertight, name
        assert mesh.volume > 0, name
        assert part.points[:, 2].min() == pytest.approx(0, abs=1e-9), name
        # it stands on a flat side: faces that look straight down, on the plate
        down = (mesh.face_normals[:, 2] < -0.999) & (mesh.triangles[:, :, 2].max(axis=1) < 1e-2)
        assert mesh.area_faces[down].sum() > 5.0, name
        boxes.append((part.points[:, :2].min(axis=0), part.points[:, :2].max(axis=0)))
    for i, (low, high) in enumerate(boxes):
        for other_low, other_high in boxes[:i]:
            assert (low >= other_high + 1).any() or (high <= other_low - 1).any()
    # nothing was lost by splitting, joining and turning
    whole = sum(p.volume_mm3 for p in solid(of, "display")) * 1000
    assert sum(p.part.volume_mm3 for p in laid) == pytest.approx(whole, rel=2e-3)


@pytest.mark.parametrize("half_id", [h for h in DISTINCT if half(h).nut is not None])
def test_the_nut_can_be_put_on(half_id: str) -> None:
    """Where the shell is wider than the nut's back wall on both sides, both are cut so that each piece passes."""
    of = printed(half_id, 0.3, 0.0)
    assert of.nut is not None
    where = print_layout.splits(of)
    pieces = print_layout.bodies(of, "display")
    nut = [p for p in pieces if p.role == "nut"]
    shell = [p for p in pieces if p.name.startswith("shell")]
    rear = nut[-1].points
    hole = np.hypot(rear[:, 0], rear[:, 1]).min()
    if where.shell is None:
        front = shell[0].points
        ahead = front[front[:, 2] > rear[:, 2].min()]
        assert np.hypot(ahead[:, 0], ahead[:, 1]).max() < hole
        return
    assert len(shell) == 2
    # the front piece passes the nut's rear piece from its cut: nothing behind the ring is wider than the hole
    neck = shell[0].points
    at_cut = neck[np.abs(neck[:, 2] - where.shell) < 1e-6]
    assert np.hypot(at_cut[:, 0], at_cut[:, 1]).max() < hole
    assert len(nut) == (1 if where.nut is None else 2)


def test_a_printed_bulkhead_nut_has_room_on_its_bushing() -> None:
    import manifold3d

    of = printable(body.styled(half("sma-jack"), "bulkhead"), 10.0).half
    parts = {p.name: p for p in solid(of, "display")}
    found = [
        manifold3d.Manifold(manifold3d.Mesh64(parts[n].points, parts[n].faces.astype(np.uint64)))
        for n in ("panel nut", "shell")
    ]
    assert (found[0] ^ found[1]).volume() == 0.0
    assert found[0].min_gap(found[1], 0.2) == pytest.approx(0.03, abs=0.004)


def test_the_command_says_whether_the_printed_pair_mates(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["export", "sma-plug", "sma-jack", "-o", "a.stl", "--printable"]) == 0
    said = capsys.readouterr().out
    assert "As printed: mates." in said
    assert "0.2 mm nearer: mates." in said
    assert main(["export", "sma-plug", "sma-jack", "-o", "a.stl", "--printable", "--clearance", "0"]) == 0
    assert "0.2 mm nearer: does not join." in capsys.readouterr().out
    assert main(["export", "sma-plug", "rp-sma-jack", "-o", "a.stl", "--printable"]) == 0
    assert "As printed: damages." in capsys.readouterr().out


def test_all_families_are_judged() -> None:
    assert len(PAIRS) >= 33
    assert {half(a).family for a, _ in PAIRS} >= {h.family for h in all_halves().values() if not h.key} - {
        "SMP limited detent", "SMP smooth bore"
    }  # fmt: skip
