"""Many numbers as one text for a page: whole ten-thousandths where that is what they are, else as they stand."""

from __future__ import annotations

import base64
import zlib

import numpy as np
import numpy.typing as npt

STEPS = 10_000
"""Steps in one, where numbers are rounded to four decimals."""


def packed(numbers: npt.NDArray[np.float64]) -> dict[str, str | int]:
    """The numbers, flat, as base64 of their little-endian bytes: `n4` counts ten-thousandths, `f8` is a double."""
    flat = np.ascontiguousarray(numbers, dtype="<f8").ravel()
    steps = np.rint(flat * STEPS)
    if np.array_equal(steps / STEPS, flat) and np.abs(steps).max(initial=0) < 2**31:
        return {"n4": base64.b64encode(steps.astype("<i4").tobytes()).decode("ascii")}
    return {"f8": base64.b64encode(flat.tobytes()).decode("ascii")}


def squeezed(data: bytes) -> str:
    """Bytes as the base64 of a raw deflate stream, which every browser of the last years takes apart by itself."""
    pressed = zlib.compressobj(9, zlib.DEFLATED, -15)
    return base64.b64encode(pressed.compress(data) + pressed.flush()).decode("ascii")
