"""What a cable class is and what it loses: k1 * sqrt(f) + k2 * f at +25 C, or its printed rows."""

from __future__ import annotations

import math

import msgspec

from coaxtell.cables.reasons import because
from coaxtell.cables.units import FEET_M, counted_in
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import RefusedError
from coaxtell.models.measure import Measure

TABLE_TEMPERATURE_C = 25.0
"""Temperature the makers' loss figures are printed for [C]."""
RATED_MHZ = 900.0
"""Frequency that the power a class carries is stated for [MHz]."""
_UNITS = {
    "impedance": "ohm", "diameter": "mm", "bend_once": "mm", "bend_repeated": "mm", "velocity": "of light",
    "k1": "dB/100 ft/sqrt(MHz)", "k2": "dB/100 ft/MHz", "power_900": "W",
}  # fmt: skip
"""What each number of a class counts in."""


class PrintedRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One printed loss: frequency [MHz], loss [dB/100 ft]; a `maximum` is a limit, not a typical value.

    Raises InputError where frequency or loss is out of range, or the loss is stated over another length.
    """

    mhz: float
    loss: Measure
    maximum: bool = False

    def __post_init__(self) -> None:
        if not (0 < self.mhz < 1e6 and 0 < self.loss.nominal < 1e6):
            raise RefusedError("cables.row")
        counted_in(f"{self.mhz:g} MHz", self, {"loss": "dB/100 ft"})


class CableClass(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One size class or RG type: loss, sizes and bends [mm], velocity [of light], power at 900 MHz [W], usual ends.

    Raises InputError where the name is missing, or its numbers contradict each other or have other units.
    """

    name: str
    impedance: Measure
    diameter: Measure
    bend_once: Measure
    bend_repeated: Measure
    ends: list[str]
    jackets: list[str]
    rows: list[PrintedRow] = []
    velocity: Measure | None = None
    k1: Measure | None = None
    k2: Measure | None = None
    power_900: Measure | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise RefusedError("cables.class_name")
        counted_in(self.name, self, _UNITS)
        if (self.k1 is None) != (self.k2 is None):
            raise RefusedError("cables.class_k", name=self.name)
        if any(later.mhz <= row.mhz for row, later in zip(self.rows, self.rows[1:], strict=False)):
            raise RefusedError("cables.class_order", name=self.name)
        if any(later.loss.nominal < row.loss.nominal for row, later in zip(self.rows, self.rows[1:], strict=False)):
            raise RefusedError("cables.class_falls", name=self.name)
        if self.k1 is not None and self.k2 is not None and min(self.k1.nominal, self.k2.nominal) < 0:
            raise RefusedError("cables.class_k_below", name=self.name)
        if min(self.diameter.low, self.bend_once.low, self.bend_repeated.low, self.impedance.low) <= 0:
            raise RefusedError("cables.class_zero", name=self.name)
        if self.velocity is not None and not 0 < self.velocity.low <= self.velocity.high <= 1:
            raise RefusedError("cables.class_velocity", name=self.name)
        if self.power_900 is not None and self.power_900.low <= 0:
            raise RefusedError("cables.class_power", name=self.name)

    @property
    def loss_known(self) -> bool:
        """True where k1 and k2, or two printed rows, have a source; less is no ground to rank on."""
        return self.loss_unknown is None

    @property
    def loss_unknown(self) -> Reason | None:
        """Why its loss counts as unknown; none where it is known."""
        sourced = self._sourced
        if self.coefficients is not None or len(sourced) >= 2:
            return None
        if len(sourced) == 1:
            return because("loss.one_row", mhz=sourced[0].mhz)
        return Reason("loss.soft" if self.rows or self.k1 is not None else "loss.no_rows")

    @property
    def coefficients(self) -> tuple[float, float] | None:
        """k1 and k2 where they have a source; none where its loss is read between its rows."""
        if self.k1 is None or self.k2 is None or self.k1.soft or self.k2.soft:
            return None
        return self.k1.nominal, self.k2.nominal

    @property
    def _sourced(self) -> list[PrintedRow]:
        return [row for row in self.rows if not row.loss.soft]

    @property
    def read_rows(self) -> list[PrintedRow]:
        """The rows that its loss is read between: those with a source, without maxima where two are left."""
        typical = [row for row in self._sourced if not row.maximum]
        return typical if len(typical) >= 2 else self._sourced

    @property
    def by_maxima(self) -> bool:
        """True where it is read between rows of which one is a permitted maximum: a real cable may lose much less."""
        return self.coefficients is None and any(row.maximum for row in self.read_rows)

    def db_per_100ft(self, mhz: float) -> float:
        """Matched loss at +25 C [dB/100 ft] at a frequency [MHz].

        Raises ValueError where its loss is unknown; ask `loss_known` first.
        """
        if not self.loss_known:
            raise ValueError(f"class {self.name!r} has no loss with a source")
        if self.coefficients is not None:
            k1, k2 = self.coefficients
            return k1 * math.sqrt(mhz) + k2 * mhz
        return self._between_rows(mhz)

    def _between_rows(self, mhz: float) -> float:
        """Straight lines between the rows on doubly logarithmic paper, as cable makers draw them."""
        rows = self.read_rows
        upper = next((i for i, row in enumerate(rows) if row.mhz >= mhz), len(rows) - 1)
        low, high = rows[max(upper, 1) - 1], rows[max(upper, 1)]
        slope = math.log(high.loss.nominal / low.loss.nominal) / math.log(high.mhz / low.mhz)
        return float(low.loss.nominal * (mhz / low.mhz) ** slope)

    def loss_db(self, length_m: float, mhz: float, temperature_factor: float = 1.0) -> float:
        """Matched loss of a length [m] at a frequency [MHz], times the factor of its temperature [dB]."""
        return self.db_per_100ft(mhz) * length_m / (100 * FEET_M) * temperature_factor

    def power_w(self, mhz: float) -> float | None:
        """Power the cable carries at a frequency [W]; none where its rating was not found.

        The heat is what limits it, so the rating falls as the loss rises: P2 = P1 * a1 / a2.
        """
        if self.power_900 is None or not self.loss_known:
            return None
        return self.power_900.nominal * self.db_per_100ft(RATED_MHZ) / self.db_per_100ft(mhz)


def temperature_factor(coefficient: float, celsius: float) -> float:
    """How many times the printed loss a cable has at a temperature [C]; coefficient in %/C."""
    return 1 + coefficient / 100 * (celsius - TABLE_TEMPERATURE_C)
