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
from coaxtell.cables.run import Run
from coaxtell.cables.sides import side_of
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
        """Separate parts to order: the cable, its adapters, and jumpers where they are needed."""
        return 1 + sum(len(side) for side in self.links)


def work_out(run: Run, cable: CableClass, matings: Matings, tables: CableTables) -> Assembly:
    """The run on one class of known loss, with everything that speaks for or against it.

    Raises ValueError where the class's loss is unknown, InputError where the region knows no such system.
    """
    sides = (side_of(matings, cable, run.reader), side_of(matings, cable, run.antenna))
    loss = loss_of(run, cable, sides, tables)
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
    jacket = objections.jacket_for(run, cable, tables)
    radiated = power - loss.least_cable_db + limits.isotropic_dbi(gain)
    price = None
    if tables.prices is not None and sides[0].end is not None and sides[1].end is not None:
        bought = [(a.outer.id, a.inner.id) for side in sides for a in side.adapters]
        price = tables.prices.of(cable.name, run.cable_m, [s.end.id for s in sides if s.end], bought)
    return Assembly(
        cable=cable,
        length_m=run.cable_m,
        ends=(sides[0].end, sides[1].end),
        adapters=(sides[0].adapters, sides[1].adapters),
        links=(links(cable, sides[0], run.reader, tables), links(cable, sides[1], run.antenna, tables)),
        jacket=jacket,
        loss=loss,
        power_dbm=power,
        settings=settings,
        checks=checks,
        at_antenna_dbm=power - loss.cable_db,
        expected_dbm=expected,
        eirp_dbm=power - loss.cable_db + limits.judged_gain_dbi(run.region, gain),
        erp_dbm=power - loss.cable_db + limits.judged_gain_dbi(run.region, gain) - limits.DIPOLE_DB,
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
        not_buildable=tuple(objections.against_building(run, cable, sides, jacket, power)),
        not_sensible=tuple(objections.against_sense(run, cable, sides, tables)),
        notes=tuple(objections.notes(run, cable, sides, jacket, tables)),
    )
