"""What a reader can be set to: from its lowest to its highest power, in steps."""

from __future__ import annotations

import math

import msgspec

from coaxtell.models.errors import RefusedError

_HAIR_DB = 1e-6
"""What rounding in the computer may be off [dB]."""


class PowerRange(msgspec.Struct, frozen=True):
    """The settings of a reader [dBm]: lowest, highest, and the step between them [dB].

    Raises InputError where highest and lowest are not a whole number of steps apart.
    """

    lowest_dbm: float
    highest_dbm: float
    step_db: float
    assumed: bool = False
    """True where nobody said what the reader can be set to."""

    def __post_init__(self) -> None:
        span = self.highest_dbm - self.lowest_dbm
        if self.step_db <= 0 or span < 0:
            raise RefusedError("cables.settings_order")
        if not self.assumed and abs(span / self.step_db - round(span / self.step_db)) > 1e-3:
            raise RefusedError("cables.settings_steps", low=self.lowest_dbm, high=self.highest_dbm, step=self.step_db)

    def at_most(self, limit_dbm: float) -> float | None:
        """The highest setting [dBm] that is not above a limit; none where even the lowest is above it."""
        if limit_dbm >= self.highest_dbm:
            return self.highest_dbm
        steps = math.ceil((self.highest_dbm - limit_dbm - _HAIR_DB) / self.step_db)
        setting = round(self.highest_dbm - steps * self.step_db, 6)
        return setting if setting >= self.lowest_dbm - _HAIR_DB else None

    def up_to(self, highest_dbm: float) -> PowerRange:
        """The same reader that is never set above a power [dBm] of the owner's choice.

        Raises InputError where even its lowest setting is above that.
        """
        top = self.at_most(highest_dbm)
        if self.assumed:
            return PowerRange(min(self.lowest_dbm, highest_dbm), highest_dbm, self.step_db, True)
        if top is None:
            raise RefusedError("cables.lowest_setting", low=self.lowest_dbm)
        return PowerRange(self.lowest_dbm, top, self.step_db)
