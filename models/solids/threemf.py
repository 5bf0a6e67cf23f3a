"""3MF files through lib3mf, the 3MF Consortium's own library: millimetres, one object for each closed body."""

from __future__ import annotations

import ctypes
from typing import Any

import numpy as np

from coaxtell.models import plastics
from coaxtell.models.catalogue import tell
from coaxtell.models.errors import RefusedError
from coaxtell.models.solids.part import Part, Placed

SCREEN: dict[str, tuple[int, int, int]] = {
    "gold": (224, 176, 76), "nickel": (196, 192, 182), "steel": (178, 178, 174), "brass": (205, 160, 90),
    "ptfe": (245, 244, 240),
}  # fmt: skip
"""Red, green and blue of each material as a slicer shows it."""


def _library() -> Any:
    try:
        import lib3mf
    except (ImportError, OSError) as error:
        raise RefusedError("models.no_lib3mf", error=str(error)) from None
    return lib3mf


def _colour(part: Part) -> tuple[int, int, int]:
    if part.material == "plastic":
        red, green, blue = (round(255 * v) for v in plastics.srgb(part.colour))
        return red, green, blue
    return SCREEN[part.material]


def threemf(placed: list[Placed], title: str, scale: float = 1.0) -> bytes:
    """The bodies as a 3MF file in millimetres; raises InputError where lib3mf is missing."""
    library = _library()
    wrapper = library.get_wrapper()
    model = wrapper.CreateModel()
    model.SetUnit(library.ModelUnit.MilliMeter)
    notes = model.GetMetaDataGroup()
    for name, value in (
        ("Title", title),
        ("Application", "coaxtell"),
        ("Description", tell("file.scale", scale=scale)),
    ):
        notes.AddMetaData("", name, value, "xs:string", True)
    group = model.AddBaseMaterialGroup()
    numbers: dict[tuple[str, str], int] = {}
    still = wrapper.GetIdentityTransform()
    for name, part in placed:
        key = (part.material, part.colour)
        if key not in numbers:
            words = " ".join(word for word in (part.colour, part.material) if word)
            numbers[key] = group.AddMaterial(words, wrapper.RGBAToColor(*_colour(part), 255))
        mesh = model.AddMeshObject()
        mesh.SetName(name)
        points = np.ascontiguousarray(part.points, dtype=np.float32)
        faces = np.ascontiguousarray(part.faces, dtype=np.uint32)
        # the library's own records, filled from memory in one go
        vertices = (library.Position * len(points)).from_buffer_copy(points.tobytes())
        triangles = (library.Triangle * len(faces)).from_buffer_copy(faces.tobytes())
        assert ctypes.sizeof(vertices) == points.nbytes
        mesh.SetGeometry(vertices, triangles)
        mesh.SetObjectLevelProperty(group.GetResourceID(), numbers[key])
        model.AddBuildItem(mesh, still)
    writer = model.QueryWriter("3mf")
    writer.SetStrictModeActive(True)
    return bytes(writer.WriteToBuffer())
