"""What a site's plan says on paper, in sections that every kind of file shows alike."""

from __future__ import annotations

import msgspec

from coaxtell.cables.curves import Curves, curves
from coaxtell.cables.plan import Plan, PlannedRun
from coaxtell.cables.tables import CableTables
from coaxtell.models.drawing import Drawing
from coaxtell.models.half import Half
from coaxtell.pages.curve_figure import figure

MOST_FIGURES = 6
"""Curves shown for one site: the longest run of each kind, no more kinds than this."""


class Table(msgspec.Struct, frozen=True):
    """A table: headings, relative column widths, rows of text, and which columns hold numbers."""

    headings: tuple[str, ...]
    widths: tuple[float, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: frozenset[int]


def title(plan: Plan) -> str:
    """The heading of the plan."""
    return f"Antenna cables, {plan.site.name}" if plan.site.name else "Antenna cables"


def summary(plan: Plan, tables: CableTables) -> tuple[str, ...]:
    """The plan in a few sentences: what is ordered, what could not be planned."""
    cables = sum(line.quantity for line in plan.order if line.bench_db is not None)
    spares = sum(line.spares for line in plan.order if line.bench_db is not None)
    adapters = sum(line.quantity for line in plan.order if line.bench_db is None)
    found = [
        f"{tables.region(plan.site.region).name}. {plan.site.rows} antenna rows: {len(plan.runs)} read, "
        f"{len(plan.runs) - len(plan.without_cable)} with a cable, {len(plan.without_cable)} without, "
        f"{plan.site.rows - len(plan.runs)} with a fault in the file.",
        f"To order: {cables} assemblies in {sum(line.bench_db is not None for line in plan.order)} kinds, "
        f"{spares} of them spare" + (f", and {adapters} adapters." if adapters else "."),
    ]
    priced = [line.price * line.quantity for line in plan.order if line.price is not None]
    if plan.currency:
        left_out = len(plan.order) - len(priced)
        missing = f"; {left_out} lines have no price in your table" if left_out else ""
        found.append(f"Sum by your own prices: {sum(priced):.2f} {plan.currency}{missing}.")
    return tuple(found)


def faults(plan: Plan) -> tuple[str, ...]:
    """Rows that could not be read and runs that no cable serves, each in a sentence."""
    found = [str(problem) for problem in plan.site.problems]
    found += [f"{run.name} (line {run.asked.line}): {run.why_none}" for run in plan.without_cable]
    return tuple(found)


def order(plan: Plan) -> Table:
    """The order list."""
    priced = bool(plan.currency)
    headings = ["No.", "Order", "of which spare", "Words", "For"]
    widths = [8.0, 12.0, 15.0, 104.0, 41.0]
    if priced:
        headings.append(f"Each, {plan.currency}")
        widths = [8.0, 12.0, 15.0, 90.0, 37.0, 18.0]
    rows = []
    for number, line in enumerate(plan.order, start=1):
        row = [str(number), str(line.quantity), str(line.spares), line.words, shortened(line.runs)]
        if priced:
            row.append("no price" if line.price is None else f"{line.price:.2f}")
        rows.append(tuple(row))
    return Table(tuple(headings), tuple(widths), tuple(rows), frozenset({0, 1, 2, 5}))


def shortened(names: tuple[str, ...], most: int = 6) -> str:
    """Names in a row, cut to the first few with the count of the others."""
    if len(names) <= most:
        return ", ".join(names)
    return ", ".join(names[:most]) + f" and {len(names) - most} more"


def runs(plan: Plan) -> Table:
    """The runs with their settings and levels."""
    headings = ("Run", "Metres", "Class", "Ends", "Set", "Loss", "At antenna", "EIRP", "Legal", "Keep")
    widths = (28.0, 15.0, 14.0, 44.0, 13.0, 19.0, 17.0, 13.0, 15.0, 13.0)
    rows = [_run(run) for run in plan.runs]
    return Table(headings, widths, tuple(rows), frozenset({1, 4, 5, 6, 7, 9}))


def _run(run: PlannedRun) -> tuple[str, ...]:
    length = f"{run.asked.run.length_m:.4g}"
    if run.chosen is None:
        return (run.name, length, "none", run.why_none, "", "", "", "", "", "")
    a = run.chosen.assembly
    far = a.exposure.far_field_m
    keep = max(a.exposure.with_ground_m, far or 0.0)
    ends = " to ".join(end.name for end in a.ends if end is not None)
    if a.adapter_count:
        ends += f", {a.adapter_count} adapter{'s' if a.adapter_count > 1 else ''}"
    return (
        run.name,
        length,
        a.cable.name,
        ends,
        f"{a.power_dbm:.2f}",
        f"{a.loss.total_db:.2f} ± {a.loss.plus_minus_db:.1f}",
        f"{a.expected_dbm:.1f}",
        f"{a.eirp_dbm:.2f}",
        a.legal.value,
        f"{keep:.2f}" + ("" if far is not None else "+"),
    )


RUNS_NOTES = (
    "Set, in dBm: the reader's highest setting by the letter of the rules, or its own power where that is less. "
    "Loss, in dB: cable, joints, adapters and mismatch with their plus-minus. At antenna: expected, in dBm. EIRP: "
    "in dBm, with the cable's loss alone, since the other figures are assumed.",
    "Keep, in m: distance for people, the larger of the far-field start and the distance with ground reflection; "
    "with + the antenna's size is not known and the distance may be more.",
)


def run_notes(plan: Plan) -> tuple[str, ...]:
    """What is to be said about single runs beside their figures, equal sentences together."""
    said: dict[str, list[str]] = {}
    for run in plan.runs:
        if run.chosen is not None:
            for reason in run.chosen.reasons[1:]:
                said.setdefault(reason, []).append(run.name)
    return tuple(f"{shortened(tuple(names), 4)}: {reason}" for reason, names in said.items())


def port_halves(plan: Plan) -> tuple[Half, ...]:
    """Every half that a label shows, once."""
    return tuple({label.port.id: label.port for label in plan.labels}.values())


def figures(plan: Plan, tables: CableTables) -> tuple[Drawing, ...]:
    """Loss curves of the longest run of each kind of run."""
    longest: dict[tuple[object, ...], PlannedRun] = {}
    for run in plan.runs:
        if run.chosen is None:
            continue
        asked = run.asked.run
        key = (asked.reader.id, asked.antenna.id, str(asked.gain), asked.want_dbm, asked.power_dbm)
        if key not in longest or asked.length_m > longest[key].asked.run.length_m:
            longest[key] = run
    found = []
    for run in list(longest.values())[:MOST_FIGURES]:
        data: Curves = curves(run.choice, tables, run.chosen.assembly if run.chosen else None)
        found.append(figure(data, f"{run.name}: {run.asked.run.reader.name} to {run.asked.run.antenna.name}"))
    return tuple(found)
