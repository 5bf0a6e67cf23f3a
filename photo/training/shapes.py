"""Halves as rings for a renderer: cut outlines with their threads, and what a person should see on each.

Plain data, so that the machine that trains needs neither tables nor geometry. Lengths in mm.
"""

from __future__ import annotations

import hashlib
import json
from typing import Any

from coaxtell.identifier import features
from coaxtell.identifier.draws import Nominal
from coaxtell.models.drawings.outlines import cut_regions
from coaxtell.models.half import Half
from coaxtell.models.tables import Tables

PARTS = {"outer": 1, "finger": 1, "tooth": 1, "nut": 2, "housing": 3, "insulator": 4, "pin": 5, "socket": 5, "lug": 6}
"""Number of each role in the renderer's picture of parts; what carries a thread outside or inside becomes 6 too."""


def shape(half: Half) -> dict[str, Any] | None:
    """A half as outlines by part with its true looks; none for a half whose face the reading is not about."""
    coupling = features.coupling(half)
    if coupling == "housing" or half.centre.butt is not None:
        return None
    rim = half.shell.rim.nominal
    outlines = []
    for region in cut_regions(half, 0.0):
        if region.role not in PARTS or region.role == "lug":
            continue
        reach = max(z for z, _ in region.outline) - 30.0
        points = [[round(max(z, reach), 3), round(max(r, 0.0), 3)] for z, r in region.outline]
        outlines.append({"part": PARTS[region.role], "points": points})
    found: dict[str, Any] = {
        "id": half.id,
        "outlines": outlines,
        "rim": rim,
        "coupling": coupling,
        "centre": features.centre(half),
        "plastic": features.plastic(half, Nominal())[0],
        "hex": half.nut is not None and features.form(half) == "hex",
        "insulated": bool(half.insulator),
    }
    if half.lugs is not None:
        lugs = half.lugs
        found["lugs"] = [lugs.count.whole, lugs.over.nominal / 2, lugs.d.nominal / 2, lugs.centre.nominal]
    thread = half.coupling_thread
    if thread is not None:
        found["thread"] = [thread.major.nominal / 2 - thread.pitch_mm, thread.major.nominal / 2 + 0.2 * thread.pitch_mm]
    return found


def all_of(tables: Tables) -> dict[str, Any]:
    """The shapes of all halves whose faces are read, with the check sum of what they were made from."""
    halves = [one for half in tables.halves.values() if (one := shape(half)) is not None]
    return {"tables": hashlib.sha256(json.dumps(halves).encode()).hexdigest()[:16], "halves": halves}
