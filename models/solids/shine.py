"""How materials take the light: in pictures of the bench, and in files for other programs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from coaxtell.models import plastics
from coaxtell.models.solids.part import Part


class Shine(NamedTuple):
    """How a material takes the light: linear red, green and blue, metallic share, roughness."""

    colour: tuple[float, float, float]
    metallic: float
    roughness: float


ON_THE_BENCH: dict[str, Shine] = {
    "gold": Shine((1.00, 0.64, 0.21), 1.0, 0.20),
    "steel": Shine((0.66, 0.65, 0.63), 1.0, 0.25),
    "nickel": Shine((0.74, 0.71, 0.65), 1.0, 0.21),
    "brass": Shine((0.86, 0.62, 0.28), 1.0, 0.26),
    "ptfe": Shine((1.22, 1.22, 1.19), 0.0, 0.42),
}
"""Tuned to the bench's own light, which is dimmer than what other programs bring."""
IN_FILES: dict[str, Shine] = {
    "gold": Shine((1.0, 0.71, 0.29), 1.0, 0.22),
    "nickel": Shine((0.66, 0.61, 0.53), 1.0, 0.25),
    "steel": Shine((0.56, 0.56, 0.55), 1.0, 0.30),
    "brass": Shine((0.89, 0.66, 0.32), 1.0, 0.28),
    "ptfe": Shine((0.86, 0.86, 0.84), 0.0, 0.42),
}
"""Metals by their reflectance at normal incidence as shaded pictures usually take it (common practice, no source)."""
CLAY = Shine((0.13, 0.135, 0.14), 0.0, 0.7)
"""How the parts look that a picture leaves in the background: matt and without a colour of their own."""


def shine(part: Part, materials: Mapping[str, Shine] = ON_THE_BENCH, lit: frozenset[str] | None = None) -> Shine:
    """How a part takes the light: by its material, plastic by its colour; as clay where only others are lit."""
    if lit is not None and part.role not in lit:
        return CLAY
    return Shine(plastics.linear(part.colour), 0.0, 0.45) if part.material == "plastic" else materials[part.material]
