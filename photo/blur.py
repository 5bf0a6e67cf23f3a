"""How soft a picture is, by the card's own edges: a blurred one shows no rim where it truly is."""

from __future__ import annotations

import numpy as np

from coaxtell.photo.card import CORNER_SHARE, PROFILES, STEP, Array, Card, Grey, sampled

MOST = 8.0
"""Where the card's sides are wider across, a picture is too blurred to measure by [px]. Set on the drawn scenes of
seeds 500 to 529: 1.5 to 5.0 as drawn, 9.5 to 18 under a Gaussian of 5 px."""
REACH = 14.0
"""How far to either side of an edge its width is looked for [px]."""
NEAR = 4.0
"""The edge itself lies no farther from the fitted side [px]."""


def across(grey: Grey, card: Card) -> float:
    """Width of the card's sides across [px]: how far their brightness changes at least half as fast as at most.

    That of the second sharpest side counts: print or shadow makes a side look wider, blur softens them all, and where a
    side hardly shows noise looks sharp. Infinite where fewer than two show an edge.
    """
    pairs = zip(card.corners, np.roll(card.corners, -1, axis=0), strict=True)
    return sorted(_across(grey, start, end) for start, end in pairs)[1]


def _across(grey: Grey, start: Array, end: Array) -> float:
    along = (end - start) / np.linalg.norm(end - start)
    places = start + np.outer(np.linspace(CORNER_SHARE, 1 - CORNER_SHARE, PROFILES), end - start)
    steps = np.arange(-REACH, REACH + STEP / 2, STEP)
    lines = sampled(grey, places[:, None, :] + steps[None, :, None] * np.array([-along[1], along[0]]))
    # what most places share is the side's own edge: noise and print differ from place to place
    slope = np.abs(np.median(np.gradient(lines, axis=1), axis=0))
    top = int(np.where(np.abs(steps) <= NEAR, slope, -1.0).argmax())
    if slope[top] <= 0:
        return float("inf")
    low = np.flatnonzero(slope < slope[top] / 2)
    before, after = low[low < top], low[low > top]
    first = -1 if len(before) == 0 else int(before[-1])
    last = len(steps) if len(after) == 0 else int(after[0])
    return STEP * (last - first - 1)
