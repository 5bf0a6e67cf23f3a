"""What a site's plan says on paper, in sections that every kind of file shows alike."""

from __future__ import annotations

from collections.abc import Sequence

from coaxtell.cables.assembly import ASSUMED_GAIN
from coaxtell.cables.curves import Curves, curves
from coaxtell.cables.limits import Legal, Region
from coaxtell.cables.order import link_count
from coaxtell.cables.plan import Plan, PlannedRun
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.drawings import face
from coaxtell.models.drawings.drawing import Drawing, Polygon
from coaxtell.models.half import Half
from coaxtell.models.palette import PAPER
from coaxtell.models.words import counted
from coaxtell.pages.curve_figure import LARGE, Sheet, figure
from coaxtell.pages.table import Table

MARGIN, EDGE = 0.6, 0.1
"""Paper left around the part on a label, and the width of its edges [mm]."""
LINKS, SEALS = ("order.adapter", "order.jumper"), ("order.seal", "order.seals")
"""Codes of the texts by which adapters and jumpers, and what seals joints, are ordered."""
SUPPOSED = "*"
"""Stands behind figures of a run that rest on a supposed gain."""
MOST_FIGURES = 6
"""Curves shown for one site: the longest run of each kind, no more kinds than this."""


def title(plan: Plan) -> str:
    """The heading of the plan."""
    return f"Antenna cables, {plan.site.name}" if plan.site.name else "Antenna cables"


def summary(plan: Plan, tables: CableTables) -> tuple[str, ...]:
    """The plan in a few sentences: what is ordered, what could not be planned."""
    without, faulty, again = len(plan.without_cable), plan.site.rows - len(plan.runs), len(plan.unsettled)
    told = f"{tables.region(plan.site.region).name}. {counted(plan.site.rows, 'antenna')} in the file"
    short = f", {len(plan.short)} of them short of what was wanted" if plan.short else ""
    if without or faulty or again:
        settled = sum(run.chosen is not None and not run.look_again for run in plan.runs)
        told += f": {settled} with a cable{short}"
        told += f", {again} to look at again" if again else ""
        told += f", {without} that no cable serves" if without else ""
        told += f", {faulty} whose entry has a fault" if faulty else ""
    else:
        told += f", each with its cable{short}"
    found = [f"{told}.", f"To order: {ordered(plan)}."]
    priced = [line.price * line.quantity for line in plan.order if line.price is not None]
    if plan.currency:
        left_out = len(plan.order) - len(priced)
        missing = f"; {counted(left_out, 'line')} without a price in your table" if left_out else ""
        found.append(f"Sum by your own prices: {sum(priced):.2f} {plan.currency}{missing}.")
    return tuple(found)


def ordered(plan: Plan) -> str:
    """What the order list comes to, by what it is: assemblies, adapters, what stands in the run, what seals joints."""
    cables = [line for line in plan.order if line.bench_db is not None]
    number = counted(sum(line.quantity for line in cables), "assembly", "assemblies")
    spare = sum(line.spares for line in cables)
    links = inline = joints = 0
    for line in plan.order:
        if line.item.code in LINKS:
            links += line.quantity
        elif line.item.code in SEALS and isinstance(sealed := line.item.values["joints"], int):
            joints += line.quantity * sealed
        elif line.bench_db is None:
            inline += line.quantity
    told = [
        f"{number} in {counted(len(cables), 'kind')}, {spare} of them spare",
        counted(links, "adapter or jumper", "adapters or jumpers") if links else "",
        counted(inline, "arrestor or splitter", "arrestors or splitters") if inline else "",
        f"weather seals for {counted(joints, 'joint')}" if joints else "",
    ]
    return "; ".join(filter(None, told))


def faults(plan: Plan) -> tuple[str, ...]:
    """Rows that could not be read and runs that no cable serves, each in a sentence."""
    found = [say(problem.reason) for problem in plan.site.problems]
    found += [f"{run.name} (line {run.asked.line}): {say(run.why_none)}" for run in plan.without_cable if run.why_none]
    return tuple(found)


def look_again(plan: Plan) -> tuple[str, ...]:
    """Ports that are not settled, which have to be looked at before anything is ordered for them."""
    return tuple(f"{run.name}: {' '.join(map(say, run.look_again))}" for run in plan.unsettled)


def shortfalls(plan: Plan) -> tuple[str, ...]:
    """Runs whose cable misses what was wanted, each with how much and what it would need."""
    return tuple(f"{run.name}: {say(run.chosen.missed)}" for run in plan.short if run.chosen and run.chosen.missed)


def order(plan: Plan) -> Table:
    """The order list."""
    priced = bool(plan.currency)
    headings = ["No.", "Pieces", "of which spare", "What to order", "For"]
    widths = [8.0, 15.0, 15.0, 104.0, 38.0]
    if priced:
        headings.append(f"Each, {plan.currency}")
        widths = [8.0, 15.0, 15.0, 89.0, 35.0, 18.0]
    rows = []
    for number, line in enumerate(plan.order, start=1):
        row = [str(number), str(line.quantity), str(line.spares), say(line.item), shortened(line.runs)]
        if priced:
            row.append("no price" if line.price is None else f"{line.price:.2f}")
        rows.append(tuple(row))
    return Table(tuple(headings), tuple(widths), tuple(rows), frozenset({0, 1, 2, 5}))


def shortened(names: Sequence[str], most: int = 6) -> str:
    """Names in a row, cut to the first few with the count of the others."""
    if len(names) <= most:
        return ", ".join(names)
    return ", ".join(names[:most]) + f" and {len(names) - most} more"


def runs(plan: Plan, tables: CableTables) -> Table:
    """The runs with their settings and levels."""
    region = tables.region(plan.site.region)
    radiated = "e.r.p. (dBm)" if region.radiated_as == "erp" else "EIRP (dBm)"
    headings = (
        *("Run", "Length (m)", "Class", "Ends", "Set (dBm)", "Loss (dB)", "± (dB)"),
        *("At antenna (dBm)", "Short by (dB)", radiated, "Limits", "Keep off (m)"),
    )
    widths = (28.0, 14.0, 13.0, 36.0, 13.0, 12.0, 10.0, 18.0, 12.0, 14.0, 14.0, 12.0)
    rows = [_run(run, region) for run in plan.runs]
    return Table(headings, widths, tuple(rows), frozenset({1, 4, 5, 6, 7, 8, 9, 11}))


def _run(run: PlannedRun, region: Region) -> tuple[str, ...]:
    length = f"{run.asked.run.length_m:.4g}"
    if run.chosen is None:
        return (run.name, length, "none", "" if run.why_none is None else say(run.why_none), *[""] * 8)
    a = run.chosen.assembly
    far = a.exposure.far_field_m
    keep = max(a.exposure.with_ground_m, far or 0.0)
    ends = " to ".join(end.name for end in a.ends if end is not None)
    beside = link_count(part for side in a.links for part in side)
    if run.look_again:
        ends, beside = "not settled, look again", None
    supposed = SUPPOSED if run.asked.run.gain is None else ""
    kept_off = f"{keep:.2f}{supposed}"
    return (
        run.name,
        length,
        a.cable.name,
        f"{ends}, {say(beside)}" if beside else ends,
        f"{a.power_dbm:.2f}{supposed}",
        f"{a.loss.total_db:.2f}",
        f"{a.loss.plus_minus_db:.1f}",
        f"{a.expected_dbm:.1f}",
        f"{run.chosen.miss_db:.2f}" if run.chosen.miss_db else "",
        f"{a.erp_dbm if region.radiated_as == 'erp' else a.eirp_dbm:.2f}{supposed}",
        # A plan keeps to the letter, so only an antenna without a gain is not judged.
        "within" if a.legal is Legal.YES else "not judged",
        kept_off if far is not None and not supposed else f"≥ {kept_off}",
    )


def runs_notes(plan: Plan, tables: CableTables) -> tuple[str, ...]:
    """What the columns of the runs mean."""
    region = tables.region(plan.site.region)
    allowed = "by the letter of the rules" if region.conducted else "by radiated power (there is no conducted limit)"
    measure = "e.r.p." if region.radiated_as == "erp" else "EIRP"
    supposing = f"{SUPPOSED}: supposing an antenna of {ASSUMED_GAIN}, since no gain was given; give that of its label."
    return (
        f"Set: the reader's highest setting {allowed}, or its own power where that is less. Loss: cable, joints, "
        f"adapters and mismatch together; ±: how far that may be off. At antenna: what should arrive. Short by: "
        f"what it misses of what was wanted, the ± counted against it. {measure}: with "
        "the cable's loss alone (and a splitter's half), since the other figures are assumed. Limits: as far as this "
        "sheet judges them, "
        "never without the antenna's gain; the equipment's grant and local rules decide.",
        "Keep off: how far people stay from a transmitting antenna, the larger of its far-field start and the "
        f"distance, over reflecting ground, at which {region.exposure_rule} is met; ≥: the antenna's size or its "
        "gain is not known, it may be more.",
        *([supposing] if any(run.asked.run.gain is None for run in plan.runs) else []),
    )


def run_notes(plan: Plan) -> tuple[str, ...]:
    """What is to be said about single runs beside their figures, equal sentences together."""
    said: dict[str, list[str]] = {}
    for run in plan.runs:
        if run.chosen is not None:
            for reason in run.chosen.reasons[1:]:
                said.setdefault(say(reason), []).append(run.name)
    return tuple(f"{shortened(tuple(names), 4)}: {reason}" for reason, names in said.items())


def port_halves(plan: Plan) -> tuple[Half, ...]:
    """Every half that a label shows, once."""
    return tuple({label.port.id: label.port for label in plan.labels}.values())


def figures(plan: Plan, tables: CableTables, sheet: Sheet = LARGE) -> tuple[Drawing, ...]:
    """Loss curves of the longest run of each kind of run."""
    longest: dict[tuple[object, ...], PlannedRun] = {}
    for run in plan.runs:
        if run.chosen is None:
            continue
        asked = run.asked.run
        key = (asked.reader.id, asked.antenna.id, str(asked.gain), asked.want_dbm, asked.power)
        if key not in longest or asked.length_m > longest[key].asked.run.length_m:
            longest[key] = run
    found = []
    for run in list(longest.values())[:MOST_FIGURES]:
        data: Curves = curves(run.choice, tables, run.chosen.assembly if run.chosen else None)
        found.append(figure(data, f"{run.name}: {run.asked.run.reader.name} to {run.asked.run.antenna.name}", sheet))
    return tuple(found)


def life_size(half: Half) -> Drawing:
    """The half alone at 1 : 1 for a label, its areas without knurl and saw cuts, which are too fine for one."""
    size = 2 * (max(face.extent(half)) + MARGIN)
    parts = face.parts(half, (size / 2, size / 2), 1.0)
    areas = tuple(item._replace(width=EDGE) for item in parts if isinstance(item, Polygon))
    return Drawing(size, size, f"{half.name}, face-on, life size", PAPER, areas, 1.0)
