"""What is ordered beside the cable to bring its end onto a port: adapters, and jumpers where it is too heavy."""

from __future__ import annotations

import msgspec

from coaxtell.cables.classes import CableClass
from coaxtell.cables.ends import end_key
from coaxtell.cables.sides import Side
from coaxtell.cables.tables import CableTables
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure


class Link(msgspec.Struct, frozen=True):
    """One part between port and cable: its half on the port's side, its half on the cable's side.

    `thickest_mm`: of a short flexible jumper, the thickest cable that it may be made of [mm]; none for an adapter.
    """

    outer: Half
    inner: Half
    thickest_mm: float | None = None

    @property
    def jumper(self) -> bool:
        """True where it is to be a flexible jumper, not a solid adapter."""
        return self.thickest_mm is not None


def thickest_for(port: Half, tables: CableTables) -> Measure | None:
    """The thickest cable that should hang on a port [mm]; none where its kind carries any.

    The table names a family whole or by its first words: `micro snap` holds for each of its generations.
    """
    words = end_key(port).removeprefix("RP-").split()
    names = (" ".join(words[:count]) for count in range(len(words), 0, -1))
    return next((tables.practice.thickest[name] for name in names if name in tables.practice.thickest), None)


def links(cable: CableClass, side: Side, port: Half, tables: CableTables) -> tuple[Link, ...]:
    """The parts at one side, from the port outwards.

    Where the cable is too heavy for the port, what stands on the port is a jumper: in place of the first adapter,
    or, without one, a jumper that repeats the port for the cable's end to go onto.
    """
    found = [Link(a.outer, a.inner) for a in side.adapters]
    limit = thickest_for(port, tables)
    if side.end is None or limit is None or cable.diameter.nominal <= limit.nominal:
        return tuple(found)
    if found:
        return (Link(found[0].outer, found[0].inner, limit.nominal), *found[1:])
    return (Link(side.end, port, limit.nominal),)
