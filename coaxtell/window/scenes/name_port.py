"""Name a port: one question at a time with pictures, the shortlist beside it, then the identification."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pygame

from coaxtell.identifier.features import SEEN, Feature
from coaxtell.identifier.identification import percent
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.window import shortlist_view
from coaxtell.window.bench import beside_bar, scale_bar
from coaxtell.window.copying import copy_words
from coaxtell.window.feature_art import card_art, example, thing_art
from coaxtell.window.fields import Edit
from coaxtell.window.geometry import Box
from coaxtell.window.naming import FEATURE_WORDS, Naming
from coaxtell.window.pen import Pen
from coaxtell.window.port_sheet import save
from coaxtell.window.scene import Room, Scene
from coaxtell.window.shortlist_view import Place, draw_half
from coaxtell.window.stack import Choice, Stack
from coaxtell.window.theme import SMALL, STEP
from coaxtell.window.turner import Turner
from coaxtell.window.widgets import Stage

VIEWS = ("turn", "face on", "cut open")
CARD_ART = 84.0
THING_ART = 56.0
BESIDE = 2
"""Look-alikes shown beside the named port."""


class NamePort(Scene):
    """The answers about one port, and the question in force."""

    name = "name"
    word = "Name a port"
    help = "Answer what you see; the port is named, with what mates and what to order."

    def __init__(self, desk: Any) -> None:
        """No answers yet."""
        super().__init__(desk)
        self.naming = Naming(desk.tables.halves)
        self.asked: Feature | None = None
        """The feature a person chose to look at; none while the program chooses."""
        self.early = False
        """Whether the identification was asked for before the questions were through."""
        self.typed = Edit()
        self.turner = Turner(desk)
        self.view = VIEWS[0]

    # -- what is asked -------------------------------------------------------------------------------------------

    @property
    def feature(self) -> Feature | None:
        """What is asked now; none when the port is named."""
        if self.asked is not None:
            return self.asked
        following = self.naming.found.next
        return None if self.early or following is None else following.feature

    def _answered(self) -> None:
        self.asked = None
        self.typed.set("")

    def _saw(self, feature: Feature, value: str) -> Any:
        def act() -> None:
            self.naming.saw(feature, value)
            self._answered()

        return act

    def _not_sure(self) -> None:
        if self.feature is not None:
            self.naming.not_sure(self.feature)
            self._answered()

    def _measured(self) -> None:
        if self.feature is not None:
            self.naming.measured(self.feature, self.typed.text)
            self._answered()

    def _none_there(self) -> None:
        if self.feature is not None:
            self.naming.measured(self.feature, "none")
            self._answered()

    def _look_at(self, feature: Feature) -> Any:
        def act() -> None:
            self.asked = feature
            self.typed.set("")

        return act

    def _take_back(self) -> None:
        if self.asked is not None:
            self.naming.withdraw(self.asked)
            self._answered()

    def _over(self) -> None:
        self.naming = Naming(self.desk.tables.halves, self.naming.state.setting)
        self.early = False
        self._answered()

    # -- arranging -----------------------------------------------------------------------------------------------

    def arrange(self, room: Room) -> None:
        """The question with its cards, or the identification."""
        self._trail(room)
        feature = self.feature
        if feature is None:
            best = self.desk.half(self.naming.found.candidates[0].id)
            self.turner.show(best)
            self.turner.cut = self.view == "cut open"
            room.on_bench(Stage("bench", room.bench, self._draw_named, self.turner.key, self.turner.drag))
            self._named(room.column, best)
            return
        room.on_bench(Stage("bench", room.bench, self._draw_shortlist))
        column = room.column
        clash = self.naming.found.contradiction
        if clash is not None:
            column.check(clash.sentence, False, key="contradiction")
        asked = self.naming.question(feature)
        column.title(asked.ask)
        column.say(asked.how, role="quiet")
        if feature in SEEN:
            self._cards(column, feature)
        else:
            self._measure(column, feature)
        column.part("Why this")
        column.say(asked.why, SMALL, "quiet")
        column.buttons([("name-now", "Name it with what is known", self._name_now, False)])
        if not self.naming.state.answers:
            column.part("Where is the port?")
            column.buttons([
                (f"setting-{key}", setting.words, lambda key=key: self.naming.use(setting=key),  # type: ignore[misc]
                 key == self.naming.state.setting)
                for key, setting in self.naming.looks.settings.items()
            ])  # fmt: skip

    def _trail(self, room: Room) -> None:
        """What was answered, each a way back; the one most likely misread is marked."""
        clash = self.naming.found.contradiction
        items = []
        for feature in self.naming.state.answers:
            words = f"{FEATURE_WORDS[feature]}: {self.naming.said(feature)}"
            if clash is not None and feature is clash.misread:
                words = f"look again \N{RIGHTWARDS ARROW} {words}"
            items.append((f"said-{feature.value}", words, self._look_at(feature)))
        if items:
            items.append(("over", "start over", self._over))
        room.trail(items)

    def _cards(self, column: Stack, feature: Feature) -> None:
        ranked = self.naming.ranked
        said = self.naming.state.answers.get(feature)
        chosen = getattr(said, "value", None)
        choices = []
        if feature is Feature.SIZE:
            steps = self.naming.looks.steps
            largest = max(thing.d.nominal for thing in steps.values())
            for key, thing in steps.items():
                note = f"{thing.d.nominal:g} mm"
                choices.append(Choice(f"value-{key}", thing.name, self._saw(feature, key),
                                      thing_art(thing.d.nominal, largest), note, key == chosen))  # fmt: skip
        else:
            for value, words in self.naming.values(feature):
                half = example(ranked, feature, value)
                art = None if half is None else card_art(self.desk, half, feature)
                choices.append(Choice(f"value-{value}", words, self._saw(feature, value), art, "", value == chosen))
        choices.append(Choice("not-sure", "I cannot tell", self._not_sure))
        column.cards(choices, THING_ART if feature is Feature.SIZE else CARD_ART)
        self._back_button(column)

    def _measure(self, column: Stack, feature: Feature) -> None:
        threads = feature is Feature.THREADS
        label = "Threads on 10 mm, or such as 36tpi" if threads else "Size, such as 6.3, 1/4in or 6.3+-0.1"
        column.field("size", label, self.typed, lambda: None, self._measured, "" if threads else "mm")
        column.button("take", "Take this reading", self._measured, "action")
        column.buttons([
            ("none-there", "There is none", self._none_there, False),
            ("not-sure", "I cannot tell", self._not_sure, False),
        ])  # fmt: skip
        self._back_button(column)
        if not threads:
            column.part("Measured with")
            instruments = self.naming.looks.table.instruments
            column.buttons([
                (f"with-{key}", f"{key}, \N{PLUS-MINUS SIGN}{row.plus_minus.nominal:g} mm",
                 lambda key=key: self.naming.use(instrument=key),  # type: ignore[misc]
                 key == self.naming.state.instrument)
                for key, row in instruments.items()
            ])  # fmt: skip

    def _back_button(self, column: Stack) -> None:
        if self.asked is not None and self.asked in self.naming.state.answers:
            column.buttons([("take-back", "Take this answer back", self._take_back, False)])

    def _name_now(self) -> None:
        self.early, self.asked = True, None

    # -- the identification --------------------------------------------------------------------------------------

    def _fit(self) -> Half | None:
        mates = self.naming.found.mates_with
        return self.desk.half(mates[0]) if mates else None

    def _named(self, column: Stack, best: Half) -> None:
        found = self.naming.found
        column.verdict(found.name, "text")
        sure = found.probability >= 0.9
        column.check(f"{percent(found.probability)} sure; {found.polarity} polarity; {found.gender}.",
                     True if sure else None, key="how-sure")  # fmt: skip
        if found.contradiction is not None:
            column.check(found.contradiction.sentence, False, key="contradiction")
        column.buttons([(f"view-{v}", v, self._set("view", v), v == self.view) for v in VIEWS])
        column.button("copy", "Copy the order words", self._copy, "action")
        column.say(found.order, key="order-words")
        fit = self._fit()
        if fit is not None:
            column.button("bring", f"Bring together with {fit.name}", self._bring)
        column.button("to-cable", "Find the cable for this port", self._to_cable)
        column.button("sheet", "Save the sheet", self._save)
        if found.next is not None:
            column.button("ask-on", "Ask me more", self._ask_on)
        if found.beware:
            column.part("Looks alike")
            for one in found.beware:
                harm = f": {one.verdict} with {one.mate}" if one.verdict else ""
                column.check(f"{one.name}{harm}. {one.tell}", None, key=f"beware-{one.id}")
        column.part("Caution")
        for caution in found.cautions:
            column.say(caution, after=0.75)
        if found.rests_on:
            column.part("What it rests on")
            for rest in found.rests_on:
                column.say(f"{FEATURE_WORDS[rest.feature]}: without it {percent(rest.without)}", SMALL, after=0.5)
        for number in found.soft_numbers:
            column.say(f"Not sure in the tables: {number}", SMALL, "quiet", after=0.5)
        left = [f for f in Feature if f not in self.naming.state.answers]
        if left:
            column.part("Look at something else as well")
            column.buttons([(f"look-{f.value}", FEATURE_WORDS[f], self._look_at(f), False) for f in left])
        column.button("over-now", "Name another port", self._over)

    def _set(self, name: str, value: object) -> Any:
        return lambda: setattr(self, name, value)

    def _copy(self) -> None:
        copy_words(self.desk, self.naming.found.order, "Order words")

    def _carry(self) -> str:
        best = self.naming.found.candidates[0]
        self.desk.name_port(best.id, best.probability)
        return best.id

    def _bring(self) -> None:
        fit = self._fit()
        if fit is not None:
            self.desk.carry["together"] = (self._carry(), fit.id)
            self.desk.go("together")

    def _to_cable(self) -> None:
        self.desk.carry["cable"] = (self._carry(),)
        self.desk.go("cable")

    def _save(self) -> None:
        best = self.desk.half(self._carry())
        sheet, kept = save(self.naming, best, self._fit(), self.desk.sheets)
        self.desk.say(f"Saved: {sheet} and {kept.name}.")

    def _ask_on(self) -> None:
        self.early = False

    # -- the bench -----------------------------------------------------------------------------------------------

    def _draw_shortlist(self, pen: Pen, box: Box) -> None:
        shortlist_view.draw(pen, box, self.desk, self.naming.ranked)

    def _draw_named(self, pen: Pen, box: Box) -> None:
        """The named port, large; beside it what fits and what looks alike, all at one scale."""
        art = self.desk.art
        best = self.turner.half
        assert best is not None
        fit = self._fit()
        beside = [("fits", fit)] if fit is not None else []
        beside += [("alike", self.desk.half(one.id)) for one in self.naming.found.beware[:BESIDE]]
        small = pen.type.line(SMALL)
        foot = 4 * STEP
        room = Box(box.x + 2 * STEP, box.y, box.w - 4 * STEP, box.h - foot)
        reaches = [art.extent(half).reach for _, half in beside if half is not None]
        own = art.extent(best).reach
        # one scale for all: the named port and a row of the others under it
        captions = small + STEP
        if beside:
            wide = min(room.w / (2 * own), (room.w - STEP * (len(reaches) + 1)) / (2 * sum(reaches)))
            per_mm = min(wide, (room.h - 2 * captions) / (2 * own + 2 * max(reaches)))
        else:
            per_mm = min(room.w, room.h - captions) / (2 * own)
        pen.grid(Box(0, 0, box.w, box.bottom), per_mm, (room.x, room.y))
        side = 2 * own * per_mm
        upper = room.h - (2 * max(reaches) * per_mm + 2 * captions if beside else 0)
        main = Box(room.x + (room.w - side) / 2, room.y + max(0.0, (upper - side) / 2), side, side)
        if self.view == "face on":
            radius = art.extent(best).radius * per_mm
            x, y = main.middle
            pen.shape(art.face(best, pen.palette), (x, y), per_mm,
                      Box(x - radius, y - radius, 2 * radius, 2 * radius), f"{best.id} face")  # fmt: skip
        else:
            self.turner.draw(pen, main)
        if beside:
            top = room.bottom - 2 * max(reaches) * per_mm - captions
            width = sum(2 * r for r in reaches) * per_mm
            gap = (room.w - width) / (len(reaches) + 1)
            x = room.x + gap
            for (kind, half), reach in zip(beside, reaches, strict=True):
                assert half is not None
                r = reach * per_mm
                centre = top + 2 * max(reaches) * per_mm - r
                draw_half(pen, self.desk, Place(half, x + r, centre, r, 1.0), per_mm, 1.0 if kind == "fits" else 0.7)
                words = f"{kind}: {half.name}"
                space = 2 * r + min(gap, 2 * gap - STEP) - 4
                words = pen.type.shortened(words, SMALL, max(40.0, space))
                pen.words(words, (x + r, room.bottom - captions + STEP / 2), SMALL,
                          pen.palette.fits if kind == "fits" else pen.palette.quiet, anchor="middle")  # fmt: skip
                x += 2 * r + gap
        if self.desk.pictures.why and self.view != "face on":
            words = pen.type.shortened(self.desk.pictures.why, SMALL, beside_bar(pen, box, per_mm))
            pen.words(words, (box.x + 3 * STEP, box.bottom - small - STEP / 2), SMALL, pen.palette.quiet)
        scale_bar(pen, box, per_mm)

    # -- keys, files, keeping ------------------------------------------------------------------------------------

    def key(self, event: pygame.event.Event) -> bool:
        """V changes the view, the arrows turn the named port, Backspace goes to the last answer."""
        if event.key == pygame.K_v and self.feature is None:
            self.view = VIEWS[(VIEWS.index(self.view) + 1) % len(VIEWS)]
            return True
        return False

    def back(self) -> bool:
        """Esc leaves a question that was opened by hand, else takes up the last answer."""
        if self.asked is not None:
            self.asked = None
            return True
        if self.early:
            self.early = False
            return True
        return False

    def tick(self, now: float) -> bool:
        """The picture settles."""
        return self.turner.tick(now) if self.feature is None else False

    def dropped(self, path: str) -> bool:
        """A saved identification is gone on from."""
        if Path(path).suffix.lower() != ".json":
            raise InputError(f"{Path(path).name} is no saved identification; drop the .json file beside its sheet.")
        self.naming.load(Path(path))
        self._answered()
        return True

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        if self.feature is None:
            return [("Arrow keys on the picture", "turn the port"), ("V", "turn, face on, cut open")]
        return [("1 to 9", "take that answer"), ("Tab to a word under the bench, Enter", "change that answer")]

    def held(self) -> dict[str, Any]:
        """All answers, as a saved identification."""
        plain = self.naming.plain()
        return {
            "setting": plain["setting"], "instrument": plain["instrument"], "answers": plain["answers"],
            "early": self.early,
        }  # fmt: skip

    def recall(self, held: dict[str, Any]) -> None:
        """The answers of last time."""
        self.naming.take({key: held.get(key) for key in ("setting", "instrument", "answers")}, "the last session")
        self.early = held.get("early") is True
