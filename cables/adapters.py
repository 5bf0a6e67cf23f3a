"""The shortest chain of adapters from a cable's end to a port, over halves that truly mate.

Which adapters can be bought is an assumption: any two halves of the same impedance count as one adapter
(a half without an impedance of its own goes with all). Which halves mate is never assumed.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from coaxtell.cables.classes import CableClass
from coaxtell.cables.ends import Matings, Partner, takes
from coaxtell.models.half import Half

LONGEST_CHAIN = 3
"""More adapters in a row than this are no advice."""


class Adapter(msgspec.Struct, frozen=True):
    """One adapter: the half that goes onto the port's side and the half that faces the cable."""

    outer: Half
    inner: Half


class Chain(msgspec.Struct, frozen=True):
    """A cable's end and the adapters between it and the port, from the port outwards."""

    end: Partner
    adapters: tuple[Adapter, ...]
    joints: tuple[Partner, ...]
    """The joints of the adapters among themselves and with the port."""


def assumed_to_exist(outer: Half, inner: Half) -> bool:
    """True where an adapter between the two is assumed to be sold."""
    ohms = {outer.impedance_ohm, inner.impedance_ohm} - {None}
    return outer.id != inner.id and len(ohms) <= 1


def _preferred(matings: Matings, outer: Half) -> list[Half]:
    """Inner halves for an adapter, the likeliest to be sold first: the fewest differences from the outer."""
    fitting = [half for half in matings.halves.values() if assumed_to_exist(outer, half)]
    return sorted(
        fitting,
        key=lambda half: (
            half.family.removeprefix("RP-") != outer.family.removeprefix("RP-"),
            half.polarity != outer.polarity,
            half.gender == outer.gender,
            half.id,
        ),
    )


def _ends(matings: Matings, cable: CableClass) -> list[Half]:
    """Ends of a class in the order its table states them, plugs first, as they are mostly sold."""
    ends = [half for half in matings.halves.values() if takes(cable, half)]
    return sorted(ends, key=lambda half: (half.gender != "plug", half.polarity, half.id))


def _closing(matings: Matings, ends: Iterable[Half], inner: Half, limited: bool) -> Partner | None:
    for end in ends:
        # Halves of one kind do not mate with themselves; asking would only cost time.
        if end.id == inner.id:
            continue
        joint = matings.joint(inner, end)
        if joint is not None and joint.limited <= limited:
            return joint
    return None


def shortest_chain(matings: Matings, cable: CableClass, port: Half) -> Chain | None:
    """The chain with the fewest adapters from an end of this class to the port; none where there is none.

    Among chains of one length those without a limited joint come first.
    """
    ends = _ends(matings, cable)
    if not ends:
        return None
    frontier: list[tuple[Half, tuple[Adapter, ...], tuple[Partner, ...]]] = [(port, (), ())]
    seen = {port.id}
    for _ in range(LONGEST_CHAIN):
        reached: list[tuple[Half, tuple[Adapter, ...], tuple[Partner, ...]]] = []
        for limited in (False, True):
            for facing, adapters, joints in frontier:
                for outer in matings.partners(facing):
                    if outer.limited > limited:
                        continue
                    for inner in _preferred(matings, outer.half):
                        end = _closing(matings, ends, inner, limited)
                        chain = (*adapters, Adapter(outer.half, inner))
                        if end is not None:
                            return Chain(end, chain, (*joints, outer))
                        if inner.id not in seen:
                            seen.add(inner.id)
                            reached.append((inner, chain, (*joints, outer)))
        frontier = reached
    return None
