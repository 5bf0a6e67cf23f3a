"""The guide as one HTML file with pictures that needs nothing beside it: one question at a time, for a phone."""

from __future__ import annotations

import math
from html import escape

from coaxtell.identifier.guide import Group, Guide, Question, Way
from coaxtell.models.drawings import face, section
from coaxtell.models.drawings.drafting import Frame
from coaxtell.models.drawings.drawing import Item, Line, Point, Polygon
from coaxtell.models.half import Half
from coaxtell.models.palette import ACTION, BENCH, GRID_COARSE, HARM, INK, PAPER, QUIET
from coaxtell.models.tables import Tables
from coaxtell.pages import guide as content
from coaxtell.pages.guide import End
from coaxtell.pages.lifesize import Shown

_STYLE = f"""
:root {{ color-scheme: light; }}
* {{ box-sizing: border-box; }}
body {{ font: 17px/1.45 "DejaVu Sans", Verdana, Roboto, sans-serif; color: {INK}; background: {PAPER};
  max-width: 680px; margin: 0 auto; padding: 16px; overflow-wrap: break-word; }}
h1 {{ font-size: 24px; margin: 0 0 8px; }}
h2 {{ font-size: 21px; margin: 8px 0 4px; }}
p {{ margin: 6px 0; }}
.quiet {{ color: {QUIET}; font-size: 15px; }}
.harm {{ color: {HARM}; font-size: 15px; }}
.way {{ display: flex; gap: 12px; align-items: center; min-height: 56px; padding: 10px 12px; margin: 8px 0;
  background: {BENCH}; border: 1px solid {GRID_COARSE}; border-radius: 6px; color: {INK}; text-decoration: none; }}
.way:focus-visible, nav a:focus-visible {{ outline: 3px solid {ACTION}; outline-offset: 2px; }}
.way .words {{ flex: 1 1 auto; min-width: 0; }}
.way .goes {{ display: block; color: {ACTION}; font-weight: bold; font-size: 15px; }}
.way .seen {{ flex: 0 0 auto; display: grid; grid-template-columns: repeat(2, auto); gap: 4px; }}
.way svg {{ width: 48px; height: 48px; }}
.half {{ border-top: 1px solid {GRID_COARSE}; padding: 12px 0; }}
.half svg {{ height: 120px; max-width: 48%; }}
nav {{ margin: 20px 0 8px; display: flex; gap: 12px; flex-wrap: wrap; }}
nav a {{ color: {ACTION}; padding: 12px 0; }}
section {{ scroll-margin-top: 16px; break-inside: avoid; margin-bottom: 32px; }}
@media screen {{ @supports selector(:has(a)) {{
  section {{ display: none; }}
  section:target, main:not(:has(section:target)) #q1 {{ display: block; }}
  main:has(section:target) header {{ display: none; }}
}} }}
"""


def page(guide: Guide, tables: Tables) -> str:
    """The whole page."""
    known = content.ends(guide, tables)
    names = {group: f"e{number}" for number, group in enumerate(known, start=1)}
    count = len({half_id for group in known for half_id in group.ids})
    missing = content.absent(tables, (half_id for group in known for half_id in group.ids))
    head = "".join(f"<p>{escape(line)}</p>" for line in content.BEFORE)
    head += f'<p class="quiet">{escape(missing)}</p>' if missing else ""
    questions = "".join(_question(question, known, names, tables) for question in guide.questions())
    shared = "".join(_end(end, names[group], tables) for group, end in known.items())
    ids = {half_id: tables.half(half_id) for group in known for half_id in group.ids}
    symbols = "".join(_symbol(half) for half in ids.values())
    lead = f'<p class="quiet">{count} ports, at most {guide.longest} questions. Pictures are not to one scale.</p>'
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{content.TITLE}</title><style>{_STYLE}</style></head><body>\n"
        f'<svg width="0" height="0" style="position:absolute" aria-hidden="true">{symbols}</svg>'
        f"<main><header><h1>{content.TITLE}</h1>{lead}{head}</header>\n{questions}\n{shared}</main></body></html>\n"
    )


def _question(question: Question, known: dict[Group, End], names: dict[Group, str], tables: Tables) -> str:
    ways = "".join(_way(way, known, names, tables) for way in question.ways)
    return (
        f'<section id="q{question.number}"><h2><span class="quiet">{question.number}</span> {escape(question.ask)}</h2>'
        f'<p class="quiet">{escape(question.how)}</p>{ways}{_back(question.number == 1)}</section>\n'
    )


def _back(first: bool = False) -> str:
    return "" if first else '<nav><a href="#q1">Begin again</a></nav>'


def _way(way: Way, known: dict[Group, End], names: dict[Group, str], tables: Tables) -> str:
    to = f"q{way.to.number}" if isinstance(way.to, Question) else names[way.to]
    halves = content.examples(way, tables)
    pictures = "".join(_use(half, "f") for half in halves)
    goes = content.arrow(way, known)
    if isinstance(way.to, Group) and known[way.to].several:
        names_ = [one.half.name for one in known[way.to].halves]
        goes += ": " + ", ".join(names_[:3]) + (f" and {len(names_) - 3} more" if len(names_) > 3 else "")
    return (
        f'<a class="way" href="#{to}"><span class="words">{escape(content.capital(way.words))}'
        f'<span class="goes">→ {escape(goes)}</span></span><span class="seen">{pictures}</span></a>'
    )


def _end(end: End, name: str, tables: Tables) -> str:
    title = end.label if not end.several else f"{content.capital(end.label)}: {len(end.halves)} ports look alike"
    note = "" if not end.several else "<p>What stands beside each name tells it from the others.</p>"
    halves = "".join(_half(one, end.several, one is end.halves[0], tables) for one in end.halves)
    return f'<section id="{name}"><h2>{escape(title)}</h2>{note}{halves}{_back()}</section>\n'


def _half(one: Shown, several: bool, first: bool, tables: Tables) -> str:
    said = content.said(one) + content.company(one.half, tables.halves.values())
    name = f"<h2>{escape(one.half.name)}</h2>" if several else ""
    lines = "".join(
        f"<p{'' if role == 'plain' else f' class={role}'}>{escape(sentence)}</p>"
        for role, sentence in said
        if role != "quiet" or first
    )
    views = _use(one.half, "f") + " " + _use(one.half, "s")
    return f'<div class="half" data-half="{escape(one.half.id)}">{name}{views}{lines}</div>'


def _use(half: Half, view: str) -> str:
    words = "face on" if view == "f" else "from the side"
    name = escape(half.id).replace(".", "_")
    label = f'role="img" aria-label="{escape(half.name)}, {words}"'
    return f'<svg viewBox="{_box(half, view)}" {label}><use href="#{view}-{name}"/></svg>'


def _box(half: Half, view: str) -> str:
    """The room a picture takes [mm of the part], as a view box."""
    if view == "f":
        reach = max(face.extent(half)) + 0.3
        return f"{-reach:.1f} {-reach:.1f} {2 * reach:.1f} {2 * reach:.1f}"
    rear, front, radius = section.span(half)
    return f"{rear - 0.3:.1f} {-radius - 0.3:.1f} {front - rear + 0.6:.1f} {2 * radius + 0.6:.1f}"


def _symbol(half: Half) -> str:
    """Both views of a half, drawn once and shown by reference."""
    name = escape(half.id).replace(".", "_")
    edge = max(face.extent(half)) / 60
    shapes = "".join(_shape(item, edge) for item in face.parts(half, (0.0, 0.0), 1.0))
    side = "".join(_shape(item, edge) for item in section.side(half, Frame(0.0, 0.0, 1.0)))
    return f'<g id="f-{name}">{shapes}</g><g id="s-{name}">{side}</g>'


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
