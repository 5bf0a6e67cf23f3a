"""Deliveries judged by sweeps that scikit-rf made: length, cuts, classes, faults, false alarms, wide and narrow bands.

The limits of the program were chosen on other seeds (1 to 9, `tune/20` to `tune/169` for places of faults, `loss/0` to
`loss/3` for loss at a joint). Wide
means a band of 1 GHz or more. What a band can tell at best stands beside: two echoes nearer than that are one.

Run: python -m benchmarks.study arrival
"""

from __future__ import annotations

import math
from random import Random

from benchmarks import sweeps
from benchmarks.study import Study, Tally
from coaxtell.cables import tables
from coaxtell.cables.arrival.judging import Arrival, Verdict, judge
from coaxtell.cables.arrival.reading import Ordered
from coaxtell.cables.arrival.sweep import FarEnd, Sweep
from coaxtell.models.errors import InputError

BAND_MHZ = (902.0, 928.0)


def _sweep(truth: sweeps.Truth, rng: Random) -> Sweep:
    made = sweeps.sweep(truth, rng)
    s = made.s
    if truth.kind == "two-port":
        return Sweep("made", made.f, s[:, 0, 0], FarEnd.PORT, s[:, 1, 0], s[:, 1, 1])
    return Sweep("made", made.f, s[:, 0, 0], FarEnd(truth.kind))


def _figures(truth: sweeps.Truth, found: Arrival) -> dict[str, bool | float]:
    """What was right about one delivery; figures that do not apply are left out."""
    good = truth.delivered == truth.ordered and not truth.fault and truth.delivered_m >= truth.ordered_m
    codes = [reason.code for reason in found.reasons]
    figures: dict[str, bool | float] = {}
    if good:
        figures["false alarm"] = found.verdict is not Verdict.AS_ORDERED
    if truth.kind != "load" and truth.delivered == truth.ordered and found.length_m is not None:
        figures["length within 2 % or 5 cm"] = abs(found.length_m - truth.delivered_m) <= max(
            0.02 * truth.delivered_m, 0.05
        )
    if truth.kind != "load" and truth.delivered_m < 0.95 * truth.ordered_m:
        tenth = truth.delivered_m > 0.85 * truth.ordered_m
        figures[f"cut of {'10 %' if tenth else '20 % or more'} named"] = "arrival.short" in codes
    if truth.kind != "load" and truth.delivered != truth.ordered:
        cannot = truth.delivered in found.not_told_from
        beside = " with a bad connector" if truth.fault else ""
        figures[f"wrong class{beside}, cannot tell"] = cannot
        if not cannot:
            figures[f"wrong class{beside} named, where it can be told"] = truth.delivered in found.named_classes
    lost_db = truth.pad_db + 20 * math.log10(1 + truth.contact_ohm / 100)
    # no current flows through a contact before an open end, so nothing is lost there
    idle = truth.kind == "open" and truth.fault == "contact" and truth.lossy_end == "far"
    if truth.kind != "load" and found.loss is not None and lost_db and not idle:
        figures["lossy joint called another class"] = "arrival.class" in codes
        # what the cable itself may be better than its class hides as much of it
        over = lost_db > 2 * found.loss.plus_minus_db
        figures[f"lossy joint {'over' if over else 'under'} twice the plus-minus seen"] = bool(found.reasons)
    if truth.fault == "crush":
        figures["fault seen"] = "arrival.inside" in codes
    inside = found.reading.inside
    if truth.fault == "crush" and inside is not None and "arrival.inside" in codes:
        # as it is told: from the end that lies nearer
        off = inside.at_m - truth.fault_m
        if inside.from_far_m is not None and inside.from_far_m <= inside.at_m:
            off = inside.from_far_m - (truth.delivered_m - truth.fault_m)
        figures["fault told within 10 cm"] = abs(off) <= 0.1
        figures["fault told within its plus-minus"] = abs(off) <= inside.plus_minus_m
    if truth.fault == "near":
        figures["bad near connector seen"] = bool({"arrival.near", "arrival.somewhere"} & {*codes})
    if truth.fault == "far" and truth.kind in ("two-port", "load"):
        figures["bad far connector seen"] = bool({"arrival.far", "arrival.somewhere"} & {*codes})
    figures["resolution along the cable, m"] = min(1.0, found.reading.resolution_m)
    return figures


def play(block: int, size: int) -> dict[str, Tally]:
    """Figures of so many deliveries, by width of the band and by the way they were measured."""
    rng = Random(f"{STUDY.seed}/{block}")
    known = tables.load()
    tallies: dict[str, Tally] = {}
    for _ in range(size):
        truth = sweeps.drawn(rng)
        width = "wide" if truth.wide else "narrow"
        try:
            made = _sweep(truth, rng)
            middle = (made.hz[0] + made.hz[-1]) / 2e6
            mhz = 915.0 if made.hz[0] < 915e6 < made.hz[-1] else middle
            ordered = Ordered(known.classes[truth.ordered], truth.ordered_m, mhz, 25.0)
            figures = _figures(truth, judge(made, ordered, BAND_MHZ, known))
        except InputError:
            figures = {"refused": True}
        for label, right in figures.items():
            for name in (f"{width}, all: {label}", f"{width}, {truth.kind}: {label}"):
                tallies[name] = tallies.get(name, Tally(0, 0)).plus(Tally(float(right), 1))
    return tallies


STUDY = Study(
    name="arrival",
    about="Deliveries judged by simulated sweeps: shares right, by width of band and kind of measurement",
    rooms=("cables",),
    seed=20316,
    blocks=10,
    play=play,
    size=500,
    sample=60,
)
