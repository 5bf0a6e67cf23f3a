"""What a region's radio rules allow: the two readings of the highest setting, each with its clause."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

import msgspec

from coaxtell.cables.reasons import because
from coaxtell.cables.units import Gain, GainUnit, counted_in, dbm_to_watts, watts_to_dbm
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import RefusedError
from coaxtell.models.measure import Grade, Measure

PRINTED_DB = 0.005
"""Half of the last digit that levels are printed with [dB]: a setting typed as printed stays allowed."""

DIPOLE_DB = 2.15
"""e.i.r.p. over e.r.p., and dBi over dBd [dB]: gain of a half-wave dipole, 10 log10(1.6409)."""


_UNITS = {
    "band": "MHz", "usual": "MHz", "exposure": "MHz/(W/m2)", "occupational": "MHz/(W/m2)", "circular": "dB",
    "free_gain": "dBi", "radiated": "W",
}  # fmt: skip
"""What each number of a region counts in."""


class Legal(StrEnum):
    """Whether a setting keeps the rules, as far as this program can say."""

    YES = "yes"
    BY_GRANT = "by-grant"
    NO = "no"

    @property
    def reason(self) -> Reason:
        """The verdict in words that promise no more than was judged."""
        return Reason(f"legal.{self.value}")


class ConductedLimit(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A limit at the reader's port [W] for hopping on at least so many channels, with its clause.

    Raises InputError where the limit is stated in another unit.
    """

    channels: int
    clause: str
    limit: Measure

    def __post_init__(self) -> None:
        counted_in(self.clause, self, {"limit": "W"})


class Region(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One region's rules: band [MHz], conducted and radiated limits [W], back-off, exposure limits.

    `exposure` and `occupational` are the number by which the frequency [MHz] is divided for the permitted
    power density [W/m2]. Without `radiated`, the radiated limit is conducted limit plus `free_gain` [dBi].

    Raises InputError where the name or a limit is missing, or a number lies where none can or has another unit.
    """

    name: str
    rule: str
    radiated_as: Literal["eirp", "erp"]
    radiated_clause: str
    exposure_rule: str
    occupational_rule: str
    band: Measure
    usual: Measure
    exposure: Measure
    occupational: Measure
    cautions: list[str]
    circular: Measure = Measure(grade=Grade.DERIVED, source=["geometry"], value=3.0, unit="dB")
    """Gain of a circular antenna in dBic over its gain for one linear component in dBi [dB]."""
    linear_reading: str = ""
    """Who reads the rule by the linear component, where the whole gain is the cautious reading."""
    grant: str = ""
    """The grant of the equipment that is said to count the linear component; empty where none is named."""

    @property
    def counts_linear(self) -> bool:
        """Whether limits are judged with the linear component of a circular gain: for e.r.p., or by a grant."""
        return self.radiated_as == "erp" or bool(self.grant)

    conducted: list[ConductedLimit] = []
    free_gain: Measure | None = None
    backoff_clause: str = ""
    radiated: Measure | None = None

    def __post_init__(self) -> None:
        if (self.radiated is None) == (not self.conducted or self.free_gain is None):
            raise RefusedError("cables.region_limits", name=self.name)
        if not self.name.strip():
            raise RefusedError("cables.region_name")
        counted_in(self.name, self, _UNITS)
        above_zero = [self.band, self.usual, self.exposure, self.occupational, *(c.limit for c in self.conducted)]
        above_zero += [] if self.radiated is None else [self.radiated]
        if not all(number.low > 0 and number.high < 1e9 for number in above_zero):
            raise RefusedError("cables.region_zero", name=self.name)
        if not self.band.low <= self.usual.nominal <= self.band.high:
            raise RefusedError("cables.region_usual", name=self.name)

    def by_linear(self, grant: str) -> Region:
        """The region judged by the linear component of a circular antenna's gain, as a grant of the equipment says.

        Raises InputError where its rules know no such reading, or the grant is not named.
        """
        if not self.linear_reading:
            raise RefusedError("cables.no_linear", name=self.name, rule=self.rule)
        if not grant.strip():
            raise RefusedError("cables.no_grant")
        return msgspec.structs.replace(self, grant=grant.strip())

    def conducted_limit(self, channels: int) -> ConductedLimit | None:
        """The limit at the port for this many channels; none where the region has no conducted limit.

        Raises InputError where the rules know no system with so few channels.
        """
        if not self.conducted:
            return None
        fitting = [limit for limit in self.conducted if channels >= limit.channels]
        if not fitting:
            least = min(limit.channels for limit in self.conducted)
            raise RefusedError("cables.channels", channels=channels, rule=self.rule, least=least)
        return max(fitting, key=lambda limit: limit.channels)


def isotropic_dbi(gain: Gain) -> float:
    """Gain over an isotropic radiator, both polarisations of a circular antenna together [dBi]."""
    return gain.value + (DIPOLE_DB if gain.unit is GainUnit.DBD else 0.0)


def judged_gain_dbi(region: Region, gain: Gain) -> float:
    """The gain a region's limits are judged with [dBi]: of a dBic figure the whole or its linear component."""
    less = region.circular.nominal if region.counts_linear and gain.unit is GainUnit.DBIC else 0.0
    return isotropic_dbi(gain) - less


class Check(msgspec.Struct, frozen=True):
    """One limit held against one setting: level and limit [dBm], with the clause."""

    name: str
    """One of conducted, back-off, radiated."""
    level_dbm: float
    limit_dbm: float
    clause: str

    @property
    def broken(self) -> Reason:
        """By how much the level breaks the limit."""
        check = Reason(f"check.{self.name}")
        return because(
            "check.broken", check=check, level_dbm=self.level_dbm, limit_dbm=self.limit_dbm, clause=self.clause
        )

    @property
    def passed(self) -> bool:
        """True where the level keeps the limit."""
        return self.level_dbm <= self.limit_dbm + PRINTED_DB


class Settings(msgspec.Struct, frozen=True):
    """The two highest settings of the reader [dBm] and why; by the letter is none without conducted limit."""

    by_letter_dbm: float | None
    by_letter_why: Reason
    by_radiated_dbm: float
    by_radiated_why: Reason
    by_linear_dbm: float | None = None
    """By the letter, were the linear gain counted; none where that is no other reading or the one in force."""
    by_whole_dbm: float | None = None
    """By the letter, were the whole gain counted, where a grant counts the linear one; none where that is no other."""

    @property
    def highest_dbm(self) -> float:
        """The setting to use where none was asked for: by the letter, else by radiated power [dBm]."""
        return self.by_radiated_dbm if self.by_letter_dbm is None else self.by_letter_dbm

    def judge(self, power_dbm: float) -> Legal:
        """Whether a setting [dBm] keeps both readings, lies between them, or breaks both."""
        readings = [self.by_radiated_dbm]
        if self.by_letter_dbm is not None:
            readings.append(self.by_letter_dbm)
        if power_dbm <= min(readings) + PRINTED_DB:
            return Legal.YES
        if power_dbm <= max(readings) + PRINTED_DB:
            return Legal.BY_GRANT
        return Legal.NO


def radiated_limit_dbm(region: Region, channels: int) -> float:
    """The limit at the antenna [dBm], in the region's own measure (e.i.r.p. or e.r.p.)."""
    if region.radiated is not None:
        return watts_to_dbm(region.radiated.nominal)
    conducted = region.conducted_limit(channels)
    assert conducted is not None
    assert region.free_gain is not None
    return watts_to_dbm(conducted.limit.nominal) + region.free_gain.nominal


def backoff_db(region: Region, gain: Gain) -> float:
    """How far the conducted power must be reduced for the antenna's gain [dB]; 0 up to the free gain."""
    if region.free_gain is None:
        return 0.0
    return max(0.0, judged_gain_dbi(region, gain) - region.free_gain.nominal)


def settings(region: Region, channels: int, gain: Gain, cable_db: float) -> Settings:
    """The two highest settings of a reader on a cable of this loss [dB] with an antenna of this gain.

    Only the cable's own loss counts at the antenna: joints are assumed figures, and an assumption must not
    excuse more power.

    Raises InputError where the region knows no system with so few channels.
    """
    as_dipole = DIPOLE_DB if region.radiated_as == "erp" else 0.0
    limit = radiated_limit_dbm(region, channels)
    gain_dbi = judged_gain_dbi(region, gain)
    radiated = limit + as_dipole - gain_dbi + cable_db

    def why(held: Reason | str) -> Reason:
        return because(
            "setting.radiated",
            limit_w=dbm_to_watts(limit),
            measure=Reason(f"setting.{region.radiated_as}"),
            limit_dbm=limit,
            gain_db=gain_dbi - as_dipole,
            over="dBd" if region.radiated_as == "erp" else "dBi",
            cable_db=cable_db,
            clause=region.radiated_clause,
            held=held,
        )

    conducted = region.conducted_limit(channels)
    if conducted is None:
        return Settings(None, because("setting.no_conducted", rule=region.rule), radiated, why(""))
    port = watts_to_dbm(conducted.limit.nominal)
    back = backoff_db(region, gain)
    less: Reason | str = ""
    if back > 0:
        less = because("setting.backoff", back_db=back, gain_dbi=gain_dbi, clause=region.backoff_clause)
    letter = because("setting.letter", limit_w=conducted.limit.nominal, clause=conducted.clause, backoff=less)
    if region.grant and gain.unit is GainUnit.DBIC:
        letter = because("setting.by_grant", why=letter, grant=region.grant, reading=region.linear_reading)
    linear = None
    if region.linear_reading and not region.grant and gain.unit is GainUnit.DBIC and back > 0:
        linear = port - backoff_db(region.by_linear("any"), gain)
    whole = None
    if region.grant and gain.unit is GainUnit.DBIC:
        whole_back = backoff_db(msgspec.structs.replace(region, grant=""), gain)
        whole = port - whole_back if whole_back > back else None
    held = because("setting.held", port_dbm=port, clause=conducted.clause) if radiated > port else ""
    return Settings(port - back, letter, min(radiated, port), why(held), linear, whole)


def checks(region: Region, channels: int, gain: Gain, cable_db: float, power_dbm: float) -> tuple[Check, ...]:
    """Each limit by itself for a setting [dBm]: conducted, back-off, radiated, as far as the region has them.

    Raises InputError where the region knows no system with so few channels.
    """
    found = []
    conducted = region.conducted_limit(channels)
    if conducted is not None:
        port = watts_to_dbm(conducted.limit.nominal)
        back = backoff_db(region, gain)
        found.append(Check("conducted", power_dbm, port, conducted.clause))
        # Up to the free gain the rule asks for no reduction, so this reading is kept whatever the power.
        allowed = port - back if back > 0 else float("inf")
        found.append(Check("back-off", power_dbm, allowed, region.backoff_clause))
    as_dipole = DIPOLE_DB if region.radiated_as == "erp" else 0.0
    level = power_dbm - cable_db + judged_gain_dbi(region, gain) - as_dipole
    limit = radiated_limit_dbm(region, channels)
    found.append(Check("radiated", level, limit, region.radiated_clause))
    return tuple(found)


def region_of(frequency_mhz: float, regions: dict[str, Region]) -> str | None:
    """Key of the first region whose band holds a frequency [MHz]; none where no band does."""
    for key, region in regions.items():
        if region.band.low <= frequency_mhz <= region.band.high:
            return key
    return None
