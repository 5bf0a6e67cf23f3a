"""A photograph: a port beside a bank card is marked and measured, held against the likeliest halves, and named on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pygame

from coaxtell import files, photo_bench
from coaxtell.identifier.answers import State
from coaxtell.identifier.features import Feature
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.window.desk.desk import Desk, Reading
from coaxtell.window.desk.inquiry import shortlist_of
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.pen import Pen, Point
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import LARGE, SMALL
from coaxtell.window.kit.widgets import Action, Stage
from coaxtell.window.scenes.file_list import FileList
from coaxtell.window.views import photograph as view
from coaxtell.window.views.scales import THIN, ground

if TYPE_CHECKING:
    # it brings the library that finds edges, which only a photograph needs
    from coaxtell.photo.width import Width
    from coaxtell.window.scenes.photo_marks import Marks

ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".bmp", ".tif", ".tiff", ".gif")
MOST = 3
"""Halves offered to be laid over the face."""
CIRCLE = -1
"""What the keys move, where it is no corner of the card."""
NEARER = 1.25
FINER = 1.02
"""Steps by which the picture is brought nearer, and the circle made larger."""
FACE_SHARE = 0.3
"""Radius of the circle when the face is brought near, in the bench's shorter side."""
HEIGHTS = {"unknown": "unknown", "level": "level", "mm": "in mm"}


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
    column_first = True

    def __init__(self, desk: Desk) -> None:
        """No picture yet."""
        super().__init__(desk)
        self.typed, self.up = Edit(), Edit()
        self.height = "unknown"
        self.marks: Marks | None = None
        self.loading = ""
        self._asked = 0
        """How many pictures were asked for: one that comes late takes no other's place."""
        self.trouble = ""
        self.force = CIRCLE
        self.shown = ""
        """The half laid over the face, by id; empty for the likeliest."""
        self._held = ""
        """What the mouse holds: circle, rim, a corner, or the picture."""
        """All halves in the setting of the port being named: made once, since that takes a moment."""
        self._fits: tuple[Width, State, list[Half]] | None = None
        self._lines: tuple[Width, str, list[list[Point]]] | None = None
        self._box = Box(0, 0, 1, 1)

    # -- the picture ---------------------------------------------------------------------------------------------

    def open(self) -> None:
        """Open the picture that was typed; raises InputError where none was."""
        if not self.typed.text.strip():
            raise InputError("Which picture? Type its place, drop it here, or choose it.")
        path = Path(self.typed.text.strip()).expanduser()
        self.loading, self.trouble, self.marks = path.name, "", None
        self._asked += 1
        asked = self._asked

        def work() -> Marks:
            from coaxtell.window.scenes.photo_marks import Marks

            return Marks(path)

        def opened(marks: Marks) -> None:
            if asked == self._asked:
                self.show(marks)

        def failed(why: str) -> None:
            if asked == self._asked:
                self.loading, self.trouble = "", why

        self.desk.later(work, opened, failed)

    def show(self, marks: Marks) -> None:
        """Put a picture that was looked through on the bench."""
        self.loading, self.marks, self.force, self.shown = "", marks, CIRCLE, ""
        pixels = marks.photo.picture
        # the surface shares the picture's own memory
        self._whole = pygame.image.frombuffer(pixels.data.cast("B"), marks.size, "RGB")
        self.sight = view.Sight(marks.size)

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
        self.marks, self.trouble = None, ""

    # -- what follows --------------------------------------------------------------------------------------------

    def _up(self) -> tuple[float, float]:
        """The height of the face over the card; as not known while none is typed that can be read."""
        try:
            return photo_bench.height(self.up.text if self.height == "mm" else self.height, "Height")
        except InputError:
            return photo_bench.height("unknown", "")

    @property
    def width(self) -> Width | None:
        """The width of the marked face; none where nothing can be measured, or while the mouse holds something."""
        return None if self.marks is None or self._held else self.marks.width(self._up())

    def _likeliest(self, found: Width) -> list[Half]:
        state = self.desk.naming or State()
        if self._fits is None or self._fits[0] is not found or self._fits[1] != state:
            known = shortlist_of(self.desk.tables.halves, state.setting)
            fits = photo_bench.likeliest(known, state, Feature.COUPLING_DIAMETER, found, MOST)
            self._fits = (found, state, fits)
        return self._fits[2]

    def _laid(self, found: Width) -> Half:
        fits = self._likeliest(found)
        return next((half for half in fits if half.id == self.shown), fits[0])

    def _outlines(self, found: Width, half: Half) -> list[list[Point]]:
        """The half's face at its size about the rim, in the picture's pixels; worked out once."""
        from coaxtell.photo import card

        assert self.marks is not None
        assert self.marks.card is not None
        if self._lines is None or self._lines[0] is not found or self._lines[1] != half.id:
            back = self.marks.card.from_mm
            lines = [[(x, y) for x, y in card.mapped(line, back)] for line in photo_bench.outlines(half, found)]
            self._lines = (found, half.id, lines)
        return self._lines[2]

    def name_it(self, anew: bool) -> Action:
        def act() -> None:
            found = self.width
            if found is not None:
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
        outlines = photo_bench.outlines(self._laid(found), found)
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

    def arrange(self, room: Room) -> None:
        """The picture on the bench; how to mark it, and what it gives, in the column."""
        self._box = room.bench
        column = room.column
        if self.marks is None:
            room.on_bench(Stage("bench", room.bench, self._draw_empty))
            self._ask(column)
            return
        stage = Stage("bench", room.bench, self._draw, self._stage_key, self._drag, self._drop, self._wheel, self._over)
        stage.on_grab = self._grab
        room.on_bench(stage)
        self._column(column, self.marks)

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
            column.say(caution, after=0.5)

    def _column(self, column: Stack, marks: Marks) -> None:
        if marks.card is None:
            column.check("No card lies at these corners: drag each onto a corner of the card; they go to its edges.",
                         False, key="card")  # fmt: skip
        else:
            told = "The card was found" if marks.found else "The card lies at these corners"
            column.check(f"{told}: its outline must lie on its edges.", True, key="card")
        column.say("Drag the circle onto the rim of the coupling: the thread or the nut's mouth, not a washer.")
        column.buttons([
            ("smaller", "Smaller", lambda: marks.size_circle(marks.radius / FINER), False),
            ("larger", "Larger", lambda: marks.size_circle(marks.radius * FINER), False),
            ("near", "Face near to", self._near, False),
            ("whole", "Whole picture", self._show_all, False),
        ])  # fmt: skip
        if len(marks.proposed) > 1:
            column.button("next-round", "Try the next round thing seen", marks.next_round)
        corner = f"corner {max(self.force, 0) + 1}"
        column.choice("Keys move", [
            ("move-circle", "circle", self._forcing(CIRCLE), self.force == CIRCLE),
            ("move-corner", corner, self._forcing((self.force + 1) % 4), self.force != CIRCLE),
        ])  # fmt: skip
        column.choice("Face over card", [
            (f"height-{key}", words, self._high(key), key == self.height) for key, words in HEIGHTS.items()
        ])  # fmt: skip
        if self.height == "mm":
            column.field("up", "Height of the face over the card", self.up, lambda: None, self._check_up, "mm")
        found = self.width
        if found is not None:
            self._measured(column, marks, found)
        elif marks.blurred is not None:
            column.check(marks.blurred[0].upper() + marks.blurred[1:], False, key="blurred")
        elif marks.card is not None:
            column.check("No edge runs round at the circle: put it on the rim itself.", False, key="no-rim")
        column.button("another", "Another picture", self._another)
        self._cautions(column)

    def _measured(self, column: Stack, marks: Marks, found: Width) -> None:
        assert marks.card is not None
        column.verdict(f"{found.mm:.2f}{THIN}mm across", "text")
        column.check(f"Give or take {found.plus_minus:.2f}{THIN}mm, if the green ring lies on the rim you mean.",
                     None, key="plus-minus")  # fmt: skip
        answered = self.desk.naming is not None and bool(self.desk.naming.answers)
        column.button("name-it", "Name the port with this width", self.name_it(False), "action")
        if answered:
            column.button("name-anew", "Begin a new port with it", self.name_it(True))
        column.part("Likeliest now, laid over the face in red at its size")
        laid = self._laid(found)
        column.buttons([(f"lay-{half.id}", half.name, self._lay(half.id), half is laid)
                        for half in self._likeliest(found)])  # fmt: skip
        column.button("save", "Save the picture with what was found", self.save)
        for words in photo_bench.told(found, marks.card.px_per_mm):
            column.say(words, SMALL, "quiet", after=0.5)

    def _forcing(self, which: int) -> Action:
        return lambda: setattr(self, "force", which)

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
        return lambda: setattr(self, "shown", half_id)

    def _show_all(self) -> None:
        self.sight = view.Sight(self.sight.size)

    def _near(self) -> None:
        """Bring the face so near that its rim can be judged."""
        assert self.marks is not None
        wanted = FACE_SHARE * min(self._box.w, self._box.h) / (self.marks.radius * self.sight.per_px(self._box))
        x, y = self.marks.centre
        self.sight.bring(wanted, (x, y))
        self.sight.shift((x - self.sight.middle[0], y - self.sight.middle[1]))

    # -- keys and mouse ------------------------------------------------------------------------------------------

    def _stage_key(self, event: pygame.event.Event) -> bool:
        """Arrows move the circle or the corner in force, brackets size the circle, plus and minus bring nearer."""
        marks = self.marks
        assert marks is not None
        steps = {pygame.K_LEFT: (-1, 0), pygame.K_RIGHT: (1, 0), pygame.K_UP: (0, -1), pygame.K_DOWN: (0, 1)}
        if event.key in steps:
            far = (10 if event.mod & pygame.KMOD_SHIFT else 1) / self.sight.per_px(self._box)
            self._move((steps[event.key][0] * far, steps[event.key][1] * far))
            if self.force != CIRCLE:
                marks.fit()
            return True
        typed = event.unicode
        if typed in ("[", "]"):
            marks.size_circle(marks.radius * (FINER if typed == "]" else 1 / FINER))
        elif typed in ("+", "=", "-"):
            x, y = marks.centre if self.force == CIRCLE else marks.corners[self.force]
            self.sight.bring(1 / NEARER if typed == "-" else NEARER, (x, y))
        elif typed == "c":
            self.force = (self.force + 2) % 5 - 1
        elif typed == "n":
            marks.next_round()
        else:
            return False
        return True

    def key(self, event: pygame.event.Event) -> bool:
        """The letters and signs of the picture, wherever the focus is."""
        return self.marks is not None and self._stage_key(event)

    def _move(self, by: Point) -> None:
        assert self.marks is not None
        if self.force == CIRCLE:
            self.marks.move_circle(by)
        else:
            self.marks.move_corner(self.force, by)

    def _over(self, at: Point) -> bool:
        self._pointed = at
        return False

    def _grab(self, at: Point) -> None:
        """What lies under the mouse is held: a corner, the rim of the circle, the circle, else the picture."""
        marks, box = self.marks, self._box
        assert marks is not None
        self._pointed = at

        def far(x: float, y: float) -> float:
            bx, by = self.sight.on_bench(box, (x, y))
            return float(((bx - at[0]) ** 2 + (by - at[1]) ** 2) ** 0.5)

        away, radius = far(*marks.centre), marks.radius * self.sight.per_px(box)
        nearest = min(range(4), key=lambda i: far(*marks.corners[i]))
        if far(*marks.corners[nearest]) <= view.HANDLE + 3:
            self._held, self.force = "corner", nearest
        elif away <= max(0.7 * radius, 8.0):
            self._held, self.force = "circle", CIRCLE
        elif away <= radius + view.HANDLE:
            self._held, self.force = "rim", CIRCLE
        else:
            self._held = "picture"

    def _drag(self, dx: float, dy: float) -> None:
        assert self.marks is not None
        k = self.sight.per_px(self._box)
        self._pointed = (self._pointed[0] + dx, self._pointed[1] + dy)
        if self._held == "picture":
            self.sight.shift((-dx / k, -dy / k))
        elif self._held == "rim":
            x, y = self.sight.in_picture(self._box, self._pointed)
            cx, cy = self.marks.centre
            self.marks.size_circle(float(((x - cx) ** 2 + (y - cy) ** 2) ** 0.5))
        elif self._held:
            self._move((dx / k, dy / k))

    def _drop(self) -> None:
        if self._held == "corner" and self.marks is not None:
            self.marks.fit()
        self._held = ""

    def _wheel(self, steps: float) -> None:
        self.sight.bring(NEARER**steps, self.sight.in_picture(self._box, self._pointed))

    _pointed: Point = (0.0, 0.0)

    # -- the bench -----------------------------------------------------------------------------------------------

    def _draw_empty(self, pen: Pen, box: Box) -> None:
        pen.grid(ground(box), 8.0, box.middle)
        middle = Box(box.x, box.middle[1], box.w, pen.type.line(LARGE))
        pen.lines("Drop a picture here", middle, LARGE, pen.palette.quiet, anchor="middle")

    def _draw(self, pen: Pen, box: Box) -> None:
        from coaxtell.photo import card, overlay

        marks, found = self.marks, self.width
        assert marks is not None
        rim: list[Point] = []
        outlines: list[list[Point]] = []
        if found is not None and marks.card is not None:
            back = marks.card.from_mm
            rim = [(x, y) for x, y in card.mapped(overlay.ring(found.rim.centre, found.rim.diameter), back)]
            outlines = self._outlines(found, self._laid(found))
        x, y = marks.centre
        over = view.Drawn([(a, b) for a, b in marks.corners], ((x, y), marks.radius), rim, outlines, self.force)
        view.draw(pen, box, self.sight, self._whole, over, marks.path.name)

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
        ]

    def remembered(self) -> dict[str, Any]:
        """Nothing: which pictures were looked at is nobody's business."""
        return {}
