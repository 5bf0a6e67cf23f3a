"""Cable: two ports, length, power and gain; the assemblies that serve the run, best first, and what to order."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pygame

from coaxtell.cables import tables as cable_tables
from coaxtell.cables import units
from coaxtell.cables.answer import alternatives, answer, minded
from coaxtell.cables.assembly import Assembly
from coaxtell.cables.curves import curves
from coaxtell.cables.ends import Matings
from coaxtell.cables.limits import Legal
from coaxtell.cables.order import orders
from coaxtell.cables.power import PowerRange
from coaxtell.cables.ranking import Choice, Preference, Ranked, choose
from coaxtell.cables.reasons import because
from coaxtell.cables.run import Run
from coaxtell.cables.target import Aim
from coaxtell.cables.words import say
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import InputError
from coaxtell.models.mating.surely import to_order
from coaxtell.window.desk.desk import Desk
from coaxtell.window.kit.copying import copy_words
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.lists import Row
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import SMALL
from coaxtell.window.kit.widgets import Stage
from coaxtell.window.scenes.run_parts import RunParts
from coaxtell.window.scenes.run_ports import RunPorts
from coaxtell.window.views import chart, run
from coaxtell.window.views.scales import THIN

LENGTHS, LENGTH_STEP = (0.5, 30.0), 0.5
"""Lengths the slider offers [m]; longer ones are typed."""
POWERS, POWER_STEP = (10.0, 36.0), 0.5
GAINS, GAIN_STEP = (-3.0, 15.0), 0.5
WISHES, WISH_STEP = (10.0, 33.0), 0.5
"""Powers that a person may want at the antenna [dBm]."""
BUDGETS, BUDGET_STEP = (0.5, 12.0), 0.25
"""Losses that a person may allow [dB]."""
AIMS = {Aim.WANT.value: "power", Aim.LIMIT.value: "the limit", Aim.BUDGET.value: "loss"}
"""What may be asked for: power at the antenna, all that the law allows there, or a loss that is not to be passed."""
LEAST_CHART_M = 10.0
"""A chart is never shorter than this [m], so that the run's mark moves when it is dragged."""


class Cable(Scene):
    """One run between two ports."""

    desk: Desk
    name = "cable"
    word = "Cable"
    help = "From two ports and a distance to the cable that gets ordered."
    serves = ("cable",)
    takes = "a saved identification"
    least_bench = 440.0

    region = "us"
    length_m = 8.0
    power = 31.5
    settings = ""
    """What the reader can be set to, as it was typed; empty where nobody said."""
    gain = 8.5
    unit = "dBi"
    aim = Aim.WANT.value
    wish = 24.0
    budget = 3.0
    picked = ""
    prefer = Preference.THINNEST.value

    def __init__(self, desk: Desk) -> None:
        """The usual run of a reader in a ceiling."""
        super().__init__(desk)
        own = desk.extra
        halves_only = own is not None and not (own / "cables").is_dir()
        self.tables = cable_tables.load(None if halves_only else own)
        self.matings = Matings(desk.tables.halves, to_order)
        self.typed = Edit()
        self.parts = RunParts()
        self.ports = RunPorts(desk)
        if self.region not in self.tables.regions:
            self.region = next(iter(self.tables.regions))
        self._bench = Box(0, 0, 1, 1)
        self._asked: tuple[object, ...] = ()
        self._choice: Choice | None = None

    def enter(self) -> None:
        """Take the port that another scene carried over, with its doubt."""
        for half_id in self.desk.carry.pop(self.name, ()):
            self.ports.take_named(half_id)
            self.desk.wanted_top = True  # what stands against the port is told there
        if self.ports.way_back:
            self.desk.wanted_focus = "look-again"

    @property
    def column_first(self) -> bool:
        """What stands against a port is told before anything is ordered for it, settled or not."""
        return bool(self.ports.way_back or self.ports.on_them)

    def dropped(self, path: str) -> bool:
        """A saved identification is taken as the reader's port; raises InputError where it is none."""
        self.ports.take_file(path)
        return True

    # -- the engine ----------------------------------------------------------------------------------------------

    @property
    def choice(self) -> Choice:
        """All classes on this run, worked out anew when something changed."""
        asked = (*self.ports.ids.values(), self.region, self.length_m, self.power, self.settings, self.gain,
                 self.unit, self.aim, self.wish, self.budget, self.prefer, self.parts.stamp)  # fmt: skip
        if self._choice is None or asked != self._asked:
            region = self.tables.region(self.region)
            reader, antenna = self.ports.halves
            asked_run = Run(
                reader=reader, antenna=antenna, length_m=self.length_m,
                region=region, frequency_mhz=region.usual.nominal, power=self.reader.up_to(self.power),
                gain=units.Gain(self.gain, units.GainUnit(self.unit)),
                want_dbm=self.wish if self.aim == Aim.WANT else None,
                budget_db=self.budget if self.aim == Aim.BUDGET else None, **self.parts.fields(self.length_m),
            )  # fmt: skip
            self._choice, self._asked = choose(asked_run, self.matings, self.tables, Preference(self.prefer)), asked
        return self._choice

    @property
    def reader(self) -> PowerRange:
        """What the reader can be set to: what was typed, else what is usual."""
        return units.power_range(self.settings) if self.settings else self.tables.usual_reader

    def _powers(self) -> tuple[tuple[float, float], float]:
        """The powers that the slider offers [dBm], and their step [dB]: those that the reader can be set to."""
        stated = self.reader
        if stated.assumed:
            return POWERS, POWER_STEP
        return (stated.lowest_dbm, stated.highest_dbm), stated.step_db

    @property
    def chosen(self) -> Assembly:
        """The assembly in force: the one picked, else the first."""
        ranked = [r.assembly for r in self.choice.ranked]
        return next((a for a in ranked if a.cable.name == self.picked), ranked[0])

    def _order(self) -> str:
        found = self.chosen
        if self.ports.doubts or not self._ranked.orderable:
            return ""
        return "\n".join(say(one) for one in orders(found, self.choice.run.frequency_mhz, self.tables))

    # -- arranging -----------------------------------------------------------------------------------------------

    def bench_for(self, width: float, height: float) -> float:
        """High enough for the run with its chart under it, also where one scrolls to that."""
        return self.least_bench

    def arrange(self, room: Room) -> None:
        """The run and its curves on the bench; inputs, ranking and order words in the column."""
        self._bench = room.bench
        room.on_bench(Stage("bench", room.bench, self.draw, self.stage_key, self._drag))
        column = room.column
        if room.tight:
            self._look_again(column)  # over what is told of the ports, which would leave it no room
        for number, told in enumerate(self.ports.told(self.chosen, self.matings)):
            column.check(self._spoken(told), None, key=f"doubt-{number}")
        if not room.tight:
            self._look_again(column)
        if self.desk.counts_not:
            column.check(self.desk.counts_not, False, key="counts-not", size=SMALL)
        self.ports.arrange(column)
        column.slider("length", "Length of the run", self.length_m, LENGTHS, LENGTH_STEP, self._put("length_m"),
                      f"{self.length_m:g}{THIN}m = {self.length_m / units.FEET_M:.0f}{THIN}ft")  # fmt: skip
        highest = self.reader.up_to(self.power).highest_dbm
        column.slider("power", "Reader's highest", highest, *self._powers(), self._put("power"),
                      f"{round(highest, 2):g}{THIN}dBm")  # fmt: skip
        column.slider("gain", "Antenna's gain", self.gain, GAINS, GAIN_STEP, self._put("gain"),
                      f"{self.gain:g}{THIN}{self.unit}")  # fmt: skip
        column.choice("Target", [
            (f"aim-{aim}", words, self._set("aim", aim), aim == self.aim) for aim, words in AIMS.items()
        ])  # fmt: skip
        if self.aim == Aim.WANT:
            column.slider("wish", "Wanted, least", self.wish, WISHES, WISH_STEP, self._put("wish"),
                          f"{self.wish:g}{THIN}dBm")  # fmt: skip
        elif self.aim == Aim.BUDGET:
            column.slider("budget", "Lost, at most", self.budget, BUDGETS, BUDGET_STEP, self._put("budget"),
                          f"{self.budget:g}{THIN}dB")  # fmt: skip
        column.choice("Rules of", [
            (f"region-{key}", key.replace("-", " ").replace("us", "US").replace("eu", "EU"), self._set("region", key),
             key == self.region) for key in self.tables.regions
        ])  # fmt: skip
        self._result(column)

    def _look_again(self, column: Stack) -> None:
        if self.ports.way_back:
            column.button("look-again", self.ports.way_back, self.ports.look_again, "action")

    @property
    def _ranked(self) -> Ranked:
        return next(r for r in self.choice.ranked if r.assembly is self.chosen)

    def _result(self, column: Stack) -> None:
        found, ranked = self.chosen, self._ranked
        told = answer(self.choice, ranked, self.tables)
        place = self.choice.ranked.index(ranked)
        good = None if ranked.meets and found.legal is Legal.BY_GRANT else ranked.meets
        column.gap(0.5)
        doubts = self.ports.doubts
        if doubts:
            column.say(self._spoken(because("doubt.not_ordered", cable=found.cable.name)), after=0.75)
        column.check(self._spoken(told.arrives), good, key="summary")
        column.say(self._spoken(told.setting), after=0.75)
        column.say(self._spoken(told.why), after=0.75)
        order = self._order()
        if order:
            column.button("copy", "Copy the order words", self._copy,
                          "action" if ranked.meets and not self.ports.way_back else "plain")  # fmt: skip
        elif not doubts:
            why = "the reader cannot be set low enough for the limits"
            if not found.buildable:
                why = say(found.not_buildable[0])
            column.check(f"Nothing to order: {why}.", False, key="no-order")
        column.part("Assemblies, best first")
        rows = [
            Row(r.assembly.cable.name, f"{i}. class {r.assembly.cable.name}", self._note(r))
            for i, r in enumerate(self.choice.ranked, start=1)
        ]
        column.rows("assemblies", rows, place, self._pick, self._copy)
        for other in alternatives(self.choice):
            column.say(self._spoken(other), after=0.75)
        for caution in minded(self.choice, self.choice.cautions):
            column.say(self._spoken(caution), after=0.75)
        if order:
            column.part("Order words" if ranked.meets else "Order words, only if that will do")
            for line in order.replace(" End ", "\nEnd ").split("\n"):
                column.say(line, after=0.5)
        column.part("The run in full")
        column.button("swap", "Swap the two ports", self.ports.swap)
        column.choice("Gain given in", [
            (f"unit-{u.value}", u.value, self._set("unit", u.value), u.value == self.unit) for u in units.GainUnit
        ])  # fmt: skip
        priced = self.tables.prices is not None
        column.choice("Put first", [
            (f"prefer-{p}", p.value.replace("-", " "), self._set("prefer", p.value), p.value == self.prefer)
            for p in Preference if priced or p is not Preference.LOWEST_PRICE
        ])  # fmt: skip
        self.parts.arrange(column)
        column.part("A value of your own")
        hint = "Type it with its unit: 40ft, 6dBd; a reader as 10..31.5/0.25"
        column.field("typed", hint, self.typed, lambda: None, self._take_typed)
        column.part("Why it stands there")
        for reason in ranked.reasons:
            words = say(reason)
            column.say(self.desk.spoken(f"{words[:1].upper()}{words[1:]}."), after=0.75)
        for advice in self.choice.advice:
            column.say(self._spoken(advice), after=0.75)
        column.part("Caution")
        for caution in self.choice.cautions:
            column.say(self._spoken(caution), after=0.75)

    def _spoken(self, reason: Reason) -> str:
        return self.desk.spoken(say(reason))

    @staticmethod
    def _note(ranked: Ranked) -> str:
        """What a class loses, and what it misses where it misses something."""
        a = ranked.assembly
        if not a.buildable:
            kept = "not buildable"
        elif a.legal is Legal.NO:
            kept = f"over limits by {a.over_limit_db:.1f}{THIN}dB"
        elif ranked.too_strong:
            kept = "limits only by grant" if a.over_limit_db else "limits only by its loss"
        elif ranked.miss_db:
            kept = f"short by {ranked.miss_db:.1f}{THIN}dB"
        else:
            kept = "meets it"
        return f"{a.loss.total_db:.2f}{THIN}dB, {kept}"

    def _set(self, name: str, value: object) -> Any:
        return lambda: setattr(self, name, value)

    def _put(self, name: str) -> Callable[[float], None]:
        return lambda value: setattr(self, name, value)

    def _pick(self, at: int) -> None:
        self.picked = self.choice.ranked[at].assembly.cable.name

    def _copy(self) -> None:
        order = self._order()
        if order:
            on_them = [self._spoken(told) for told in self.ports.on_them]
            copy_words(self.desk, "\n".join([order, *on_them]), "Order words")

    def _take_typed(self) -> None:
        """A value typed with its unit goes to whichever input it belongs to; bad ones raise their sentence."""
        words = self.typed.text.strip()
        low = words.lower()
        if low.endswith(("dbi", "dbd", "dbic")):
            gain = units.gain(words)
            self.gain, self.unit = gain.value, gain.unit.value
        elif ".." in low:
            self.power = units.power_range(words).highest_dbm
            self.settings = words
        elif low.endswith(("dbm", "w")):
            self.power = units.never_above(self.reader, words).highest_dbm
        elif low.endswith(("m", "ft", "in")):
            self.length_m = units.length_m(words)
        else:
            raise InputError(
                f"{words!r} has no unit known here; type it like 40ft, 12m, 30dBm, 1W, 8.5dBi or 10..31.5/0.25."
            )
        self.typed.set("")

    # -- the bench -----------------------------------------------------------------------------------------------

    def stage_key(self, event: pygame.event.Event) -> bool:
        """Arrow keys move the run's mark along the length."""
        steps = {pygame.K_LEFT: -LENGTH_STEP, pygame.K_RIGHT: LENGTH_STEP}
        if event.key not in steps:
            return False
        self._move(steps[event.key])
        return True

    def _drag(self, dx: float, dy: float) -> None:
        """The mouse takes the run's mark along."""
        data = curves(self.choice, self.tables, self.chosen)
        self._move(dx * chart.metres_per_unit(self._bench, data, LEAST_CHART_M))

    def _move(self, metres: float) -> None:
        self.length_m = round(min(LENGTHS[1], max(LENGTHS[0], self.length_m + metres)), 3)

    def draw(self, pen: Pen, box: Box) -> None:
        """Both ports with the ends that go onto them, at one scale, the cable between, and the curves below."""
        ends = run.Ends(self.ports.halves, self.ports.settled)
        area = run.draw(pen, box, self.desk.art, ends, self.chosen, self.choice.run.cable_m)
        if area.h > 120:
            chart.draw(pen, area, curves(self.choice, self.tables, self.chosen), LEAST_CHART_M)

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        return [
            ("Arrow keys on a slider", "one step; with Shift ten"),
            ("Home, End on a slider", "least, most"),
            ("Arrow keys on the bench, or drag", "a shorter or longer run"),
            ("Arrow keys on the list", "another assembly; Enter copies its order words"),
        ]

    def remembered(self) -> dict[str, Any]:
        """The run as it stands."""
        return {
            **self.ports.remembered(), "region": self.region, "length_m": self.length_m,
            "power": self.power, "settings": self.settings, "gain": self.gain, "unit": self.unit, "wish": self.wish,
            "aim": self.aim, "budget": self.budget, "picked": self.picked, "prefer": self.prefer,
            "parts": self.parts.remembered(),
        }  # fmt: skip

    def recall(self, held: dict[str, Any]) -> None:
        """The run of last time, as far as it still makes sense."""
        self.ports.recall(held)
        if held.get("region") in self.tables.regions:
            self.region = held["region"]
        for name, low, high in (("length_m", 0.01, 10_000.0), ("power", -60.0, 90.0), ("gain", -40.0, 40.0),
                                ("wish", -60.0, 90.0), ("budget", 0.01, 100.0)):  # fmt: skip
            value = held.get(name)
            if isinstance(value, int | float) and low <= value <= high:
                setattr(self, name, float(value))
        if held.get("unit") in [u.value for u in units.GainUnit]:
            self.unit = held["unit"]
        self.picked = str(held.get("picked", ""))
        aim = str(held.get("aim"))
        if aim in AIMS:
            self.aim = aim
        prefer = str(held.get("prefer"))
        if prefer in list(Preference) and (self.tables.prices is not None or prefer != Preference.LOWEST_PRICE):
            self.prefer = prefer
        self.parts.recall(held.get("parts"))
        try:
            stated = units.power_range(str(held.get("settings", "")))
            self.settings, self.power = str(held["settings"]), max(self.power, stated.lowest_dbm)
        except InputError:
            self.settings = ""
