"""A site's plan as one HTML file that needs nothing beside it and prints well."""

from __future__ import annotations

from html import escape

from coaxtell.cables.plan import Label, Plan
from coaxtell.cables.tables import CableTables
from coaxtell.cables.words import say
from coaxtell.models.drawings.drawing import Drawing
from coaxtell.models.palette import ACTION, BENCH, GRID_FINE, HARM, INK, PAPER, QUIET
from coaxtell.pages import content
from coaxtell.pages.label_picture import life_size
from coaxtell.pages.spacing import thin

_STYLE = f"""
:root {{ color-scheme: light; }}
body {{ font: 15px/1.5 "DejaVu Sans", Verdana, sans-serif; color: {INK}; background: {PAPER};
  max-width: 1100px; margin: 32px auto; padding: 0 24px; overflow-wrap: anywhere; }}
h1 {{ font-size: 28px; margin: 0 0 8px; }}
h2 {{ font-size: 19px; margin: 40px 0 8px; break-after: avoid; }}
p.quiet {{ color: {QUIET}; font-size: 13px; }}
table {{ border-collapse: collapse; width: 100%; font-size: 13px; }}
th {{ background: {BENCH}; text-align: left; vertical-align: bottom; }}
th, td {{ padding: 6px 8px; border-bottom: 1px solid {GRID_FINE}; vertical-align: top; }}
.n {{ text-align: right; font-variant-numeric: tabular-nums; }}
tr {{ break-inside: avoid; }}
li {{ margin: 4px 0; }}
ul.check {{ list-style: "☐  "; }}
.faults {{ border-left: 4px solid {HARM}; padding-left: 16px; }}
.faults h2 {{ color: {HARM}; }}
figure {{ margin: 16px 0; break-inside: avoid; }}
figure svg {{ max-width: 100%; height: auto; }}
@media screen and (max-width: 720px) {{
  body {{ margin: 16px auto; padding: 0 16px; }}
  table, tbody, tr, td {{ display: block; }}
  thead {{ display: none; }}
  tr {{ border: 1px solid {GRID_FINE}; border-radius: 6px; margin: 12px 0; padding: 8px; }}
  td, td.n {{ display: grid; grid-template-columns: 8em 1fr; gap: 8px; border: 0; padding: 4px; text-align: left; }}
  td::before {{ content: attr(data-head); color: {QUIET}; }}
  td:empty {{ display: none; }}
  figure {{ overflow-x: auto; }}
  figure svg {{ max-width: none; width: 640px; }}
  .labels {{ grid-template-columns: 1fr; }}
}}
.labels {{ display: grid; grid-template-columns: repeat(auto-fill, minmax(91mm, 1fr)); gap: 4mm; }}
.label {{ border: 1px solid {QUIET}; min-height: 36mm; display: flex; gap: 4mm; padding: 1mm;
  align-items: center; break-inside: avoid; font-size: 12px; }}
.label .port {{ flex: 0 0 34mm; text-align: center; }}
.label b {{ font-size: 15px; }}
.label .end {{ color: {ACTION}; font-weight: bold; }}
.label .through {{ color: {HARM}; }}
.bar {{ width: 100mm; height: 2mm; border: 0.3mm solid {INK}; border-top: 0; box-sizing: border-box; }}
@page {{ margin: 10mm; }}
@media print {{
  body {{ margin: 0; max-width: none; padding: 0; }}
  h2.own-page {{ break-before: page; margin-top: 0; }}
  .labels {{ grid-template-columns: 91mm 91mm; }}
}}
"""


def page(plan: Plan, tables: CableTables) -> str:
    """The whole page."""
    title = escape(content.title(plan))
    parts = [f"<h1>{title}</h1>"]
    parts += [f"<p>{_words(sentence)}</p>" for sentence in content.summary(plan, tables)]
    faults = content.faults(plan)
    if faults:
        parts.append(f'<section class="faults"><h2>Not planned: {len(faults)}</h2>{_list(faults)}</section>')
    parts += ["<h2>Order list</h2>", _table(content.order(plan))]
    parts += ["<h2>Runs</h2>", _table(content.runs(plan, tables))]
    parts += [f'<p class="quiet">{_words(note)}</p>' for note in content.runs_notes(plan, tables)]
    notes = content.run_notes(plan)
    if notes:
        parts += ["<h2>To mind with single runs</h2>", _list(notes)]
    parts += ["<h2>To check on arrival</h2>", _list(tuple(map(say, plan.checks)), "check")]
    parts += ["<h2>Cautions</h2>", _list(tuple(map(say, plan.cautions)))]
    figures = content.figures(plan, tables)
    if figures:
        parts.append("<h2>Loss over length</h2>")
        parts += [f"<figure>{_inline(drawn)}</figure>" for drawn in figures]
    if plan.labels:
        parts.append('<h2 class="own-page">Labels</h2>')
        note = "The picture is the port an end goes onto, face-on, at life size where this bar is 100 mm long on paper."
        parts.append(f'<p class="quiet">{_words(note)}</p><div class="bar"></div><p></p>')
        parts.append(_labels(plan))
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title}</title><style>{_STYLE}</style></head><body>\n" + "\n".join(parts) + "\n</body></html>\n"
    )


def _inline(drawn: Drawing) -> str:
    """A drawing as SVG inside a page, where no XML declaration may stand."""
    return drawn.svg().split("?>", 1)[1].strip()


def _words(text: str) -> str:
    return escape(thin(text))


def _list(texts: tuple[str, ...], kind: str = "") -> str:
    mark = f' class="{kind}"' if kind else ""
    return f"<ul{mark}>" + "".join(f"<li>{_words(text)}</li>" for text in texts) + "</ul>"


def _table(table: content.Table) -> str:
    """A table; each cell carries its heading, under which it stands where the screen is too narrow for columns."""

    def cell(column: int, text: str) -> str:
        number = " class=n" if column in table.numbers else ""
        return f'<td{number} data-head="{escape(table.headings[column])}">{_words(text)}</td>'

    whole = sum(table.widths)
    columns = "".join(f'<col style="width:{100 * width / whole:.1f}%">' for width in table.widths)
    head = "".join(
        f"<th{' class=n' if column in table.numbers else ''}>{escape(text)}</th>"
        for column, text in enumerate(table.headings)
    )
    body = "".join(f"<tr>{''.join(cell(column, text) for column, text in enumerate(row))}</tr>" for row in table.rows)
    return f"<table><colgroup>{columns}</colgroup><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _labels(plan: Plan) -> str:
    """Labels with each port drawn once and shown again by reference, which keeps a large site's file small."""
    symbols = []
    sizes = {}
    for half in content.port_halves(plan):
        drawn = life_size(half)
        sizes[half.id] = drawn.width_mm
        # A width and height on the symbol itself would be taken over each use of it.
        inner = _inline(drawn).split(">", 1)[1].rsplit("</svg>", 1)[0]
        symbols.append(
            f'<symbol id="port-{escape(half.id)}" viewBox="0 0 {drawn.width_mm:g} {drawn.width_mm:g}">{inner}</symbol>'
        )
    hidden = f'<svg width="0" height="0" aria-hidden="true">{"".join(symbols)}</svg>'
    return hidden + '<div class="labels">' + "".join(_label(label, sizes) for label in plan.labels) + "</div>"


def _label(label: Label, sizes: dict[str, float]) -> str:
    size = sizes[label.port.id]
    picture = f'<svg width="{size:g}mm" height="{size:g}mm"><use href="#port-{escape(label.port.id)}"/></svg>'
    through = f'<br><span class="through">through {escape(say(label.through))}</span>' if label.through else ""
    return (
        f'<div class="label"><div class="port">{picture}</div><div><b>{escape(label.run)}</b><br>'
        f'<span class="end">{label.place} end, to {escape(label.equipment)}</span><br>'
        f"this end: {escape(label.end.name)}<br>goes onto: {escape(label.port.name)}<br>"
        f"{_words(say(label.cable))}{through}</div></div>"
    )
