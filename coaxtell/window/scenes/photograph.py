"""A photograph: a port beside a bank card is marked and measured, held against the likeliest halves, and named on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pygame

from coaxtell import files, photo_bench
from coaxtell.identifier.features import Feature
from coaxtell.models.errors import InputError
from coaxtell.window.desk.desk import Desk, Reading
from coaxtell.window.desk.memory import give_back
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.theme import BAND
from coaxtell.window.kit.widgets import Action, Stage
from coaxtell.window.scenes import photo_column
from coaxtell.window.scenes.photo_fits import Fits
from coaxtell.window.scenes.photo_marking import CIRCLE, Marking
from coaxtell.window.scenes.photo_opening import ENDINGS, Left, Opening
from coaxtell.window.views import photograph as view

if TYPE_CHECKING:
    # it brings the library that finds edges, which only a photograph needs
    from coaxtell.photo.width import Width
    from coaxtell.window.scenes.photo_marks import Marks

LEAST_BENCH, LOW_SHARE = 300.0, 0.6
"""Least height of the bench [units]; in a low window this share of it, so that what is asked is seen too."""


class Photograph(Scene):
    """One picture and what is marked on it."""

    desk: Desk
    name = "photo"
    word = "Photograph"
    short = "Photo"
    help = "Measure a port that was photographed beside a bank card; the picture stays on this machine."
    serves = ("photo",)
    takes = "a photograph"
    opens = ENDINGS
    least_bench = LEAST_BENCH

    @property
    def column_first(self) -> bool:
        """The words come first as long as there is no picture."""
        return self.marking is None

    def __init__(self, desk: Desk) -> None:
        """No picture yet."""
        super().__init__(desk)
        self.opening = Opening(desk, self._opened, self.another)
        self.height, self.up = "unknown", Edit()
        self.marking: Marking | None = None
        self.fits = Fits(desk)
        self._agreed: tuple[float, ...] = ()
        """The circle and corners that a person has said to lie on rim and card; others are asked for anew."""
        self.mates: bool | None = None
        """Whether it is the mating side; none until that is answered."""

    # -- the picture ---------------------------------------------------------------------------------------------

    @property
    def marks(self) -> Marks | None:
        """What is marked on the picture on the bench; none where none lies there."""
        return None if self.marking is None else self.marking.marks

    def show(self, marks: Marks) -> None:
        """Put a picture that was looked through on the bench."""
        self.another()
        self.marking = Marking(marks)
        self.desk.wanted_top = True
        self.desk.wanted_focus = "bench"  # the ring found first may be another one: it is looked at before a key agrees
        give_back()

    def _opened(self, marks: Marks, left: Left | None) -> None:
        self.show(marks)
        if left is None or left.written != marks.written:
            # how another face stood says nothing of this one
            self.height = "unknown"
            self.up.set("")
            marks.placed = False
        elif left.agreed:
            self._agreed, self.mates = self._marked, left.mates

    def another(self) -> None:
        """Let the picture go, with all that was worked out from it."""
        self.marking = self.mates = None
        self.fits.forget()
        self._agreed = ()
        give_back()

    def dropped(self, path: str) -> bool:
        """A picture is opened; raises InputError for any other file."""
        self.opening.drop(path)
        return True

    def leave(self) -> None:
        """Only where the picture lies and what was marked is kept: its memory goes to what is shown next."""
        if self.marking is not None and self.marks is not None:
            x, y, radius = self.marking.circle
            corners = [(float(a), float(b)) for a, b in self.marks.corners]
            marks = self.marks
            self.opening.left = Left(
                marks.path, marks.written, (x, y), radius, corners, marks.placed, self.agreed, self.mates
            )
            self.another()

    def enter(self) -> None:
        """A picture that was left is opened again, as it was marked."""
        self.opening.take_up()

    # -- what follows --------------------------------------------------------------------------------------------

    def _up(self) -> tuple[float, float]:
        """The height of the face over the card; as not known while none is typed that can be read."""
        try:
            return photo_bench.height(self.up.text if self.height == "mm" else self.height, "Height")
        except InputError:
            return photo_bench.height("unknown", "")

    @property
    def agreed(self) -> bool:
        """Whether a person has said that outline and circle, as they lie now, are on the card and on the rim."""
        return self.marks is not None and self.marks.placed and self._agreed == self._marked

    @property
    def _marked(self) -> tuple[float, ...]:
        if self.marking is None:
            return ()
        return (*self.marking.circle, *(float(v) for corner in self.marking.marks.corners for v in corner))

    def _brought_in_sight(self) -> bool:
        """Whether the ring had been out of sight: it is brought near then, and said to be."""
        if self.marking is None or self.marking.in_sight:
            return False
        self.marking.near()
        self.desk.say(photo_column.OUT_OF_SIGHT)
        return True

    def agree(self) -> None:
        """Outline and circle lie on the card and on the rim; a ring out of sight is shown first."""
        if self._brought_in_sight():
            return
        self._agreed = self._marked
        self.desk.wanted_focus = "name-it" if self.mates else "mating-yes"

    def answer_side(self, mates: bool) -> None:
        """It is the mating side, or not."""
        self.mates = mates
        self.desk.wanted_focus = "name-it" if mates else "mating-yes"

    @property
    def width(self) -> Width | None:
        """The width of the marked face; none where nothing can be measured, or while the mouse holds something."""
        if self.marking is None or self.marking.held:
            return None
        try:
            return self.marking.marks.width(self._up())
        except InputError:
            return None

    @property
    def refusal(self) -> str:
        """Why nothing can be measured, in a sentence; empty where no more is known than that."""
        try:
            if self.marks is not None:
                self.marks.width(self._up())
        except InputError as error:
            return str(error)
        return ""

    def name_it(self, anew: bool) -> Action:
        def act() -> None:
            found = self.width
            if found is not None and self.agreed and self.mates:
                typed = photo_bench.typed(found)
                self.desk.reading = Reading(Feature.COUPLING_DIAMETER, typed, anew)
                self.desk.go("name")

        return act

    def save(self) -> None:
        """Keep the picture with what was found on it where sheets go; an earlier one is never written over."""
        from PIL import Image

        from coaxtell.photo import overlay

        found, marks = self.width, self.marks
        if found is None or marks is None or marks.card is None:
            return
        outlines = photo_bench.outlines(self.fits.laid(found), found)
        stem = f"{marks.path.stem}-measured"
        target, number = self.desk.sheets / f"{stem}.png", 2
        while target.exists():
            target, number = self.desk.sheets / f"{stem}-{number}.png", number + 1
        picture, lying = marks.photo.picture, marks.card

        def work() -> None:
            drawn = Image.fromarray(overlay.drawn(picture, lying, found.rim, outlines))
            files.write(target, lambda aside: drawn.save(aside, "PNG"))

        self.desk.later(work, lambda _: self.desk.say(f"Saved: {target}."), self.desk.say)

    # -- arranging -----------------------------------------------------------------------------------------------

    def bench_for(self, width: float, height: float) -> float:
        """A picture's bench leaves room in a low window."""
        return self.least_bench if self.marking is None else min(self.least_bench, LOW_SHARE * (height - BAND))

    def arrange(self, room: Room) -> None:
        """The picture on the bench; how to mark it, and what it gives, in the column."""
        column, marking = room.column, self.marking
        if marking is None:
            room.on_bench(Stage("bench", room.bench, lambda pen, box: view.draw_empty(pen, box, self.desk)))
            photo_column.ask(self, column)
            return
        marking.box = room.bench
        stage = Stage("bench", room.bench, self._draw, self.key, marking.drag, marking.drop, marking.wheel,
                      marking.over)  # fmt: skip
        stage.on_grab = marking.grab
        room.on_bench(stage)
        photo_column.fill(self, column, marking)

    def set_height(self, key: str) -> Action:
        def act() -> None:
            self.height = key
            if key == "mm":
                self.desk.wanted_focus = "up"

        return act

    def check_height(self) -> None:
        """Enter in the field of the height: raises InputError where it is no height."""
        photo_bench.height(self.up.text, "Height")

    def key(self, event: pygame.event.Event) -> bool:
        """The letters and signs of the picture, wherever the focus is; Y says yes to what is asked."""
        if self.marking is None:
            return False
        if event.unicode == "y" and self.width is not None:
            if not self.marking.marks.placed:
                self.desk.wanted_focus = "bench"
                self.desk.say(photo_column.PROPOSED)
            elif not self.agreed:
                self.agree()
            elif not self.mates:
                self.answer_side(True)
            return True
        placed = self.marking.marks.placed
        enter = event.key in (pygame.K_RETURN, pygame.K_KP_ENTER)
        if enter and not placed and self.marking.force == CIRCLE and self._brought_in_sight():
            return True
        used = self.marking.key(event)
        if used and enter and not placed:
            self.desk.wanted_focus = "confirm"
        return used

    # -- the bench -----------------------------------------------------------------------------------------------

    def _draw(self, pen: Pen, box: Box) -> None:
        from coaxtell.photo import card, overlay

        marking, found = self.marking, self.width
        assert marking is not None
        marks = marking.marks
        rim: list[Point] = []
        outlines: list[list[Point]] = []
        if found is not None and marks.card is not None:
            back = marks.card.from_mm
            rim = [(x, y) for x, y in card.mapped(overlay.ring(found.rim.centre, found.rim.diameter), back)]
            outlines = self.fits.outlines(found, back) if self.agreed else []
        x, y = marks.centre
        over = view.Drawn([(a, b) for a, b in marks.corners], ((x, y), marks.radius), rim, outlines, marking.force)
        view.draw(pen, box, marking.sight, marking.whole, over, marks.path.name)

    def back(self) -> bool:
        """Esc lets the picture go."""
        if self.marks is not None:
            self.another()
            return True
        return False

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        return [
            ("Arrow keys", "move the circle, or the corner in force; with Shift ten times as far"),
            ("[ and ]", "the circle smaller, larger"),
            ("+ and \N{MINUS SIGN}, or the wheel", "nearer and back"),
            ("C", "what the arrow keys move: circle, corners"),
            ("N", "the next round thing seen"),
            ("Enter on the picture", "the ring lies on the rim"),
            ("Y", "yes: outline and ring lie on the card and the rim; it is the mating side"),
        ]

    def remembered(self) -> dict[str, Any]:
        """Nothing: which pictures were looked at is nobody's business."""
        return {}
