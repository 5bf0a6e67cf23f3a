"""Limits of screw threads from the formulas of their standards.

Unified inch threads: ASME B1.1, classes 2A and 2B, length of engagement 9 pitches for the UNS and UNEF series.
Metric threads: ISO 965-1, tolerance positions g and H, grade 6, rounded to the R40 series as the standard does.
Basic form for both: ISO 68-1 / ASME B1.1, sixty degrees.
"""

from __future__ import annotations

import math
from functools import lru_cache

import msgspec

from coaxtell.models.half import Thread

INCH = 25.4
R40 = (
    100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300,
    315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950,
)  # fmt: skip
METRIC_DIAMETER_STEPS = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0)


class Limits(msgspec.Struct, frozen=True):
    """Limits of one thread [mm]. For an inside thread the major diameter has only a minimum."""

    major_min: float
    major_max: float
    pitch_min: float
    pitch_max: float
    minor_min: float
    minor_max: float
    inside: bool


def depth(pitch: float) -> float:
    """Height of full flank overlap of the basic form, 5/8 H [mm] for a pitch [mm]."""
    return 0.625 * math.sqrt(3) / 2 * pitch


@lru_cache(maxsize=512)
def _limits(major: float, pitch: float, tolerance: str) -> Limits:
    if tolerance in ("drawn-outside", "drawn-inside"):
        return _drawn(major, pitch, inside=tolerance == "drawn-inside")
    if tolerance in ("2A", "2B"):
        return _unified(major, pitch, tolerance)
    return _metric(major, pitch, tolerance)


def limits(thread: Thread) -> Limits:
    """Limits of size of the thread by its tolerance class, before plating [mm].

    Source: ASME B1.1 (2A, 2B) or ISO 965-1 (6g, 6H), formulas evaluated.
    """
    return _limits(thread.major.nominal, thread.pitch_mm, thread.tolerance)


def _drawn(major: float, pitch: float, inside: bool) -> Limits:
    """The basic form itself, without allowance or tolerance."""
    flank, minor = major - 0.75 * math.sqrt(3) / 2 * pitch, major - 2 * depth(pitch)
    return Limits(major, major, flank, flank, minor, minor, inside)


def _unified(major: float, pitch: float, tolerance: str) -> Limits:
    d, p = major / INCH, pitch / INCH
    engagement = 9 * p
    pitch_tolerance = 0.0015 * d ** (1 / 3) + 0.0015 * engagement**0.5 + 0.015 * p ** (2 / 3)
    pitch_basic = d - 0.75 * math.sqrt(3) / 2 * p
    minor_basic = d - 2 * 0.625 * math.sqrt(3) / 2 * p
    if tolerance == "2A":
        allowance = 0.3 * pitch_tolerance
        found = Limits(
            major_min=d - allowance - 0.060 * p ** (2 / 3),
            major_max=d - allowance,
            pitch_min=pitch_basic - allowance - pitch_tolerance,
            pitch_max=pitch_basic - allowance,
            minor_min=minor_basic - allowance - pitch_tolerance,
            minor_max=minor_basic - allowance,
            inside=False,
        )
    else:
        if d < 0.25:
            minor_tolerance = 0.05 * p ** (2 / 3) + 0.03 * p / d - 0.002
        else:
            minor_tolerance = 0.25 * p - 0.4 * p * p
        found = Limits(
            major_min=d,
            major_max=d + p / 8,
            pitch_min=pitch_basic,
            pitch_max=pitch_basic + 1.3 * pitch_tolerance,
            minor_min=minor_basic,
            minor_max=minor_basic + minor_tolerance,
            inside=True,
        )
    sizes = {name: INCH * getattr(found, name) for name in Limits.__struct_fields__ if name != "inside"}
    return Limits(**sizes, inside=found.inside)


def _r40(micrometres: float) -> float:
    """The tolerance [um] rounded to the R40 series of preferred numbers, in mm."""
    steps = round(40 * math.log10(micrometres))
    decade, index = divmod(steps, 40)
    return R40[index] * 10.0 ** (decade - 2) / 1000


def _metric(major: float, pitch: float, tolerance: str) -> Limits:
    below = max(step for step in METRIC_DIAMETER_STEPS if step <= major)
    above = min(step for step in METRIC_DIAMETER_STEPS if step > major)
    mean = math.sqrt(below * above)
    pitch_basic = major - 0.75 * math.sqrt(3) / 2 * pitch
    minor_basic = major - 2 * 0.625 * math.sqrt(3) / 2 * pitch
    pitch_outside = 90 * pitch**0.4 * mean**0.1
    if tolerance == "6g":
        deviation = round(15 + 11 * pitch) / 1000
        major_tolerance = _r40(180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch))
        pitch_tolerance = _r40(pitch_outside)
        return Limits(
            major_min=major - deviation - major_tolerance,
            major_max=major - deviation,
            pitch_min=pitch_basic - deviation - pitch_tolerance,
            pitch_max=pitch_basic - deviation,
            minor_min=minor_basic - deviation - pitch_tolerance,
            minor_max=minor_basic - deviation,
            inside=False,
        )
    if pitch >= 1:
        minor_tolerance = _r40(230 * pitch**0.7)
    else:
        minor_tolerance = _r40(433 * pitch - 190 * pitch**1.22)
    return Limits(
        major_min=major,
        major_max=major + pitch / 8,
        pitch_min=pitch_basic,
        pitch_max=pitch_basic + _r40(1.32 * pitch_outside),
        minor_min=minor_basic,
        minor_max=minor_basic + minor_tolerance,
        inside=True,
    )
