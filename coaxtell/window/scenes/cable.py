"""Cable: two ports, length, power and gain; the assemblies that serve the run, best first, and what to order."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from coaxtell.cables import tables as cable_tables
from coaxtell.cables import units
from coaxtell.cables.assembly import Assembly
from coaxtell.cables.curves import curves
from coaxtell.cables.ends import Matings
from coaxtell.cables.limits import Legal
from coaxtell.cables.order import orders
from coaxtell.cables.ranking import Choice, choose
from coaxtell.cables.run import Run
from coaxtell.cables.words import say
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.clipboard import copy_words
from coaxtell.window.kit.fields import Edit
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.lists import Row
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import SMALL, STEP
from coaxtell.window.kit.widgets import Stage
from coaxtell.window.scenes.picker import Picker
from coaxtell.window.views import chart
from coaxtell.window.views.scales import THIN, scale_bar

LENGTHS, LENGTH_STEP = (0.5, 30.0), 0.5
"""Lengths the slider offers [m]; longer ones are typed."""
POWERS, POWER_STEP = (10.0, 36.0), 0.5
GAINS, GAIN_STEP = (-3.0, 15.0), 0.5
WISHES, WISH_STEP = (10.0, 33.0), 0.5
"""Powers that a person may want at the antenna [dBm]."""
KEPT = {Legal.YES: "within limits", Legal.BY_GRANT: "by grant", Legal.NO: "over limits"}
"""The limits in a word or two, for rows."""


class Cable(Scene):
    """One run between two ports."""

    desk: Desk
    name = "cable"
    word = "Cable"
    help = "From two ports and a distance to the cable that gets ordered."

    reader = "rp-tnc-jack"
    antenna = "n-50-jack"
    region = "us"
    length_m = 8.0
    power = 31.5
    gain = 8.5
    unit = "dBi"
    wish = 24.0
    picked = ""

    def __init__(self, desk: Desk) -> None:
        """The usual run of a reader in a ceiling."""
        super().__init__(desk)
        own = desk.extra
        halves_only = own is not None and not (own / "cables").is_dir()
        self.tables = cable_tables.load(None if halves_only else own)
        self.matings = Matings(desk.tables.halves, self._mate)
        self.typed = Edit()
        if self.region not in self.tables.regions:
            self.region = next(iter(self.tables.regions))
        self._asked: tuple[object, ...] = ()
        self._choice: Choice | None = None

    def _mate(self, a: Half, b: Half) -> Mating:
        return self.desk.mating(a, b)

    def enter(self) -> None:
        """Take the port that another scene carried over as the reader's."""
        for half_id in self.desk.carry.pop(self.name, ()):
            self.reader = half_id

    # -- the engine ----------------------------------------------------------------------------------------------

    @property
    def choice(self) -> Choice:
        """All classes on this run, worked out anew when something changed."""
        asked = (self.reader, self.antenna, self.region, self.length_m, self.power, self.gain, self.unit, self.wish)
        if self._choice is None or asked != self._asked:
            region = self.tables.region(self.region)
            run = Run(
                reader=self.desk.half(self.reader), antenna=self.desk.half(self.antenna), length_m=self.length_m,
                region=region, frequency_mhz=region.usual.nominal, power=self.tables.usual_reader.up_to(self.power),
                gain=units.gain(f"{self.gain:g}{self.unit}"), want_dbm=self.wish,
            )  # fmt: skip
            self._choice, self._asked = choose(run, self.matings, self.tables), asked
        return self._choice

    @property
    def chosen(self) -> Assembly:
        """The assembly in force: the one picked, else the first."""
        ranked = [r.assembly for r in self.choice.ranked]
        return next((a for a in ranked if a.cable.name == self.picked), ranked[0])

    def _order(self) -> str:
        found = self.chosen
        if None in found.ends or found.legal is Legal.NO:
            return ""
        return "\n".join(say(one) for one in orders(found, self.tables))

    # -- arranging -----------------------------------------------------------------------------------------------

    def arrange(self, room: Room) -> None:
        """The run and its curves on the bench; inputs, ranking and order words in the column."""
        room.on_bench(Stage("bench", room.bench, self.draw))
        column = room.column
        reader, antenna = self.desk.half(self.reader), self.desk.half(self.antenna)
        column.buttons([
            ("reader", f"Reader: {reader.name}", lambda: self._choose("reader", "Port of the reader"), False),
            ("antenna", f"Antenna: {antenna.name}", lambda: self._choose("antenna", "Port of the antenna"), False),
        ])  # fmt: skip
        column.slider("length", "Length of the run", self.length_m, LENGTHS, LENGTH_STEP, self._put("length_m"),
                      f"{self.length_m:g}{THIN}m = {self.length_m / units.FEET_M:.0f}{THIN}ft")  # fmt: skip
        column.slider("power", "Reader's highest", self.power, POWERS, POWER_STEP, self._put("power"),
                      f"{self.power:.1f}{THIN}dBm")  # fmt: skip
        column.slider("gain", "Antenna's gain", self.gain, GAINS, GAIN_STEP, self._put("gain"),
                      f"{self.gain:g}{THIN}{self.unit}")  # fmt: skip
        column.slider("wish", "Wanted there, least", self.wish, WISHES, WISH_STEP, self._put("wish"),
                      f"{self.wish:g}{THIN}dBm")  # fmt: skip
        column.choice("Gain given in", [
            (f"unit-{u.value}", u.value, self._set("unit", u.value), u.value == self.unit) for u in units.GainUnit
        ])  # fmt: skip
        column.choice("Rules of", [
            (f"region-{key}", key.replace("-", " ").replace("us", "US").replace("eu", "EU"), self._set("region", key),
             key == self.region) for key in self.tables.regions
        ])  # fmt: skip
        self._result(column)

    def _result(self, column: Stack) -> None:
        found = self.chosen
        place = next(i for i, r in enumerate(self.choice.ranked) if r.assembly is found)
        good = {Legal.YES: True, Legal.BY_GRANT: None, Legal.NO: False}[found.legal]
        column.gap(0.5)
        column.check(
            f"Class {found.cable.name}: {found.loss.total_db:.2f} \N{PLUS-MINUS SIGN} {found.loss.plus_minus_db:.2f}"
            f"{THIN}dB in all; about {found.expected_dbm:.1f}{THIN}dBm reach the antenna, "
            f"{found.eirp_dbm:.1f}{THIN}dBm EIRP; {say(found.legal.reason)}.",
            good if found.buildable else False, key="summary",
        )  # fmt: skip
        order = self._order()
        if order:
            column.button("copy", "Copy the order words", self._copy, "action")
        else:
            over = found.legal is Legal.NO
            why = "over the limits at this setting" if over else "no end fits"
            column.check(f"Nothing to order: {why}.", False, key="no-order")
        column.part("Assemblies, best first")
        rows = [
            Row(r.assembly.cable.name, f"{i}. class {r.assembly.cable.name}", self._note(r.assembly))
            for i, r in enumerate(self.choice.ranked, start=1)
        ]
        column.rows("assemblies", rows, place, self._pick, self._copy)
        if order:
            column.part("Order words")
            for line in order.replace(" End ", "\nEnd ").split("\n"):
                column.say(line, after=0.5)
        column.part("Why it stands there")
        for reason in self.choice.ranked[place].reasons:
            words = say(reason)
            column.say(self.desk.spoken(f"{words[:1].upper()}{words[1:]}."), after=0.75)
        for advice in self.choice.advice:
            column.say(self.desk.spoken(say(advice)), after=0.75)
        column.part("Caution")
        for caution in self.choice.cautions:
            column.say(self.desk.spoken(say(caution)), after=0.75)
        column.part("A value of your own")
        column.field("typed", "Type it with its unit: 40ft, 1W, 6dBd", self.typed, lambda: None, self._take_typed)

    @staticmethod
    def _note(found: Assembly) -> str:
        kept = KEPT[found.legal] if found.buildable else "not buildable"
        return f"{found.loss.total_db:.2f}{THIN}dB, {kept}"

    def _set(self, name: str, value: object) -> Any:
        return lambda: setattr(self, name, value)

    def _put(self, name: str) -> Callable[[float], None]:
        return lambda value: setattr(self, name, value)

    def _choose(self, side: str, title: str) -> None:
        Picker(self.desk, title, getattr(self, side), lambda i: setattr(self, side, i)).open()

    def _pick(self, at: int) -> None:
        self.picked = self.choice.ranked[at].assembly.cable.name

    def _copy(self) -> None:
        order = self._order()
        if order:
            copy_words(self.desk, order, "Order words")

    def _take_typed(self) -> None:
        """A value typed with its unit goes to whichever input it belongs to; bad ones raise their sentence."""
        words = self.typed.text.strip()
        low = words.lower()
        if low.endswith(("dbi", "dbd", "dbic")):
            gain = units.gain(words)
            self.gain, self.unit = gain.value, gain.unit.value
        elif low.endswith(("dbm", "w")):
            self.power = units.power_dbm(words)
        elif low.endswith(("m", "ft", "in")):
            self.length_m = units.length_m(words)
        else:
            raise InputError(f"{words!r} has no unit known here; type it like 40ft, 12m, 30dBm, 1W or 8.5dBi.")
        self.typed.set("")

    # -- the bench -----------------------------------------------------------------------------------------------

    def draw(self, pen: Pen, box: Box) -> None:
        """Both ports at one scale, the run between them, and the curves below on the same metres."""
        reader, antenna = self.desk.half(self.reader), self.desk.half(self.antenna)
        one, two = self.desk.art.extent(reader), self.desk.art.extent(antenna)
        small = pen.type.line(SMALL)
        ports = Box(box.x, box.y, box.w, max(96.0, min(190.0, box.h * 0.3)))
        tall = 2 * max(one.radius, two.radius)
        per_mm = min((ports.h - small - STEP) / tall, box.w * 0.22 / max(one.length, two.length))
        axis = ports.y + small + STEP + tall * per_mm / 2
        left, right = box.x + 3 * STEP, box.right - 3 * STEP
        pen.grid(Box(0, 0, box.w, box.bottom), per_mm, (left, axis))
        pen.shape(
            self.desk.art.cut_open(reader, pen.palette),
            (left - one.rear * per_mm, axis),
            per_mm,
            Box(left, axis - one.radius * per_mm, one.length * per_mm, 2 * one.radius * per_mm),
            reader.id,
        )
        pen.shape(self.desk.art.cut_open(antenna, pen.palette, -1), (right + two.rear * per_mm, axis), per_mm,
                  Box(right - two.length * per_mm, axis - two.radius * per_mm, two.length * per_mm,
                      2 * two.radius * per_mm), antenna.id)  # fmt: skip
        start, end = left + one.length * per_mm + STEP, right - two.length * per_mm - STEP
        pen.line((start, axis), (end, axis), pen.palette.action, 5)
        words = f"{self.length_m:g}{THIN}m of class {self.chosen.cable.name}"
        words = pen.type.shortened(words, SMALL, end - start - STEP, True)
        pen.words(words, ((start + end) / 2, axis - small - 6), SMALL, pen.palette.text, True, "middle")
        half = box.w / 2 - 4 * STEP
        pen.words(pen.type.shortened(f"reader: {reader.name}", SMALL, half), (left, ports.y), SMALL, pen.palette.quiet)
        pen.words(pen.type.shortened(f"antenna: {antenna.name}", SMALL, half), (right, ports.y), SMALL,
                  pen.palette.quiet, anchor="right")  # fmt: skip
        bar = Box(box.x, ports.bottom, box.w, 3.5 * STEP)
        scale_bar(pen, bar, per_mm)
        area = Box(box.x + STEP, bar.bottom + STEP, box.w - 2 * STEP, box.bottom - bar.bottom - 2 * STEP)
        if area.h > 120:
            chart.draw(pen, area, curves(self.choice, self.tables, self.chosen))

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        return [
            ("Arrow keys on a slider", "one step; with Shift ten"),
            ("Home, End on a slider", "least, most"),
            ("Arrow keys on the list", "another assembly; Enter copies its order words"),
        ]

    def held(self) -> dict[str, Any]:
        """The run as it stands."""
        return {
            "reader": self.reader, "antenna": self.antenna, "region": self.region, "length_m": self.length_m,
            "power": self.power, "gain": self.gain, "unit": self.unit, "wish": self.wish, "picked": self.picked,
        }  # fmt: skip

    def recall(self, held: dict[str, Any]) -> None:
        """The run of last time, as far as it still makes sense."""
        for side in ("reader", "antenna"):
            if held.get(side) in self.desk.tables.halves:
                setattr(self, side, held[side])
        if held.get("region") in self.tables.regions:
            self.region = held["region"]
        for name, low, high in (("length_m", 0.01, 10_000.0), ("power", -60.0, 90.0), ("gain", -40.0, 40.0),
                                ("wish", -60.0, 90.0)):  # fmt: skip
            value = held.get(name)
            if isinstance(value, int | float) and low <= value <= high:
                setattr(self, name, float(value))
        if held.get("unit") in [u.value for u in units.GainUnit]:
            self.unit = held["unit"]
        self.picked = str(held.get("picked", ""))
