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
    rows = [row for row in one.rows if not row.loss.soft]
    typical = [row for row in rows if not row.maximum]
    return {
        "name": one.name,
        "k": None if one.k1 is None or one.k2 is None else [one.k1.nominal, one.k2.nominal],
        "rows": [[row.mhz, row.loss.nominal] for row in (typical if len(typical) >= 2 else rows)],
        "maximum": one.only_maxima,
        "diameter": one.diameter.nominal,
        "bend": [one.bend_once.nominal, one.bend_repeated.nominal],
        "outdoor": any(tables.practice.jackets[jacket].outdoor for jacket in one.jackets),
        "ends": one.ends,
    }
