"""How easily one colour of plastic is taken for another: by their distance in CIELAB (ISO/CIE 11664-4)."""

from __future__ import annotations

import numpy as np

from coaxtell.identifier import kernels
from coaxtell.identifier.draws import Array
from coaxtell.models import plastics

TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""Linear red, green and blue to CIE XYZ under daylight D65 (IEC 61966-2-1)."""
WHITE = TO_XYZ.sum(axis=1)


def lab(linear: tuple[float, float, float]) -> Array:
    """Lightness and the two axes of hue of red, green and blue as shares of the light [CIELAB]."""
    share = TO_XYZ @ np.array(linear) / WHITE
    f = np.where(share > (6 / 29) ** 3, np.cbrt(share), share / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def confusion(names: tuple[str, ...], spread: float) -> Array:
    """Rate at which each colour (row) is taken for each other (column), names with hyphens for blanks.

    An error of `spread` [CIELAB] towards the other colour carries it past the middle between the two. Names
    that are no colour of plastics are never mixed up here.
    """
    known = np.array([i for i, name in enumerate(names) if name.replace("-", " ") in plastics.SRGB])
    found = np.zeros((len(names), len(names)))
    places = np.array([lab(plastics.linear(names[i].replace("-", " "))) for i in known])
    apart = np.sqrt(((places[:, None] - places[None]) ** 2).sum(axis=2))
    mixed = kernels.below(-apart / 2, spread)
    np.fill_diagonal(mixed, 0.0)
    found[np.ix_(known, known)] = mixed
    return found
