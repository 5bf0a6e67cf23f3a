"""What keys do, whoever has the focus: Tab, Esc, numbers, `?`, the jobs, text size and tone."""

from __future__ import annotations

import pygame

from coaxtell.window.kit.frame import Frame
from coaxtell.window.kit.theme import TEXT_SIZES

PRESSING = (pygame.K_RETURN, pygame.K_KP_ENTER, pygame.K_SPACE)
"""Keys that press what has the focus: held down they press once, for the focus may have gone on to something else."""


def key_down(frame: Frame, event: pygame.event.Event) -> None:
    mod, key, typed = event.mod, event.key, event.unicode
    if key in PRESSING and key in frame.held:
        return
    frame.held.add(key)
    frame.key_used = False
    widget = frame.focused
    typing = widget is not None and widget.takes_text
    if mod & pygame.KMOD_CTRL and not (typing and widget is not None and widget.key_down(event)):
        _control(frame, key)
        return
    if mod & pygame.KMOD_CTRL:
        return
    if key == pygame.K_TAB:
        frame.step_focus(-1 if mod & pygame.KMOD_SHIFT else 1)
        return
    if key in (pygame.K_ESCAPE, pygame.K_AC_BACK) or (key == pygame.K_LEFT and mod & pygame.KMOD_ALT):
        go_back(frame)
        return
    if key == pygame.K_F11:
        frame.desk.settings.full = not frame.desk.settings.full
        return
    if key in (pygame.K_PAGEUP, pygame.K_PAGEDOWN) and frame.furthest > 0:
        far = frame.page.h * 0.8 * (1 if key == pygame.K_PAGEDOWN else -1)
        frame.scroll_by(far)
        return
    if widget is not None and widget.key_down(event):
        led_on = frame.desk.wanted_focus
        frame.arrange()
        if not led_on:
            frame.focus(widget.key)
        return
    if key in (pygame.K_RETURN, pygame.K_KP_ENTER) or (key == pygame.K_SPACE and not typing):
        if widget is not None:
            widget.press()
        return
    if typing and typed and typed.isprintable():
        return
    if _shortcut(frame, key, typed):
        frame.key_used = True
        return
    if not frame.desk.dialogs and frame.scene.key(event):
        frame.key_used = True
        return
    if key in (pygame.K_DOWN, pygame.K_RIGHT):
        frame.step_focus(1)
    elif key in (pygame.K_UP, pygame.K_LEFT):
        frame.step_focus(-1)


def _shortcut(frame: Frame, key: int, typed: str) -> bool:
    """Number keys, `?` and the keys of the jobs."""
    if len(typed) == 1 and typed in "123456789":
        for widget in frame.widgets:
            if widget.number == typed:
                frame.focus(widget.key)
                widget.press()
                return True
        return False
    if typed == "?" and not frame.desk.dialogs:
        frame.show_keys()
        return True
    jobs = [name for name, _, _ in frame.jobs]
    if pygame.K_F1 <= key < pygame.K_F1 + len(jobs) and not frame.desk.dialogs:
        frame.go(jobs[key - pygame.K_F1])
        return True
    return False


def _control(frame: Frame, key: int) -> None:
    if key == pygame.K_q:
        frame.close()
    elif key in (pygame.K_PLUS, pygame.K_EQUALS, pygame.K_KP_PLUS, pygame.K_MINUS, pygame.K_KP_MINUS):
        i = TEXT_SIZES.index(frame.desk.settings.text)
        i += -1 if key in (pygame.K_MINUS, pygame.K_KP_MINUS) else 1
        frame.desk.settings.text = TEXT_SIZES[max(0, min(len(TEXT_SIZES) - 1, i))]
    elif key == pygame.K_l:
        frame.desk.settings.tone = "light" if frame.desk.settings.tone == "dark" else "dark"


def go_back(frame: Frame) -> None:
    """One step back: the dialog in front goes, else the scene takes a step, else the jobs are shown."""
    if frame.desk.dialogs:
        frame.leave_dialog()
    elif not frame.scene.back():
        frame.show_jobs()
