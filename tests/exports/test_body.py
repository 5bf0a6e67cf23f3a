"""Bodies behind the mating face: sound solids, sizes as the tables say, and a face that no body changes."""

from __future__ import annotations

import math

import msgspec
import numpy as np
import pytest

from coaxtell.models import body
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import mate
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.profile import profile
from coaxtell.models.regions import regions
from coaxtell.models.solids.solid import solid
from coaxtell.models.words import said
from tests.exports.kit import DISTINCT, SAMPLE, STYLES, bodied, body_parts
from tests.halves import all_halves, half

LOOSE = {
    "cable-crimp": {"crimp ferrule"},
    "clamp": {"clamp nut"},
    "bulkhead": {"lock washer", "panel nut"},
    "board-edge": {"board contact"},
    "through-hole": {"board contact"},
    "right-angle": {"tail contact", "tail insulator"},
}


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("half_id", SAMPLE)
def test_every_part_with_a_body_is_a_sound_closed_mesh(half_id: str, style: str) -> None:
    """The project's standards for solids (issue 2); all halves run in benchmarks/bodies.py."""
    found = body_parts(half_id, style)
    for part in found:
        mesh = part.mesh()
        assert mesh.is_watertight, part.name
        assert mesh.is_winding_consistent, part.name
        assert mesh.volume > 0, part.name
        assert mesh.area_faces.min() >= 1e-9, part.name
        if part.role != "lug":
            assert len(mesh.split(only_watertight=False)) == 1, part.name
    names = {part.name for part in found} - {region.name for region in regions(half(half_id))}
    assert names == LOOSE.get(style, set())


def front_faces(of: Half, behind: float) -> list[tuple[object, ...]]:
    """The faces that look at a mate in front of the body, of the fixed and of the moving part."""
    made = profile(of)
    return [tuple(f) for f in (*made.fixed, *made.moving) if min(f.z0, f.z1) > behind + 1e-9]


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("half_id", DISTINCT)
def test_the_mating_face_does_not_change(half_id: str, style: str) -> None:
    plain, with_body = half(half_id), bodied(half_id, style)
    assert with_body.back is not None
    behind = with_body.back.front
    assert behind < plain.shell.rim.nominal
    assert front_faces(plain, behind) == front_faces(with_body, behind)
    one, two = profile(plain), profile(with_body)
    for name in ("thread", "lugs", "ramps", "nut_bore", "snap", "groove", "key", "contact", "rim", "own_thread"):
        assert getattr(one, name) == getattr(two, name), name
    # the body lies behind all that a mate or the own nut reaches
    if plain.nut is not None:
        assert behind <= plain.nut.body.outside[-1].to.nominal + 1e-9


@pytest.mark.parametrize("style", STYLES)
def test_the_body_moves_no_verdict(style: str) -> None:
    """Every pair of one coupling size, with and without the body on either side."""
    pairs = [(i, j) for i in ("sma-plug", "n-50-plug", "bnc-50-plug", "smb-plug", "mcx-plug", "f-plug") for j in
             ("sma-jack", "rp-sma-jack", "n-50-jack", "bnc-50-jack", "smb-jack", "mcx-jack", "f-jack")]  # fmt: skip
    for a, b in pairs:
        plain = mate(half(a), half(b), doubt=False)
        for one, two in ((bodied(a, style), half(b)), (half(a), bodied(b, style))):
            found = mate(one, two, doubt=False)
            assert (found.verdict, found.stops_at_mm) == (plain.verdict, plain.stops_at_mm), (a, b)


def shell_points(half_id: str, style: str) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    return np.asarray(next(p for p in body_parts(half_id, style) if p.name == "shell").points)


@pytest.mark.parametrize(
    ("half_id", "width", "spacing"),
    [
        ("n-50-jack", 25.4, 18.26),  # the 1 inch N flange, from memory as the table's grade says
        ("sma-jack", 12.7, 8.64),  # the half-inch SMA flange, from memory
        ("bnc-50-jack", 17.5, 12.7),  # the UG-290 pattern, from memory
        ("uhf-jack", 25.3, 17.65),  # SO-239 as users measured it, 25.1-25.5 and 17.3-18.0 (SCAD)
    ],
)
def test_square_flange_measures_as_its_table_says(half_id: str, width: float, spacing: float) -> None:
    points = shell_points(half_id, "flange-4")
    assert np.ptp(points[:, 0]) == pytest.approx(width, abs=1e-6)
    assert np.ptp(points[:, 1]) == pytest.approx(width, abs=1e-6)
    hole = body.sizes(half(half_id)).flange_4.hole.nominal
    for x in (-spacing / 2, spacing / 2):
        for y in (-spacing / 2, spacing / 2):
            away = np.hypot(points[:, 0] - x, points[:, 1] - y)
            assert away.min() == pytest.approx(hole / 2, abs=1e-6)


def test_holes_of_flanges_are_holes() -> None:
    """Euler's formula: a tube is 0, each hole through it takes 2 away."""
    for style, holes in (("flange-2", 2), ("flange-4", 4), ("right-angle", 0)):
        shell = next(p for p in body_parts("n-50-jack", style) if p.name == "shell")
        assert shell.mesh().euler_number == -2 * holes


def test_volume_of_a_flange_is_plate_less_holes() -> None:
    """By hand: the square less the round boss it stands on and four holes, times its thickness."""
    own = body.sizes(half("n-50-jack")).flange_4
    shell = next(p for p in solid(bodied("n-50-jack", "flange-4"), "fine") if p.name == "shell")
    with_body = bodied("n-50-jack", "flange-4")
    bare = solid(msgspec.structs.replace(with_body, back=None), "fine")[0]
    boss = with_body.shell.outside[-2].d
    assert boss is not None
    thick = own.thick.nominal - 0.05
    plate = own.width.nominal**2 - math.pi * (boss.nominal / 2) ** 2 - math.pi * own.hole.nominal**2
    assert shell.volume_mm3 - bare.volume_mm3 == pytest.approx(plate * thick, rel=0.005)


def test_bulkhead_states_its_panel_hole() -> None:
    """SMA: 6.5 with a flat at 6.0, panel 2.8 at most (WUE, TAO); F: double-D 9.7 x 7.9, panel 2.4 (PE)."""
    sma, f = bodied("sma-jack", "bulkhead").back, bodied("f-jack", "bulkhead").back
    assert sma is not None
    assert f is not None
    own, double = said(sma.states), said(f.states)
    assert own[0].startswith("Panel hole 6.5 mm (6.45 to 6.55), 6 mm (5.8 to 6.05) across its one flat")
    assert "2.8 mm" in own[0]
    assert "9.7 mm" in double[0]
    assert "two flats 7.9 mm" in double[0]
    # the bushing passes the hole, and its flat passes that of the hole
    behind = shell_points("sma-jack", "bulkhead")
    behind = behind[behind[:, 2] < sma.sizes["shoulder"].nominal - 0.5]
    assert np.ptp(behind[:, 0]) == pytest.approx(6.35, abs=0.01)
    assert 5.8 < np.ptp(behind[:, 1]) < 6.0


def test_panel_nut_holds_the_bushing() -> None:
    """Nut and bushing share the line of their threads and no more: under a thousandth of the nut."""
    import manifold3d

    parts = {p.name: p for p in solid(bodied("sma-jack", "bulkhead"), "fine")}

    def solid_of(name: str) -> manifold3d.Manifold:
        part = parts[name]
        return manifold3d.Manifold(manifold3d.Mesh64(part.points, part.faces.astype(np.uint64)))

    nut = solid_of("panel nut")
    shared = (solid_of("shell") ^ nut).volume()
    assert shared < 1e-3 * nut.volume()
    # half a pitch further back it would cut into the bushing
    assert (solid_of("shell") ^ nut.translate((0, 0, -0.35))).volume() > 0.02 * nut.volume()


def test_ferrule_fits_the_cable_that_was_named() -> None:
    """195 class, 4.95 mm: ferrule 6.4 mm outside, 11.9 mm long (RAD-BNC)."""
    cable = Measure(mm=4.95, grade=Grade.MEDIUM, source=["RAD-BNC"])
    parts = {p.name: p for p in solid(body.styled(half("bnc-50-plug"), "cable-crimp", cable), "fine")}
    ferrule = parts["crimp ferrule"].points
    r = np.hypot(ferrule[:, 0], ferrule[:, 1])
    assert 2 * r.max() == pytest.approx(6.4, abs=0.5)
    assert 2 * r.min() == pytest.approx(4.95, abs=1e-6)
    assert np.ptp(ferrule[:, 2]) == pytest.approx(11.9, abs=1e-6)
    thick = body.styled(half("bnc-50-plug"), "cable-crimp", body.cable_of(10.3))
    assert np.ptp(solid(thick)[-1].points[:, 2]) > 2 * 11.9


def test_every_number_of_a_body_has_a_known_source() -> None:
    known = body.sources()

    def measures(thing: object) -> list[Measure]:
        if isinstance(thing, Measure):
            return [thing]
        fields = getattr(thing, "__struct_fields__", ())
        return [m for field in fields for m in measures(getattr(thing, field))]

    for name, group in body.load().items():
        found = measures(group)
        assert len(found) > 25, name
        for measure in found:
            assert set(measure.source) <= set(known), (name, measure)
    assert {f for group in body.load().values() for f in group.families} >= {h.family for h in all_halves().values()}


@pytest.mark.parametrize(
    ("style", "cable", "said"),
    [("glued", None, "choose one of cable-crimp"), ("clamp", 0.1, "too thin")],
)
def test_bad_bodies_are_told_in_one_sentence(style: str, cable: float | None, said: str) -> None:
    with pytest.raises(InputError, match=said):
        body.styled(half("sma-jack"), style, None if cable is None else body.cable_of(cable))
    with pytest.raises(InputError, match="has a body already"):
        body.styled(bodied("sma-jack", "clamp"), "clamp")


def test_what_the_trade_hardly_sells_is_said() -> None:
    back = bodied("micro-1-jack", "bulkhead").back
    assert back is not None
    assert "hardly sells" in said(back.states)[-1]
    usual = bodied("sma-jack", "bulkhead").back
    assert usual is not None
    assert "hardly" not in " ".join(said(usual.states))
