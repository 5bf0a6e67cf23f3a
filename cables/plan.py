"""A whole site planned: an assembly per run, the order list with spares, labels, port list, checks on arrival."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from coaxtell.cables.assembly import Assembly
from coaxtell.cables.cautions import safety
from coaxtell.cables.doubt import doubtful
from coaxtell.cables.ends import Matings
from coaxtell.cables.links import Link
from coaxtell.cables.loss import bench_db
from coaxtell.cables.order import beside_orders, link_order, piece_order
from coaxtell.cables.pieces import INLINE_PORT, Piece
from coaxtell.cables.ports import PortList, SitePort
from coaxtell.cables.ranking import Choice, Ranked, choose
from coaxtell.cables.reasons import because, chained, distinct
from coaxtell.cables.run import Run
from coaxtell.cables.site import Site, SiteRun
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half

IN_A_FILE = {
    "caution.no_reader": "plan.no_reader",
    "caution.usual_budget": "plan.usual_budget",
    "caution.usual_with_part": "plan.usual_with_part",
    "caution.dbic_other": "plan.dbic_other",
}
"""What a run is told to give as an option of `cable` is told of a plan as what to write in its site file."""


class PlannedRun(msgspec.Struct, frozen=True):
    """One run of the site with what was chosen for it, or why nothing was."""

    asked: SiteRun
    choice: Choice
    chosen: Ranked | None
    why_none: Reason | None
    look_again: tuple[Reason, ...]
    """What is not settled of its ports; such a run is worked out and not ordered."""

    @property
    def name(self) -> str:
        """Reader, with the number of its port where that was said, and antenna, as labels state them."""
        number = "" if self.asked.reader_port is None else f":{self.asked.reader_port}"
        return say(because("plan.run", reader=f"{self.asked.reader_id}{number}", antenna=self.asked.antenna_id))

    @property
    def made_up(self) -> tuple[tuple[str, Piece], ...]:
        """Its made-up cables by name: its own, numbered from the reader where there are several, and its pigtail."""
        if self.chosen is None:
            return ()
        assembly = self.chosen.assembly
        several = len(assembly.pieces) > 1
        names = [
            say(because("plan.piece", run=self.name, number=number)) if several else self.name
            for number in range(1, len(assembly.pieces) + 1)
        ]
        own = tuple(zip(names, assembly.pieces, strict=True))
        if assembly.pigtail is None:
            return own
        return (*own, (say(because("plan.pigtail", run=self.name)), assembly.pigtail))


class OrderLine(msgspec.Struct, frozen=True):
    """One line of the order: what it is, how many are needed and how many spare, and the runs they serve."""

    item: Reason
    needed: int
    spares: int
    runs: tuple[str, ...]
    bench_db: float | None
    """What an analyser should read on one of them at +25 C [dB]; none for an adapter."""
    most_db: float | None
    """The most a good one loses there [dB]."""
    price: float | None

    @property
    def quantity(self) -> int:
        """How many to order."""
        return self.needed + self.spares


class Label(msgspec.Struct, frozen=True):
    """A label for one cable end: the run, which end it is, the port it goes onto and the cable."""

    run: str
    place: str
    equipment: str
    port: Half
    end: Half
    cable: Reason
    through: Reason | None
    """The adapter or jumper between this end and the port; none where there is none."""


class Plan(msgspec.Struct, frozen=True):
    """The plan of a site: runs, order, labels, ports, cautions and what to check on arrival."""

    site: Site
    runs: tuple[PlannedRun, ...]
    order: tuple[OrderLine, ...]
    labels: tuple[Label, ...]
    ports: PortList
    cautions: tuple[Reason, ...]
    checks: tuple[Reason, ...]
    currency: str

    @property
    def without_cable(self) -> tuple[PlannedRun, ...]:
        """Runs for which no class can be built within the rules."""
        return tuple(run for run in self.runs if run.chosen is None)

    @property
    def short(self) -> tuple[PlannedRun, ...]:
        """Runs whose cable does not bring what was wanted, the plus-minus of its loss counted against it."""
        return tuple(run for run in self.runs if run.chosen is not None and run.chosen.missed is not None)

    @property
    def unsettled(self) -> tuple[PlannedRun, ...]:
        """Runs with a port that is to be looked at again before anything is ordered for it."""
        return tuple(run for run in self.runs if run.look_again)


def _planned(asked: SiteRun, matings: Matings, tables: CableTables, site: Site) -> PlannedRun:
    choice = choose(asked.run, matings, tables, site.prefer)
    ranked = [r for r in choice.ranked if not asked.bound_to or r.assembly.cable.name == asked.bound_to]
    first = ranked[0]
    if first.orderable:
        return PlannedRun(asked, choice, first, None, doubtful(asked.doubts, first.assembly, matings))
    code = "plan.bound" if asked.bound_to else "plan.nearest"
    why = because(code, cable=first.assembly.cable.name, reason=first.reasons[0])
    return PlannedRun(asked, choice, None, why, doubtful(asked.doubts, None, matings))


def _order(runs: Iterable[PlannedRun], site: Site, tables: CableTables) -> tuple[OrderLine, ...]:
    """Equal assemblies in one line; which end is called A plays no part."""
    cables: dict[tuple[object, ...], list[tuple[str, Assembly, Piece, Run]]] = {}
    links: dict[tuple[str, str, bool], list[tuple[str, Link]]] = {}
    beside: dict[str, list[tuple[str, Reason]]] = {}
    for run in runs:
        if run.chosen is None or run.look_again:
            continue
        assembly, asked = run.chosen.assembly, run.asked.run
        tail = () if assembly.pigtail is None else (assembly.pigtail,)
        for name, piece in run.made_up:
            ends = sorted((end.id, bent) for end, bent in zip(piece.ends, piece.right_angle, strict=True) if end)
            key = (piece.cable.name, round(piece.length_m, 3), tuple(ends), assembly.jacket, piece in tail)
            cables.setdefault(key, []).append((name, assembly, piece, asked))
        for link in (part for side in assembly.links for part in side):
            pair = (link.outer.id, link.inner.id)
            links.setdefault((min(pair), max(pair), link.jumper), []).append((run.name, link))
        for part in beside_orders(assembly, asked.frequency_mhz):
            beside.setdefault(repr(part), []).append((run.name, part))
    lines = []
    for users in cables.values():
        _, assembly, piece, asked = users[0]
        expected, most = bench_db(piece, asked.frequency_mhz, tables)
        pigtail = piece == assembly.pigtail
        # the run's jacket is not that of another class inside an enclosure
        words = piece_order(piece, None if pigtail else assembly.jacket, tables)
        lines.append(
            OrderLine(
                item=because("order.pigtail", cable=words) if pigtail else words,
                needed=len(users),
                spares=site.spares.of(len(users)),
                runs=tuple(name for name, *_ in users),
                bench_db=expected,
                most_db=most,
                price=_cable_price(piece, tables),
            )
        )
    for joined in links.values():
        _, link = joined[0]
        outer, inner = link.outer, link.inner
        listed = tables.prices.adapters if tables.prices is not None else {}
        lines.append(
            OrderLine(
                item=link_order(link),
                needed=len(joined),
                spares=site.spares.of(len(joined)),
                runs=tuple(name for name, _ in joined),
                bench_db=None,
                most_db=None,
                price=listed.get(f"{outer.id}+{inner.id}", listed.get(f"{inner.id}+{outer.id}")),
            )
        )
    for parts in beside.values():
        lines.append(
            OrderLine(
                item=parts[0][1],
                needed=len(parts),
                spares=0,
                runs=tuple(name for name, _ in parts),
                bench_db=None,
                most_db=None,
                price=None,
            )
        )
    return tuple(lines)


def _cable_price(piece: Piece, tables: CableTables) -> float | None:
    if tables.prices is None:
        return None
    ends = [end.id for end in piece.ends if end is not None]
    return tables.prices.of(piece.cable.name, piece.length_m, ends, [])


def _labels(runs: Iterable[PlannedRun], inline_port: Half) -> tuple[Label, ...]:
    found = []
    for run in runs:
        if run.chosen is None or run.look_again:
            continue
        assembly, asked = run.chosen.assembly, run.asked
        onto = asked.run.reader if assembly.pigtail is None else inline_port
        first = "reader" if assembly.pigtail is None else "enclosure"
        outer = ((first, asked.reader_place, onto), ("antenna", asked.antenna_id, asked.run.antenna))
        last = len(assembly.pieces) - 1
        names = [name for name, _ in run.made_up]
        if assembly.pigtail is not None:
            # its other end is itself the jack in the enclosure's wall, onto which the cable goes
            tail, end = assembly.pigtail, assembly.pigtail.ends[0]
            assert end is not None
            cable = because("label.cable", cable=tail.cable.name, length_m=tail.length_m)
            found.append(Label(names[-1], "reader", asked.reader_place, asked.run.reader, end, cable, None))
        for number, piece in enumerate(assembly.pieces):
            cable = because("label.cable", cable=piece.cable.name, length_m=piece.length_m)
            for side, end in enumerate(piece.ends):
                assert end is not None
                if number == (0, last)[side]:
                    place, equipment, port = outer[side]
                    links = assembly.links[side]
                else:
                    assert assembly.inline is not None
                    place, equipment, port = assembly.inline.kind.value, assembly.inline.kind.value, inline_port
                    links = ()
                # The label hangs on the cable: what its end goes onto is the adapter where there is one.
                goes_onto = links[-1].inner if links else port
                chain = chained("label.then", [_through(link) for link in reversed(links)]) if links else None
                found.append(Label(names[number], place, equipment, goes_onto, end, cable, chain))
    return tuple(found)


def _through(link: Link) -> Reason:
    code = "label.jumper" if link.jumper else "label.adapter"
    return because(code, inner=link.inner.name, outer=link.outer.name)


def _ports(runs: Iterable[PlannedRun], name: str) -> PortList:
    """Every settled port of the site once per kind, each piece of equipment's port counted once per run."""
    where: dict[str, dict[str, None]] = {}
    count: dict[str, int] = {}
    takes: dict[str, str] = {}
    for run in runs:
        ends = run.chosen.assembly.ends if run.chosen is not None else (None, None)
        adapters = run.chosen.assembly.adapters if run.chosen is not None else ((), ())
        asked = run.asked
        for port, equipment, end, chain, doubt in (
            (asked.run.reader, asked.reader_id, ends[0], adapters[0], asked.doubts[0]),
            (asked.run.antenna, asked.antenna_id, ends[1], adapters[1], asked.doubts[1]),
        ):
            if doubt is not None:
                continue
            where.setdefault(port.id, {})[equipment] = None
            count[port.id] = count.get(port.id, 0) + 1
            joined = chain[0].outer if chain else end
            if joined is not None:
                takes.setdefault(port.id, joined.id)
    ports = [SitePort(key, count[key], list(names), takes.get(key, "")) for key, names in where.items()]
    return PortList(name, ports)


def _checks(order: Iterable[OrderLine], tables: CableTables) -> tuple[Reason, ...]:
    found = [Reason(f"delivery.{what}") for what in ("count", "caps", "look", "ohms", "by_hand")]
    for line in order:
        if line.bench_db is not None and line.most_db is not None:
            count = len(line.runs) - 1
            more = because("delivery.more", count=count) if count else ""
            expected, most = line.bench_db, line.most_db
            found.append(because("delivery.analyser", run=line.runs[0], more=more, bench_db=expected, most_db=most))
    if any(check.code == "delivery.analyser" for check in found):
        found.append(because("delivery.limit", warmth_c=tables.arrival.warmth.nominal))
    return tuple(found)


def _of_a_file(caution: Reason) -> Reason:
    return Reason(IN_A_FILE.get(caution.code, caution.code), caution.values)


def plan(site: Site, matings: Matings, tables: CableTables) -> Plan:
    """The plan of a site.

    Raises InputError where prices are preferred and the user gave none.
    """
    runs = [_planned(asked, matings, tables, site) for asked in site.runs]
    order = _order(runs, site, tables)
    cautions = [because("plan.told", run=run.name, what=what) for run in runs for what in run.asked.told]
    cautions += [] if site.region_from is None else [site.region_from]
    for run in runs:
        # What is said on people and distance differs from run to run and stands with it.
        cautions += [_of_a_file(caution) for caution in run.choice.cautions if caution.code != "caution.people"]
    return Plan(
        site=site,
        runs=tuple(runs),
        order=order,
        labels=_labels(runs, matings.halves[INLINE_PORT]),
        ports=_ports(runs, site.name),
        cautions=distinct((*safety(), *cautions)),
        checks=_checks(order, tables),
        currency=tables.prices.currency if tables.prices is not None else "",
    )
