"""Files that others must be able to open: glTF by its standard's rules and its validator, STL, 3MF read strictly."""

from __future__ import annotations

import json
import os
import struct
import subprocess
from pathlib import Path

import numpy as np
import pytest

from coaxtell.cli.main import main
from coaxtell.models.solids import export
from coaxtell.models.solids.normals import shaded
from tests.conftest import node_path
from tests.exports.kit import DISTINCT, SAMPLE, STYLES, bodied, checked, chunks
from tests.halves import half

VALIDATE = """
const validator = require('gltf-validator');
const { readFileSync } = require('fs');
(async () => {
const found = [];
for (const file of process.argv.slice(2)) {
    const report = await validator.validateBytes(new Uint8Array(readFileSync(file)));
    found.push([file, report.issues.numErrors, report.issues.numWarnings, report.issues.messages.slice(0, 3)]);
}
console.log(JSON.stringify(found));
})();
"""


@pytest.mark.outside(
    "GLB files",
    "Khronos glTF 2.0",
    "none: its rules",
)
@pytest.mark.parametrize("half_id", DISTINCT)
def test_glb_holds_to_the_rules_of_gltf(half_id: str) -> None:
    """Khronos glTF 2.0: container, alignment, limits, unit normals, factors between 0 and 1."""
    placed = export.one(half(half_id), level="display")
    meshes = checked(export.glb(placed, "a half"))
    assert [name for name, _, _ in meshes] == [p.name for p in placed]
    for (_, points, triangles), item in zip(meshes, placed, strict=True):
        # metres, Y up, the mating face towards +Z: the axes of a half are those of glTF
        assert len(triangles) == len(item.part.faces)
        assert np.allclose(points[triangles], item.part.points[item.part.faces] / 1000, atol=1e-8)


def test_normals_point_outwards_and_break_at_edges() -> None:
    """A hexagon's flats keep one normal each; a round barrel is smooth (edges turn by 3.75 degrees and are shaded)."""
    for part in (p.part for p in export.one(half("sma-jack"), level="display")):
        points, normals, faces = shaded(part.points, part.faces)
        a, b, c = (points[faces[:, i]] for i in range(3))
        flat = np.cross(b - a, c - a)
        flat /= np.linalg.norm(flat, axis=1)[:, None]
        for corner in range(3):
            assert (np.einsum("ij,ij->i", flat, normals[faces[:, corner]]) > np.cos(np.radians(26))).all()
    shell = next(p.part for p in export.one(half("bnc-50-jack"), level="display") if p.name == "shell")
    points, normals, _ = shaded(shell.points, shell.faces)
    radius = np.hypot(points[:, 0], points[:, 1])
    barrel = (np.abs(normals[:, 2]) < 1e-3) & (radius > 4.5)
    outward = (points[barrel, 0] * normals[barrel, 0] + points[barrel, 1] * normals[barrel, 1]) / radius[barrel]
    assert barrel.sum() > 100
    assert np.abs(outward - 1).max() < 1e-3


def test_materials_are_metal_and_plastic() -> None:
    document, _ = chunks(export.glb(export.one(half("fakra-c-jack"), level="display"), "x"))
    found = {m["name"]: m["pbrMetallicRoughness"] for m in document["materials"]}
    assert found["gold"]["metallicFactor"] == 1
    assert found["ptfe"]["metallicFactor"] == 0
    red, green, blue, _ = found["blue plastic"]["baseColorFactor"]
    assert blue > 3 * red
    assert blue > green


@pytest.mark.outside(
    "GLB files",
    "Khronos gltf-validator",
    "none: no finding",
)
@pytest.mark.needs("npm:gltf-validator")
def test_gltf_validator_finds_nothing(tmp_path: Path) -> None:
    """npm gltf-validator (Khronos), where node has it; all halves in every body run in benchmarks/bodies.py."""
    root = node_path("gltf-validator")
    assert root is not None
    files = []
    for half_id in SAMPLE:
        files.append(tmp_path / f"{half_id}.glb")
        files[-1].write_bytes(export.glb(export.one(half(half_id), level="display"), half_id))
    script = tmp_path / "validate.js"
    script.write_text(VALIDATE, encoding="utf-8")
    done = subprocess.run(
        ["node", str(script), *map(str, files)],
        env={**os.environ, "NODE_PATH": root}, capture_output=True, check=True, text=True,
    )  # fmt: skip
    for name, errors, warnings, messages in json.loads(done.stdout):
        assert (errors, warnings) == (0, 0), (name, messages)


@pytest.mark.outside(
    "STL files",
    "trimesh",
    "0.0001 mm; 0.01 % of the volume",
)
@pytest.mark.parametrize("half_id", SAMPLE)
def test_stl_reads_back_in_millimetres(half_id: str, tmp_path: Path) -> None:
    """trimesh reads it; header of 80 characters, not the word that marks a text STL."""
    import trimesh

    placed = export.one(half(half_id), scale=10.0, level="display")
    data = export.stl(placed, half_id, 10.0)
    assert data[:80].decode("ascii").startswith("unit mm, scale 10, coaxtell")
    (count,) = struct.unpack_from("<I", data, 80)
    assert len(data) == 84 + 50 * count
    path = tmp_path / "a.stl"
    path.write_bytes(data)
    mesh = trimesh.load_mesh(path)
    wanted = np.concatenate([p.part.points for p in placed])
    assert mesh.bounds == pytest.approx(np.array([wanted.min(axis=0), wanted.max(axis=0)]), abs=1e-4)
    for placed_part in placed:
        path.write_bytes(export.stl([placed_part], half_id))
        assert trimesh.load_mesh(path).is_watertight, placed_part.name
    assert mesh.volume == pytest.approx(sum(p.part.volume_mm3 for p in placed), rel=1e-4)


@pytest.mark.outside(
    "3MF files",
    "lib3mf of the 3MF Consortium, strict",
    "none: no warning",
)
@pytest.mark.parametrize("half_id", SAMPLE)
def test_3mf_reads_back_strictly_without_a_warning(half_id: str) -> None:
    """lib3mf, the 3MF Consortium's library, in strict mode; millimetres, every body manifold and oriented."""
    import lib3mf

    placed = export.one(half(half_id), scale=10.0, level="display")
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(export.file("3mf", placed, half_id, 10.0))
    assert reader.GetWarningCount() == 0
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    meshes = model.GetMeshObjects()
    names = []
    while meshes.MoveNext():
        mesh = meshes.GetCurrentMeshObject()
        assert mesh.IsManifoldAndOriented()
        names.append(mesh.GetName())
        part = next(p.part for p in placed if p.name == names[-1])
        assert mesh.GetTriangleCount() == len(part.faces)
        first = mesh.GetVertex(0).Coordinates
        assert list(first) == pytest.approx(list(part.points[0]), abs=1e-3)
    assert names == [p.name for p in placed]
    assert model.GetBuildItems().Count() == len(placed)


@pytest.mark.parametrize("style", STYLES)
def test_files_of_bodies(style: str) -> None:
    checked(export.glb(export.one(bodied("sma-jack", style), level="display"), style))
    assert export.file("3mf", export.one(bodied("sma-jack", style), level="display"), style).startswith(b"PK")


def test_a_pair_lies_where_its_halves_seat() -> None:
    """SMA plug and jack: their planes meet at z = 0, so the jack's rim stands 1.93 mm inside the plug (CAD-SMA)."""
    placed = export.mated(half("sma-plug"), half("sma-jack"), level="display")
    jack = next(p.part.points for p in placed if p.name == "sma-jack shell")
    assert jack[:, 2].min() == pytest.approx(-1.93, abs=1e-6)
    pin = next(p.part.points for p in placed if p.name == "sma-plug pin")
    assert pin[:, 2].max() == pytest.approx(2.3, abs=1e-6)


@pytest.mark.outside(
    "Threads of a pair in each other",
    "ISO 68-1, basic forms fit line to line",
    "a thousandth of the nut's volume",
)
def test_threads_of_a_pair_lie_in_each_other() -> None:
    """Basic forms fit line to line (ISO 68-1): nut and jack share under a thousandth of the nut's volume."""
    import manifold3d

    parts = {p.name: p.part for p in export.mated(half("n-50-plug"), half("n-50-jack"))}

    def solid_of(name: str) -> manifold3d.Manifold:
        return manifold3d.Manifold(manifold3d.Mesh64(parts[name].points, parts[name].faces.astype(np.uint64)))

    nut, shell = solid_of("n-50-plug nut"), solid_of("n-50-jack shell")
    assert (nut ^ shell).volume() < 1e-3 * nut.volume()
    assert (nut.rotate((0, 0, 180)) ^ shell).volume() > 5e-3 * nut.volume()


def test_a_bayonet_pair_stands_locked() -> None:
    """Each lug lies in its slot: sleeve and lugs share no more than the lug's own rounding (under a percent of it)."""
    import manifold3d

    parts = {p.name: p.part for p in export.mated(half("bnc-50-plug"), half("bnc-50-jack"))}
    lug, sleeve = (
        manifold3d.Manifold(manifold3d.Mesh64(part.points, part.faces.astype(np.uint64)))
        for part in (parts["bnc-50-jack lug"], parts["bnc-50-plug bayonet sleeve"])
    )
    assert (lug ^ sleeve).volume() < 0.01 * lug.volume()
    # an eighth of a turn past the lock it would stand in the wall
    assert (lug ^ sleeve.rotate((0, 0, 45))).volume() > 0.1 * lug.volume()


@pytest.fixture
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.mark.usefixtures("_here")
@pytest.mark.parametrize("kind", ["glb", "stl", "3mf"])
def test_the_command_writes_each_kind(kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", "sma-jack", "-o", f"a.{kind}", "--body", "bulkhead"]) == 0
    said = capsys.readouterr().out
    assert f"a.{kind}: 5 bodies, scale 1" in said
    assert ("in metres" in said) == (kind == "glb")
    assert "Panel hole 6.5 mm" in said
    assert Path(f"a.{kind}").stat().st_size > 10_000


@pytest.mark.usefixtures("_here")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["sma-jack", "-o", "a.obj"], ".glb to look at"),
        (["sma-jack"], "required"),
        (["sma-jakc", "-o", "a.glb"], "sma-jack"),
        (["sma-jack", "sma-plug", "n-50-jack", "-o", "a.glb"], "too many"),
        (["sma-jack", "-o", "a.glb", "--body", "glued"], "choose one of cable-crimp"),
        (["sma-jack", "-o", "a.glb", "--cable", "240"], "--body cable-crimp"),
        (["sma-jack", "-o", "a.glb", "--body", "bulkhead", "--cable", "240"], "not with bulkhead"),
        (["sma-jack", "-o", "a.glb", "--body", "clamp", "--cable", "77"], "is not known"),
        (["sma-jack", "-o", "a.glb", "--scale", "big"], "not a number"),
        (["sma-jack", "-o", "a.glb", "--scale", "0"], "out of range"),
        (["sma-jack", "-o", "a.glb", "--scale", "nan"], "not a number"),
        (["sma-jack", "-o", "a.glb", "--scale", "1e-300"], "not a number"),
        (["sma-jack", "-o", "a.glb", "--scale", "0.001"], "give 0.01 to 100"),
        (["sma-jack", "-o", "a.glb", "--scale", "٣"], "digits of another script"),
        (["sma-jack", "-o", "a.stl", "--printable", "--clearance", "0.3kg"], "not written like 0.3 or 0.3mm"),
        (["sma-jack", "-o", "a.glb", "--printable"], ".3mf or .stl"),
        (["sma-jack", "-o", "a.stl", "--clearance", "0.3"], "--printable"),
        (["sma-jack", "-o", "a.stl", "--printable", "--clearance", "-1"], "out of range"),
        (["sma-jack", "-o", "a.stl", "--printable", "--clearance", "1/64"], "is a fraction without a unit"),
        (["sma-jack", "-o", "a.stl", "--printable", "--scale", "1"], "print at scale"),
        (["sma-jack", "-o", "missing/a.stl"], "cannot be written"),
    ],
)
def test_bad_input_is_one_sentence(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", *words]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert said in captured.err
    assert captured.err.count("\n") == 1
    assert list(Path.cwd().iterdir()) == []


@pytest.mark.usefixtures("_here")
def test_show_pictures_a_body_and_says_what_to_know(capsys: pytest.CaptureFixture[str]) -> None:
    """The cable class gives the diameter: 240 is 6.10 mm over its jacket (the maker's class sheet)."""
    words = ["show", "n-50-plug", "--size", "200x160", "--body", "cable-crimp", "--cable", "240", "-o", "a.png"]
    assert main(words) == 0
    assert "For a cable of 6.1 mm over its jacket" in capsys.readouterr().out
    assert Path("a.png").is_file()
