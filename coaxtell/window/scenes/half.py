"""A half: turned, opened, taken apart, dressed; its numbers with their sources; what mates with it, what harms."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pygame

from coaxtell.models.acts import Act
from coaxtell.models.body import STYLES
from coaxtell.models.drawings.dimensions import Dimension, dimensions
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Verdict
from coaxtell.models.measure import Measure
from coaxtell.models.words import label
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.cards import Art
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.lists import Row
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.stack import Choice, Stack
from coaxtell.window.kit.theme import SMALL
from coaxtell.window.kit.widgets import Action, Stage
from coaxtell.window.scenes import port_words
from coaxtell.window.scenes.gauging import Gauging
from coaxtell.window.scenes.picker import Picker
from coaxtell.window.views import half as view
from coaxtell.window.views.in_hand import InHand
from coaxtell.window.views.viewpoints import FACE, SIDE, USUAL, View, draw_half

PRESETS: dict[str, View] = {
    "three-quarter": USUAL, "face on": FACE, "from the side": SIDE, "from behind": View(145.0, 24.0),
}  # fmt: skip
OPENED = 10.0
"""One step of the cut slider [deg]."""
PLATINGS = ("nickel", "steel", "gold", "brass")
MOST = 8
"""Most halves shown of those that mate, and of those that are harmed."""


class HalfPage(Scene):
    """One half, from all sides."""

    desk: Desk
    name = "half"
    word = "A half"
    short = "Half"
    help = "Turn a half, open it, take it apart; its numbers with their sources, its mates, what it harms."
    serves = ("show", "list", "sources", "gauge")

    half_id = "sma-plug"

    def __init__(self, desk: Desk) -> None:
        """The half of last time."""
        super().__init__(desk)
        self.in_hand = InHand(desk)
        self.at = 0
        self.pointed: int | None = None
        self._show(self.half_id)

    def _show(self, half_id: str) -> None:
        self.half_id, self.desk.wanted_top = half_id, True
        self.half = self.desk.half(half_id)
        self.dimensions: list[Dimension] = dimensions(self.half)
        self.at, self.pointed = 0, None
        self.whole: set[str] = set()
        """The kinds of company that are shown whole."""
        self.in_hand.style, self.in_hand.finish, self.in_hand.apart, self.in_hand.zoom = "", "", 0.0, 1.0
        self.in_hand.show(self.half)

    def enter(self) -> None:
        """Take the half that another scene carried over."""
        for half_id in self.desk.carry.pop(self.name, ()):
            self._show(half_id)

    # -- arranging -----------------------------------------------------------------------------------------------

    @property
    def column_first(self) -> bool:
        """What is to be told of a port comes first."""
        return bool(port_words.ports(self.desk, self.half_id))

    def arrange(self, room: Room) -> None:
        """The half on the bench; what can be done with it in the column."""
        self._bench = room.bench
        room.on_bench(Stage("bench", room.bench, self.draw, self.stage_key, self.in_hand.drag, None,
                            self.in_hand.nearer, self._hover))  # fmt: skip
        column, hand = room.column, self.in_hand
        told = port_words.tell(self.desk, room, self.half_id)
        column.verdict(self.half.name, "text")
        if self.half.trade_names:
            column.say(f"Also called {', '.join(self.half.trade_names)}.", SMALL, "quiet")
        column.button("choose", "Another half: type its name", lambda: self._choose(""), "plain" if told else "action")
        if self.desk.pictures.why:
            column.check(self.desk.pictures.why, None, key="drawings", size=SMALL)
        column.slider("opened", "Cut open", hand.opened, (0.0, 180.0), OPENED, hand.open_by, self._opened_words())
        column.slider("apart", "Taken apart", hand.apart, (0.0, 1.0), 0.1, hand.take_apart, f"{hand.apart:.0%}")
        column.buttons([(f"from-{name.replace(' ', '-')}", name, self._seen(one), False)
                        for name, one in PRESETS.items()])  # fmt: skip
        company = self.desk.company(self.half)
        if company is not None:
            mates = [half for verdict in (Verdict.MATES, Verdict.LIMITS) for half in company.get(verdict, [])]
            self._company(column, "mates", "Mates with", mates)
            self._company(column, "harms", "Harmed by it, or harms it", company.get(Verdict.DAMAGES, []))
            if company.get(Verdict.NO_CONTACT):
                self._company(column, "open-end", "Goes together and makes no contact", company[Verdict.NO_CONTACT])
            if company.get(Verdict.NOT_KNOWN):
                self._company(column, "open", "Not known: try none of these", company[Verdict.NOT_KNOWN])
        else:
            column.progress("company", None, "Working out what mates with it and what it harms.")
        if port_words.may(self.desk, Act.MEASURE, self.half_id):
            column.button("gauge", "Measure parts of it with a calliper", self._gauge)
        column.part("Body behind the face")
        column.buttons([("body-own", "as in the table", self._dress("style", ""), not hand.style)] + [
            (f"body-{style}", style.replace("-", " "), self._dress("style", style), style == hand.style)
            for style in STYLES if self.half.back is None
        ])  # fmt: skip
        column.part("Plating")
        column.buttons([
            (f"plating-{name}", name, self._dress("finish", name), name == (hand.finish or self.half.finish))
            for name in PLATINGS
        ])  # fmt: skip
        self._numbers(column)

    def _opened_words(self) -> str:
        opened = self.in_hand.opened
        if opened == 0:
            return "whole"
        return "half" if opened == 180 else f"{opened:.0f}\N{DEGREE SIGN}"

    def _company(self, column: Stack, key: str, words: str, halves: list[Half]) -> None:
        """Those halves as pictures to press, the ones met most first; where they are many the rest is a press away."""
        column.part(f"{words}: {len(halves) or 'none known'}")
        most = len(halves) if key in self.whole else MOST
        choices = [
            Choice(f"pair-{half.id}", half.name, self._bring(half.id), self._art(half)) for half in halves[:most]
        ]
        column.cards(choices, columns=2, numbers=False)
        if len(halves) > most:
            column.button(f"all-{key}", f"Show the other {len(halves) - most} too", lambda: self.whole.add(key))

    def _art(self, half: Half) -> Art:
        def draw(pen: Pen, box: Box) -> None:
            side = min(box.w, box.h)
            draw_half(pen, self.desk, half, box.middle, side / 2 / self.desk.art.extent(half).reach, 1.0)

        return Art(draw, 72.0)

    def _numbers(self, column: Stack) -> None:
        """Every number, and of the one in force its grade and source."""
        column.part("Numbers, each with its grade and source")
        one = self.dimensions[self.chosen]
        measure = self._measure(one)
        column.say(f"{label(self.half, one.path)}: {one.words}", bold=True, key="number", after=0.5)
        titles = [self.desk.tables.sources[key].title for key in measure.source if key in self.desk.tables.sources]
        column.say(f"Grade: {measure.grade.value}. Source: {'; '.join(titles) or 'none'}.", SMALL, key="source")
        if measure.note:
            column.say(measure.note, SMALL, "quiet")
        for make in measure.makes:
            said = f"{make.name.capitalize()} parts: {make.min:g} to {make.max:g} {measure.unit}, {make.grade.value}."
            column.say(said, SMALL, "quiet", after=0.5)
        for other in measure.against:
            column.say(f"Another source says {other.value}: {other.why}.", SMALL, "quiet", after=0.5)
        rows = [
            Row(str(i), f"{d.name}: {d.words}", self._measure(d).grade.value) for i, d in enumerate(self.dimensions)
        ]
        column.rows("numbers", rows, self.chosen, self._move, lambda: None)

    @property
    def chosen(self) -> int:
        """The number in force: what is pointed at, else the row chosen."""
        return self.at if self.pointed is None else self.pointed

    def _measure(self, one: Dimension) -> Measure:
        part: Any = self.half
        for key in one.path:
            part = part[key] if isinstance(key, int) else getattr(part, key)
        assert isinstance(part, Measure)
        return part

    def draw(self, pen: Pen, box: Box) -> None:
        """The half turning, and its section."""
        view.draw(pen, box, self.desk, self.in_hand, self.dimensions, self.chosen)

    # -- what is done --------------------------------------------------------------------------------------------

    def _gauge(self) -> None:
        Gauging(self.desk, self.half).open()

    def _move(self, at: int) -> None:
        self.at, self.pointed = at, None

    def _hover(self, at: Point) -> bool:
        found = view.pointed(self._bench, self.desk, self.half, self.dimensions, at)
        if found == self.pointed:
            return False
        if found is not None:
            self.at = found
        self.pointed = found
        return True

    def _seen(self, one: View) -> Action:
        return lambda: self.in_hand.look(one._replace(opened=self.in_hand.opened))

    def _dress(self, field: str, value: str) -> Action:
        def act() -> None:
            setattr(self.in_hand, field, value)
            self.in_hand.apart = 0.0 if field == "style" else self.in_hand.apart

        return act

    def _bring(self, half_id: str) -> Action:
        def act() -> None:
            self.desk.carry["together"] = (self.half_id, half_id)
            self.desk.go("together")

        return act

    def _choose(self, typed: str) -> None:
        taken: Callable[[str], None] = self._show
        Picker(self.desk, "Which half?", self.half_id, taken, typed).open()

    def stage_key(self, event: pygame.event.Event) -> bool:
        """Arrows turn, plus and minus bring nearer."""
        return self.in_hand.key(event)

    def key(self, event: pygame.event.Event) -> bool:
        """Square brackets cut, braces take apart, any letter begins to name another half."""
        typed = event.unicode
        hand = self.in_hand
        if typed in ("[", "]"):
            hand.open_by(hand.opened + (OPENED if typed == "]" else -OPENED))
        elif typed in ("{", "}"):
            hand.take_apart(round(hand.apart + (0.1 if typed == "}" else -0.1), 1))
        elif len(typed) == 1 and typed.isalnum():
            self._choose(typed)
        else:
            return self.stage_key(event)
        return True

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        return [
            ("Arrow keys on the picture", "turn the half"),
            ("+ and \N{MINUS SIGN}, or the wheel", "nearer and back"),
            ("[ and ]", "cut less, more of it open"),
            ("{ and }", "put together, take apart"),
            ("any letter or digit", "another half by a part of its name"),
        ]

    def tick(self, now: float) -> bool:
        """The picture settles."""
        return self.in_hand.tick(now)

    def remembered(self) -> dict[str, Any]:
        """Which half was shown."""
        return {"half": self.half_id}

    def recall(self, held: dict[str, Any]) -> None:
        """The half of last time."""
        if held.get("half") in self.desk.tables.halves:
            self._show(str(held["half"]))
