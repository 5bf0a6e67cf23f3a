"""Words to copy: to the clipboard, else shown whole and selected."""

from __future__ import annotations

from coaxtell.window.kit.clipboard import copy
from coaxtell.window.kit.common import Common
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.stack import Stack


def copy_words(desk: Common, words: str, what: str) -> None:
    """Copy words and say what became of it; where no clipboard takes them they stand selected in a field."""
    desk.copied = words
    if copy(words):
        desk.say(f"{what} copied.")
        return
    edit = Edit(" ".join(words.split()))
    edit.select_all()

    def fill(stack: Stack) -> None:
        stack.say("This screen has no clipboard that other programs see. The words stand here whole.", role="quiet")
        stack.field("by-hand", what, edit, lambda: None, desk.close_dialog)
        stack.say(words)
        stack.button("close-words", "Close", desk.close_dialog, "action")

    desk.ask(Dialog(what, fill))
