"""What was said of a named port, first wherever else it is taken on to, and the way back to its naming."""

from __future__ import annotations

from coaxtell.models.acts import Act
from coaxtell.window.desk.desk import Desk
from coaxtell.window.desk.inquiry import Inquiry
from coaxtell.window.kit.scene import Room
from coaxtell.window.kit.stack import Stack

LOOK_AGAIN, SAY_WHAT = "Look again: name the port", "Say what is on it: name the port"


def ports(desk: Desk, *half_ids: str) -> list[Inquiry]:
    """The ports among these halves of which something is to be told first."""
    named = (desk.port(half_id) for half_id in dict.fromkeys(half_ids))
    return [port for port in named if port is not None and port.goes_along]


def may(desk: Desk, act: Act, *half_ids: str) -> bool:
    """Whether an act may be proposed on all of these halves, as far as they were named as ports."""
    return all(port.may_do(act) for port in ports(desk, *half_ids))


def from_afar(desk: Desk, *half_ids: str) -> list[str]:
    """Why nothing is held beside the port in hand, nor beside one named as one of these halves, in sentences."""
    found = [desk.in_hand, *(desk.port(half_id) for half_id in half_ids)]
    return list(dict.fromkeys(told for port in found if port is not None for told in port.from_afar))


def back_to_what_is_said(desk: Desk, column: Stack) -> None:
    """The way to say what is on the port in hand."""
    _back(desk, column, SAY_WHAT)


def _back(desk: Desk, column: Stack, words: str) -> None:
    def back() -> None:
        desk.unsaid = words == SAY_WHAT
        desk.go("name")

    column.button("look-again", words, back, "action")


def tell(desk: Desk, room: Room, *half_ids: str) -> bool:
    """Say it, and offer the way back to the port in hand; whether there was something to say.

    In a tight room the way back stands over the words, which would leave it no place in sight.
    """
    found, column = ports(desk, *half_ids), room.column
    here = next((port for port in found if port is desk.in_hand), None)
    back = "" if here is None else LOOK_AGAIN if here.may_do(Act.JOIN) else SAY_WHAT
    if back and room.tight:
        _back(desk, column, back)
    for port in found:
        for number, told in enumerate(port.goes_along):
            name = "" if number or port.found.name in told else f"{port.found.name}, as named here: "
            column.check(desk.spoken(f"{name}{told}"), None, key=f"port-{port.found.half.id}-{number}")
    if back and not room.tight:
        _back(desk, column, back)
    return bool(found)
