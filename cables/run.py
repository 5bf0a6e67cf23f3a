"""One run to be cabled, as asked."""

from __future__ import annotations

import msgspec

from coaxtell.cables.classes import TABLE_TEMPERATURE_C
from coaxtell.cables.limits import Region
from coaxtell.cables.units import Gain
from coaxtell.models.half import Half


class Run(msgspec.Struct, frozen=True, kw_only=True):
    """One run to be cabled: two ports, length [m], radio [MHz, dBm, C], antenna [m], route [mm], wishes."""

    reader: Half
    antenna: Half
    length_m: float
    region: Region
    frequency_mhz: float
    channels: int = 50
    power_dbm: float | None = None
    hold_to_letter: bool = False
    """True where `power_dbm` is the most the reader gives, to be turned down as far as the rules ask."""
    gain: Gain | None = None
    antenna_size_m: float | None = None
    temperature_c: float = TABLE_TEMPERATURE_C
    want_dbm: float | None = None
    bend_mm: float | None = None
    outdoor: bool = False
    riser: bool = False
