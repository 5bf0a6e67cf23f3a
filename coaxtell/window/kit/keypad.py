"""Digits to click, for hands that hold a part and not a keyboard."""

from __future__ import annotations

from collections.abc import Callable

from coaxtell.window.kit.common import Common
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import LARGE
from coaxtell.window.kit.widgets import Action

SIGNS = "1234567890."


def open_keypad(desk: Common, edit: Edit, taken: Callable[[], None]) -> None:
    """Show digits that go into a field, a space between two readings; `taken` is told when they are to be taken."""

    def put(sign: str) -> Action:
        return lambda: edit.insert(sign)

    def back() -> None:
        edit.set(edit.text[:-1])

    def take() -> None:
        desk.close_dialog()
        taken()

    def fill(stack: Stack) -> None:
        stack.say(edit.text or "\N{EM DASH}", LARGE, bold=True, key="digits-typed")
        stack.buttons([(f"digit-{sign}", sign, put(sign), False) for sign in SIGNS])
        stack.buttons([("digit-space", "space", put(" "), False), ("digit-back", "take one back", back, False)])
        stack.button("digits-take", "Take it", take, "action")

    desk.ask(Dialog("Digits", fill))
