"""One end of a run: the cable's end that goes onto the port, or the adapters that bring it there."""

from __future__ import annotations

import msgspec

from coaxtell.cables import mismatch
from coaxtell.cables.adapters import Adapter, shortest_chain
from coaxtell.cables.classes import CableClass
from coaxtell.cables.ends import Matings, Partner, end_for
from coaxtell.models.half import Half


class Side(msgspec.Struct, frozen=True):
    """One end of the run: the cable's end, adapters, and the joints with their partners."""

    end: Half | None
    adapters: tuple[Adapter, ...]
    joints: tuple[Partner, ...]
    reflection: float
    """Largest reflection at this end beside the equipment's own."""


def side_of(matings: Matings, cable: CableClass, port: Half) -> Side:
    """How a class's cable goes onto a port; worked out once for equal ends and impedance on one port."""
    key = (*cable.ends, cable.impedance.nominal, port.id)
    return matings.kept(key, lambda: _side(matings, cable, port))


def _side(matings: Matings, cable: CableClass, port: Half) -> Side:
    partner = end_for(matings, cable, port)
    if partner is not None:
        adapters: tuple[Adapter, ...] = ()
        joints: tuple[Partner, ...] = (partner,)
    else:
        chain = shortest_chain(matings, cable, port)
        if chain is None:
            return Side(None, (), (), 0.0)
        partner, adapters, joints = chain.end, chain.adapters, (*chain.joints, chain.end)
    found = [mismatch.reflection_of(j.return_loss_db) for j in joints if j.return_loss_db is not None]
    if port.impedance_ohm is not None:
        found.append(mismatch.reflection_between(cable.impedance.nominal, port.impedance_ohm))
    return Side(partner.half, adapters, joints, max(found, default=0.0))
