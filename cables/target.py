"""What a run has to bring: power at the antenna, the legal limit there, or a loss that is not to be passed."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import msgspec

from coaxtell.cables import limits
from coaxtell.cables.assembly import ASSUMED_GAIN, Assembly
from coaxtell.cables.reasons import because
from coaxtell.cables.run import Run
from coaxtell.cables.tables import CableTables
from coaxtell.models.catalogue import Reason

MET_DB = 0.005
"""Half of the last digit that losses are printed with [dB]: what is short by less counts as met."""
_ENDLESS_DB = 1000.0


class Aim(StrEnum):
    """What the target of a run is."""

    WANT = "want"
    LIMIT = "limit"
    BUDGET = "budget"
    USUAL = "usual"


class Target(msgspec.Struct, frozen=True):
    """What has to be met: its kind, the most that may be lost [dB], and what has to arrive [dBm] where that is said.

    `beyond_any` is True where what has to arrive lies beyond any cable: no class meets it, and the thinnest that loses
    no more than the usual budget comes first.
    """

    aim: Aim
    most_db: float
    want_dbm: float | None = None
    beyond_any: bool = False
    usual_db: float = 0.0
    """The usual loss [dB], which orders the classes where none can meet the target."""

    @property
    def reason(self) -> Reason:
        """The target in words."""
        want = {} if self.want_dbm is None else {"want_dbm": self.want_dbm}
        return because(f"aim.{self.aim.value}", most_db=self.most_db, **want)

    def miss_db(self, assembly: Assembly) -> float:
        """How much an assembly misses it by, its plus-minus counted against it [dB]; 0 where it is met."""
        worst = assembly.loss.worst_db
        missed = worst - self.most_db if self.want_dbm is None else self.want_dbm - (assembly.power_dbm - worst)
        return missed if missed > MET_DB else 0.0

    def rank_db(self, assembly: Assembly) -> float:
        """What an assembly is ranked by [dB]: what it misses, and where none can meet the target the usual loss."""
        if not self.beyond_any:
            return self.miss_db(assembly)
        return max(0.0, assembly.loss.worst_db - self.usual_db - MET_DB)

    def reach_m(self, assembly: Assembly) -> float:
        """The longest run of this kind that meets it [m]; 0 where none does."""
        per_m = assembly.loss.worst_cable_db / assembly.length_m
        fixed = assembly.loss.worst_db - assembly.loss.worst_cable_db
        return max(0.0, (self.most_db - fixed) / per_m)


def highest_dbm(run: Run, tables: CableTables, cable_db: float) -> float:
    """The reader's highest setting within the limits, with a cable of this loss [dB]; else its lowest."""
    gain = run.gain if run.gain is not None else ASSUMED_GAIN
    allowed = limits.settings(run.region, run.channels, gain, cable_db).highest_dbm
    reader = run.power or tables.usual_reader
    within = reader.at_most(allowed)
    return reader.lowest_dbm if within is None else within


def target_of(run: Run, assemblies: Sequence[Assembly], tables: CableTables) -> Target:
    """The target of a run: what was asked for, else the legal limit where some class brings it, else a usual loss.

    A wish stays the target even where reader and limits alone keep it from being met; then no class meets it, as none
    is to blame, and the usual loss orders them.
    """
    part_db = 0.0 if run.inline is None else run.inline.loss(tables).nominal
    usual = Target(Aim.USUAL, tables.practice.loss_budget.nominal + part_db)
    if run.budget_db is not None:
        return Target(Aim.BUDGET, run.budget_db)
    top = highest_dbm(run, tables, _ENDLESS_DB)
    if run.want_dbm is not None:
        bare = highest_dbm(run, tables, 0.0)
        least = min((a.loss.worst_db - a.loss.worst_cable_db for a in assemblies), default=0.0)
        beyond = bare - least < run.want_dbm
        return Target(Aim.WANT, top - run.want_dbm, run.want_dbm, beyond, usual.most_db)
    gain = run.gain if run.gain is not None else ASSUMED_GAIN
    limit = Target(Aim.LIMIT, top - limits.settings(run.region, run.channels, gain, 0.0).by_radiated_dbm)
    serves = any(a.buildable and not limit.miss_db(a) for a in assemblies)
    return limit if serves else usual
