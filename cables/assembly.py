"""One run worked out on one cable class: ends, loss, levels, legality and what speaks against it."""

from __future__ import annotations

import msgspec

from coaxtell.cables import limits, objections
from coaxtell.cables.adapters import Adapter
from coaxtell.cables.classes import CableClass
from coaxtell.cables.ends import Matings
from coaxtell.cables.exposure import Exposure, exposure
from coaxtell.cables.limits import Check, Legal, Settings
from coaxtell.cables.links import Link, links
from coaxtell.cables.loss import Loss, loss_of
from coaxtell.cables.pieces import INLINE_PORT, Inline, Piece, pieces, pigtail
from coaxtell.cables.prices import Prices
from coaxtell.cables.reasons import because
from coaxtell.cables.run import Run
from coaxtell.cables.sides import Side, side_of
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import Gain, GainUnit
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half

ASSUMED_GAIN = Gain(6.0, GainUnit.DBI)
"""Gain taken where none is given; nothing is then called legal on it."""


class Assembly(msgspec.Struct, frozen=True, kw_only=True):
    """A cable for one run: class, length [m], ends, adapters, loss [dB], levels [dBm] and judgements."""

    cable: CableClass
    length_m: float
    ends: tuple[Half | None, Half | None]
    adapters: tuple[tuple[Adapter, ...], tuple[Adapter, ...]]
    links: tuple[tuple[Link, ...], tuple[Link, ...]]
    """What is ordered beside the cable at either side: the adapters, and jumpers where it is too heavy."""
    pieces: tuple[Piece, ...]
    """The cable as it is made up: one piece, or two round an inline part."""
    pigtail: Piece | None
    inline: Inline | None
    sealed: int
    """Joints that stand in the weather."""
    jacket: str | None
    loss: Loss
    power_dbm: float
    settings: Settings
    checks: tuple[Check, ...]
    at_antenna_dbm: float
    expected_dbm: float
    eirp_dbm: float
    erp_dbm: float
    legal: Legal
    exposure: Exposure
    price: float | None
    not_legal: tuple[Reason, ...]
    not_buildable: tuple[Reason, ...]
    not_sensible: tuple[Reason, ...]
    notes: tuple[Reason, ...]

    @property
    def buildable(self) -> bool:
        """True where nothing stands against making it."""
        return not self.not_buildable

    @property
    def over_limit_db(self) -> float:
        """How far the reader's lowest setting lies above the limits [dB]; 0 where a setting keeps them."""
        over = self.power_dbm - self.settings.highest_dbm
        return over if over > limits.PRINTED_DB else 0.0

    @property
    def adapter_count(self) -> int:
        """Adapters at both ends together."""
        return len(self.adapters[0]) + len(self.adapters[1])

    @property
    def parts(self) -> int:
        """Separate parts to order: the cable, its adapters, jumpers where they are needed, what stands inline."""
        own = len(self.pieces) + (self.pigtail is not None) + (self.inline is not None)
        return own + sum(len(side) for side in self.links)


def work_out(run: Run, cable: CableClass, matings: Matings, tables: CableTables) -> Assembly:
    """The run on one class of known loss, with everything that speaks for or against it.

    Raises ValueError where the class's loss is unknown, InputError where the region knows no such system.
    """
    onto = run.reader if run.pigtail_m is None else matings.halves[INLINE_PORT]
    tail = None if run.pigtail_m is None else pigtail(run.reader, run.pigtail_m, matings, tables)
    ports = (onto, run.antenna)
    sides = (side_of(matings, cable, onto), side_of(matings, cable, run.antenna))
    ends = (sides[0].end, sides[1].end)
    made = pieces(cable, run.cable_m, ends, run.right_angle, run.inline, matings)
    beside = (links(cable, sides[0], onto, tables), links(cable, sides[1], run.antenna, tables))
    loss = loss_of(run, cable, sides, tail, beside, tables)
    gain = run.gain if run.gain is not None else ASSUMED_GAIN
    settings = limits.settings(run.region, run.channels, gain, loss.least_cable_db)
    reader = run.power or tables.usual_reader
    allowed = reader.at_most(settings.highest_dbm)
    power = reader.lowest_dbm if allowed is None else allowed
    checks = limits.checks(run.region, run.channels, gain, loss.least_cable_db, power)
    legal = settings.judge(power)
    not_legal = []
    if legal is Legal.NO:
        not_legal = [check.broken for check in checks if not check.passed]
    elif run.gain is None:
        legal = Legal.BY_GRANT
    expected = power - loss.total_db
    # settings are not raised for a splitter: its two antennas radiate the same signal, and may add up
    arrives = power - loss.cable_db - (0.0 if run.inline is None else run.inline.certain_db)
    jacket = objections.jacket_for(run, cable, tables)
    radiated = power - loss.least_cable_db + limits.isotropic_dbi(gain)
    against = objections.against_building(run, cable, ports, sides, jacket, power)
    if any(None in piece.ends for piece in made) and None not in ends:
        against.append(because("build.no_inline_end", cable=cable.name))
    if run.pigtail_m is not None and tail is None:
        against.append(because("build.no_pigtail", port=run.reader.name))
    price = None if tables.prices is None or None in ends else _price(made, sides, tables.prices)
    return Assembly(
        cable=cable,
        length_m=run.cable_m,
        ends=ends,
        adapters=(sides[0].adapters, sides[1].adapters),
        pieces=made,
        pigtail=tail,
        inline=run.inline,
        sealed=_sealed(run, beside),
        links=beside,
        jacket=jacket,
        loss=loss,
        power_dbm=power,
        settings=settings,
        checks=checks,
        at_antenna_dbm=arrives,
        expected_dbm=expected,
        eirp_dbm=arrives + limits.judged_gain_dbi(run.region, gain),
        erp_dbm=arrives + limits.judged_gain_dbi(run.region, gain) - limits.DIPOLE_DB,
        legal=legal,
        exposure=exposure(
            run.region,
            run.frequency_mhz,
            radiated,
            run.antenna_size_m,
            tables.joints.ground_reflection.nominal,
        ),
        price=price,
        not_legal=tuple(not_legal),
        not_buildable=tuple(against),
        not_sensible=tuple(objections.against_sense(run, cable, ports, sides, tables, power)),
        notes=tuple(objections.notes(run, cable, ports, sides, jacket, tables)),
    )


def _sealed(run: Run, beside: tuple[tuple[Link, ...], tuple[Link, ...]]) -> int:
    """Joints of a run outdoors that stand in the weather: those at the antenna and round an inline part."""
    if not run.outdoor:
        return 0
    return 1 + len(beside[1]) + (0 if run.inline is None else 2)


def _price(made: tuple[Piece, ...], sides: tuple[Side, Side], prices: Prices) -> float | None:
    """The cables and adapters of a run by the user's own prices; none where the table lacks one of them."""
    bought = [(a.outer.id, a.inner.id) for side in sides for a in side.adapters]
    parts = [prices.of(p.cable.name, p.length_m, [e.id for e in p.ends if e], []) for p in made]
    beside = prices.of(made[0].cable.name, 0.0, [], bought)
    known = [part for part in (*parts, beside) if part is not None]
    return sum(known) if len(known) == len(parts) + 1 else None
