"""A photograph: a port beside a bank card is marked and measured, held against the likeliest halves, and named on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

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
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import BAND, LARGE, SMALL
from coaxtell.window.kit.widgets import Action, Stage
from coaxtell.window.scenes.file_list import FileList
from coaxtell.window.scenes.photo_fits import Fits
from coaxtell.window.scenes.photo_marking import CIRCLE, FINER, Marking
from coaxtell.window.views import photograph as view
from coaxtell.window.views.scales import THIN, ground

if TYPE_CHECKING:
    # it brings the library that finds edges, which only a photograph needs
    from coaxtell.photo.width import Width
    from coaxtell.window.scenes.photo_marks import Marks

ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".bmp", ".tif", ".tiff", ".gif")
LEAST_BENCH, LOW_SHARE = 300.0, 0.6
"""Least height of the bench [units]; in a low window this share of it, so that what is asked is seen too."""
NO_CARD = (
    "No bank card lies at these corners, so nothing can be measured. Is one there, drag each handle onto a corner of "
    "it; is none, lay one flat beside the port, all its sides in sight, and take the picture anew."
)
REAR = "Then this width names no port: photograph the side where the mate goes in or over."
HEIGHTS = {"unknown": "unknown", "level": "level", "mm": "in mm"}


class Left(NamedTuple):
    """A picture that was left: where it lies, what was marked on it [px] and what was answered."""

    path: Path
    centre: Point
    radius: float
    corners: list[Point]
    agreed: bool
    mates: bool | None


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
        self.typed, self.up = Edit(), Edit()
        self.height = "unknown"
        self.marking: Marking | None = None
        self.loading = ""
        self._asked = 0
        """How many pictures were asked for: one that comes late takes no other's place."""
        self.trouble = ""
        self.fits = Fits(desk)
        self._agreed: tuple[float, ...] = ()
        """The circle and corners that a person has said to lie on rim and card; others are asked for anew."""
        self.mates: bool | None = None
        """Whether it is the mating side; none until that is answered."""
        self._left: Left | None = None

    # -- the picture ---------------------------------------------------------------------------------------------

    @property
    def marks(self) -> Marks | None:
        """What is marked on the picture on the bench; none where none lies there."""
        return None if self.marking is None else self.marking.marks

    def open(self) -> None:
        """Open the picture that was typed; raises InputError where none was."""
        self._open(None)

    def _open(self, left: Left | None) -> None:
        if not self.typed.text.strip():
            raise InputError("Which picture? Type its place, drop it here, or choose it.")
        path = Path(self.typed.text.strip()).expanduser()
        self._another()
        self.loading, self._left = path.name, None
        self._asked += 1
        asked = self._asked

        def work() -> Marks:
            from coaxtell.window.scenes.photo_marks import Marks

            return Marks(path)

        def opened(marks: Marks) -> None:
            if asked != self._asked:
                return
            if left is not None:
                marks.put(left.centre, left.radius, left.corners)
            self.show(marks)
            if left is not None and left.agreed:
                self._agreed, self.mates = self._marked, left.mates

        def failed(why: str) -> None:
            if asked == self._asked:
                self.loading, self.trouble, self.desk.wanted_focus = "", why, "file"

        # a large picture needs the memory that pictures in the round take
        self.desk.pictures.rest()
        self.desk.later(work, opened, failed)

    def show(self, marks: Marks) -> None:
        """Put a picture that was looked through on the bench."""
        self._another()
        self.loading, self.marking = "", Marking(marks)
        self.desk.wanted_top = True
        self.desk.wanted_focus = "bench"  # the ring found first may be another one: it is looked at before a key agrees
        give_back()

    def dropped(self, path: str) -> bool:
        """A picture is opened; raises InputError for any other file."""
        if Path(path).suffix.lower() not in ENDINGS:
            raise InputError(f"{Path(path).name} is no picture; drop a .jpg or .png.")
        self.typed.set(path)
        self.open()
        return True

    def _choose(self) -> None:
        def taken(path: str) -> None:
            self.typed.set(path)
            self.open()

        FileList(self.desk, "Which picture?", ENDINGS, taken).open()

    def _another(self) -> None:
        """Let the picture go, with all that was worked out from it."""
        self.marking = self.mates = None
        self.fits.forget()
        self._agreed, self.trouble = (), ""
        give_back()

    def leave(self) -> None:
        """Only where the picture lies and what was marked is kept: its memory goes to what is shown next."""
        if self.marking is not None and self.marks is not None:
            x, y, radius = self.marking.circle
            corners = [(float(a), float(b)) for a, b in self.marks.corners]
            left = Left(self.marks.path, (x, y), radius, corners, self.agreed, self.mates)
            self._another()
            self._left = left

    def enter(self) -> None:
        """A picture that was left is opened again, as it was marked."""
        if self._left is not None:
            self.typed.set(str(self._left.path))
            self._open(self._left)

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
        return self.marks is not None and self._agreed == self._marked

    @property
    def _marked(self) -> tuple[float, ...]:
        if self.marking is None:
            return ()
        return (*self.marking.circle, *(float(v) for corner in self.marking.marks.corners for v in corner))

    def agree(self) -> None:
        """Outline and circle lie on the card and on the rim."""
        self._agreed = self._marked
        self.desk.wanted_focus = "name-it" if self.mates else "mating-yes"

    def _mating(self, mates: bool) -> Action:
        def act() -> None:
            self.mates = mates
            self.desk.wanted_focus = "name-it" if mates else "mating-yes"

        return act

    @property
    def width(self) -> Width | None:
        """The width of the marked face; none where nothing can be measured, or while the mouse holds something."""
        if self.marking is None or self.marking.held:
            return None
        return self.marking.marks.width(self._up())

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
            room.on_bench(Stage("bench", room.bench, self._draw_empty))
            self._ask(column)
            return
        marking.box = room.bench
        stage = Stage("bench", room.bench, self._draw, self.key, marking.drag, marking.drop, marking.wheel,
                      marking.over)  # fmt: skip
        stage.on_grab = marking.grab
        room.on_bench(stage)
        self._column(column, marking)

    def _ask(self, column: Stack) -> None:
        column.title("A port beside a bank card")
        column.say("Lay the card flat beside the port, level with its face, never against a contact. Stand square to "
                   "it, 20 to 40 cm away, without zoom. The picture never leaves this machine.")  # fmt: skip
        if self.loading:
            column.progress("loading", None, f"Looking for the card in {self.loading}.")
            return
        column.button("choose", "Choose a picture", self._choose, "action")
        column.field("file", "or type its place, or drop it on the window", self.typed, lambda: None, self.open)
        column.button("open", "Open it", self.open)
        if self.trouble:
            column.check(self.trouble, False, key="trouble")
        self._cautions(column)

    def _cautions(self, column: Stack) -> None:
        column.part("Caution")
        for caution in photo_bench.CAUTIONS:
            if caution != photo_bench.MATING_SIDE:  # that is asked
                column.say(caution, after=0.5)

    def _column(self, column: Stack, marking: Marking) -> None:
        marks = marking.marks
        if marks.card is None:
            column.check(NO_CARD, False, key="card")
            column.button("another", "Another picture", self._another)
        elif marks.blurred is not None:
            column.check(f"Too blurred: {marks.blurred}", False, key="blurred")
            column.button("another", "Another picture", self._another, "action")
        else:
            told = "The card was found" if marks.found else "The card lies at these corners"
            column.check(f"{told}: its outline must lie on its edges.", True if self.agreed else None, key="card")
        found = self.width
        if found is not None:
            if self.agreed:  # no number of a ring that nobody has looked at
                column.verdict(f"{found.mm:.2f}{THIN}mm across", "text")
                column.check(f"Give or take {found.plus_minus:.2f}{THIN}mm.", None, key="plus-minus")
            self._asked_first(column, marks)
        elif marks.card is not None and marks.blurred is None:
            column.check("No edge runs round at the circle: put it on the rim itself.", False, key="no-rim")
        column.say("Drag the circle onto the rim of the coupling: the thread or the nut's mouth, not a washer.")
        column.buttons([
            ("smaller", "Smaller", lambda: marks.size_circle(marks.radius / FINER), False),
            ("larger", "Larger", lambda: marks.size_circle(marks.radius * FINER), False),
            ("near", "Face near to", marking.near, False),
            ("whole", "Whole picture", marking.show_all, False),
        ])  # fmt: skip
        force = marking.force
        corner = f"corner {max(force, 0) + 1}"
        column.choice("Keys move", [
            ("move-circle", "circle", self._forcing(marking, CIRCLE), force == CIRCLE),
            ("move-corner", corner, self._forcing(marking, (force + 1) % 4), force != CIRCLE),
        ])  # fmt: skip
        column.choice("Face over card", [
            (f"height-{key}", words, self._high(key), key == self.height) for key, words in HEIGHTS.items()
        ])  # fmt: skip
        if self.height == "mm":
            column.field("up", "Height of the face over the card", self.up, lambda: None, self._check_up, "mm")
        if found is not None and self.agreed:
            self._laid_over(column, marks, found)
        if marks.card is not None and marks.blurred is None:
            column.button("another", "Another picture", self._another)
        self._cautions(column)

    def _laid_over(self, column: Stack, marks: Marks, found: Width) -> None:
        assert marks.card is not None
        column.part("Likeliest now, laid over the face in red at its size")
        laid, held = self.fits.laid(found), self.fits.held(found)
        if held.clash:
            column.check(held.clash, False, key="clash")
        column.buttons([(f"lay-{half.id}", half.name, self._lay(half.id), half is laid)
                        for half in held.likeliest])  # fmt: skip
        column.button("save", "Save the picture with what was found", self.save)
        per_mm = marks.card.px_per_mm * marks.photo.shrunk
        for words in (photo_bench.EXPERIMENTAL, *photo_bench.told(found, per_mm)):
            column.say(words, SMALL, "quiet", after=0.5)

    def _asked_first(self, column: Stack, marks: Marks) -> None:
        """What must be answered before the width is told and names anything; then the way on."""
        if not self.agreed:
            column.say("Does the outline lie on the card, and the green ring on the rim of the coupling? A box is as "
                       "square, a flange or a washer as round.", bold=True)  # fmt: skip
            column.button("confirm", "Yes, both do", self.agree)
            if len(marks.proposed) > 1:
                column.button("next-round", "No: try the next round thing seen", marks.next_round)
        elif not self.mates:
            column.say(photo_bench.MATING_SIDE, bold=True)
            if self.mates is False:
                column.check(REAR, False, key="rear")
            column.buttons([
                ("mating-yes", "Yes, the mating side", self._mating(True), False),
                ("mating-no", "No, or not sure", self._mating(False), self.mates is False),
            ])  # fmt: skip
        else:
            column.button("name-it", "Name the port with this width", self.name_it(False), "action")
            if self.desk.naming is not None and self.desk.naming.answers:
                column.button("name-anew", "Begin a new port with it", self.name_it(True))

    def _forcing(self, marking: Marking, which: int) -> Action:
        return lambda: setattr(marking, "force", which)

    def _high(self, key: str) -> Action:
        def act() -> None:
            self.height = key
            if key == "mm":
                self.desk.wanted_focus = "up"

        return act

    def _check_up(self) -> None:
        """Enter in the field of the height: raises InputError where it is no height."""
        photo_bench.height(self.up.text, "Height")

    def _lay(self, half_id: str) -> Action:
        return lambda: setattr(self.fits, "shown", half_id)

    def key(self, event: pygame.event.Event) -> bool:
        """The letters and signs of the picture, wherever the focus is; Y says yes to what is asked."""
        if self.marking is None:
            return False
        if event.unicode == "y" and self.width is not None:
            if not self.agreed:
                self.agree()
            elif not self.mates:
                self._mating(True)()
            return True
        return self.marking.key(event)

    # -- the bench -----------------------------------------------------------------------------------------------

    def _draw_empty(self, pen: Pen, box: Box) -> None:
        pen.grid(ground(box), 8.0, box.middle)
        middle = Box(box.x, box.middle[1], box.w, pen.type.line(LARGE))
        pen.lines("Drop a picture here", middle, LARGE, pen.palette.quiet, anchor="middle")

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
            self._another()
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
            ("Y", "yes: outline and ring lie on the card and the rim; it is the mating side"),
        ]

    def remembered(self) -> dict[str, Any]:
        """Nothing: which pictures were looked at is nobody's business."""
        return {}
