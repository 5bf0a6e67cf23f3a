"""Side by side: two to six halves at one scale; and only what differs between them, with the millimetres."""

from __future__ import annotations

from typing import Any

import pygame

from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.widgets import Action, Stage
from coaxtell.window.scenes import port_words
from coaxtell.window.scenes.all_differences import LISTED, listed, offer_rest
from coaxtell.window.scenes.picker import Picker
from coaxtell.window.views import beside as view
from coaxtell.window.views.differences import Difference, differences

FEWEST, MOST = 2, 6


class SideBySide(Scene):
    """Several halves next to each other."""

    desk: Desk
    name = "beside"
    word = "Side by side"
    short = "Beside"
    help = "Two to six halves at one scale, and only what differs between them."
    serves = ("show", "list")

    def __init__(self, desk: Desk) -> None:
        """The pair that is most often taken for each other."""
        super().__init__(desk)
        self.halves = ["sma-jack", "rp-sma-jack"]
        self.only = True
        self._told: tuple[tuple[str, ...], list[Difference]] = ((), [])

    def enter(self) -> None:
        """Take the halves that another scene carried over."""
        carried = list(dict.fromkeys(self.desk.carry.pop(self.name, ())))
        if len(carried) >= FEWEST:
            self.halves = carried[:MOST]

    @property
    def found(self) -> list[Difference]:
        """What differs between them, worked out once."""
        key = tuple(self.halves)
        if self._told[0] != key:
            self._told = (key, differences(self._shown, self.desk.looks))
        return self._told[1]

    @property
    def _shown(self) -> list[Half]:
        return [self.desk.half(half_id) for half_id in self.halves]

    def bench_for(self, width: float, height: float) -> float:
        """High enough for the words over every half."""
        return max(self.least_bench, view.least_height(width, len(self.halves)))

    @property
    def column_first(self) -> bool:
        """What is to be told of a port comes first."""
        return bool(port_words.ports(self.desk, *self.halves))

    def arrange(self, room: Room) -> None:
        """The halves on the bench; which, and what differs, in the column."""
        room.on_bench(Stage("bench", room.bench, self.draw, self._stage_key))
        if self.only:
            offer_rest(room, self.desk, self._shown, self.found)
        column = room.column
        told = port_words.tell(self.desk, room, *self.halves)
        column.title("What tells them apart?")
        column.buttons([
            ("only", "only what differs", self._show(True), self.only),
            ("pictures", "pictures", self._show(False), not self.only),
        ])  # fmt: skip
        for i, half_id in enumerate(self.halves):
            column.button(f"half-{i}", self.desk.half(half_id).name, self._change(i))
        if len(self.halves) < MOST:
            column.button("add", "Add a half: type a part of its name", self._add, "plain" if told else "action")
        column.part(LISTED if self.found else "Nothing that is seen or measured differs")
        listed(column, self._shown, self.found)

    def draw(self, pen: Pen, box: Box) -> None:
        """All at one scale: cut open with only the edges that decide, or pictured."""
        if self.only:
            view.draw_differences(pen, box, self.desk, self._shown, self.found)
        else:
            view.draw_pictures(pen, box, self.desk, self._shown)

    def _show(self, only: bool) -> Action:
        def act() -> None:
            self.only = only

        return act

    def _add(self) -> None:
        def taken(half_id: str) -> None:
            if half_id not in self.halves:
                self.halves = [*self.halves, half_id]

        Picker(self.desk, "Which half?", self.halves[-1], taken).open()

    def _change(self, place: int) -> Action:
        def another() -> None:
            def taken(half_id: str) -> None:
                if half_id not in self.halves:
                    self.halves = [*self.halves[:place], half_id, *self.halves[place + 1 :]]

            self.desk.close_dialog()
            Picker(self.desk, "Which half?", self.halves[place], taken).open()

        def without() -> None:
            self.desk.close_dialog()
            self.halves = [*self.halves[:place], *self.halves[place + 1 :]]

        def page() -> None:
            self.desk.close_dialog()
            self.desk.carry["half"] = (self.halves[place],)
            self.desk.go("half")

        def fill(stack: Stack) -> None:
            stack.button("another", "Another half in its place", another, "action")
            stack.button("page", "Its own page", page)
            if len(self.halves) > FEWEST:
                stack.button("without", "Leave it out", without)

        return lambda: self.desk.ask(Dialog(self.desk.half(self.halves[place]).name, fill))

    def _stage_key(self, event: pygame.event.Event) -> bool:
        return self.key(event)

    def key(self, event: pygame.event.Event) -> bool:
        """V changes between what differs and the pictures."""
        if event.key == pygame.K_v:
            self.only = not self.only
            return True
        return False

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        return [("V", "only what differs, or the pictures")]

    def remembered(self) -> dict[str, Any]:
        """Which halves stood there."""
        return {"halves": self.halves, "only": self.only}

    def recall(self, held: dict[str, Any]) -> None:
        """The halves of last time."""
        halves = [h for h in held.get("halves", []) if h in self.desk.tables.halves]
        if FEWEST <= len(halves) <= MOST:
            self.halves = halves
        self.only = bool(held.get("only", True))
