"""The dialog in which parts of a half are measured: what, where the calliper goes, the readings, the range."""

from __future__ import annotations

import datetime
import io

import pygame

from coaxtell.gauge_bench import CAUTIONS, RADIO, Bench, Measuring, refused, told_against, wanted_of, why
from coaxtell.identifier import instruments
from coaxtell.models import gauged
from coaxtell.models.acts import Act, before
from coaxtell.models.catalogue import MODELS
from coaxtell.models.drawings.gauge_place import HEIGHT, WIDTH, place_drawing
from coaxtell.models.gauging.asking import Asked, question
from coaxtell.models.gauging.doubts import doubts
from coaxtell.models.half import Half
from coaxtell.models.measure import text as measure_text
from coaxtell.models.words import said
from coaxtell.quiz.log import person_name
from coaxtell.records import user_name
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.keypad import open_keypad
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import SMALL, STEP, TARGET
from coaxtell.window.kit.widgets import Stage

OWN_TABLES = "coaxtell-tables"
"""Folder of a person's own tables beside the sheets, where the window was opened without one."""
PICTURE, SOME_PICTURE, LEAST_PICTURE = 240.0, 160.0, 100.0
"""Height of the drawing, the least for which what stands over it goes out of sight, and the least of all [units]."""
DOTS_PER_INCH = 150
INSTRUMENT = "calliper"


class Gauging:
    """One half's numbers, the one that settles most doubt first; every reading is kept as it is given."""

    def __init__(self, desk: Desk, half: Half) -> None:
        """Nothing measured yet; what is to be asked is worked out beside the window."""
        self.desk, self.half = desk, half
        self.folder = desk.extra if desk.extra is not None else desk.sheets / OWN_TABLES
        self.wanted: list[Asked] | None = None
        self.at = 0
        self.trouble = ""
        self.against: list[str] = []
        """What the readings say against pairs that are stated to mate."""
        self.harmless = not half.like_high_voltage
        """Whether it carries no high voltage, which a person confirms where it looks like one that does."""
        self.typed, self.who = Edit(), Edit(user_name())
        self._now: Measuring | None = None
        self._picture: pygame.Surface | None = None
        self._table = ""
        """What the table says of the number in force, and what it would read."""

    def open(self) -> None:
        """Show it, and work out what to ask."""
        self.desk.ask(Dialog(f"Measure parts: {self.half.name}", self._fill))
        others = list(self.desk.tables.halves.values())
        self.desk.later(lambda: wanted_of(self.half, doubts(self.half, others), self.folder), self._got, self._failed)

    def _confirm(self) -> None:
        self.harmless = True
        self.desk.wanted_focus = "reading"

    def _got(self, wanted: list[Asked]) -> None:
        self.wanted = wanted
        self._begin(0)

    def _failed(self, words: str) -> None:
        self.trouble = words

    def _begin(self, at: int) -> None:
        self.at, self._now, self.trouble = at, None, ""
        self.typed.set("")
        if not self.wanted or at >= len(self.wanted):
            return
        one = self.wanted[at]
        place = one.place
        read = Measuring(self.half, one, Bench(self.folder, INSTRUMENT, 0.0, "", ""), "")
        self._table = f"Table: {measure_text(read.table)}; it would read {read.reads(read.table.nominal)}."
        data = io.BytesIO()
        place_drawing(self.half, place, "", on_paper=False).png(data, DOTS_PER_INCH)
        data.seek(0)
        self._picture = pygame.image.load(data, "place.png")
        self.desk.wanted_focus = "reading"

    def _measuring(self) -> Measuring:
        """The number in force; its bench is known once somebody measures."""
        assert self.wanted is not None
        if self._now is None:
            plus_minus = instruments.plus_minus(INSTRUMENT, self.desk.looks)
            now = datetime.datetime.now()
            bench = Bench(self.folder, INSTRUMENT, plus_minus, person_name(self.who.text), now.date().isoformat())
            self._now = Measuring(self.half, self.wanted[self.at], bench, now.isoformat())
        return self._now

    def _take(self) -> None:
        """Keep the readings typed; raises InputError where they are none, or nobody says who measures."""
        self.trouble = self._measuring().take(self.typed.text)
        self.typed.set("")
        self.desk.wanted_focus = "reading"
        self.desk.later(lambda: told_against(self.folder, [self.half.id]), self._told, self._failed)

    def _told(self, against: list[str]) -> None:
        self.against = against

    def _next(self) -> None:
        self._begin(self.at + 1)

    # -- arranging -----------------------------------------------------------------------------------------------

    def _fill(self, stack: Stack) -> None:
        if not self.harmless:
            stack.say(RADIO, after=0.5)
            stack.say("Where that is not sure, close this: nothing is touched or measured.", SMALL, "quiet")
            stack.button("close-unsure", "Not sure: close this", self.desk.close_dialog, "action")
            stack.button("no-high-voltage", "Yes, no high voltage", self._confirm)
            return
        if self.wanted is None:
            stack.progress("doubts", None, self.trouble or "Working out what settles most doubt.")
            return
        if not self.wanted:
            stack.say("Nothing of it is to be measured here:")
            for words in refused(self.half):
                stack.say(words, SMALL, after=0.5)
            return
        if self.at >= len(self.wanted):
            stack.say("That was all that is to be measured here.")
            self._against(stack)
            self._where(stack)
            return
        self._number(stack, self.wanted[self.at])

    def _number(self, stack: Stack, one: Asked) -> None:
        if self.at == 0 and (self._now is None or not self._now.parts):
            for words in (*CAUTIONS, *said(before([Act.MEASURE], [self.half]))):
                stack.say(words, SMALL, after=0.5)
        assert self.wanted is not None
        stack.say(f"{self.at + 1} of {len(self.wanted)}: {MODELS.say(question(self.half, one.place))}.", bold=True)
        stack.say(self.desk.spoken(f"Why: {why(one)}."), SMALL, "quiet")
        number = self._now
        parts = 0 if number is None else len(number.parts)
        label = f"Readings of part {parts + 1}, such as 7.93 7.95 or 0.312in"
        # drawing and field are in sight together, however large the text, and where there is room all above them too
        room = stack.sight - stack.height_of(label, SMALL, stack.width) - TARGET - 4 * STEP
        tall = max(LEAST_PICTURE, min(PICTURE, room, max(room - stack.y, SOME_PICTURE)))
        stack.put(Stage("place", Box(stack.x, stack.y, stack.width, tall), self._draw))
        stack.field("reading", label, self.typed, lambda: None, self._take, "mm", above=tall + STEP)
        stack.button("take-part", "Take this part", self._take, "action")
        stack.say(self.desk.spoken(self._table), SMALL)
        stack.button("digits", "Digits to click", lambda: open_keypad(self.desk, self.typed, self._take))
        if self.trouble:
            stack.check(self.desk.spoken(self.trouble), None, key="odd")
        if number is not None and number.result:
            stack.check(self.desk.spoken(number.result), True, key="range")
        self._against(stack)
        stack.button("next-number", "Next number", self._next)
        if number is None and self.at == 0:
            stack.field("who", "Who measures", self.who, lambda: None)
        if parts:
            self._where(stack)

    def _against(self, stack: Stack) -> None:
        for i, words in enumerate(self.against):
            stack.check(self.desk.spoken(words), False, key=f"against-{i}")

    def _where(self, stack: Stack) -> None:
        path = self.folder / gauged.FILE
        told = (
            ""
            if self.desk.extra is not None
            else f" Begin with `coaxtell window --tables {self.folder}` to go by them."
        )
        stack.say(f"Kept in {path}.{told}" if path.exists() else "Nothing was measured.", SMALL, "quiet")

    def _draw(self, pen: Pen, box: Box) -> None:
        """The half with the calliper at its place, as on paper."""
        if self._picture is None:
            return
        wide = min(box.w, box.h * WIDTH / HEIGHT)
        tall = wide * HEIGHT / WIDTH
        at = Box(box.x + (box.w - wide) / 2, box.y + (box.h - tall) / 2, wide, tall)
        pen.picture(at, self._picture, f"{self.half.id} measured", paper=True)
