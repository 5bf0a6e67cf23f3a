"""Which options of an item are right, worked out from the tables and matings alone, without the quiz."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

from coaxtell.models.half import Half
from coaxtell.models.mating.mate import mate
from coaxtell.quiz import items
from coaxtell.quiz.item import Task
from coaxtell.quiz.stock import Stock
from tests.halves import all_halves, half


@cache
def stock() -> Stock:
    return Stock(all_halves())


@cache
def tasks() -> list[Task]:
    return items.tasks(stock())


@cache
def connects(a: str, b: str) -> bool:
    return mate(half(a), half(b), doubt=False).verdict in ("mates", "mates with limits")


def face(one: Half) -> tuple[object, ...]:
    """What the eye finds on a face, read from the table by the test itself."""
    parts = {"lugs": one.lugs, "thread": one.thread, "springs": one.snap, "smooth": one.groove}
    kind = next(word for word, part in parts.items() if part is not None) if one.nut is None else "sleeve"
    kind = "nut" if one.nut is not None and one.nut.thread else kind
    centre = "pin" if one.centre.pin is not None else "socket" if one.centre.socket is not None else "flat"
    colour = "" if one.key is None else one.key.colour
    return kind, centre, colour, one.thread.hand if one.thread is not None and one.nut is None else ""


def wide(one: Half) -> float:
    """Widest part of the face [mm]: nut or sleeve, else thread, else the lugs' collar."""
    if one.nut is not None:
        return max(step.d.nominal for step in one.nut.body.outside if step.d is not None)
    if one.thread is not None:
        return one.thread.major.nominal
    if one.snap is not None and not one.snap.over:
        return one.snap.bead.nominal
    return max(step.d.nominal for step in one.shell.outside[:1] if step.d is not None)


def plastic(one: Half) -> set[int]:
    """Where the plastic may end against the rim of the shell: 3 a free tube, 2 level, 1 sunk, 0 deep."""
    if any(ring.outer is not None and ring.face.nominal >= 1.0 for ring in one.insulator):
        return {3}
    rim = one.shell.rim
    ends = [(rim.low - ring.face.high, rim.high - ring.face.low) for ring in one.insulator] or [(99.0, 99.0)]
    near, far = min(low for low, _ in ends), min(high for _, high in ends)
    return {sum(behind <= edge for edge in (3.0, 0.3)) for behind in (near, (near + far) / 2, far)}


SURE_WIDTH = 0.3
"""Widths that differ by more are told apart in a picture: three times the 8 % of comparing by eye, limits on top."""


def grips(one: Half) -> set[str]:
    """How the nut or sleeve is gripped, a hexagon wherever it has one; nothing without a nut."""
    forms = set() if one.nut is None else {step.form for step in one.nut.body.outside}
    return {"hex"} if "hex" in forms else {form for form in forms if form == "knurl"}


def looks_apart(one: Half, two: Half, width: float = 0.15) -> bool:
    if grips(one) and grips(two) and grips(one) != grips(two):
        return True
    return face(one) != face(two) or abs(math.log(wide(one) / wide(two))) > width or not plastic(one) & plastic(two)


MEASURES = {
    "coupling-diameter": lambda h: h.coupling_thread.major.nominal if h.coupling_thread else None,
    "threads-per-10mm": lambda h: 10 / h.coupling_thread.pitch_mm if h.coupling_thread else None,
    "pin-diameter": lambda h: h.centre.pin.d.nominal if h.centre.pin else None,
    "socket-bore": lambda h: h.centre.socket.hole.nominal if h.centre.socket else None,
    "nut-width": lambda h: wide(h) if h.nut else None,
}
"""Sizes read straight from the table; `bore` follows the depth of a calliper's jaws and is left to its own tests."""


def differs(feature: str, one: Half, two: Half) -> bool | None:
    if feature == "coupling":
        return face(one)[0] != face(two)[0]
    if feature == "centre":
        return face(one)[1] != face(two)[1]
    if feature == "size":
        return abs(math.log(wide(one) / wide(two))) > 0.1
    if feature == "plastic":
        mine, theirs = plastic(one), plastic(two)
        return None if mine & theirs and len(mine | theirs) > 1 else not mine & theirs
    read = MEASURES.get(feature)
    if read is None:
        return None
    a, b = read(one), read(two)  # type: ignore[no-untyped-call]
    return None if a is None or b is None else abs(a - b) > 0.1


@cache
def twins(half_id: str) -> tuple[str, ...]:
    """The halves that this test's own eyes do not tell from one."""
    return tuple(
        other for other in all_halves() if other == half_id or not looks_apart(half(half_id), half(other), SURE_WIDTH)
    )


@cache
def verdict_of(a: str, b: str) -> str:
    return mate(half(a), half(b), doubt=False).verdict.value


def _mates(task: Task, options: tuple[str, ...], right: str) -> list[str]:
    alike = {verdict_of(one, two) for one in twins(task.a) for two in twins(task.b)}
    # halves that look the same and do not come to the same: only a closer look tells
    own = verdict_of(task.a, task.b)
    return [right] if right == own or (right == "look first" and len(alike) > 1) else []


def _name(task: Task, options: tuple[str, ...], right: str) -> list[str]:
    a = half(task.a)
    if len(options) > 2:
        return [option for option in options if option == task.a or not looks_apart(a, half(option))]
    # the standards' words go by the body: what enters with a smooth barrel or carries the thread is the jack
    body = "jack" if a.thread is not None or a.groove is not None else "plug"
    return [option for option in options if half(option).gender == body]


def _order(task: Task, options: tuple[str, ...], right: str) -> list[str]:
    return [option for option in options if connects(task.a, option)]


def _look(task: Task, options: tuple[str, ...], right: str) -> list[str]:
    a, b = half(task.a), half(task.b)
    return [o for o in options if differs(o, a, b) or (o == right and differs(o, a, b) is None)]


def _cable(task: Task, options: tuple[str, ...], right: str) -> list[str]:
    """The options of cables say class and end; that loss and ends are as stated is another test."""
    return [option for option in options if option == f"{task.among[0]} own"]


RIGHT: dict[str, Callable[[Task, tuple[str, ...], str], list[str]]] = {
    "mates": _mates,
    "name": _name,
    "order": _order,
    "look": _look,
    "cable": _cable,
}
"""By kind of item, which of its options are right; the third argument is what the quiz holds for right."""


@cache
def right_ones(task: Task, options: tuple[str, ...], right: str) -> list[str]:
    """Which of the options are right, by the matings and tables alone."""
    return RIGHT[task.kind](task, options, right)
