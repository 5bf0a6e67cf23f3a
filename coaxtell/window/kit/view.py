"""The whole window as recorded calls: bench, panel, scene, notice, and the dialog in front."""

from __future__ import annotations

from coaxtell.window.kit.frame import Frame, in_head
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.painter import veil
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.theme import CORNER, SMALL, STEP
from coaxtell.window.kit.widgets import Mood, Widget, mark


def drawn(frame: Frame) -> Pen:
    """Record the whole window; changes nothing."""
    pen = Pen(frame.desk.palette, frame.type)
    p = pen.palette
    whole = Box(0, 0, frame.width, frame.height)
    pen.fill(whole, p.bench)
    if frame.room.wide:
        pen.fill(frame.room.panel, p.panel)
    _widgets(frame, pen, frame.under, frame.room.page, behind=bool(frame.desk.dialogs))
    if frame.notice_box.h:
        pen.fill(frame.notice_box, p.raised)
        pen.line((0, frame.notice_box.y), (frame.width, frame.notice_box.y), p.edge)
        mark(pen, Box(2 * STEP, frame.notice_box.y + STEP, 22, 22), None)
        pen.lines(frame.desk.notice, frame.notice_box.inset(STEP).moved(5 * STEP, 0)._replace(
            w=frame.width - 8 * STEP))  # fmt: skip
    if frame.panel is not None:
        pen.fill(whole, veil(p), alpha=0.72)
        pen.fill(frame.panel, p.panel, CORNER)
        pen.frame(frame.panel, p.edge)
        _widgets(frame, pen, frame.front, frame.page, behind=False)
    if frame.furthest > 0:
        _bar(frame, pen)
    _tip(frame, pen)
    return pen


def _tip(frame: Frame, pen: Pen) -> None:
    """What the control under the mouse does, where it says so."""
    under = [w for w in frame.widgets if w.tip and frame.is_at(w, frame.pointer)]
    if not under:
        return
    widget, line = under[-1], pen.type.line(SMALL)
    wide = pen.type.width(widget.tip, SMALL) + 2 * STEP
    y = widget.box.y - (frame.offset if widget.scrolls else 0.0) + widget.box.h + 4
    box = Box(max(0.0, min(frame.width - wide, widget.box.x)), y, wide, line + STEP)
    pen.fill(box, pen.palette.raised, CORNER)
    pen.frame(box, pen.palette.edge)
    pen.words(widget.tip, (box.x + STEP, box.y + STEP / 2), SMALL, pen.palette.text)


def _widgets(frame: Frame, pen: Pen, widgets: list[Widget], page: Box, behind: bool) -> None:
    focus = frame.focused_key
    fixed = [w for w in widgets if not w.scrolls]
    moving = [w for w in widgets if w.scrolls]
    offset = 0.0 if behind else frame.offset

    def one(widget: Widget) -> None:
        mood = Mood(not behind and widget.key == focus, not behind and frame.is_at(widget, frame.pointer))
        box = widget.box
        if widget.scrolls:
            widget.box = box.moved(0, -offset)
        frame.safely(lambda: widget.paint(pen, mood))
        widget.box = box

    narrow_ground = not frame.room.wide and widgets is frame.under
    head = [w for w in fixed if in_head(w)]
    for widget in fixed:
        if widget not in head:
            one(widget)
    with pen.clipped(page):
        if narrow_ground:
            top = max(page.y, frame.room.panel.y - offset)
            pen.fill(Box(0, top, frame.width, max(0.0, page.bottom - top)), pen.palette.panel)
        for widget in moving:
            if widget.box.bottom - offset > page.y and widget.box.y - offset < page.bottom:
                one(widget)
    for widget in head:
        one(widget)


def _bar(frame: Frame, pen: Pen) -> None:
    page = frame.page
    share = page.h / (page.h + frame.furthest)
    tall = max(24.0, page.h * share)
    top = page.y + (page.h - tall) * (frame.offset / frame.furthest)
    pen.fill(Box(page.right - 8, top, 5, tall), pen.palette.edge, 2.5)
