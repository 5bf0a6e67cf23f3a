"""The colours of drawings, pages and benches, and the fill of each part by its role."""

from __future__ import annotations

from coaxtell.models.half import Half
from coaxtell.models.plastics import SRGB
from coaxtell.models.regions import Role

PAPER = "#FFFFFF"
BENCH = "#F4F1EA"
GRID_FINE, GRID_COARSE = "#E2DDD1", "#C9C2B2"
INK, QUIET = "#1A1F21", "#545D5F"
ACTION, HARM, FITS = "#00666B", "#B3261E", "#2F6B1E"

FILLS: dict[Role, str] = {
    "outer": "#9DB4C0",
    "finger": "#9DB4C0",
    "thread": "#9DB4C0",
    "lug": "#9DB4C0",
    "tooth": "#9DB4C0",
    "nut": "#C9D1D4",
    "pin": "#E0B04C",
    "socket": "#E0B04C",
    "insulator": "#FFFFFF",
    "housing": "#8A9299",
}
LEGEND: tuple[Role, ...] = ("outer", "nut", "pin", "insulator", "housing")
"""Roles that a legend names, by `legend` of the texts."""
BEHIND = "#E9E4D8"
"""What is seen behind the cut."""
HOLLOW = "#2B2115"
"""A hole that no light reaches: to the eye dark, not metal."""


def fill(half: Half, role: Role) -> str:
    """The colour of a part of this half: plastic in its own, where the table states one."""
    if role == "housing" and half.key is not None:
        return SRGB.get(half.key.colour, FILLS[role])
    return FILLS[role]


def rgb(colour: str) -> tuple[int, int, int]:
    """Red, green and blue of a colour written as #RRGGBB."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
