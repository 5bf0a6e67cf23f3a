"""What a sweep says of the cable it was made on: loss, electrical length by two ways, and the worst echo."""

from __future__ import annotations

import math

import msgspec
import numpy as np

from coaxtell.cables.arrival.echoes import echoes, gated, peak_s, resolution_s, slope_s
from coaxtell.cables.arrival.sweep import FarEnd, Real, Sweep
from coaxtell.cables.classes import CableClass, temperature_factor
from coaxtell.cables.tables import CableTables
from coaxtell.models.errors import RefusedError

LIGHT_M_S = 299_792_458.0
"""Speed of light [m/s] (exact)."""
_SEARCH = (0.25, 1.4)
"""The far end is looked for between these shares of the ordered length."""
_FAR_SHARE = 0.7
"""The far end is the last echo of at least this share of the largest, its loss taken off.

A fault that sends back r leaves 1 - r^2 for the far end, and r of that comes a second time, by way of the fault: with
this share neither is taken for the other up to r = 0.7.
"""
_SPREAD = 0.02
"""How far the loss spreads the far end's echo, as a share of its time (assumed)."""
_APART = 3.0
"""An end that sends all back covers the near connector where it is nearer than so many widths of an echo."""
_NEIGHBOUR = 0.1
"""How far echoes beside it may move the peak of one, as a share of the resolution (assumed)."""
_CENTRE = 0.15
"""Share of the band left out at either edge, where taking out echoes falsifies the rest."""


class Ordered(msgspec.Struct, frozen=True):
    """What was ordered: class, length [m], the frequency it works at [MHz] and the temperature it lies at [C]."""

    cable: CableClass
    length_m: float
    mhz: float
    celsius: float

    @property
    def speed_m_s(self) -> float:
        """How fast a wave runs in it [m/s]; raises InputError where the class's velocity is not known."""
        if self.cable.velocity is None:
            raise RefusedError("cables.no_velocity", name=self.cable.name)
        return self.cable.velocity.nominal * LIGHT_M_S

    @property
    def velocity_off(self) -> tuple[float, float]:
        """How much shorter and how much longer it may seem, as shares, since the sources of its velocity differ."""
        velocity = self.cable.velocity
        if velocity is None:
            return 0.0, 0.0
        return 1 - velocity.nominal / velocity.high, velocity.nominal / velocity.low - 1

    @property
    def delay_s(self) -> float:
        """How long a wave takes through it once [s]."""
        return self.length_m / self.speed_m_s

    def loss_db(self, hz: Real, tables: CableTables) -> Real:
        """What its cable loses at each frequency [dB]."""
        factor = temperature_factor(tables.joints.temperature.nominal, self.celsius)
        return np.array([self.cable.loss_db(self.length_m, f / 1e6, factor) for f in hz])


class Echo(msgspec.Struct, frozen=True):
    """Something that sends power back: where [m], and its return loss [dB] with the cable's own loss taken off."""

    at_m: float
    return_loss_db: float
    from_far_m: float | None
    """Its distance from the far end, where that end is seen."""
    plus_minus_m: float
    """How far off the smaller of the two distances may be."""


class Reading(msgspec.Struct, frozen=True):
    """What was read off a sweep; lengths in [m], losses in [dB]."""

    hz: Real
    loss_db: Real | None
    """One-way loss at each of `hz`; none where the far end was loaded."""
    match_db: Real
    """Return loss of the near end over the whole sweep, and of the far end where that was measured: the worse."""
    match_hz: Real
    slope_m: float | None
    """Length by the slope of the phase; none where nothing comes back from the far end."""
    time_m: float | None
    """Length by the time of the echo."""
    resolution_m: float
    """Two echoes nearer than this are one."""
    near: Echo | None
    """The near connector; none where the echo of an open or shorted end covers it."""
    far: Echo | None
    """The far connector; none where an open or a short hides it."""
    inside: Echo | None
    """The worst between the two; none where nothing comes back, or the cable is too short for the band to tell."""
    blind: bool
    """True where the cable is too short for the band to tell its ends from what lies between them."""
    covered_m: float
    """So much of the far end an open or a short covers; 0 where neither stands there."""


def read(sweep: Sweep, ordered: Ordered, tables: CableTables) -> Reading:
    """What a sweep says of a cable.

    Raises InputError where the points are too few for its length, or nothing comes back from the far end.
    """
    ways = 1 if sweep.far is FarEnd.PORT else 2
    _enough_points(sweep, ordered, ways)
    cable_db = ordered.loss_db(sweep.hz, tables)
    middle_db = float(np.median(cable_db))
    times, back = echoes(sweep.hz, sweep.s11)
    # the cable's own loss, there and back, taken off by the time an echo needs
    lost = 10 ** (np.minimum(times / (2 * ordered.delay_s), _SEARCH[1]) * 2 * middle_db / 20)
    size = np.abs(back) * lost
    width = resolution_s(sweep.span_hz)
    half_m = ordered.speed_m_s / 2
    end_s, slope, timed = _length(sweep, ordered, times, size, width)
    loss = _loss(sweep, end_s, width)
    inner = slice(None) if loss is None or sweep.far is FarEnd.PORT else _central(sweep)
    match = -20 * np.log10(np.maximum(np.abs(sweep.s11), 1e-6))
    if sweep.s22 is not None:
        match = np.minimum(match, -20 * np.log10(np.maximum(np.abs(sweep.s22), 1e-6)))

    def echo(at: float | None, sent: float | None = None) -> Echo | None:
        if at is None:
            return None
        back_m = None if slope is None else slope - at * half_m
        nearer_m = at * half_m if back_m is None else min(at * half_m, max(back_m, 0.0))
        plus_minus = _place_off(nearer_m, width * half_m, tables)
        # noise may send back a hair more than all
        seen = float(np.interp(at, times, size)) if sent is None else sent
        sent_back = min(1.0, max(seen, 1e-6))
        return Echo(at * half_m, abs(20 * math.log10(sent_back)), back_m, plus_minus)

    hidden = sweep.far in (FarEnd.OPEN, FarEnd.SHORT)
    # an end that sends all back has a foot of its own, wider where the cable spreads the echo
    foot = (2 * width + _SPREAD * end_s) if hidden else width
    end = min(width, end_s / 2)
    # behind a load the length is known as ordered alone
    off = tables.arrival.length_share.nominal / 100 + max(ordered.velocity_off)
    unsure = off * end_s + tables.arrival.length_floor.nominal / 100 / half_m if slope is None else 0.0
    beginning = float(times[np.argmax(np.where(times <= end, size, 0.0))])
    far = None if hidden else echo(peak_s(times, size, max(end_s / 2, end_s - end - unsure), end_s + width + unsure))
    if sweep.s22 is not None:
        # the second port stands before the far connector, with no cable between
        own = np.where(times <= end, np.abs(echoes(sweep.hz, sweep.s22)[1]) * lost, 0.0)
        far = echo(end_s - float(times[np.argmax(own)]), float(own.max()))
    return Reading(
        hz=sweep.hz[inner],
        loss_db=None if loss is None else loss[inner],
        match_db=match,
        match_hz=sweep.hz,
        slope_m=slope,
        time_m=timed,
        resolution_m=width * half_m,
        near=None if hidden and end_s < _APART * width else echo(beginning),
        far=far,
        inside=echo(peak_s(times, size, width, end_s - foot - unsure)),
        blind=end_s - foot - unsure <= width,
        covered_m=foot * half_m if hidden else 0.0,
    )


def _place_off(distance_m: float, resolution_m: float, tables: CableTables) -> float:
    """How far off a distance along the cable may be [m]: velocity, the connector before it, neighbours in the band."""
    velocity = tables.joints.velocity_spread.nominal / 100 * distance_m
    return velocity + tables.arrival.place_floor.nominal / 100 + _NEIGHBOUR * resolution_m


def _enough_points(sweep: Sweep, ordered: Ordered, ways: int) -> None:
    """Refuse a sweep whose steps are so wide that the ordered length folds back."""
    longest_s = _SEARCH[1] * ways * ordered.delay_s
    if sweep.far is not FarEnd.PORT:
        needed = sweep.span_hz * longest_s * 1.05
    else:
        needed = sweep.span_hz * longest_s
    if needed > len(sweep.hz) - 1:
        raise RefusedError(
            "cables.few_points",
            file=sweep.file,
            points=len(sweep.hz),
            span_mhz=sweep.span_hz / 1e6,
            length_m=ordered.length_m,
            least=math.ceil(needed) + 1,
        )


def _length(
    sweep: Sweep, ordered: Ordered, times: Real, size: Real, width: float
) -> tuple[float, float | None, float | None]:
    """When the far end's echo comes back [s], and the length by phase and by time [m]."""
    expected = 2 * ordered.delay_s
    if sweep.far is FarEnd.LOAD:
        return expected, None, None
    first, last = (share * expected for share in _SEARCH)
    if sweep.s21 is not None:
        through_times, through = echoes(sweep.hz, sweep.s21)
        once = _found(peak_s(through_times, np.abs(through), first / 2, last / 2), sweep)
        slope = slope_s(sweep.hz, sweep.s21, once)
        return 2 * slope, slope * ordered.speed_m_s, once * ordered.speed_m_s
    at = _found(peak_s(times, size, max(first, min(width, 0.8 * expected)), last, _FAR_SHARE), sweep)
    alone = gated(sweep.hz, sweep.s11, at, max(2 * width, 0.05 * at))
    slope = slope_s(sweep.hz, alone, at)
    return at, slope / 2 * ordered.speed_m_s, at / 2 * ordered.speed_m_s


def _found(at: float | None, sweep: Sweep) -> float:
    if at is None:
        raise RefusedError("cables.no_far_end", file=sweep.file)
    return at


def _central(sweep: Sweep) -> slice:
    edge = round(_CENTRE * len(sweep.hz))
    return slice(edge, len(sweep.hz) - edge)


def _loss(sweep: Sweep, end_s: float, width: float) -> Real | None:
    """One-way loss at each frequency [dB]; half the return loss of an open or shorted far end."""
    if sweep.s21 is not None:
        return np.asarray(-20 * np.log10(np.maximum(np.abs(sweep.s21), 1e-9)))
    if sweep.far is FarEnd.LOAD:
        return None
    alone = gated(sweep.hz, sweep.s11, end_s, max(2 * width, 0.05 * end_s)) if end_s > 2 * width else sweep.s11
    return np.asarray(-10 * np.log10(np.maximum(np.abs(alone), 1e-9)))
