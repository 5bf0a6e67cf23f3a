"""Widths measured in photographs of known truth, and whether the stated plus-minus holds them.

A fifth of the scenes at 12 megapixels, the rest at 3; half of them with the face 0 to 12 mm off the card's plane; the
card unseen at a corner in a quarter. The face is marked as a person would, and corners are given where the card was not
found. Nothing in `photo/` was set on these scenes: what was tuned stands on seeds below 70,000.

Run: python -m benchmarks.study photo_width
"""

from __future__ import annotations

import math

import numpy as np

from benchmarks.photo_scene import Array, scene
from benchmarks.study import Study, Tally
from coaxtell.models import tables
from coaxtell.photo import card as cards
from coaxtell.photo.width import LEVEL, UNKNOWN, measure

MARKED = 0.05
"""How far a person's circle is off, in radii: middle and size (assumed)."""
CORNER_PX = 6.0
"""How far corners that a person gives are off, where no card was found [px] (assumed)."""
AIMS = {"level": 0.15, "off plane": 0.35}
"""Median errors aimed at [mm]: half of the widths or more are to be within them."""


def widths() -> Array:
    """Widths over the coupling of the everyday families' jacks [mm], from the tables."""
    known = tables.load()
    found = [known.half(half_id).thread for half_id in ("sma-jack", "tnc-jack", "n-50-jack")]
    return np.array([thread.major.nominal for thread in found if thread is not None])


def one(seed: int) -> dict[str, bool]:
    """One photograph: whether its card was found or another thing taken for it, and what width came out, against the
    aim and its plus-minus."""
    large, off = seed % 5 == 0, seed % 2 == 1
    place = "off plane" if off else "level"
    shot = scene(seed, 4000 if large else 2048, 3000 if large else 1536, widths(), off)
    rng = np.random.default_rng(seed + 1_000_000)
    grey = cards.grey_of(shot.picture)
    card = cards.find(shot.picture)
    near = card is not None and all(np.linalg.norm(card.corners - c, axis=1).min() < 12 for c in shot.corners)
    taken = card is not None and not near
    if not near:  # the person sees that this is not the card, and gives its corners
        card = cards.fitted(grey, shot.corners + rng.normal(0, CORNER_PX, (4, 2)))
    centre = shot.centre + rng.normal(0, MARKED * shot.radius, 2)
    radius = shot.radius * math.exp(rng.normal(0, MARKED))
    width = None if card is None else measure(grey, card, centre, radius, UNKNOWN if off else LEVEL)
    found = {"card found": near, "another thing taken for the card": taken, f"{place}, measured": width is not None}
    if width is not None:
        error = abs(width.mm - shot.width_mm)
        found[f"{place}, within {AIMS[place]} mm"] = error <= AIMS[place]
        found[f"{place}, within its plus-minus"] = error <= width.plus_minus
    return found


def play(block: int, size: int) -> dict[str, Tally]:
    """The shares over so many photographs."""
    found: dict[str, Tally] = {}
    for i in range(size):
        for label, held in one(STUDY.seed + 100 * block + i).items():
            found[label] = found.get(label, Tally(0, 0)).plus(Tally(float(held), 1))
    return found


STUDY = Study(
    name="photo_width",
    about="Widths from a photograph with a bank card: shares found, within the aim, within the stated plus-minus",
    rooms=("models",),
    seed=70_000,
    blocks=50,
    play=play,
    size=20,
    sample=3,
    rests_on=lambda: repr(widths().tolist()),
)
