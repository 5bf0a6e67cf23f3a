"""The cable classes for the page: loss by length and frequency and how far it may be off, bend, jacket and usual ends.

Nothing of the law. Loss and how far it may be off are those of the desk for two ends that fit as they are.
"""

from __future__ import annotations

from typing import Any

from coaxtell.cables.classes import CableClass
from coaxtell.cables.loss import at_ends, class_spread
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import FEET_M


def cables(tables: CableTables) -> dict[str, Any]:
    """Classes whose loss is known, and what one joint loses [dB]."""
    antenna_db, off = at_ends(tables.joints)
    joint = tables.joints.joint_loss
    return {
        "perLength": 100 * FEET_M,
        "beside": 2 * joint.nominal + antenna_db,
        "besideOff": joint.high - joint.low + off,
        "classes": [_class(one, tables) for one in tables.classes.values() if one.loss_known],
        "bands": {key: [r.name, r.band.low, r.band.high, r.usual.nominal] for key, r in tables.regions.items()},
    }


def _class(one: CableClass, tables: CableTables) -> dict[str, Any]:
    return {
        "name": one.name,
        "k": one.coefficients,
        "rows": [[row.mhz, row.loss.nominal] for row in one.read_rows],
        "off": class_spread(one, tables.joints),
        "diameter": one.diameter.nominal,
        "bend": [one.bend_once.nominal, one.bend_repeated.nominal],
        "outdoor": any(tables.practice.jackets[jacket].outdoor for jacket in one.jackets),
        "ends": one.ends,
    }
