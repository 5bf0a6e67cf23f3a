"""The shortest chain of adapters from a cable's end to a port, over halves that truly mate.

Which adapters can be bought is an assumption: any two halves of the same impedance count as one adapter
(a half without an impedance of its own goes with all). Which halves mate is never assumed.
"""

from __future__ import annotations

import msgspec

from coaxtell.cables.classes import CableClass
from coaxtell.cables.ends import Matings, Partner, end_key, takes
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


def _ends(matings: Matings, cable: CableClass) -> list[Half]:
    """Ends of a class in the order its table states them, plugs first, as they are mostly sold."""
    ends = [half for half in matings.halves.values() if takes(cable, half)]
    return sorted(ends, key=lambda half: (half.gender != "plug", cable.ends.index(end_key(half)), half.id))


def _closings(ends: list[Half], inners: list[Half], outer: Half) -> list[tuple[Half, Half]]:
    """Inner halves with the ends to try on them, the likeliest adapter first.

    That is one within the outer half's family, then one to the class's most usual end, both of one family.
    """
    own = _plain_family(outer)
    families = [_plain_family(inner) for inner in inners]
    keyed = []
    for place, end in enumerate(ends):
        ending = _plain_family(end)
        keyed += [
            (inner.gender == end.gender, family != own, place, family != ending, inner.id, number)
            for number, (inner, family) in enumerate(zip(inners, families, strict=True))
        ]
    return [(inners[key[-1]], ends[key[2]]) for key in sorted(keyed)]


def _plain_family(half: Half) -> str:
    return half.family.removeprefix("RP-")


def _closed(matings: Matings, pairs: list[tuple[Half, Half]], limited: bool) -> tuple[Half, Partner] | None:
    """The first inner half that an end truly mates with; limited joints only where allowed."""
    for inner, end in pairs:
        joint = matings.joint(inner, end)
        if joint is not None and (limited or not joint.limited):
            return inner, joint
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
                    inners = [h for h in matings.halves.values() if assumed_to_exist(outer.half, h)]
                    closed = _closed(matings, _closings(ends, inners, outer.half), limited)
                    if closed is not None:
                        inner, end = closed
                        return Chain(end, (*adapters, Adapter(outer.half, inner)), (*joints, outer))
                    for inner in inners:
                        if inner.id not in seen:
                            seen.add(inner.id)
                            chain = (*adapters, Adapter(outer.half, inner))
                            reached.append((inner, chain, (*joints, outer)))
        frontier = reached
    return None
