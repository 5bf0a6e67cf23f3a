"""One part of a half as a closed mesh, at three levels of detail."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

import msgspec

from coaxtell.models.helix import Array, Index
from coaxtell.models.regions import Role
from coaxtell.models.solids.lathe import volume

if TYPE_CHECKING:
    import trimesh

Level = Literal["display", "fine", "small", "least"]
Material = Literal["gold", "nickel", "steel", "brass", "ptfe", "plastic"]

COLUMNS: dict[Level, int] = {"display": 96, "fine": 144, "small": 36, "least": 18}


class Part(msgspec.Struct, frozen=True, eq=False):
    """One part of a half as a closed mesh: points [mm] and triangles with outward normals.

    `colour` names the colour of plastic; empty for metal and PTFE.
    """

    name: str
    role: Role
    moving: bool
    material: Material
    points: Array
    faces: Index
    colour: str = ""

    @property
    def volume_mm3(self) -> float:
        """Volume enclosed by the mesh [mm3]."""
        return volume(self.points, self.faces)

    def mesh(self) -> trimesh.Trimesh:
        """The part as a trimesh object, its vertices untouched."""
        import trimesh

        return trimesh.Trimesh(self.points, self.faces, process=False)


class Placed(NamedTuple):
    """One closed body in a file: its name and its part with points moved to their place [mm]."""

    name: str
    part: Part
