"""A port measured in a photograph, the same for the terminal and the window: what is told of it, and who fits it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coaxtell.models import quantity

if TYPE_CHECKING:
    from coaxtell.identifier.answers import State
    from coaxtell.identifier.belief import Shortlist
    from coaxtell.identifier.features import Feature
    from coaxtell.models.half import Half
    from coaxtell.photo.card import Array, Card, Grey
    from coaxtell.photo.width import Width

MATING_SIDE = "Is this the mating side, where the mate goes in or over? A rear end is as round and tells another port."
LAY_THE_CARD = (
    "Lay the card beside the port, never against a contact; transmitter off, nothing touched that is live; at height "
    "be secured."
)
CAUTIONS = (
    LAY_THE_CARD,
    MATING_SIDE,
    "A width is one look among several: it names no port alone.",
)
CHECK_CARD = "Check that the outlined four corners lie on the card"
"""What a person must do where the card was found by itself: the plus-minus holds only for a true card."""
EXPERIMENTAL = "Experimental: held against drawn photographs only, not yet against twenty real ones."
HIGHEST = 60.0
"""Farther above the card no width is given [mm]."""
PARTS = {
    "card": "the card's edges: take it larger in the picture.",
    "rim": "the scatter of the rim: steady the camera, more light.",
    "ring": "another ring near the rim: mark the rim more closely.",
    "mark": "the rim being hidden or far from your mark: mark it again, with more of it in sight.",
    "edge": "too few pixels to a millimetre: go nearer, or take more pixels.",
    "height": "the height of the face over the card: lay the card level with the face, or say how high it stands.",
}
"""What each part of the plus-minus is, and what makes it smaller."""


FACE_SHARE = 1.6
"""How far outlines of a face reach at most, in radii of the rim: a nut about its mouth does, a flange does not."""


def height(text: str, name: str) -> tuple[float, float]:
    """Height of the face above the card and its spread [mm] from `level`, `unknown` or a size.

    Raises InputError, which names where it was typed, where it is none of these.
    """
    from coaxtell.photo.width import LEVEL, TOLD, UNKNOWN

    if text in ("level", "unknown"):
        return LEVEL if text == "level" else UNKNOWN
    like = "level, unknown, 4mm or 1/4in"
    return quantity.within(text, name, like, -HIGHEST, HIGHEST, {"": 1.0, **quantity.LENGTHS}), TOLD


def blurred(grey: Grey, card: Card) -> str | None:
    """Why the picture is too blurred to measure by, in a sentence; None where it is not."""
    from coaxtell.photo import blur

    if blur.across(grey, card) <= blur.MOST:
        return None
    return "the card's edges are too blurred to measure by: steady the camera, let it focus, and take the picture anew."


def typed(measured: Width) -> str:
    """The width as one types a reading by photograph, as far off as it counts among what was seen."""
    from coaxtell.identifier.answers import BY_PHOTOGRAPH

    return f"{measured.mm:.2f}mm+-{measured.counted:.2f} {BY_PHOTOGRAPH}"


def counts(measured: Width) -> str:
    """How the width counts where the port is named, in a sentence."""
    return (
        f"Among what was seen it counts as give or take {measured.counted:.2f} mm: real photographs may be unlike the "
        "drawn ones."
    )


def told(measured: Width, px_per_mm: float) -> tuple[str, str]:
    """Where most of the plus-minus comes from, and what the picture gives, in sentences."""
    most = max(measured.parts, key=lambda name: measured.parts[name])
    return (
        f"Most of that comes from {PARTS[most]}",
        f"Card found at {px_per_mm:.1f} pixels to a millimetre; {measured.rim.share:.0%} of the rim in sight.",
    )


def likeliest(shortlist: Shortlist, state: State, feature: Feature, measured: Width, most: int = 1) -> list[Half]:
    """The halves that are likeliest once the width counts among what was answered, best first."""
    from coaxtell.identifier import answers, looks
    from coaxtell.identifier.belief import ranked

    read = answers.measured(feature, typed(measured), "calliper", looks.load())
    return [half for half, _ in ranked(shortlist, state.tell(feature, read))[:most]]


def fits_any(shortlist: Shortlist, feature: Feature, measured: Width) -> bool:
    """Whether any half of the tables is so wide there, within the plus-minus."""
    from coaxtell.identifier import contradiction
    from coaxtell.identifier.answers import Read

    read = Read(measured.mm, measured.plus_minus)
    return bool(contradiction.fits(shortlist, feature, read).any())


def outlines(half: Half, measured: Width) -> list[Array]:
    """A half's face as closed lines in the card's plane [mm] about the rim, as large as the camera sees it there."""
    import numpy as np

    from coaxtell.models.drawings import face
    from coaxtell.models.drawings.drawing import Polygon

    x, y = (float(v) for v in measured.rim.centre)
    # what stands nearer to the camera looks larger
    nearer = measured.rim.diameter / measured.mm
    shown = [item for item in face.parts(half, (x, y), nearer) if isinstance(item, Polygon)]
    lines = [np.array(outline) for item in shown for outline in item.outlines]
    # a flange or a body behind the face says nothing of its fit
    far = FACE_SHARE * measured.rim.diameter / 2
    return [line for line in lines if np.hypot(*(line - (x, y)).T).max() <= far]
