"""All that differs between halves, listed; and the button at the foot of the bench that opens the list."""

from __future__ import annotations

from collections.abc import Sequence

from coaxtell.identifier.features import Feature
from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.scene import Room
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import BODY, SMALL, STEP
from coaxtell.window.kit.widgets import Button
from coaxtell.window.views.beside import FOOT, told
from coaxtell.window.views.differences import Difference

LISTED = "What differs"


def listed(column: Stack, halves: Sequence[Half], found: Sequence[Difference]) -> None:
    """Each difference with its value on every half."""
    for one in found:
        column.say(one.words, bold=True, after=0.25, key=f"differs-{one.feature.value}")
        for half, value in zip(halves, one.values, strict=True):
            column.say(f"{half.name}: {value}", SMALL, after=0.25)
        column.gap(0.5)


def offer_rest(
    room: Room, desk: Desk, halves: Sequence[Half], found: Sequence[Difference], own: Feature | None = None
) -> None:
    """Where the bench has no room for all, the difference `own` told first, a button that counts the rest and lists
    all."""
    rest = len(found) - len(told(room.type, room.bench, halves, found, own))
    if rest <= 0:
        return

    def fill(stack: Stack) -> None:
        stack.button("close-all", "Close", desk.close_dialog, "action")
        listed(stack, halves, found)

    words = f"+{rest} more"
    tall = FOOT - STEP
    box = Box(room.bench.x + STEP, room.bench.bottom - tall - STEP / 2, room.type.width(words, BODY) + 2 * STEP, tall)
    button = Button("rest", box, words, lambda: desk.ask(Dialog(LISTED, fill)), "word")
    button.tip = "All that differs between them"
    room.on_bench(button)
