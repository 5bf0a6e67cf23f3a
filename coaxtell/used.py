"""What wear and dirt make of the picture of a part: of the pages and of the window alike."""

from __future__ import annotations

from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]


def used(colour: Array, wear: float, dirt: float, grain: int) -> Array:
    """Colours (height, width, 3) as wear and dirt, each from 0 to 1, leave them.

    Duller and scratched by the one, darker in patches by the other. `grain` is the seed by which both lie.
    """
    if not (wear or dirt):
        return colour
    rng = np.random.default_rng(grain)
    height, width, _ = colour.shape
    grey = colour.mean(axis=2, keepdims=True)
    worn = colour + wear * (0.25 * (grey - colour) + 0.12 * (_patches(rng, height, width, 3) - 0.5) * colour)
    stained = 1 - 0.55 * dirt * np.clip(_patches(rng, height, width, 14) - 0.55, 0, 1) / 0.45
    return np.asarray(worn * stained)


def _patches(rng: np.random.Generator, height: int, width: int, size: int) -> Array:
    """Random light from 0 to 1 in soft patches of so many pixels."""
    from PIL import Image

    rough = rng.random((height // size + 2, width // size + 2))
    smooth = Image.fromarray((255 * rough).astype(np.uint8)).resize((width, height), Image.Resampling.BICUBIC)
    return np.asarray(smooth, dtype=float)[..., None] / 255
