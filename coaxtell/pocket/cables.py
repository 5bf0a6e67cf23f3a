"""The cable classes for the page: loss by length and frequency, bend, jacket and usual ends, nothing of the law."""

from __future__ import annotations

from typing import Any

from coaxtell.cables.classes import CableClass
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import FEET_M


def cables(tables: CableTables) -> dict[str, Any]:
    """Classes whose loss is known, and what one joint loses [dB]."""
    joint = tables.joints.joint_loss
    return {
        "perLength": 100 * FEET_M,
        "joint": [joint.nominal, joint.high],
        "spread": tables.joints.maker_spread.nominal / 100,
        "classes": [_class(one, tables) for one in tables.classes.values() if one.loss_known],
        "bands": {key: [r.name, r.band.low, r.band.high, r.usual.nominal] for key, r in tables.regions.items()},
    }


def _class(one: CableClass, tables: CableTables) -> dict[str, Any]:
    return {
        "name": one.name,
        "k": one.coefficients,
        "rows": [[row.mhz, row.loss.nominal] for row in one.read_rows],
        "maximum": one.by_maxima,
        "diameter": one.diameter.nominal,
        "bend": [one.bend_once.nominal, one.bend_repeated.nominal],
        "outdoor": any(tables.practice.jackets[jacket].outdoor for jacket in one.jackets),
        "ends": one.ends,
    }
