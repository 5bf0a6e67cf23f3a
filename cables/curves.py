"""Loss over length for every class, with the loss the law asks for and the loss the target allows."""

from __future__ import annotations

import math
from typing import NamedTuple

import msgspec

from coaxtell.cables import limits
from coaxtell.cables.assembly import ASSUMED_GAIN, Assembly
from coaxtell.cables.classes import temperature_factor
from coaxtell.cables.limits import Legal
from coaxtell.cables.ranking import Choice
from coaxtell.cables.reasons import because
from coaxtell.cables.tables import CableTables
from coaxtell.cables.target import Target
from coaxtell.models.catalogue import Reason


class Curve(msgspec.Struct, frozen=True):
    """One class's loss: name, loss per metre [dB/m], and whether it is the one chosen."""

    name: str
    db_per_m: float
    first: bool

    def at(self, length_m: float) -> float:
        """Loss of a length [m] in [dB]."""
        return self.db_per_m * length_m


class Curves(msgspec.Struct, frozen=True):
    """Curves of one run with its window: length [m], setting and wish [dBm], losses at its bounds [dB]."""

    curves: tuple[Curve, ...]
    length_m: float
    frequency_mhz: float
    power_dbm: float
    target: Target
    least_db: float
    """Loss below which the antenna radiates more than the limit; 0 where any length is legal."""
    most_db: float
    """Cable loss above which the target is missed at worst."""
    conducted_broken: bool
    """True where the setting breaks the conducted limit, so no length is legal."""
    by_grant: bool
    """True where the setting lies over what the letter allows, so the window is legal only by grant."""
    gain_assumed: bool


def curves(choice: Choice, tables: CableTables, chosen: Assembly | None = None) -> Curves:
    """The curves of a choice, for the setting of the chosen assembly, else of the first."""
    run = choice.run
    first = choice.ranked[0].assembly if chosen is None else chosen
    gain = run.gain if run.gain is not None else ASSUMED_GAIN
    warm = temperature_factor(tables.joints.temperature.nominal, run.temperature_c)
    found = [
        Curve(c.name, c.loss_db(1.0, run.frequency_mhz, warm), c.name == first.cable.name)
        for c in tables.classes.values()
        if c.loss_known
    ]
    apart = first.loss.worst_db - first.loss.worst_cable_db
    bare = limits.checks(run.region, run.channels, gain, 0.0, first.power_dbm)
    by_name = {check.name: check for check in bare}
    radiated = by_name["radiated"]
    conducted = by_name.get("conducted")
    return Curves(
        curves=tuple(sorted(found, key=lambda curve: curve.db_per_m)),
        length_m=run.cable_m,
        frequency_mhz=run.frequency_mhz,
        power_dbm=first.power_dbm,
        target=choice.target,
        least_db=0.0 if radiated.passed else radiated.level_dbm - radiated.limit_dbm,
        most_db=max(0.0, choice.target.most_db - apart) * first.loss.cable_db / first.loss.worst_cable_db,
        conducted_broken=conducted is not None and not conducted.passed,
        by_grant=first.settings.judge(first.power_dbm) is not Legal.YES,
        gain_assumed=run.gain is None,
    )


class Band(NamedTuple):
    """Losses [dB] from `low` to `high` that a run should keep out of: over the limits, or short of the target."""

    low: float
    high: float
    over: bool
    why: Reason


def bands(data: Curves) -> list[Band]:
    """What bounds the clear window, the limits first."""
    if data.conducted_broken:
        return [Band(0.0, math.inf, True, because("curve.conducted"))]
    radiated = [Band(0.0, data.least_db, True, because("curve.radiated"))] if data.least_db > 0 else []
    return [*radiated, Band(data.most_db, math.inf, False, because("curve.short", wish=data.target.reason))]


def reach(data: Curves, least_m: float = 2.0) -> tuple[float, float]:
    """How far a plot of the curves should reach: length [m] and loss [dB], every class's run of this length inside."""
    longest = max(curve.at(data.length_m) for curve in data.curves)
    return max(1.2 * data.length_m, least_m), max(3.0, 1.05 * longest, 1.25 * data.most_db, 1.3 * data.least_db)
