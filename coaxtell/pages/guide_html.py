"""The guide as one HTML file with pictures that needs nothing beside it: one question at a time, for a phone."""

from __future__ import annotations

import math

from markupsafe import Markup

from coaxtell.identifier.guide import Group, Guide, Question, Way
from coaxtell.models.drawings import face, section
from coaxtell.models.drawings.drafting import Frame
from coaxtell.models.drawings.drawing import Item, Line, Point, Polygon
from coaxtell.models.half import Half
from coaxtell.models.tables import Tables
from coaxtell.pages import guide as content
from coaxtell.pages import html
from coaxtell.pages.guide import End


def page(guide: Guide, tables: Tables) -> str:
    """The whole page."""
    known = content.ends(guide, tables)
    names = {group: f"e{number}" for number, group in enumerate(known, start=1)}
    ids = {half_id: tables.half(half_id) for group in known for half_id in group.ids}
    return html.page(
        "guide",
        title=content.TITLE,
        guide=guide,
        before=content.BEFORE,
        absent=content.absent(tables, ids),
        halves=list(ids.values()),
        ends=known,
        names=names,
        answer=content.answer,
        capital=content.capital,
        room=_box,
        key=_key,
        drawn=_drawn,
        target=lambda way: f"q{way.to.number}" if isinstance(way.to, Question) else names[way.to],
        goes=lambda way: _goes(way, known),
        examples=lambda way: content.examples(way, tables),
        said=lambda one: content.said(one) + content.company(one.half, tables.halves.values()),
    )


def _goes(way: Way, known: dict[Group, End]) -> str:
    """Where an answer leads; of several halves there the first names."""
    goes = content.arrow(way, known)
    if isinstance(way.to, Group) and known[way.to].several:
        names = [one.half.name for one in known[way.to].halves]
        goes += ": " + ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
    return goes


def _box(half: Half, view: str) -> str:
    """The room a picture takes [mm of the part], as a view box."""
    if view == "f":
        reach = max(face.extent(half)) + 0.3
        return f"{-reach:.1f} {-reach:.1f} {2 * reach:.1f} {2 * reach:.1f}"
    rear, front, radius = section.span(half)
    return f"{rear - 0.3:.1f} {-radius - 0.3:.1f} {front - rear + 0.6:.1f} {2 * radius + 0.6:.1f}"


def _key(half: Half) -> str:
    """The half's id as a name inside the page."""
    return half.id.replace(".", "_")


def _drawn(half: Half) -> Markup:
    """Both views of a half, drawn once and shown by reference."""
    edge = max(face.extent(half)) / 60
    shapes = "".join(_shape(item, edge) for item in face.parts(half, (0.0, 0.0), 1.0))
    side = "".join(_shape(item, edge) for item in section.side(half, Frame(0.0, 0.0, 1.0)))
    return Markup(f'<g id="f-{_key(half)}">{shapes}</g><g id="s-{_key(half)}">{side}</g>')


def _shape(item: Item, edge: float) -> str:
    """A shape with an edge that suits the size of the part, in few letters."""
    if isinstance(item, Polygon):
        path = "".join(_outline(outline) for outline in item.outlines)
        line = f' stroke="{item.stroke}" stroke-width="{edge:.2f}"' if item.stroke else ""
        return f'<path d="{path}" fill="{item.fill or "none"}" fill-rule="evenodd"{line}/>'
    assert isinstance(item, Line)
    path = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in item.points)
    wide = min(item.width, edge) if item.width <= 0.3 else item.width
    return f'<path d="{path}" fill="none" stroke="{item.stroke}" stroke-width="{wide:.2f}"/>'


def _outline(points: tuple[Point, ...]) -> str:
    """A closed outline; a circle as two arcs, which takes a fiftieth of the letters."""
    x, y = (sum(p[axis] for p in points) / len(points) for axis in (0, 1))
    radii = [math.dist(p, (x, y)) for p in points]
    if len(points) > 20 and max(radii) - min(radii) < 1e-6:
        r = radii[0]
        return f"M{x - r:.3f} {y:.3f}a{r:.3f} {r:.3f} 0 1 0 {2 * r:.3f} 0a{r:.3f} {r:.3f} 0 1 0 {-2 * r:.3f} 0Z"
    return "M" + "L".join(f"{px:.2f} {py:.2f}" for px, py in points) + "Z"
