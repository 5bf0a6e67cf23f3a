"""What keys do, whoever has the focus: Tab, Esc, numbers, `?`, the jobs, text size and tone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from coaxtell.window.theme import TEXT_SIZES

if TYPE_CHECKING:
    from coaxtell.window.app import App


def key_down(app: App, event: pygame.event.Event) -> None:
    mod, key, typed = event.mod, event.key, event.unicode
    app.key_used = False
    widget = app.focused
    typing = widget is not None and widget.takes_text
    if mod & pygame.KMOD_CTRL:
        _control(app, key)
        return
    if key == pygame.K_TAB:
        app.step_focus(-1 if mod & pygame.KMOD_SHIFT else 1)
        return
    if key == pygame.K_ESCAPE:
        _back(app)
        return
    if key in (pygame.K_PAGEUP, pygame.K_PAGEDOWN) and app.furthest > 0:
        far = app.page.h * 0.8 * (1 if key == pygame.K_PAGEDOWN else -1)
        app.scroll_by(far)
        return
    if widget is not None and widget.key_down(event):
        app.arrange()
        app.focus(widget.key)
        return
    if key in (pygame.K_RETURN, pygame.K_KP_ENTER) or (key == pygame.K_SPACE and not typing):
        if widget is not None:
            widget.press()
        return
    if typing and typed and typed.isprintable():
        return
    if _shortcut(app, key, typed):
        app.key_used = True
        return
    if not app.desk.dialogs and app.scene.key(event):
        app.key_used = True
        return
    if key in (pygame.K_DOWN, pygame.K_RIGHT):
        app.step_focus(1)
    elif key in (pygame.K_UP, pygame.K_LEFT):
        app.step_focus(-1)


def _shortcut(app: App, key: int, typed: str) -> bool:
    """Number keys, `?` and the keys of the jobs."""
    if len(typed) == 1 and typed in "123456789":
        for widget in app.widgets:
            if widget.number == typed:
                app.focus(widget.key)
                widget.press()
                return True
        return False
    if typed == "?" and not app.desk.dialogs:
        app.show_keys()
        return True
    jobs = [name for name, _, _ in app.jobs]
    if pygame.K_F1 <= key < pygame.K_F1 + len(jobs) and not app.desk.dialogs:
        app.go(jobs[key - pygame.K_F1])
        return True
    return False


def _control(app: App, key: int) -> None:
    if key == pygame.K_q:
        app.close()
    elif key in (pygame.K_PLUS, pygame.K_EQUALS, pygame.K_KP_PLUS, pygame.K_MINUS, pygame.K_KP_MINUS):
        i = TEXT_SIZES.index(app.desk.settings.text)
        i += -1 if key in (pygame.K_MINUS, pygame.K_KP_MINUS) else 1
        app.desk.settings.text = TEXT_SIZES[max(0, min(len(TEXT_SIZES) - 1, i))]
    elif key == pygame.K_l:
        app.desk.settings.tone = "light" if app.desk.settings.tone == "dark" else "dark"


def _back(app: App) -> None:
    if app.desk.dialogs:
        dialog = app.desk.dialogs.pop()
        if dialog.closed is not None:
            dialog.closed()
    elif not app.scene.back():
        app.show_jobs()
