"""Colours of plastic housings by the name that a table gives them, and as light takes them.

The names follow the RAL colours that the trade quotes for keyed housings; the red, green and blue of a RAL colour
on a screen are common practice, no source. A picture never decides a code: the moulded letter does.
"""

from __future__ import annotations

SRGB: dict[str, str] = {
    "black": "#1B1B1E",  # RAL 9005 jet black, lifted so that a black part still shows its shape
    "cream white": "#E9E0D2",  # RAL 9001
    "blue": "#005387",  # RAL 5005 signal blue
    "bordeaux": "#6C1B2F",  # RAL 4004 claret violet
    "green": "#325928",  # RAL 6002 leaf green
    "brown": "#5A3A29",  # RAL 8011 nut brown
    "grey": "#5B686F",  # RAL 7031 blue grey
    "violet": "#C63678",  # RAL 4003 heather violet
    "beige": "#D0B084",  # RAL 1001
    "curry": "#A27B0E",  # RAL 1027
    "carmine red": "#9B2321",  # RAL 3002
    "pastel orange": "#F67828",  # RAL 2003
    "pastel green": "#B9CEAC",  # RAL 6019
    "water blue": "#07737A",  # RAL 5021
}
PLAIN = "#8A9299"
"""Plastic whose colour no table states."""


def srgb(colour: str) -> tuple[float, float, float]:
    """Red, green and blue of a plastic as a screen shows it, 0 to 1."""
    text = SRGB.get(colour, PLAIN)
    red, green, blue = (int(text[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return red, green, blue


def linear(colour: str) -> tuple[float, float, float]:
    """Red, green and blue of a plastic as a share of the light, 0 to 1 (IEC 61966-2-1)."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in srgb(colour))
    return red, green, blue
