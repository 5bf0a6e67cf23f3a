"""What measuring in a photograph rests on, for the page: every size and threshold of the room `photo`."""

from __future__ import annotations

from typing import Any

from coaxtell.identifier.answers import BY_PHOTOGRAPH
from coaxtell.photo import blur, card, circle, file, width
from coaxtell.photo_bench import HIGHEST

GREY = (9798, 19235, 3735, 15)
"""Brightness of red, green and blue, and the halvings of their sum (ITU-R BT.601: 0.299, 0.587, 0.114)."""
HEIGHTS = {"level": width.LEVEL, "unknown": width.UNKNOWN}
"""Height of a face over the card and its spread [mm], as the person says it; a number has the spread `told`."""
CORNERS = ((0.3, 0.35), (0.7, 0.35), (0.7, 0.6), (0.3, 0.6))
"""Where the corners stand before anyone has dragged them, as shares of the picture."""

FACE_SHARE = 0.04
"""Radius of the circle before anyone has set it, as a share of the picture's longer side."""


def photograph() -> dict[str, Any]:
    """All that the page's arithmetic needs, ready for JSON."""
    return {
        "grey": GREY,
        "mostMegapixels": file.MOST_MEGAPIXELS,
        "pixels": file.WORK_PIXELS,
        "leastSide": file.LEAST_SIDE,
        "lensTag": file.LENS_35MM,
        "exifTag": file.EXIF_IFD,
        "lenses": file.LENSES,
        "corners": CORNERS,
        "faceShare": FACE_SHARE,
        "heights": HEIGHTS,
        "told": width.TOLD,
        "typedBy": BY_PHOTOGRAPH,
        "highest": HIGHEST,
        **_card(),
        **_circle(),
        **_width(),
    }


def _card() -> dict[str, Any]:
    return {
        "long": card.LONG,
        "short": card.SHORT,
        "reaches": card.REACHES,
        "leastReach": card.LEAST_REACH,
        "profiles": card.PROFILES,
        "cornerShare": card.CORNER_SHARE,
        "sideStep": card.STEP,
        "sideBlur": card.SIDE_BLUR,
        "equal": card.EQUAL,
        "strongSide": card.STRONG,
        "tries": card.TRIES.tolist(),
        "onLine": card.ON_LINE,
        "leastSpan": card.LEAST_SPAN,
        "fewestPoints": card.FEWEST_POINTS,
        "fewestOnLine": card.FEWEST_ON_LINE,
        "leastPart": card.LEAST_PART,
        "mostBow": card.MOST_BOW,
        "leastApart": card.LEAST_APART,
        "leastMeeting": card.LEAST_MEETING,
        "cornerPx": card.CORNER_PX,
        "blurMost": blur.MOST,
        "blurReach": blur.REACH,
        "blurNear": blur.NEAR,
    }


def _circle() -> dict[str, Any]:
    return {
        "rays": circle.RAYS,
        "reach": circle.REACH,
        "mark": circle.MARK,
        "leastShare": circle.LEAST_SHARE,
        "rounds": circle.ROUNDS,
        "polarStep": circle.POLAR_STEP,
        "polarBlur": circle.POLAR_BLUR,
        "cap": circle.CAP,
        "floor": circle.FLOOR,
        "ringBlur": circle.RING_BLUR,
        "band": circle.BAND,
        "strongRim": circle.STRONG,
        "stray": circle.STRAY,
        "straySpreads": circle.STRAY_SPREADS,
        "leastStray": circle.LEAST_STRAY,
        "strayRounds": circle.STRAY_ROUNDS,
        "sane": circle.SANE,
    }


def _width() -> dict[str, Any]:
    return {
        "frame": card.FRAME_MM,
        "mainLens": card.MAIN_LENS,
        "lensSpread": width.LENS_SPREAD,
        "clear": width.CLEAR,
        "edge": width.EDGE,
        "middle": width.MIDDLE,
        "spreads": width.REACH,
        "unlike": width.UNLIKE,
        "nearest": width.NEAREST,
    }
