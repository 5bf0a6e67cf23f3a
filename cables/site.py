"""A site as its owner writes it (SITE.toml): readers, antennas, routes; bad rows named, the rest kept."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import Any

import msgspec

from coaxtell.cables import units
from coaxtell.cables.classes import TABLE_TEMPERATURE_C
from coaxtell.cables.doubt import Doubt
from coaxtell.cables.limits import Region, region_of
from coaxtell.cables.pieces import LONGEST_PIGTAIL_M, Inline, InlineKind
from coaxtell.cables.power import PowerRange
from coaxtell.cables.ranking import Preference
from coaxtell.cables.reasons import because
from coaxtell.cables.rows import KEYS, WISHES, FindPort, NamedPort, Row, of_names, on_ports
from coaxtell.cables.run import Run
from coaxtell.cables.site_blocks import Block, Problem, read
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models import quantity
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import InputError, RefusedError

MOST_ANTENNAS = 5000
"""Antennas of one site file; a plan of four times as many took 1.3 GB."""


class Spares(msgspec.Struct, frozen=True):
    """How many assemblies are ordered beyond need: a share [%] rounded up, or a fixed count per line."""

    share: float = 0.0
    count: int = 0

    def of(self, quantity: int) -> int:
        """Spares for a line of this quantity."""
        return self.count if self.count else -int(-quantity * self.share // 100)


class SiteRun(msgspec.Struct, frozen=True):
    """One antenna's run: names, line in the file, the run itself, a class it is bound to, what is not settled."""

    antenna_id: str
    reader_id: str
    route: str
    line: int
    run: Run
    bound_to: str
    reader_port: int | None
    """The number of the reader's antenna port; none where it was not said."""
    doubts: tuple[Doubt | None, Doubt | None]
    """What is not settled of the reader's port and of the antenna's."""
    told: tuple[Reason, ...] = ()
    """What is told of how they were named, though an order can be made."""

    @property
    def reader_place(self) -> str:
        """The reader with the number of its antenna port, where that was said."""
        if self.reader_port is None:
            return self.reader_id
        return say(because("plan.port", reader=self.reader_id, port=self.reader_port))


class Site(msgspec.Struct, frozen=True):
    """A whole site: name, region key, wishes, its runs, and the rows that could not be read."""

    name: str
    region: str
    region_from: Reason | None
    prefer: Preference
    spares: Spares
    runs: tuple[SiteRun, ...]
    problems: tuple[Problem, ...]
    rows: int
    """Antenna rows in the file, good and bad."""


def _spares(row: Row, tables: CableTables) -> Spares:
    value = row.raw("spares")
    if value is None:
        return Spares(share=tables.practice.spare_share.nominal)
    if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 1000:
        return Spares(count=value)
    with suppress(InputError):
        found = quantity.read(str(value), "spares", "10%")
        if found.unit == "%" and found.off is None and 0 <= found.value <= 1000:
            return Spares(share=found.value)
    row.wrong("spares", "spares", value=repr(value))
    return Spares()


class _Reader(msgspec.Struct, frozen=True):
    port: NamedPort
    power: PowerRange | None


class _Radio(msgspec.Struct, frozen=True):
    region: str
    region_from: Reason | None
    frequency_mhz: float
    channels: int
    judged: Region
    """The region, by the linear gain where the site names the grant for it."""


def _radio(row: Row, tables: CableTables) -> _Radio:
    key = row.text("region")
    said = None
    frequency = row.quantity("frequency", units.frequency_mhz)
    if key and key not in tables.regions:
        row.wrong("region", "region", region=key, known=", ".join(tables.regions))
        key = ""
    if not key:
        key, said = assumed_region(frequency, tables)
    region = tables.regions[key]
    if frequency is None:
        frequency = region.usual.nominal
    elif not region.band.low <= frequency <= region.band.high:
        row.wrong("frequency", "outside_band", mhz=frequency, region=region.name)
        frequency = region.usual.nominal
    channels = row.raw("channels")
    if channels is None:
        channels = 50
    elif not isinstance(channels, int) or isinstance(channels, bool) or channels < 1:
        row.wrong("channels", "channels", value=repr(channels))
        channels = 50
    try:
        region.conducted_limit(channels)
    except InputError as error:
        row.wrong("channels", "said", words=str(error))
        channels = 50
    if grant := row.text("linear_gain"):
        try:
            region = region.by_linear(grant)
        except InputError as error:
            row.wrong("linear_gain", "said", words=str(error))
    return _Radio(key, said, frequency, channels, region)


def assumed_region(frequency_mhz: float | None, tables: CableTables) -> tuple[str, Reason]:
    """The region to judge by where none is given, and what says so; frequency in [MHz].

    Raises InputError where the frequency lies in no band.
    """
    if frequency_mhz is None:
        key = next(iter(tables.regions))
        return key, because("caution.assumed_region", region=tables.regions[key].name)
    found = region_of(frequency_mhz, tables.regions)
    if found is None:
        bands = ", ".join(region.name for region in tables.regions.values())
        raise RefusedError("cables.no_band", frequency_mhz=frequency_mhz, bands=bands)
    name = tables.regions[found].name
    return found, because("caution.region_of_frequency", mhz=frequency_mhz, region=name)


def parse(text: str, file: str, tables: CableTables, find_port: FindPort) -> Site:
    """The site in a TOML text; `file` is its name in problems, `find_port` finds the half a row names.

    Raises InputError where the file has no antenna at all, or its [site] block cannot be used.
    """
    blocks, problems = read(text, file)
    for block in blocks:
        if block.name not in KEYS:
            problems.append(Problem(file, block.line, because("site.unknown_block", block=block.name)))
        elif block.repeated == (block.name == "site"):
            code = "site.header_once" if block.name == "site" else "site.header_listed"
            problems.append(Problem(file, block.line, because(code, block=block.name)))
    usable = [b for b in blocks if b.name in KEYS and b.repeated == (b.name != "site")]
    rows = sum(b.name == "antenna" for b in usable)
    if rows > MOST_ANTENNAS:
        raise InputError(say(because("site.too_many", file=file, rows=rows, most=MOST_ANTENNAS)))
    if not rows:
        told = because("site.told", problem=problems[0].reason) if problems else ""
        raise InputError(say(because("site.no_antenna", file=file, told=told)))
    sites = [b for b in usable if b.name == "site"]
    if sites and sites[0].broken:
        raise InputError(" ".join(say(p.reason) for p in problems if p.line >= sites[0].line))
    problems += [Problem(file, b.line, Reason("site.second_site")) for b in sites[1:]]
    top = Row(sites[0] if sites else Block("site", False, 1, {}, {}), file)
    try:
        radio = _radio(top, tables)
    except InputError as error:
        raise InputError(f"{file}: {error}") from None
    wanted = top.text("prefer") or Preference.THINNEST.value
    if wanted not in list(Preference):
        top.wrong("prefer", "prefer", prefer=wanted, known=", ".join(Preference))
        wanted = Preference.THINNEST.value
    spares = _spares(top, tables)
    name = top.text("name")
    for key in ("temperature", "want", "budget", "gain", "size", "power", "settings"):
        top.quantity(key, _READ_AS[key])
    if top.problems:
        # Every run hangs on these: planning on with a guess would hide the fault in all of them.
        raise InputError(" ".join(say(problem.reason) for problem in top.problems))
    shared = {k: v for k, v in top.block.values.items() if k in SHARED}
    both = {k: v for k, v in top.block.values.items() if k in ("power", "settings")}
    readers = _named(usable, "reader", file, problems, lambda row: _reader(row, both, tables, find_port))
    routes = _named(usable, "route", file, problems, _route)
    taken: set[tuple[str, int]] = set()
    runs = _named(
        usable,
        "antenna",
        file,
        problems,
        lambda row: _apart(row, _run(row, radio, readers, routes, shared, tables, find_port), taken),
    )
    return Site(
        name=name,
        region=radio.region,
        region_from=radio.region_from,
        prefer=Preference(wanted),
        spares=spares,
        runs=tuple(run for run in runs.values() if run is not None),
        problems=tuple(sorted(problems, key=lambda problem: problem.line)),
        rows=rows,
    )


_READ_AS: dict[str, Callable[[str, str], Any]] = {
    "temperature": units.temperature_c,
    "want": units.level_dbm,
    "budget": units.loss_db,
    "power": units.power_dbm,
    "settings": units.power_range,
    "gain": units.gain,
    "size": units.length_m,
    "length": units.length_m,
    "bend": units.length_m,
    "service_loop": units.length_m,
    "drip_loop": units.length_m,
    "arrestor": units.length_m,
    "splitter": units.length_m,
    "pigtail": units.length_m,
}
SHARED = frozenset(WISHES)
"""Keys of [site] that hold for every antenna which does not say otherwise."""


def _named(
    blocks: list[Block], name: str, file: str, problems: list[Problem], make: Callable[[Row], Any]
) -> dict[str, Any]:
    """What each block of a name makes, by its id; none where the block is bad, so its users can say so."""
    found: dict[str, Any] = {}
    for block in blocks:
        if block.name != name:
            continue
        if block.broken:
            found.setdefault(block.values.get("id", ""), None)
            continue
        row = Row(block, file)
        key = row.text("id", needed=True)
        if key and key in found:
            row.wrong("id", "twice", id=key, block=name)
        made = make(row) if key else None
        problems += row.problems
        if key and (key not in found or not row.problems):
            found[key] = None if row.problems else made
    return found


def _route(row: Row) -> dict[str, Any]:
    """A route's values, tried here so that a fault is told once, where it stands."""
    for key in ("length", "bend", "temperature", "service_loop", "drip_loop"):
        row.quantity(key, _READ_AS[key])
    row.flag("outdoor")
    row.flag("riser")
    return row.block.values


def _reader(row: Row, shared: dict[str, Any], tables: CableTables, find_port: FindPort) -> _Reader | None:
    full = Row(row.block, row.file, (shared,))
    full.problems = row.problems
    port = full.port("port", find_port)
    settings, most = full.quantity("settings", units.power_range), full.quantity("power", units.power_dbm)
    try:
        power = settings if most is None else (settings or tables.usual_reader).up_to(most)
    except InputError as error:
        full.wrong("power", "power", dbm=most or 0.0, words=str(error))
        return None
    return None if port is None else _Reader(port, power)


def _run(
    row: Row,
    radio: _Radio,
    readers: dict[str, _Reader | None],
    routes: dict[str, dict[str, Any] | None],
    shared: dict[str, Any],
    tables: CableTables,
    find_port: FindPort,
) -> SiteRun | None:
    reader_id = row.text("reader", needed=True)
    reader = readers.get(reader_id)
    if reader_id and reader is None:
        row.wrong("reader", "user_unread" if reader_id in readers else "user_missing", block="reader", id=reader_id)
    route_id = row.text("route")
    route = routes.get(route_id) if route_id else {}
    if route is None:
        row.wrong("route", "user_unread" if route_id in routes else "user_missing", block="route", id=route_id)
        route = {}
    full = Row(row.block, row.file, (route, shared))
    full.problems = row.problems
    port = full.port("port", find_port)
    read = {key: full.quantity(key, _READ_AS[key]) for key in ("temperature", "want", "gain", "size", "length", "bend")}
    read |= {key: full.quantity(key, _READ_AS[key]) for key in ("budget", "service_loop", "drip_loop", "pigtail")}
    if read["want"] is not None and read["budget"] is not None:
        full.wrong("budget", "want_or_budget")
    if read["pigtail"] is not None and read["pigtail"] > LONGEST_PIGTAIL_M:
        full.wrong("pigtail", "pigtail_long", length_m=read["pigtail"], most_m=LONGEST_PIGTAIL_M)
    if full.raw("length") is None:
        full.wrong("length", "no_length")
    bound = full.text("class")
    if bound and bound not in tables.classes:
        full.wrong("class", "class", cable=bound, known=", ".join(tables.classes))
    elif bound and not tables.classes[bound].loss_known:
        full.wrong("class", "class_unknown_loss", cable=bound)
    outdoor, riser = full.flag("outdoor"), full.flag("riser")
    number = _port_number(full)
    angles = _angles(full)
    inline = _inline(full, read)
    if full.problems or reader is None or port is None:
        return None
    warmth = read["temperature"]
    return SiteRun(
        antenna_id=row.text("id"),
        reader_id=reader_id,
        route=route_id,
        line=row.block.line,
        run=Run(
            reader=reader.port.half,
            antenna=port.half,
            length_m=read["length"],
            region=radio.judged,
            frequency_mhz=radio.frequency_mhz,
            channels=radio.channels,
            power=reader.power,
            gain=read["gain"],
            antenna_size_m=read["size"],
            temperature_c=TABLE_TEMPERATURE_C if warmth is None else warmth,
            want_dbm=read["want"],
            budget_db=read["budget"],
            bend_mm=None if read["bend"] is None else read["bend"] * 1000,
            outdoor=outdoor,
            riser=riser,
            right_angle=angles,
            inline=inline,
            pigtail_m=read["pigtail"],
            service_loop_m=read["service_loop"] or 0.0,
            drip_loop_m=read["drip_loop"] or 0.0,
        ),
        bound_to=bound,
        reader_port=number,
        doubts=(reader.port.doubt, port.doubt),
        told=(*on_ports((reader.port, port)), *of_names((reader.port, port))),
    )


def _apart(row: Row, run: SiteRun | None, taken: set[tuple[str, int]]) -> SiteRun | None:
    """The run, unless another one is on the same port of the same reader already."""
    if run is None or run.reader_port is None:
        return run
    place = (run.reader_id, run.reader_port)
    if place in taken:
        row.wrong("reader_port", "port_taken", reader=run.reader_id, number=run.reader_port)
        return None
    taken.add(place)
    return run


def _port_number(row: Row) -> int | None:
    value = row.raw("reader_port")
    if value is None or (isinstance(value, int) and not isinstance(value, bool) and 0 < value <= 999):
        return value
    row.wrong("reader_port", "reader_port", value=repr(value))
    return None


def _angles(row: Row) -> tuple[bool, bool]:
    """Which ends are to be right-angle ones."""
    said = row.text("right_angle")
    if said not in ("", "reader", "antenna", "both"):
        row.wrong("right_angle", "right_angle", value=repr(said))
    return said in ("reader", "both"), said in ("antenna", "both")


def _inline(row: Row, read: dict[str, Any]) -> Inline | None:
    """The arrestor or splitter in a run, which must stand within it."""
    said = [(kind, at) for kind in InlineKind if (at := row.quantity(kind.value, units.length_m)) is not None]
    if len(said) > 1:
        row.wrong(InlineKind.SPLITTER, "one_inline")
    if not said:
        return None
    kind, at_m = said[0]
    whole = sum(read[key] or 0.0 for key in ("length", "service_loop", "drip_loop"))
    if read["length"] is not None and at_m >= whole:
        row.wrong(kind, "inline_beyond", kind=kind.value, at_m=at_m, length_m=whole)
    return Inline(kind, at_m)
