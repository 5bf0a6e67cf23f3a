"""What a calliper, a ruler and a thread gauge find on a half: computed from its table, never typed.

Sizes that rest on numbers with a range come as many values over that range (see draws).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from coaxtell.identifier.draws import Array, Draws, Nominal
from coaxtell.identifier.features import ROOM_BESIDE, Feature, room_beside
from coaxtell.models.half import Half, Step
from coaxtell.models.measure import Measure
from coaxtell.models.numbers import Path
from coaxtell.models.threads import limits

JAW_BITE = 0.3
"""Jaws read a bore only where they stand at least this deep in it [mm]."""


def _widest(steps: list[Step]) -> Step:
    return max((step for step in steps if step.d is not None), key=lambda s: s.d.nominal if s.d is not None else 0.0)


def _diameter(step: Step, draw: Draws) -> Array:
    assert step.d is not None
    return draw(step.d)


def _crests(half: Half, draw: Draws) -> Array:
    """Diameter over the crests of the coupling thread [mm], within the limits of its class."""
    thread = half.coupling_thread
    assert thread is not None
    size = limits(thread)
    low, high = (size.minor_min, size.minor_max) if size.inside else (size.major_min, size.major_max)
    return draw.between(low, high) + (draw(thread.major) - thread.major.nominal)


def _collar(half: Half) -> Step:
    """The step of the shell that carries the lugs, else the foremost."""
    if half.lugs is not None:
        for step in half.shell.outside:
            if step.to.nominal <= half.lugs.centre.nominal:
                return step
    return half.shell.outside[0]


def across_flats(half: Half) -> bool:
    """Whether the width of the nut or housing is read across the flats of a hex or a square."""
    body = half.housing or (half.nut.body if half.nut is not None else None)
    return body is not None and _widest(body.outside).form in ("hex", "square")


def nut_width(half: Half, draw: Draws) -> Array | None:
    """Width of the nut or sleeve [mm]: across flats or over the knurl; none on a half without."""
    return None if half.nut is None else _diameter(_widest(half.nut.body.outside), draw)


def size(half: Half, draw: Draws) -> Array:
    """Widest diameter on the face [mm]: housing, nut or sleeve, else thread, else collar or barrel."""
    body = half.housing or (half.nut.body if half.nut is not None else None)
    if body is not None:
        return _diameter(_widest(body.outside), draw)
    if half.thread is not None:
        return _crests(half, draw)
    if half.snap is not None and not half.snap.over:
        return draw(half.snap.bead)
    return _diameter(_collar(half), draw)


def coupling_diameter(half: Half, draw: Draws) -> Array:
    """What jaws read on the coupling [mm]: over crests, bead or collar outside, on the crests or the bead inside."""
    if half.coupling_thread is not None:
        return _crests(half, draw)
    if half.snap is not None:
        return draw(half.snap.bead)
    if half.nut is not None:
        return _diameter(half.nut.body.inside[0], draw)
    return _diameter(_collar(half), draw)


def pin_diameter(half: Half, draw: Draws) -> Array | None:
    """Diameter of the pin [mm]; none on a half without."""
    return None if half.centre.pin is None else draw(half.centre.pin.d)


def socket_bore(half: Half, draw: Draws) -> Array | None:
    """Diameter of the socket's hole [mm]; none on a half without."""
    return None if half.centre.socket is None else draw(half.centre.socket.hole)


def bore(half: Half, draw: Draws, reach: Measure) -> Array:
    """Inside of the outer conductor at the face [mm]: the narrowest that jaws meet as deep as they enter.

    Jaws enter by `reach` [mm] behind the rim, or until an insulator that fills the shell stops them.
    """
    rim = draw(half.shell.rim)
    stop = rim - draw(reach)
    for ring in half.insulator:
        if ring.outer is None or room_beside(half, ring.outer, ring.face.nominal) < ROOM_BESIDE:
            stop = np.maximum(stop, np.minimum(draw(ring.face), rim))
    narrowest: Array | None = None
    front = rim
    for step in half.shell.inside:
        here = _diameter(step, draw)
        back = np.minimum(draw(step.to), front)
        deep = here
        if step.d_end is not None:
            length = np.maximum(front - back, 1e-9)
            share = np.clip((front - stop) / length, 0, 1)
            deep = here + (draw(step.d_end) - here) * share
        within = np.minimum(here, deep)
        narrowest = (
            within if narrowest is None else np.where(front - stop > JAW_BITE, np.minimum(narrowest, within), narrowest)
        )
        front = back
    assert narrowest is not None
    return narrowest


def around(numbers: Iterable[tuple[Path, Measure]]) -> list[float]:
    """What else there is on a half of these numbers to put jaws on [mm]: diameters, over lugs, across flats."""
    found = [measure.nominal for path, measure in numbers if path[-1] in ("d", "over", "bead", "major", "hole")]
    return sorted({round(mm, 2) for mm in found})


def threads_per_10mm(half: Half, draw: Draws) -> Array | None:
    """Threads on 10 mm of the coupling [per 10 mm]; none on a half without a thread."""
    thread = half.coupling_thread
    if thread is None:
        return None
    if thread.tpi is not None:
        return draw(thread.tpi) / 2.54
    assert thread.pitch is not None
    return 10 / draw(thread.pitch)


SIZES: dict[Feature, Callable[[Half, Draws], Array | None]] = {
    Feature.SIZE: size,
    Feature.COUPLING_DIAMETER: coupling_diameter,
    Feature.PIN_DIAMETER: pin_diameter,
    Feature.SOCKET_BORE: socket_bore,
    Feature.HOLE: socket_bore,
    Feature.NUT_WIDTH: nut_width,
    Feature.THREADS: threads_per_10mm,
}


def sizes(half: Half, feature: Feature, draw: Draws, reach: Measure) -> Array | None:
    """The sizes of a feature on a half [mm, threads per 10 mm], one for each draw; none where it has no such part."""
    return bore(half, draw, reach) if feature is Feature.BORE else SIZES[feature](half, draw)


def nominal_size(half: Half, feature: Feature, reach: Measure) -> float | None:
    """The size of a feature with every number at its nominal [mm, threads per 10 mm]."""
    found = sizes(half, feature, Nominal(), reach)
    return None if found is None else float(found[0])
