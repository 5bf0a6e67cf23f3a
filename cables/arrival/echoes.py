"""From frequency to time: where along a cable something comes back, and how long the whole cable is for a wave."""

from __future__ import annotations

import math

import numpy as np

from coaxtell.cables.arrival.sweep import Complex, Real

_KAISER = 6.0
"""Window over the band: echoes of one reflection stay 44 dB below it, for twice the width of its peak."""
_FINER = 8
"""So many times finer than the sweep's own resolution the echoes are worked out."""
PEAK_WIDTHS = 2.0
"""Half the foot of a peak, in units of one over the band's width; two echoes nearer than this are one."""


def resolution_s(span_hz: float) -> float:
    """How near to another echo one can still be told from it [s], from the width of the band [Hz]."""
    return PEAK_WIDTHS / span_hz


def echoes(hz: Real, part: Complex) -> tuple[Real, Complex]:
    """Times [s] and what comes back at each; a reflection of one size at all frequencies shows its own size."""
    window = np.kaiser(len(hz), _KAISER)
    padded = 2 ** math.ceil(math.log2(_FINER * len(hz)))
    found = np.fft.ifft(part * window / window.sum(), padded) * padded
    step = (hz[-1] - hz[0]) / (len(hz) - 1)
    return np.arange(padded) / (padded * step), found


def peak_s(times: Real, size: Real, first_s: float, last_s: float, share: float = 1.0) -> float | None:
    """The time of the largest echo between two times [s], between its samples by a parabola; none where none rises.

    With a `share` below one it is the last of those at least so large, measured against the largest.
    """
    rising = (size[1:-1] >= size[:-2]) & (size[1:-1] > size[2:])
    peaks = np.flatnonzero(rising) + 1
    peaks = peaks[(times[peaks] >= first_s) & (times[peaks] <= last_s)]
    if not len(peaks):
        return None
    at = int(peaks[size[peaks] >= share * size[peaks].max()][-1])
    left, here, right = np.log(np.maximum(size[at - 1 : at + 2], 1e-12))
    bend = left - 2 * here + right
    return float(times[at] + (0.5 * (left - right) / bend if bend < 0 else 0.0) * (times[1] - times[0]))


def gated(hz: Real, part: Complex, centre_s: float, half_s: float) -> Complex:
    """The sweep with all echoes but those around one time [s] taken out."""
    step = (hz[-1] - hz[0]) / (len(hz) - 1)
    padded = 2 ** math.ceil(math.log2(4 * len(hz)))
    times = np.arange(padded) / (padded * step)
    window = np.kaiser(len(hz), _KAISER)
    found = np.fft.ifft(part * window, padded)
    away = (times - centre_s + times[-1] / 2) % times[-1] - times[-1] / 2
    gate = np.clip((half_s - np.abs(away)) / (0.3 * half_s), 0.0, 1.0)
    return np.asarray(np.fft.fft(found * gate)[: len(hz)] / window, dtype=np.complex128)


def slope_s(hz: Real, part: Complex, near_s: float) -> float:
    """The delay [s] from the slope of the phase, known beforehand to lie near `near_s`."""
    left = np.unwrap(np.angle(part * np.exp(2j * np.pi * hz * near_s)))
    edge = len(hz) // 8
    inside = slice(edge, len(hz) - edge)
    slope = np.polyfit(hz[inside] - hz.mean(), left[inside], 1)[0]
    return near_s - float(slope) / (2 * math.pi)
