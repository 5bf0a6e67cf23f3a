"""From where, in which light and in what state a half is pictured: all of it drawn, so that nobody learns the picture.

What is drawn never takes away what the item asks for: the picture still tells the half from every other option.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from random import Random
from typing import Literal

import msgspec

from coaxtell.identifier.features import Feature
from coaxtell.models import body
from coaxtell.models.half import Half
from coaxtell.quiz import visible
from coaxtell.quiz.item import Picture
from coaxtell.quiz.stock import Stock

STANDARD = Picture(halves=(), azimuth=16, elevation=12, scale=True)
"""The picture by which it is decided what can be told apart at all."""
LIGHTS = ("bench", "lamp", "shade", "dark bench")
FINISHES: tuple[Literal["gold", "nickel", "steel"], ...] = ("gold", "nickel", "steel")
SIDE, ABOVE = 38.0, 30.0
"""How far round and above the face the eye may stand [deg]."""
WITHOUT_SCALE = 0.3
"""Share of pictures without a scale, where it is not the width that decides."""
BODIES = ("cable-crimp", "clamp", "bulkhead", "right-angle")
"""Bodies that are drawn, for plug and jack alike, so that no body gives the port away."""
OWN_BODY = 0.4
"""Share of halves pictured with the plain tail of their table."""
WEAR, DIRT, BLUR = 0.6, 0.6, 0.7
"""The most that is drawn of wear and dirt, each from 0 to 1, and of blur [px at 840 px width] (assumed: a used part,
seen by a steady hand)."""
TILT = 10.0
"""The most that a camera is held crooked [deg] (assumed: a picture taken by hand)."""
IN_PANEL = 0.25
"""Share of pictures of one port that stands in a panel among others, where every port of the item may."""
NEIGHBOURS = (1, 2)
"""How many others stand in it."""
ALIKE = 0.45
"""Neighbours differ by no more than this in the logarithm of the width, so that no port is lost beside a large one."""
NEARER = (1.0, 0.7, 0.45, 0.25, 0.0)
"""How the drawn pose is turned towards the standard one until it tells the halves apart."""


def drawn(stock: Stock, shown: tuple[str, ...], apart: Iterable[tuple[str, str]], rng: Random) -> Picture:
    """A drawn picture of halves that tells each half named first in `apart` from the half named second.

    Raises ValueError where not even the standard picture does.
    """
    rivals: dict[str, list[Half]] = {}
    apart = list(apart)
    for one, two in apart:
        rivals.setdefault(one, []).append(stock.half(two))
    azimuth, elevation = rng.uniform(-SIDE, SIDE), rng.uniform(4, ABOVE)
    light, scale = rng.choice(LIGHTS), len(shown) > 1 or rng.random() >= WITHOUT_SCALE
    state = Picture(
        shown, light=light, scale=scale, finish=rng.choice(FINISHES),
        bodies=tuple(_body(stock.half(half_id), rng) for half_id in shown), wear=round(rng.uniform(0, WEAR), 2),
        dirt=round(rng.uniform(0, DIRT), 2), blur=round(rng.uniform(0, BLUR), 2), grain=rng.randrange(1000),
    )  # fmt: skip
    if len(shown) == 1:
        state = _met(stock, state, list(dict.fromkeys(half_id for pair in apart for half_id in pair)))
    for nearer in NEARER:
        for with_scale in dict.fromkeys((scale, True)):
            pose = (
                round(STANDARD.azimuth + (azimuth - STANDARD.azimuth) * nearer),
                round(STANDARD.elevation + (elevation - STANDARD.elevation) * nearer),
            )
            found = state.at(*pose, with_scale)
            if _shows_centres(stock, found) and all(
                _tells(stock, stock.half(one), others, found) for one, others in rivals.items()
            ):
                return found
    raise ValueError(f"no pose tells {shown} apart")


def _met(stock: Stock, state: Picture, among: list[str]) -> Picture:
    """The picture as one takes it at a port: a little crooked, some of a port in a panel among others.

    Drawn from what was drawn already. No port of the item tells by the panel that it is not another.
    """
    own = Random(f"{state.halves[0]} {state.grain} {state.wear} {state.dirt}")
    state = msgspec.structs.replace(state, tilt=round(own.uniform(-TILT, TILT), 1))
    if own.random() >= IN_PANEL or not all(_stands(stock, half_id) for half_id in (*state.halves, *among)):
        return state
    width = stock.width(state.halves[0]).nominal
    others = [one for one in stock.halves if one not in state.halves and _stands(stock, one)
              and abs(math.log(stock.width(one).nominal / width)) <= ALIKE]  # fmt: skip
    row = own.sample(others, min(len(others), own.choice(NEIGHBOURS)))
    row.insert(own.randint(0, len(row)), state.halves[0])
    return msgspec.structs.replace(state, panel=tuple(row), bodies=("",)) if len(row) > 1 else state


def _stands(stock: Stock, half_id: str) -> bool:
    """Whether a half may stand in a panel, by the bodies that it has."""
    return "bulkhead" in common_bodies([stock.half(half_id)])


def _shows_centres(stock: Stock, picture: Picture) -> bool:
    """True where every contact is seen that the standard picture shows: nobody is asked about a plug without it."""
    halves = [stock.half(half_id) for half_id in picture.halves]
    return all(
        Feature.CENTRE in visible.features(half, picture) or Feature.CENTRE not in visible.features(half, STANDARD)
        for half in halves
    )


def _tells(stock: Stock, half: Half, others: list[Half], picture: Picture) -> bool:
    return all(visible.tells(stock, half, other, picture) for other in others)


def common_bodies(halves: Sequence[Half]) -> list[str]:
    """The styles of body that each of some halves can have."""
    return [style for style in BODIES if all(style in body.sizes(half).usual and half.back is None for half in halves)]


def _body(half: Half, rng: Random) -> str:
    """A style of body that this half can have; empty for the plain tail of its table."""
    styles = common_bodies([half])
    return "" if not styles or rng.random() < OWN_BODY else rng.choice(styles)
