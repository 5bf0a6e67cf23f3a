"""One run to be cabled, as asked."""

from __future__ import annotations

import msgspec

from coaxtell.cables.classes import TABLE_TEMPERATURE_C
from coaxtell.cables.limits import Region
from coaxtell.cables.pieces import Inline
from coaxtell.cables.power import PowerRange
from coaxtell.cables.units import Gain
from coaxtell.models.half import Half

MOST_CHANNELS = 10_000


class Run(msgspec.Struct, frozen=True, kw_only=True):
    """One run to be cabled: two ports, route [m], radio [MHz, dBm, dB, C], antenna [m], bend [mm], wishes."""

    reader: Half
    antenna: Half
    length_m: float
    region: Region
    frequency_mhz: float
    channels: int = 50
    power: PowerRange | None = None
    """What the reader can be set to; none where nobody said."""
    gain: Gain | None = None
    antenna_size_m: float | None = None
    temperature_c: float = TABLE_TEMPERATURE_C
    want_dbm: float | None = None
    budget_db: float | None = None
    """The most that may be lost between the ports, where that was said instead of `want_dbm`."""
    bend_mm: float | None = None
    outdoor: bool = False
    riser: bool = False
    right_angle: tuple[bool, bool] = (False, False)
    """Whether the cable's end is to be a right-angle one, at the reader and at the antenna."""
    inline: Inline | None = None
    """An arrestor or a splitter in the run."""
    pigtail_m: float | None = None
    """A pigtail of this length leads from the reader's port to the enclosure's wall; the cable begins there."""
    service_loop_m: float = 0.0
    drip_loop_m: float = 0.0

    @property
    def cable_m(self) -> float:
        """The cable to order: the route with its loops [m]."""
        return self.length_m + self.service_loop_m + self.drip_loop_m
