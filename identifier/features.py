"""What there is to see and to measure on a port, and what an eye finds on a half: computed from its table.

Values that rest on numbers with a range come as many values over that range (see draws).
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from string import ascii_lowercase
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from coaxtell.identifier.draws import Array, Draws
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure
from coaxtell.models.plastics import SRGB
from coaxtell.models.surfaces import shell_radius


class Feature(StrEnum):
    """One thing to see or measure on a port."""

    COUPLING = "coupling"
    CENTRE = "centre"
    TOUCH = "touch"
    PLASTIC = "plastic"
    SIZE = "size"
    HOLE = "hole-by-eye"
    RIM = "rim"
    FORM = "nut-form"
    GROOVE = "groove"
    HAND = "thread-hand"
    OFF = "comes-off"
    COLOUR = "housing-colour"
    LETTER = "housing-letter"
    MARKED = "marked-ohm"
    COUPLING_DIAMETER = "coupling-diameter"
    PIN_DIAMETER = "pin-diameter"
    SOCKET_BORE = "socket-bore"
    BORE = "bore"
    NUT_WIDTH = "nut-width"
    THREADS = "threads-per-10mm"


COUPLINGS = ("thread-outside", "thread-inside", "lugs", "bayonet-sleeve", "smooth", "sleeve", "housing")
CENTRES = ("pin", "socket", "flat")
TOUCHES = ("drops", "stands")
PLASTICS = ("level", "sunk", "deep", "tube")
RIMS = ("plain", "notched")
FORMS = ("hex", "knurl", "round")
GROOVES = ("none", "outside", "inside")
HANDS = ("right", "left")
WAYS_OFF = ("anticlockwise", "clockwise", "part-turn", "pulled")
COLOURS = (*(colour.replace(" ", "-") for colour in SRGB), "other")
LETTERS = (*ascii_lowercase, "other")
MARKS = ("50", "75", "none")
BAYONETS = ("lugs", "bayonet-sleeve")
"""Couplings that take a part of a turn, and that high voltage has too."""
LEVEL_WITH_PLANE = 0.3
"""A face this near the reference plane is flush [mm]."""
STANDS_PROUD = 1.0
"""An insulator this far in front of its surroundings is a tube [mm]."""
OUT_OF_SIGHT = 4.0
"""An insulator this far behind the reference plane is air to the eye [mm]."""
SUNK = 3.0
"""Plastic farther than this behind the rim lies deep [mm]."""
WOOD = 0.6
"""The tip of a wooden toothpick or match drops into a hole at least this wide [mm]."""
ROOM_BESIDE = 0.5
"""An insulator with at least this much room to the shell stands free of it and lets jaws pass [mm]."""


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


def comes_off(half: Half) -> str:
    """How its own mate comes off: unscrewed, seen from behind the nut, by a part of a turn, or pulled."""
    turns = hand(half)
    if turns is not None:
        return "clockwise" if turns == "left" else "anticlockwise"
    return "part-turn" if coupling(half) in BAYONETS else "pulled"


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


def touch(half: Half, draw: Draws) -> list[str]:
    """What the tip of a wooden toothpick does in the centre: it drops into a hole, or stands on metal."""
    if half.centre.socket is None:
        return ["stands"]
    return ["drops" if hole >= WOOD else "stands" for hole in draw(half.centre.socket.hole)]


def rim(half: Half) -> str:
    """Whether the rim of the shell has notches cut across it."""
    return "plain" if half.notches is None else "notched"


def form(half: Half) -> str | None:
    """How the nut or sleeve is gripped, a hex wherever it has one; none on a half without."""
    if half.nut is None:
        return None
    forms = {step.form for step in half.nut.body.outside}
    return next((form for form in ("hex", "knurl") if form in forms), "round")


def plastic(half: Half, draw: Draws) -> list[str]:
    """Where the plastic ends against the rim of the shell that stands next round it, for each value of its numbers."""
    if not half.insulator:
        return ["deep"]
    rim = draw(half.shell.rim)
    faces = [draw(ring.face) for ring in half.insulator]
    behind = rim - np.max(faces, axis=0)
    found = np.where(behind <= LEVEL_WITH_PLANE, "level", np.where(behind <= SUNK, "sunk", "deep"))
    return [str(value) for value in np.where(_tube(half, faces), "tube", found)]


def insulator(half: Half, draw: Draws) -> list[str]:
    """Where the insulator lies at the reference plane, for each value of the numbers it rests on."""
    faces = [draw(ring.face) for ring in half.insulator]
    if not faces:
        return ["air"]
    front = np.max(faces, axis=0)
    return [_where(z, bool(stands)) for z, stands in zip(front, _tube(half, faces), strict=True)]


def _tube(half: Half, faces: list[Array]) -> npt.NDArray[np.bool_]:
    """Whether a ring of insulator stands as a tube, free of the shell and in front of what is round it."""
    tube = np.zeros(faces[0].shape, dtype=bool)
    for i, ring in enumerate(half.insulator):
        if ring.outer is None or room_beside(half, ring.outer, ring.face.nominal) < ROOM_BESIDE:
            continue
        around = [faces[j] for j, other in enumerate(half.insulator) if j != i and other.outer is None]
        floor = np.max([np.zeros(tube.shape), *around], axis=0) if around else np.zeros(tube.shape)
        tube |= faces[i] - floor >= STANDS_PROUD
    return tube


def room_beside(half: Half, outer: Measure, z: float) -> float:
    """Room between the outside of an insulator and the shell round it, at z [mm]."""
    return shell_radius(half, z) - outer.nominal / 2


def _where(front: float, tube: bool) -> str:
    if tube:
        return "tube"
    if front >= -LEVEL_WITH_PLANE:
        return "flush"
    return "recessed" if front >= -OUT_OF_SIGHT else "air"


class Sight(NamedTuple):
    """A seen feature: its values in the order they are offered, and which of them a half shows.

    More than one where it depends on the half's numbers or its setting, none where it has no such part.
    """

    values: tuple[str, ...]
    shown: Callable[[Half, Draws], list[str]]


def _one(shown: Callable[[Half], str | None]) -> Callable[[Half, Draws], list[str]]:
    """A look that hangs on no number, as one that might."""

    def values(half: Half, draw: Draws) -> list[str]:
        found = shown(half)
        return [] if found is None else [found]

    return values


SIGHTS: dict[Feature, Sight] = {
    Feature.COUPLING: Sight(COUPLINGS, lambda half, draw: couplings(half)),
    Feature.CENTRE: Sight(CENTRES, _one(centre)),
    Feature.TOUCH: Sight(TOUCHES, touch),
    Feature.PLASTIC: Sight(PLASTICS, plastic),
    Feature.RIM: Sight(RIMS, _one(rim)),
    Feature.FORM: Sight(FORMS, _one(form)),
    Feature.GROOVE: Sight(GROOVES, _one(groove)),
    Feature.HAND: Sight(HANDS, _one(hand)),
    Feature.OFF: Sight(WAYS_OFF, _one(comes_off)),
    Feature.COLOUR: Sight(COLOURS, _one(colour)),
    Feature.LETTER: Sight(LETTERS, _one(letter)),
    Feature.MARKED: Sight(MARKS, _one(marked)),
}
"""Every feature that is looked at and has values of its own."""
PRINTED = frozenset({Feature.LETTER, Feature.MARKED})
"""What is read on a port and stands in no picture of it."""
LIKENED = (Feature.SIZE, Feature.HOLE)
"""Widths judged by eye: their values are the things they are likened to."""
HELD_BESIDE = (*LIKENED, Feature.HAND)
"""Looks for which something is held beside the port."""
SEEN = tuple(feature for feature in Feature if feature in SIGHTS or feature in LIKENED)
MEASURED = tuple(feature for feature in Feature if feature not in SEEN)


def seen_values(half: Half, feature: Feature, draw: Draws) -> list[str]:
    """The values of a seen feature on a half, the width left out: as many as its numbers or its setting leave open.

    There is none where the half has no such part: no hand without a thread. Raises ValueError for a feature without
    fixed values.
    """
    sight = SIGHTS.get(feature)
    if sight is None:
        raise ValueError(f"{feature} has no fixed values")
    return sight.shown(half, draw)
