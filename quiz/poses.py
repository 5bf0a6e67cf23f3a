"""From where, in which light and in what state a half is pictured: all of it drawn, so that nobody learns the picture.

What is drawn never takes away what the item asks for: the picture still tells the half from every other option.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from random import Random
from typing import Literal

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
NEARER = (1.0, 0.7, 0.45, 0.25, 0.0)
"""How the drawn pose is turned towards the standard one until it tells the halves apart."""


def drawn(stock: Stock, shown: tuple[str, ...], apart: Iterable[tuple[str, str]], rng: Random) -> Picture:
    """A drawn picture of halves that tells each half named first in `apart` from the half named second.

    Raises ValueError where not even the standard picture does.
    """
    rivals: dict[str, list[Half]] = {}
    for one, two in apart:
        rivals.setdefault(one, []).append(stock.half(two))
    azimuth, elevation = rng.uniform(-SIDE, SIDE), rng.uniform(4, ABOVE)
    light, scale = rng.choice(LIGHTS), len(shown) > 1 or rng.random() >= WITHOUT_SCALE
    state = Picture(
        shown, light=light, scale=scale, finish=rng.choice(FINISHES),
        bodies=tuple(_body(stock.half(half_id), rng) for half_id in shown), wear=round(rng.uniform(0, WEAR), 2),
        dirt=round(rng.uniform(0, DIRT), 2), blur=round(rng.uniform(0, BLUR), 2), grain=rng.randrange(1000),
    )  # fmt: skip
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
