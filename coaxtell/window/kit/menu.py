"""The two dialogs every scene has: the jobs with the look of the window, and the keys."""

from __future__ import annotations

from collections.abc import Sequence

from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.frame import Frame
from coaxtell.window.kit.stack import Choice, Stack
from coaxtell.window.kit.theme import TEXT_SIZES
from coaxtell.window.kit.widgets import Action

EVERYWHERE = (
    ("Tab, Shift+Tab", "go to the next or last control"),
    ("Enter or Space", "press it"),
    ("1 to 9", "take the answer with that number"),
    ("Esc, Alt+Left, the mouse's back button", "one step back; from the start of a job, the jobs"),
    ("F11", "the whole screen, or the window again"),
    ("Ctrl A, C, X, V in a field", "select all, copy, cut, paste"),
    ("F1 to F9", "the jobs, as they stand at the top (not while a dialog is open)"),
    ("Page Up, Page Down", "scroll"),
    ("Ctrl + and Ctrl \N{MINUS SIGN}", "larger or smaller text"),
    ("Ctrl L", "dark or light bench"),
    ("Ctrl Q", "close; what was answered is kept"),
    ("?", "these keys"),
)


def jobs_dialog(frame: Frame) -> Dialog:
    """The jobs, then the look of the window."""
    settings = frame.desk.settings

    def going(name: str) -> Action:
        def act() -> None:
            frame.desk.close_dialog()
            frame.go(name)

        return act

    def setting(name: str, value: object) -> Action:
        return lambda: setattr(settings, name, value)

    def fill(stack: Stack) -> None:
        choices = [
            Choice(f"job-{name}", word, going(name), note=about, chosen=name == frame.scene.name)
            for name, word, about in frame.jobs
        ]
        stack.cards(choices, columns=1)
        stack.part("Bench")
        stack.buttons([
            ("tone-dark", "dark", setting("tone", "dark"), settings.tone == "dark"),
            ("tone-light", "light", setting("tone", "light"), settings.tone == "light"),
        ])  # fmt: skip
        stack.part("Text size")
        stack.buttons([
            (f"text-{size}", f"{size} %", setting("text", size), settings.text == size) for size in TEXT_SIZES
        ])  # fmt: skip
        stack.part("Motion")
        stack.buttons([
            ("motion-on", "on", setting("motion", True), settings.motion),
            ("motion-off", "off", setting("motion", False), not settings.motion),
        ])  # fmt: skip
        stack.gap()
        stack.button("close-window", "Close the window", frame.close)

    return Dialog("What is there to do?", fill)


def keys_dialog(frame: Frame) -> Dialog:
    """All keys that work now."""

    def fill(stack: Stack) -> None:
        for title, keys in ((f"In {frame.scene.word}", frame.scene.keys()), ("Everywhere", EVERYWHERE)):
            if keys:
                stack.part(title)
                stack.pairs(keys)
        stack.gap()
        stack.button("close-keys", "Close", frame.desk.close_dialog, "action")

    return Dialog("Keys", fill)


def first_dialog(frame: Frame, things: Sequence[tuple[str, str, str]]) -> Dialog:
    """Three things to do, for a person who opens the window for the first time: scene, words and what comes of it."""

    def going(name: str) -> Action:
        def act() -> None:
            frame.desk.close_dialog()
            frame.go(name)

        return act

    def fill(stack: Stack) -> None:
        stack.cards([Choice(f"first-{name}", words, going(name), note=note) for name, words, note in things], columns=1)
        stack.say("All jobs stand at the top; ? shows the keys of each.", role="quiet")
        stack.button("first-close", "Look around", frame.desk.close_dialog)

    return Dialog("What lies in front of you?", fill)
