"""The cable classes for the page: loss by length and frequency and how far it may be off, bend, jacket and usual ends.

Nothing of the law. Loss and how far it may be off are those of the desk for two ends that fit as they are.
"""

from __future__ import annotations

from typing import Any

from coaxtell.cables import mismatch
from coaxtell.cables.classes import CableClass
from coaxtell.cables.tables import CableTables
from coaxtell.cables.units import FEET_M


def cables(tables: CableTables) -> dict[str, Any]:
    """Classes whose loss is known, and what one joint loses [dB]."""
    joints = tables.joints
    reader, antenna, worst = (
        mismatch.reflection_of(loss)
        for loss in (
            joints.reader_return_loss.nominal, joints.antenna_return_loss.nominal, joints.antenna_return_loss.low
        )
    )  # fmt: skip
    at_ends = mismatch.mismatch_loss_db(antenna)
    off = mismatch.mismatch_loss_db(worst) - at_ends + mismatch.interaction_db(reader, antenna)
    joint = joints.joint_loss
    return {
        "perLength": 100 * FEET_M,
        "beside": 2 * joint.nominal + at_ends,
        "besideOff": joint.high - joint.low + off,
        "classes": [_class(one, tables) for one in tables.classes.values() if one.loss_known],
        "bands": {key: [r.name, r.band.low, r.band.high, r.usual.nominal] for key, r in tables.regions.items()},
    }


def _class(one: CableClass, tables: CableTables) -> dict[str, Any]:
    spread = tables.joints
    return {
        "name": one.name,
        "k": one.coefficients,
        "rows": [[row.mhz, row.loss.nominal] for row in one.read_rows],
        "off": 1 - 1 / (1 + spread.rg_spread.nominal / 100) if one.by_maxima else spread.maker_spread.nominal / 100,
        "diameter": one.diameter.nominal,
        "bend": [one.bend_once.nominal, one.bend_repeated.nominal],
        "outdoor": any(tables.practice.jackets[jacket].outdoor for jacket in one.jackets),
        "ends": one.ends,
    }
