"""A site's plan as one HTML file that needs nothing beside it and prints well."""

from __future__ import annotations

from typing import NamedTuple

from markupsafe import Markup

from coaxtell.cables.plan import Plan
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.half import Half
from coaxtell.pages import content, html
from coaxtell.pages.content import life_size


class _Port(NamedTuple):
    """A port as labels show it: the side of its picture [mm, as text] and the shapes on it."""

    size: str
    shapes: Markup


def page(plan: Plan, tables: CableTables) -> str:
    """The whole page."""
    return html.page(
        "plan",
        title=content.title(plan),
        summary=content.summary(plan, tables),
        look_again=content.look_again(plan),
        short=content.shortfalls(plan),
        faults=content.faults(plan),
        order=content.order(plan),
        runs=content.runs(plan, tables),
        runs_notes=content.runs_notes(plan, tables),
        run_notes=content.run_notes(plan),
        figures=content.figures(plan, tables),
        checks=tuple(map(say, plan.checks)),
        cautions=tuple(map(say, plan.cautions)),
        labels=plan.labels,
        say=say,
        ports={half.id: _port(half) for half in content.port_halves(plan)},
    )


def _port(half: Half) -> _Port:
    drawn = life_size(half)
    return _Port(f"{drawn.width_mm:g}", Markup(html.inline(drawn).split(">", 1)[1].rsplit("</svg>", 1)[0]))
