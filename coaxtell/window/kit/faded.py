"""A picture that sinks into its bench without getting lost there: what stands off it by enough still does."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pygame

from coaxtell.window.kit.theme import Colour

LEAST = 3.05
"""What carries meaning stands off what lies beside it by 3 to 1 (WCAG 2.2, success criterion 1.4.11); the rest is for
the rounding of colours."""
PALE = 0.6
"""How much of its colours the faintest picture loses."""
WEIGHTS = np.array([0.2126, 0.7152, 0.0722])
"""Of red, green and blue in the relative luminance (WCAG 2.2)."""
MIDDLE = 0.18
"""A ground of this luminance stands off black as much as off white; a brighter bench is a light one."""

Floats = npt.NDArray[np.float64]

LINEAR: Floats = np.array(
    [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in np.arange(256) / 255], dtype=np.float64
)
"""The linear light of a channel's value (IEC 61966-2-1)."""


def fade(picture: pygame.Surface, bench: Colour, strength: float) -> None:
    """Let a picture stand off its bench less, and lose colour; `strength` is 0 to 1.

    A contrast above LEAST shrinks towards that by the strength's square, a weaker one stays: the order of bright and
    dark is kept, and no outline or gold gets lost.
    """
    pixels = pygame.surfarray.pixels3d(picture)
    light = LINEAR[pixels]
    own = light @ WEIGHTS
    ground = float(LINEAR[list(bench)] @ WEIGHTS) + 0.05
    off = ground / (own + 0.05) if ground > MIDDLE else (own + 0.05) / ground
    less = np.where(off > LEAST, LEAST + (off - LEAST) * strength**2, off)
    now = (ground / less if ground > MIDDLE else ground * less) - 0.05
    grey = own[..., None]
    light = grey + (light - grey) * (1 - PALE * (1 - strength))
    if ground > MIDDLE:
        # towards white, so that the darkest gains no colour
        light = 1 - (1 - light) * ((1 - now) / np.maximum(1 - own, 1e-6))[..., None]
    else:
        light = light * (now / np.maximum(own, 1e-6))[..., None]
    pixels[...] = np.rint(np.interp(light, LINEAR, np.arange(256))).astype(np.uint8)
