"""How far people should keep from the antenna, and where the formula for it stops to hold."""

from __future__ import annotations

import math

import msgspec

from coaxtell.cables.limits import Region
from coaxtell.cables.reasons import because
from coaxtell.cables.units import dbm_to_watts
from coaxtell.models.catalogue import Reason

LIGHT_M_US = 299.792458
"""Speed of light [m/us], so that it divided by a frequency in MHz is the wavelength in metres."""

_EXAMPLE_SIZE_M = 0.25
"""The antenna that the far-field start is told for where its size was not given [m]."""


def wavelength_m(frequency_mhz: float) -> float:
    """Wavelength in air [m] of a frequency [MHz]."""
    return LIGHT_M_US / frequency_mhz


def far_field_start_m(size_m: float, frequency_mhz: float) -> float:
    """Where the far field of an antenna of this largest size [m] begins [m]: 2 D^2 / wavelength."""
    return 2 * size_m**2 / wavelength_m(frequency_mhz)


def density_limit(divisor: float, frequency_mhz: float) -> float:
    """Permitted power density [W/m2] where the rule states it as frequency [MHz] over a number."""
    return frequency_mhz / divisor


def distance_m(eirp_w: float, limit_w_m2: float, reflection: float = 1.0) -> float:
    """Distance on boresight [m] at which the density falls to its limit; reflection multiplies the power."""
    return math.sqrt(eirp_w * reflection / (4 * math.pi * limit_w_m2))


class Exposure(msgspec.Struct, frozen=True):
    """How far people keep from an antenna [m], the limit [W/m2] and whether the far-field formula holds."""

    limit_w_m2: float
    distance_m: float
    with_ground_m: float
    occupational_m: float
    far_field_m: float | None
    formula_holds: bool
    rule: str
    advice: Reason
    keep_m: float
    """What people keep at least [m], over ground and beyond the near field; of a usual antenna where its size is not
    known."""


def exposure(
    region: Region, frequency_mhz: float, eirp_dbm: float, size_m: float | None, reflection: float
) -> Exposure:
    """Distances to keep from the power at the antenna: EIRP [dBm], antenna's largest size [m] if known.

    `reflection` is how many times the density may rise over a reflecting ground, as a second, larger figure.
    """
    eirp_w = dbm_to_watts(eirp_dbm)
    limit = density_limit(region.exposure.nominal, frequency_mhz)
    direct = distance_m(eirp_w, limit)
    ground = distance_m(eirp_w, limit, reflection)
    work = distance_m(eirp_w, density_limit(region.occupational.nominal, frequency_mhz))
    far = far_field_start_m(size_m, frequency_mhz) if size_m is not None else None
    holds = far is not None and direct >= far
    figures = because("exposure.figures", direct_m=direct, ground_m=ground)
    if far is None:
        example = far_field_start_m(_EXAMPLE_SIZE_M, frequency_mhz)
        advice = because("exposure.size_unknown", example_m=example, figures=figures)
    elif not holds:
        advice = because("exposure.near", far_m=far, figures=figures)
    else:
        code = "exposure.keep_about" if direct < wavelength_m(frequency_mhz) else "exposure.keep"
        advice = because(code, direct_m=direct, ground_m=ground)
    near = far_field_start_m(_EXAMPLE_SIZE_M, frequency_mhz) if far is None else far
    return Exposure(limit, direct, ground, work, far, holds, region.exposure_rule, advice, max(ground, near))
