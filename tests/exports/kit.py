"""Halves with bodies for tests, and a small reader of glTF binaries that checks what the standard demands."""

from __future__ import annotations

import json
import struct
from functools import cache
from typing import Any

import numpy as np

from coaxtell.models import body
from coaxtell.models.half import Half
from coaxtell.models.solids.part import Part
from coaxtell.models.solids.solid import solid
from tests.halves import all_halves, half

STYLES = tuple(body.STYLES)
SAMPLE = (
    "sma-jack", "sma-plug", "n-50-jack", "bnc-50-plug", "f-jack", "smb-plug", "micro-1-jack", "7-mm", "fakra-c-jack",
)  # fmt: skip
"""One half per kind of coupling and size; the rest runs in benchmarks/bodies.py."""

DISTINCT = tuple(h for h in all_halves() if not h.startswith("fakra-") or h.startswith("fakra-a-"))
"""All halves, of the housings that differ by colour alone one."""


@cache
def bodied(half_id: str, style: str) -> Half:
    return body.styled(half(half_id), style)


@cache
def body_parts(half_id: str, style: str) -> tuple[Part, ...]:
    return tuple(solid(bodied(half_id, style), "display"))


COMPONENTS = {5125: ("<u4", 4), 5126: ("<f4", 4)}
WIDTHS = {"SCALAR": 1, "VEC3": 3}


def chunks(data: bytes) -> tuple[dict[str, Any], bytes]:
    """The JSON and the binary of a GLB; asserts the container rules of glTF 2.0, section 4.4."""
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON"
    assert size % 4 == 0
    text = data[20 : 20 + size]
    rest, kind = struct.unpack_from("<I4s", data, 20 + size)
    assert kind == b"BIN\0"
    assert rest % 4 == 0
    assert 28 + size + rest == len(data)
    return json.loads(text), data[28 + size :]


def accessor(document: dict[str, Any], binary: bytes, number: int) -> np.ndarray[Any, Any]:
    """The values of an accessor; asserts alignment, bounds and stated limits (glTF 2.0, section 3.6.2)."""
    found = document["accessors"][number]
    view = document["bufferViews"][found["bufferView"]]
    kind, size = COMPONENTS[found["componentType"]]
    width = WIDTHS[found["type"]]
    assert view["byteOffset"] % size == 0
    assert view["byteLength"] == found["count"] * size * width
    assert view["byteOffset"] + view["byteLength"] <= len(binary)
    values = np.frombuffer(binary, kind, found["count"] * width, view["byteOffset"]).reshape(-1, width)
    assert np.isfinite(values).all()
    if "min" in found:
        assert np.array_equal(values.min(axis=0), np.array(found["min"], dtype=kind))
        assert np.array_equal(values.max(axis=0), np.array(found["max"], dtype=kind))
    return values


def checked(data: bytes) -> list[tuple[str, np.ndarray[Any, Any], np.ndarray[Any, Any]]]:
    """Name, points [m] and triangles of every mesh; asserts what glTF 2.0 demands of nodes, meshes and materials."""
    document, binary = chunks(data)
    assert document["asset"]["version"] == "2.0"
    assert document["buffers"] == [{"byteLength": len(binary)}]
    reached = set(document["scenes"][document["scene"]]["nodes"])
    children = [c for node in document["nodes"] for c in node.get("children", [])]
    assert len(children) == len(set(children)), "a node has two parents"
    assert reached | set(children) == set(range(len(document["nodes"])))
    used: set[int] = set()
    found = []
    for mesh in document["meshes"]:
        (primitive,) = mesh["primitives"]
        points = accessor(document, binary, primitive["attributes"]["POSITION"])
        normals = accessor(document, binary, primitive["attributes"]["NORMAL"])
        index = accessor(document, binary, primitive["indices"]).ravel()
        used.add(primitive["material"])
        assert "min" in document["accessors"][primitive["attributes"]["POSITION"]]
        assert len(normals) == len(points)
        assert np.abs(np.linalg.norm(normals, axis=1) - 1).max() < 5e-4
        assert index.max() == len(points) - 1
        triangles = index.reshape(-1, 3)
        assert (triangles[:, 0] != triangles[:, 1]).all()
        assert (triangles[:, 1] != triangles[:, 2]).all()
        found.append((mesh["name"], points, triangles))
    assert used == set(range(len(document["materials"])))
    for material in document["materials"]:
        surface = material["pbrMetallicRoughness"]
        values = [*surface["baseColorFactor"], surface["metallicFactor"], surface["roughnessFactor"]]
        assert all(0 <= v <= 1 for v in values), material["name"]
    return found
