"""The sizes of body styles: load and check the tables in `bodies/`, one per group of families.

Each number has its grade and source as in the tables of the halves. Lengths in mm.
"""

from __future__ import annotations

from functools import lru_cache
from importlib import resources

import msgspec

from coaxtell.models import sources as source_list
from coaxtell.models import toml
from coaxtell.models.errors import RefusedError
from coaxtell.models.measure import Measure
from coaxtell.models.sources import Source

PACKAGE = "coaxtell.models"

STYLES = (
    "cable-crimp", "clamp", "bulkhead", "flange-2", "flange-4", "board-edge", "through-hole", "right-angle",
)  # fmt: skip
"""The styles; their words stand under `style` in the texts."""


class CableSizes(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The usual cable's diameter over its jacket, the ferrule's wall and its length for that cable [mm]."""

    d: Measure
    wall: Measure
    ferrule: Measure


class ClampSizes(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Clamp nut: width across flats and length [mm]."""

    hex: Measure
    nut: Measure


class BulkheadSizes(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Panel hole and width across its flat or `flats`, thickest panel, thread pitch and length of the bushing,
    panel nut, washer, and the hexagon that stands before the panel [mm]."""

    hole: Measure
    panel: Measure
    pitch: Measure
    bushing: Measure
    nut_hex: Measure
    nut: Measure
    washer: Measure
    hex: Measure
    flat: Measure | None = None
    flats: Measure | None = None
    """How many flats, where they are more than one."""


class Flange4Sizes(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Square flange: width, spacing of the holes along a side, hole diameter, thickness [mm]."""

    width: Measure
    spacing: Measure
    hole: Measure
    thick: Measure


class Flange2Sizes(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Long flange: length, height, spacing of the two holes, hole diameter, thickness [mm]."""

    length: Measure
    height: Measure
    spacing: Measure
    hole: Measure
    thick: Measure


class BoardSizes(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Block width, pitch of the legs, leg width and length, contact diameter, board thickness [mm]."""

    block: Measure
    pitch: Measure
    leg: Measure
    leg_length: Measure
    pin: Measure
    thick: Measure


class AngleSizes(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Width of the block and how far the tail reaches below it [mm]."""

    block: Measure
    drop: Measure


class BodySizes(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One group of families: which, the styles the trade sells for them, body diameter [mm], sizes per style.

    Raises InputError where a style is not known.
    """

    families: list[str]
    usual: list[str]
    body: Measure
    cable: CableSizes
    clamp: ClampSizes
    bulkhead: BulkheadSizes
    flange_4: Flange4Sizes
    flange_2: Flange2Sizes
    board: BoardSizes
    angle: AngleSizes

    def __post_init__(self) -> None:
        unknown = sorted(set(self.usual) - set(STYLES))
        if unknown:
            raise RefusedError("models.unknown_style", unknown=unknown[0])


@lru_cache(maxsize=1)
def load() -> dict[str, BodySizes]:
    """The shipped groups of sizes by name; raises InputError naming file and place where one is wrong."""
    folder = resources.files(PACKAGE) / "bodies"
    found: dict[str, BodySizes] = {}
    for file in sorted(folder.iterdir(), key=lambda f: f.name):
        if not file.name.endswith(".toml") or file.name == "sources.toml":
            continue
        try:
            found[file.name.removesuffix(".toml")] = msgspec.convert(
                toml.loads(file.read_text(encoding="utf-8")), BodySizes
            )
        except (toml.TOMLDecodeError, msgspec.ValidationError) as error:
            raise RefusedError("models.bodies_entry", name=file.name, error=str(error)) from None
    return found


@lru_cache(maxsize=1)
def sources() -> dict[str, Source]:
    """All sources that a body's numbers may point to."""
    own = (resources.files(PACKAGE) / "bodies" / "sources.toml").read_text(encoding="utf-8")
    return {**source_list.load_package(PACKAGE, "sources.toml"), **source_list.load(own, "bodies/sources.toml")}
