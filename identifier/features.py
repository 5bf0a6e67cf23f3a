"""What an eye and a calliper find on a half: computed from its table, never typed.

Values that rest on numbers with a range come as many values over that range (see draws).
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from string import ascii_lowercase

import numpy as np

from coaxtell.identifier.draws import Array, Draws, Nominal
from coaxtell.models.half import Half, Step
from coaxtell.models.measure import Measure
from coaxtell.models.plastics import SRGB
from coaxtell.models.surfaces import shell_radius
from coaxtell.models.threads import limits


class Feature(StrEnum):
    """One thing to see or measure on a port."""

    COUPLING = "coupling"
    CENTRE = "centre"
    INSULATOR = "insulator"
    SIZE = "size"
    GROOVE = "groove"
    HAND = "thread-hand"
    COLOUR = "housing-colour"
    LETTER = "housing-letter"
    MARKED = "marked-ohm"
    COUPLING_DIAMETER = "coupling-diameter"
    PIN_DIAMETER = "pin-diameter"
    SOCKET_BORE = "socket-bore"
    BORE = "bore"
    NUT_WIDTH = "nut-width"
    THREADS = "threads-per-10mm"


SEEN = (
    Feature.COUPLING, Feature.CENTRE, Feature.INSULATOR, Feature.SIZE, Feature.GROOVE, Feature.HAND, Feature.COLOUR,
    Feature.LETTER, Feature.MARKED,
)  # fmt: skip
MEASURED = tuple(feature for feature in Feature if feature not in SEEN)

COUPLINGS = ("thread-outside", "thread-inside", "lugs", "bayonet-sleeve", "smooth", "sleeve", "housing")
CENTRES = ("pin", "socket", "flat")
INSULATORS = ("flush", "tube", "recessed", "air")
GROOVES = ("none", "outside", "inside")
HANDS = ("right", "left")
COLOURS = (*(colour.replace(" ", "-") for colour in SRGB), "other")
LETTERS = (*ascii_lowercase, "other")
MARKS = ("50", "75", "none")
VALUES: dict[Feature, tuple[str, ...]] = {
    Feature.COUPLING: COUPLINGS,
    Feature.CENTRE: CENTRES,
    Feature.INSULATOR: INSULATORS,
    Feature.GROOVE: GROOVES,
    Feature.HAND: HANDS,
    Feature.COLOUR: COLOURS,
    Feature.LETTER: LETTERS,
    Feature.MARKED: MARKS,
}
"""The values of every seen feature but the width, in the order they are offered."""

LEVEL_WITH_PLANE = 0.3
"""A face this near the reference plane is flush [mm]."""
STANDS_PROUD = 1.0
"""An insulator this far in front of its surroundings is a tube [mm]."""
OUT_OF_SIGHT = 4.0
"""An insulator this far behind the reference plane is air to the eye [mm]."""
ROOM_BESIDE = 0.5
"""An insulator with at least this much room to the shell stands free of it and lets jaws pass [mm]."""
JAW_BITE = 0.3
"""Jaws read a bore only where they stand at least this deep in it [mm]."""


def couplings(half: Half) -> list[str]:
    """What holds the half to its mate, as one sees it: more than one where it depends on how the half is set."""
    if half.housing is not None:
        return ["housing"]
    if half.nut is not None:
        if half.nut.slides:
            return ["sleeve"]
        found = "thread-inside" if half.nut.ramps is None else "bayonet-sleeve"
        # a nut that draws back over an outside thread stands forward or back, and shows the one or the other
        return [found, "thread-outside"] if half.thread is not None else [found]
    if half.thread is not None:
        return ["thread-outside"]
    if half.lugs is not None:
        return ["lugs"]
    # what springs is a sleeve that takes its mate; what does not is the smooth barrel that enters
    return ["sleeve" if half.snap is not None or half.shell.give is not None else "smooth"]


def coupling(half: Half) -> str:
    """What holds the half to its mate, as it is seen first."""
    return couplings(half)[0]


def centre(half: Half) -> str:
    """What stands in the centre: pin, socket or flat."""
    if half.centre.pin is not None:
        return "pin"
    return "socket" if half.centre.socket is not None else "flat"


def groove(half: Half) -> str:
    """Where the half has a groove for a springing bead: outside, inside, or none."""
    if half.groove is None or half.groove.friction:
        return "none"
    return "outside" if half.groove.outside else "inside"


def hand(half: Half) -> str | None:
    """The hand of the coupling thread, right or left; none without a thread."""
    return None if half.coupling_thread is None else half.coupling_thread.hand


def colour(half: Half) -> str | None:
    """The colour of the plastic housing; none without a housing."""
    if half.housing is None:
        return None
    found = "" if half.key is None else half.key.colour.replace(" ", "-")
    return found if found in COLOURS else "other"


def letter(half: Half) -> str | None:
    """The code letter on the plastic housing; none without a housing."""
    if half.housing is None:
        return None
    found = "" if half.key is None else half.key.code.lower()
    return found if found in LETTERS else "other"


def marked(half: Half) -> str:
    """The impedance that is printed on the part, its cable or its equipment, where anything is printed."""
    found = "none" if half.impedance_ohm is None else f"{half.impedance_ohm:g}"
    return found if found in MARKS else "none"


def insulator(half: Half, draw: Draws) -> list[str]:
    """Where the insulator lies at the reference plane, for each value of the numbers it rests on."""
    faces = [draw(ring.face) for ring in half.insulator]
    if not faces:
        return ["air"]
    tube = np.zeros(faces[0].shape, dtype=bool)
    for i, ring in enumerate(half.insulator):
        if ring.outer is None or _room(half, ring.outer, ring.face.nominal) < ROOM_BESIDE:
            continue
        around = [faces[j] for j, other in enumerate(half.insulator) if j != i and other.outer is None]
        floor = np.max([np.zeros(tube.shape), *around], axis=0) if around else np.zeros(tube.shape)
        tube |= faces[i] - floor >= STANDS_PROUD
    front = np.max(faces, axis=0)
    return [_where(z, bool(stands)) for z, stands in zip(front, tube, strict=True)]


def _room(half: Half, outer: Measure, z: float) -> float:
    return shell_radius(half, z) - outer.nominal / 2


def _where(front: float, tube: bool) -> str:
    if tube:
        return "tube"
    if front >= -LEVEL_WITH_PLANE:
        return "flush"
    return "recessed" if front >= -OUT_OF_SIGHT else "air"


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
        if ring.outer is None or _room(half, ring.outer, ring.face.nominal) < ROOM_BESIDE:
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


def threads_per_10mm(half: Half, draw: Draws) -> Array | None:
    """Threads on 10 mm of the coupling [per 10 mm]; none on a half without a thread."""
    thread = half.coupling_thread
    if thread is None:
        return None
    if thread.tpi is not None:
        return draw(thread.tpi) / 2.54
    assert thread.pitch is not None
    return 10 / draw(thread.pitch)


_SEEN: dict[Feature, Callable[[Half], str | None]] = {
    Feature.CENTRE: centre,
    Feature.GROOVE: groove,
    Feature.HAND: hand,
    Feature.COLOUR: colour,
    Feature.LETTER: letter,
    Feature.MARKED: marked,
}


def seen_values(half: Half, feature: Feature, draw: Draws) -> list[str]:
    """The values of a seen feature on a half, the width left out: as many as its numbers or its setting leave open.

    There is none where the half has no such part: no hand without a thread. Raises ValueError for a feature without
    fixed values.
    """
    if feature is Feature.COUPLING:
        return couplings(half)
    if feature is Feature.INSULATOR:
        return insulator(half, draw)
    if feature in _SEEN:
        found = _SEEN[feature](half)
        return [] if found is None else [found]
    raise ValueError(f"{feature} has no fixed values")


_SIZES: dict[Feature, Callable[[Half, Draws], Array | None]] = {
    Feature.SIZE: size,
    Feature.COUPLING_DIAMETER: coupling_diameter,
    Feature.PIN_DIAMETER: pin_diameter,
    Feature.SOCKET_BORE: socket_bore,
    Feature.NUT_WIDTH: nut_width,
    Feature.THREADS: threads_per_10mm,
}


def sizes(half: Half, feature: Feature, draw: Draws, reach: Measure) -> Array | None:
    """The sizes of a feature on a half [mm, threads per 10 mm], one for each draw; none where it has no such part."""
    return bore(half, draw, reach) if feature is Feature.BORE else _SIZES[feature](half, draw)


def nominal_size(half: Half, feature: Feature, reach: Measure) -> float | None:
    """The size of a feature with every number at its nominal [mm, threads per 10 mm]."""
    found = sizes(half, feature, Nominal(), reach)
    return None if found is None else float(found[0])
