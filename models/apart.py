"""A half taken apart: which of its parts slides how far along the axis, so that none hides another. Lengths in mm."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.half import Half
from coaxtell.models.regions import Role, regions

GAP = 0.12
"""Room between parts taken apart, as a share of the half's length; drawn so."""
WITH_SHELL: tuple[Role, ...] = ("outer", "finger", "lug", "tooth", "thread")
"""Parts that stay where they are."""
COUPLINGS: tuple[Role, ...] = ("nut", "housing")
"""Parts that slide off to the rear; all others come out at the front, the centre contact furthest."""


class Lain(NamedTuple):
    """A part and where it lies: from z0 to z1 along the axis, within a radius [mm]."""

    name: str
    role: Role
    z0: float
    z1: float
    radius: float


def shifts(half: Half) -> dict[str, float]:
    """How far each part slides along the axis when the half is wholly taken apart [mm], by its name."""
    spans = {r.name: (min(z for z, _ in r.outline), max(z for z, _ in r.outline)) for r in regions(half)}
    roles: dict[str, Role] = {r.name: r.role for r in regions(half)}
    rear, front = min(a for a, _ in spans.values()), max(b for _, b in spans.values())
    gap = GAP * (front - rear)
    found = {name: 0.0 for name, role in roles.items() if role in WITH_SHELL}
    at = min((spans[name][0] for name in found), default=rear) - gap
    for name in (n for n, role in roles.items() if role in COUPLINGS):
        found[name] = at - spans[name][1]
        at = spans[name][0] + found[name] - gap
    at = max((spans[n][1] for n in found if roles[n] in WITH_SHELL), default=front) + gap
    inner = [n for n in roles if n not in found]
    for name in sorted(inner, key=lambda n: (roles[n] in ("pin", "socket"), spans[n][0])):
        found[name] = at - spans[name][0]
        at = spans[name][1] + found[name] + gap
    return found


def lain(half: Half, share: float) -> list[Lain]:
    """The parts where they lie with the half taken apart by a share from 0 to 1."""
    moved = shifts(half)
    return [
        Lain(
            r.name, r.role, min(z for z, _ in r.outline) + share * moved[r.name],
            max(z for z, _ in r.outline) + share * moved[r.name], max(radius for _, radius in r.outline),
        )
        for r in regions(half)
    ]  # fmt: skip
