"""Round things proposed in photographs of known truth: how often the first is the coupling's rim, and one of the first
three.

A port, a card and a ground with lines and blotches, at 3 megapixels, half of them with the face 0 to 12 mm off the
card's plane; no screw head, coin or fan lies there. The right ring has a radius within 4 % and a middle within 5 % of
the radius. What `photo/rounds.py` holds was set on seeds 21000 to 21049.

Run: python -m benchmarks.study photo_rounds
"""

from __future__ import annotations

import numpy as np

from benchmarks.photo_scene import scene
from benchmarks.photo_width import CORNER_PX, widths
from benchmarks.study import Study, Tally
from coaxtell.photo import card as cards
from coaxtell.photo import rounds

RADIUS, MIDDLE = 0.04, 0.05
"""How far the right ring may be off, as shares of the radius."""


def right(seed: int) -> list[bool] | None:
    """Of each proposal for one photograph whether it is the right ring; none where the card's corners gave no card."""
    shot = scene(seed, 2048, 1536, widths(), seed % 2 == 1)
    grey = cards.grey_of(shot.picture)
    # as by a person who looked at the outline
    corners = shot.corners + np.random.default_rng(seed + 1_000_000).normal(0, CORNER_PX, (4, 2))
    card = cards.fitted(grey, corners)
    if card is None:
        return None
    return [
        bool(abs(radius / shot.radius - 1) <= RADIUS and np.linalg.norm(middle - shot.centre) <= MIDDLE * shot.radius)
        for middle, radius in rounds.proposals(shot.picture, card)
    ]


def play(block: int, size: int) -> dict[str, Tally]:
    """The shares over so many photographs."""
    found = {"the first is right": Tally(0, 0), "one of the first three is right": Tally(0, 0)}
    for i in range(size):
        held = right(STUDY.seed + 100 * block + i)
        if held is not None:
            for label, most in zip(found, (1, 3), strict=True):
                found[label] = found[label].plus(Tally(float(any(held[:most])), 1))
    return found


STUDY = Study(
    name="photo_rounds",
    about="Round things proposed in a photograph: shares where the first, and one of the first three, is the rim",
    rooms=("models",),
    seed=55_000,
    blocks=6,
    play=play,
    size=20,
    sample=2,
    rests_on=lambda: repr(widths().tolist()),
)
