"""The cable tables as one object; of this folder the only module that reads files."""

from __future__ import annotations

import math
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from coaxtell.cables.classes import CableClass, PrintedRow
from coaxtell.cables.limits import ConductedLimit, Region
from coaxtell.cables.power import PowerRange
from coaxtell.cables.prices import Prices
from coaxtell.cables.reasons import because
from coaxtell.cables.units import counted_in
from coaxtell.models import sources, toml
from coaxtell.models.catalogue import Reason, Value
from coaxtell.models.errors import RefusedError
from coaxtell.models.measure import Measure
from coaxtell.models.sources import Source

_PACKAGE = "coaxtell.cables"
_ARRIVAL = "arrival.toml"
_PRINTED_TOLERANCE = 0.05
"""Largest difference between a class's own coefficients and its own printed rows [share of the loss]."""

_ARRIVAL_UNITS = {
    "end_match": "dB", "inside_match": "dB", "band_match": "dB", "length_share": "%", "length_floor": "cm",
    "place_floor": "cm", "analyser": "dB", "warmth": "C",
}  # fmt: skip
"""What each limit of a delivery counts in."""

_Shape = TypeVar("_Shape")


class Joints(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Losses and reflections beside the cable: joints, adapters, ports, makers' spread, temperature."""

    joint_loss: Measure
    adapter_loss: Measure
    antenna_return_loss: Measure
    reader_return_loss: Measure
    arrestor_loss: Measure
    splitter_loss: Measure
    jumper_loss: Measure
    velocity_spread: Measure
    maker_spread: Measure
    rg_spread: Measure
    temperature: Measure
    ground_reflection: Measure


class Jacket(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A cable's jacket: its name, whether it stands sun and rain, whether it is rated for a riser."""

    name: str
    outdoor: bool
    riser: bool


class Practice(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What the trade does: lengths [m], loss [dB], a usual reader [dBm], spares [%], jackets, thickest cables [mm]."""

    longest_assembly: Measure
    longest_jumper: Measure
    loss_budget: Measure
    reader_lowest: Measure
    reader_highest: Measure
    reader_step: Measure
    spare_share: Measure
    jackets: dict[str, Jacket]
    thickest: dict[str, Measure]


class ArrivalLimits(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a delivery is held against: return losses [dB], length [%, cm], analyser [dB], the bench's warmth [C].

    Raises InputError where one is stated in another unit.
    """

    end_match: Measure
    inside_match: Measure
    band_match: Measure
    length_share: Measure
    length_floor: Measure
    place_floor: Measure
    analyser: Measure
    warmth: Measure

    def __post_init__(self) -> None:
        counted_in("arrival", self, _ARRIVAL_UNITS)


class _ClassFile(msgspec.Struct, forbid_unknown_fields=True):
    classes: list[CableClass] = msgspec.field(name="class", default_factory=list)


class CableTables(msgspec.Struct, frozen=True):
    """All cable tables: classes by name, regions by key, joints, practice, sources, and a user's prices."""

    classes: dict[str, CableClass]
    regions: dict[str, Region]
    joints: Joints
    practice: Practice
    arrival: ArrivalLimits
    sources: dict[str, Source]
    prices: Prices | None = None

    @property
    def usual_reader(self) -> PowerRange:
        """What a reader is taken to offer where nobody said."""
        usual = self.practice
        return PowerRange(usual.reader_lowest.nominal, usual.reader_highest.nominal, usual.reader_step.nominal, True)

    def least_rating_w(self, mhz: float) -> float:
        """What the weakest class of known rating carries at a frequency [MHz], in W; endless where none is known."""
        known = [one.power_w(mhz) for one in self.classes.values()]
        return min((rating for rating in known if rating is not None), default=math.inf)

    def region(self, key: str) -> Region:
        """The region of a key such as us.

        Raises InputError naming the regions that exist.
        """
        found = self.regions.get(key, self.regions.get(key.lower()))
        if found is None:
            raise RefusedError("cables.no_region", key=key, regions=", ".join(self.regions))
        return found


def _shape(text: str, kind: type[_Shape], where: str) -> _Shape:
    try:
        return _converted(toml.loads(text), kind, where)
    except toml.TOMLDecodeError as error:
        raise RefusedError("cables.entry", file=where, error=str(error)) from None


def _converted(values: Any, kind: type[_Shape], where: str) -> _Shape:
    try:
        return msgspec.convert(values, kind)
    except msgspec.ValidationError as error:
        raise RefusedError("cables.entry", file=where, error=str(error)) from None


def _regions(text: str, where: str) -> dict[str, Region]:
    """Regions by key; a fault names the region it stands in."""
    found = {}
    for key, raw in _shape(text, dict[str, dict[str, Any]], where).items():
        try:
            found[key] = msgspec.convert(raw, Region)
        except msgspec.ValidationError as error:
            raise RefusedError("cables.entry_in", file=where, key=key, error=str(error)) from None
    return found


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise RefusedError("cables.unread", path=str(path), error=str(error)) from None


def _shipped(file: str) -> str:
    return (resources.files(_PACKAGE) / "tables" / file).read_text(encoding="utf-8")


def _named(thing: Any, *where: Reason) -> list[tuple[Reason, Measure]]:
    """Every Measure inside a table, however deep, with what leads to it."""
    if isinstance(thing, Measure):
        return [(because("number.whole", words=[*where]), thing)]
    if isinstance(thing, PrintedRow):
        row = because("row.most" if thing.maximum else "row.loss", mhz=thing.mhz)
        return _named(thing.loss, *where, row)
    if isinstance(thing, ConductedLimit):
        return _named(thing.limit, *where, because("row.limit", channels=thing.channels))
    if isinstance(thing, msgspec.Struct):
        parts = [(because(f"field.{field}"), getattr(thing, field)) for field in thing.__struct_fields__]
    elif isinstance(thing, dict):
        parts = [(because("row.key", key=key), value) for key, value in thing.items()]
    elif isinstance(thing, list):
        parts = [(because("row.key", key=""), value) for value in thing]
    else:
        return []
    found = []
    for part, value in parts:
        inner = (*where, part) if isinstance(value, Measure | dict) else where
        found += _named(value, *inner)
    return found


def named_measures(tables: CableTables) -> list[tuple[Reason, Measure]]:
    """Every number of the cable tables by its name, with grade and source."""
    found = [pair for one in tables.classes.values() for pair in _named(one, because("row.class", name=one.name))]
    found += [pair for key, region in tables.regions.items() for pair in _named(region, because("row.region", key=key))]
    return found + _named(tables.joints) + _named(tables.practice) + _named(tables.arrival, because("row.arrival"))


def all_measures(tables: CableTables) -> list[Measure]:
    """Every number of the cable tables with its grade and source."""
    return [measure for _, measure in named_measures(tables)]


def _check(tables: CableTables) -> None:
    """Refuse dangling sources, unknown jackets and coefficients that contradict the printed rows."""
    problems: list[Reason] = []
    for key in sorted({key for m in all_measures(tables) for key in m.source} - tables.sources.keys()):
        problems.append(Reason("refused.dangling", {"key": key}))
    for cable in tables.classes.values():
        for jacket in cable.jackets:
            if jacket not in tables.practice.jackets:
                problems.append(Reason("refused.no_jacket", {"name": cable.name, "jacket": jacket}))
        for row in cable.rows:
            if cable.coefficients is None or row.maximum or row.loss.soft or not cable.loss_known:
                continue
            model = cable.db_per_100ft(row.mhz)
            if abs(model - row.loss.nominal) > max(_PRINTED_TOLERANCE * row.loss.nominal, 0.1):
                told: dict[str, Value] = {"name": cable.name, "model": model, "mhz": row.mhz, "row": row.loss.nominal}
                problems.append(Reason("refused.row_disputed", told))
    if problems:
        raise RefusedError("cables.tables", problems=problems)


def load(extra: Path | None = None) -> CableTables:
    """The shipped tables, joined by a user's own from the folder `cables` inside `extra`.

    There `classes.toml` and `regions.toml` add or replace entries, `arrival.toml` replaces single limits of what is
    delivered, `prices.toml` gives prices and `sources.toml` the sources of the added numbers.

    Raises InputError naming the file where a table does not hold together.
    """
    shipped = _of_package()
    own = extra / "cables" if extra is not None else None
    if own is None or not own.is_dir():
        return shipped
    found: dict[str, Any] = {}
    if (path := own / "classes.toml").is_file():
        classes = {c.name: c for c in _shape(_read(path), _ClassFile, str(path)).classes}
        found["classes"] = shipped.classes | classes
    if (path := own / "regions.toml").is_file():
        found["regions"] = shipped.regions | _regions(_read(path), str(path))
    if (path := own / "prices.toml").is_file():
        found["prices"] = _shape(_read(path), Prices, str(path))
    if (path := own / "arrival.toml").is_file():
        limits = _shape(_shipped(_ARRIVAL), dict[str, Any], _ARRIVAL) | _shape(_read(path), dict[str, Any], str(path))
        found["arrival"] = _converted(limits, ArrivalLimits, str(path))
    found["sources"] = shipped.sources | sources.load_folder(own)
    tables = msgspec.structs.replace(shipped, **found)
    _check(tables)
    return tables


@cache
def _of_package() -> CableTables:
    """The shipped tables, read once; whoever gets them leaves them as they are."""
    tables = CableTables(
        classes={c.name: c for c in _shape(_shipped("classes.toml"), _ClassFile, "classes.toml").classes},
        regions=_regions(_shipped("regions.toml"), "regions.toml"),
        joints=_shape(_shipped("joints.toml"), Joints, "joints.toml"),
        practice=_shape(_shipped("practice.toml"), Practice, "practice.toml"),
        arrival=_shape(_shipped(_ARRIVAL), ArrivalLimits, _ARRIVAL),
        sources=sources.load_package(_PACKAGE, "sources.toml"),
        prices=None,
    )
    _check(tables)
    return tables
