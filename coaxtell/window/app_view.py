"""The whole window as recorded calls: bench, panel, scene, notice, and the dialog in front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coaxtell.window.geometry import Box
from coaxtell.window.painter import veil
from coaxtell.window.pen import Pen
from coaxtell.window.theme import CORNER, STEP
from coaxtell.window.widgets import Mood, Widget, mark

if TYPE_CHECKING:
    from coaxtell.window.app import App


def drawn(app: App) -> Pen:
    """Record the whole window; changes nothing."""
    pen = Pen(app.desk.palette, app.type)
    p = pen.palette
    whole = Box(0, 0, app.width, app.height)
    pen.fill(whole, p.bench)
    if app.room.wide:
        pen.fill(app.room.panel, p.panel)
    _widgets(app, pen, app.under, app.room.page, behind=bool(app.desk.dialogs))
    if app.notice_box.h:
        pen.fill(app.notice_box, p.raised)
        pen.line((0, app.notice_box.y), (app.width, app.notice_box.y), p.edge)
        mark(pen, Box(2 * STEP, app.notice_box.y + STEP, 22, 22), None)
        pen.lines(app.desk.notice, app.notice_box.inset(STEP).moved(5 * STEP, 0)._replace(
            w=app.width - 8 * STEP))  # fmt: skip
    if app.panel is not None:
        pen.fill(whole, veil(p), alpha=0.72)
        pen.fill(app.panel, p.panel, CORNER)
        pen.frame(app.panel, p.edge)
        _widgets(app, pen, app.front, app.page, behind=False)
    if app.furthest > 0:
        _bar(app, pen)
    return pen


def _widgets(app: App, pen: Pen, widgets: list[Widget], page: Box, behind: bool) -> None:
    focus = app.focused_key
    fixed = [w for w in widgets if not w.scrolls]
    moving = [w for w in widgets if w.scrolls]
    offset = 0.0 if behind else app.offset

    def one(widget: Widget) -> None:
        mood = Mood(not behind and widget.key == focus, not behind and app.is_at(widget, app.mouse.at))
        box = widget.box
        if widget.scrolls:
            widget.box = box.moved(0, -offset)
        app.safely(lambda: widget.paint(pen, mood))
        widget.box = box

    narrow_ground = not app.room.wide and widgets is app.under
    head = [w for w in fixed if w.key in ("jobs", "keys")]
    for widget in fixed:
        if widget not in head:
            one(widget)
    with pen.clipped(page):
        if narrow_ground:
            top = max(page.y, app.room.panel.y - offset)
            pen.fill(Box(0, top, app.width, max(0.0, page.bottom - top)), pen.palette.panel)
        for widget in moving:
            if widget.box.bottom - offset > page.y and widget.box.y - offset < page.bottom:
                one(widget)
    for widget in head:
        one(widget)


def _bar(app: App, pen: Pen) -> None:
    page = app.page
    share = page.h / (page.h + app.furthest)
    tall = max(24.0, page.h * share)
    top = page.y + (page.h - tall) * (app.offset / app.furthest)
    pen.fill(Box(page.right - 8, top, 5, tall), pen.palette.edge, 2.5)
