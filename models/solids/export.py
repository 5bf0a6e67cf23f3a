"""Files of halves for other programs: GLB to look at, STL and 3MF to print.

GLB (glTF 2.0, Khronos): metres, Y up, the mating face looks along +Z, metal and plastic by the metallic-roughness
model. STL: binary, millimetres as its header says. 3MF: `models.solids.threemf`.
"""

from __future__ import annotations

import json
import math
import struct
from typing import Any, Literal

import msgspec
import numpy as np

from coaxtell.models.catalogue import tell
from coaxtell.models.cut_threads import meshing_turn
from coaxtell.models.half import Half
from coaxtell.models.helix import Array
from coaxtell.models.mating.mate import mate
from coaxtell.models.solids.normals import shaded
from coaxtell.models.solids.part import Level, Placed
from coaxtell.models.solids.shine import IN_FILES, shine
from coaxtell.models.solids.solid import solid
from coaxtell.models.solids.threemf import threemf

Kind = Literal["glb", "stl", "3mf"]
KINDS: tuple[Kind, ...] = ("glb", "stl", "3mf")


def one(half: Half, scale: float = 1.0, level: Level = "fine") -> list[Placed]:
    """The parts of a half at `scale`, reference plane on z = 0, front to +z [mm]."""
    return [Placed(part.name, msgspec.structs.replace(part, points=part.points * scale)) for part in solid(half, level)]


def _rotated(points: Array, turn: float) -> Array:
    """Points turned about the axis, counter-clockwise seen from the front [rad]."""
    c, s = np.cos(turn), np.sin(turn)
    return np.asarray(points @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]]))


def seated(half: Half, mate: Half, distance: float) -> tuple[float, float]:
    """How far the moving part of a half is turned [rad] and shifted along +z [mm] where it holds its mate.

    The mate faces it turned half round the vertical axis, which brings its thread half a turn on. A bayonet sleeve
    stands locked. Where both halves bring a nut, the second one is drawn back.
    """
    if half.nut is None:
        return 0.0, 0.0
    if half.nut.ramps is not None and mate.lugs is not None:
        ramps = half.nut.ramps
        return math.radians(ramps.turn.nominal), distance - mate.lugs.centre.nominal - ramps.lock.nominal
    if half.nut.thread is not None and mate.thread is not None:
        return meshing_turn(half, mate, distance) + math.pi, 0.0
    return 0.0, 0.0


def mated(a: Half, b: Half, scale: float = 1.0, level: Level = "fine") -> list[Placed]:
    """Two halves as far together as they go, the moving part where it holds the mate [mm].

    The second half faces the first: turned half round the vertical axis.
    """
    distance = mate(a, b, doubt=False).stops_at_mm or 0.0
    found: list[Placed] = []
    for half, other, facing in ((a, b, False), (b, a, True)):
        turn, shift = seated(half, other, distance)
        if facing and half.nut is not None and a.nut is not None:
            shift -= 2 * max(0.0, half.nut.body.rim.nominal - half.shell.rim.nominal)
        for part in solid(half, level):
            points = _rotated(part.points, turn) + np.array([0.0, 0.0, shift]) if part.moving else part.points
            if facing:
                points = points * np.array([-1.0, 1.0, -1.0]) + np.array([0.0, 0.0, distance])
            found.append(Placed(f"{half.id} {part.name}", msgspec.structs.replace(part, points=points * scale)))
    return found


class _Buffer:
    """The binary part of a GLB with the views and accessors into it."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []

    def add(self, values: Any, target: int, component: int, kind: str, limits: bool) -> int:
        """Store an array; returns the number of its accessor."""
        raw = values.tobytes()
        self.views.append({"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw), "target": target})
        self.data += raw + b"\0" * (-len(raw) % 4)
        accessor: dict[str, Any] = {
            "bufferView": len(self.views) - 1, "componentType": component, "count": len(values), "type": kind,
        }  # fmt: skip
        if limits:
            accessor["min"] = [float(v) for v in values.min(axis=0)]
            accessor["max"] = [float(v) for v in values.max(axis=0)]
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def glb(placed: list[Placed], title: str, scale: float = 1.0) -> bytes:
    """The bodies as a glTF binary in metres, Y up; `scale` is only stated, the points carry it already."""
    buffer = _Buffer()
    materials: list[dict[str, Any]] = []
    numbers: dict[tuple[str, str], int] = {}
    meshes: list[dict[str, Any]] = []
    nodes: list[dict[str, Any]] = []
    for name, part in placed:
        key = (part.material, part.colour)
        if key not in numbers:
            numbers[key] = len(materials)
            own = shine(part, IN_FILES)
            materials.append({
                "name": " ".join(word for word in (part.colour, part.material) if word),
                "pbrMetallicRoughness": {
                    "baseColorFactor": [*(round(v, 4) for v in own.colour), 1.0],
                    "metallicFactor": own.metallic,
                    "roughnessFactor": own.roughness,
                },
            })  # fmt: skip
        points, normals, faces = shaded(part.points / 1000.0, part.faces)
        unit = normals.astype(np.float32)
        unit /= np.linalg.norm(unit, axis=1)[:, None]
        primitive = {
            "attributes": {
                "POSITION": buffer.add(points.astype("<f4"), 34962, 5126, "VEC3", True),
                "NORMAL": buffer.add(unit.astype("<f4"), 34962, 5126, "VEC3", False),
            },
            "indices": buffer.add(faces.astype("<u4").ravel(), 34963, 5125, "SCALAR", False),
            "material": numbers[key],
        }
        meshes.append({"name": name, "primitives": [primitive]})
        nodes.append({"name": name, "mesh": len(meshes) - 1})
    root = {"name": title, "children": list(range(len(nodes)))}
    document = {
        "asset": {"version": "2.0", "generator": "coaxtell", "extras": {"scale": scale, "unit": "metre"}},
        "scene": 0,
        "scenes": [{"name": title, "nodes": [len(nodes)]}],
        "nodes": [*nodes, root],
        "meshes": meshes,
        "materials": materials,
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    text = json.dumps(document, separators=(",", ":")).encode("utf-8")
    text += b" " * (-len(text) % 4)
    whole = 12 + 8 + len(text) + 8 + len(buffer.data)
    return b"".join([
        struct.pack("<4sII", b"glTF", 2, whole),
        struct.pack("<I4s", len(text), b"JSON"), text,
        struct.pack("<I4s", len(buffer.data), b"BIN\0"), bytes(buffer.data),
    ])  # fmt: skip


def stl(placed: list[Placed], title: str, scale: float = 1.0) -> bytes:
    """The bodies as a binary STL in millimetres, as its header of 80 characters says."""
    header = tell("file.head", scale=scale, title=title).encode("ascii", "replace")[:80].ljust(80)
    corners = np.concatenate([part.points[part.faces] for _, part in placed]).astype("<f4")
    edge = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(edge, axis=1)[:, None]
    record = np.zeros(len(corners), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")])
    record["normal"] = edge / np.where(length > 0, length, 1.0)
    record["corners"] = corners
    return header + struct.pack("<I", len(corners)) + record.tobytes()


def file(kind: Kind, placed: list[Placed], title: str, scale: float = 1.0) -> bytes:
    """The content of a file of that kind; raises InputError where 3MF cannot be written on this machine."""
    if kind == "glb":
        return glb(placed, title, scale)
    if kind == "stl":
        return stl(placed, title, scale)
    return threemf(placed, title, scale)
