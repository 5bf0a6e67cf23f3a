"""Name a port: one question at a time with pictures, the shortlist beside it, then the identification."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pygame

from coaxtell import saved_port
from coaxtell.identifier import words
from coaxtell.identifier.features import SEEN, Feature
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.tables import version
from coaxtell.window.desk.desk import Desk, NamedPort
from coaxtell.window.desk.inquiry import Inquiry, feature_words
from coaxtell.window.kit.copying import copy_words
from coaxtell.window.kit.edit import Edit
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.motion import Glide
from coaxtell.window.kit.pen import Pen
from coaxtell.window.kit.scene import Room, Scene
from coaxtell.window.kit.widgets import Stage
from coaxtell.window.scenes import port_column, port_place, question_column
from coaxtell.window.scenes.port_sheet import save
from coaxtell.window.views import port, shortlist
from coaxtell.window.views.in_hand import InHand
from coaxtell.window.views.port import Beside
from coaxtell.window.views.shortlist import Layout
from coaxtell.window.views.viewpoints import SIDES

BESIDE = 2
"""Look-alikes shown beside the named port."""

LAST = "the last session"
"""In place of a file, in sentences, of what was answered before the window was closed."""


class NamePort(Scene):
    """The answers about one port, and the question in force."""

    desk: Desk
    name = "name"
    word = "Name a port"
    short = "Name"
    help = "Answer what you see; the port is named, with what mates and what to order."
    serves = ("identify",)
    takes = "a saved identification"
    least_bench = 200.0

    def __init__(self, desk: Desk) -> None:
        """No answers yet."""
        super().__init__(desk)
        self.inquiry = Inquiry(desk.tables)
        self._asked: Feature | None = None
        self.early = False
        """Whether the identification was asked for before the questions were through."""
        self.typed = Edit()
        self._before: Feature | None = None
        """What was asked when the room was arranged last: a size wants its field under the caret."""
        self.in_hand = InHand(desk)
        self.view = next(iter(SIDES))
        self.thinned = Glide(1.0)
        """How far the shortlist is on its way from where it stood before the last answer."""
        self._stood: Layout | None = None
        self._stands: tuple[float, float, list[tuple[Half, float]], Layout] | None = None

    def enter(self) -> None:
        """Go on from the saved identification, or with the size, that another scene carried over."""
        for path in self.desk.carry.pop(self.name, ()):
            self.dropped(path)
        read, self.desk.reading = self.desk.reading, None
        if read is not None:
            if read.anew:
                self.another()
            self._measured(read.feature, read.typed, False)
            self._answered()
            self.early = False
        unsaid, self.desk.unsaid = self.desk.unsaid, None
        if unsaid is not None:
            self._lead_on()
        if unsaid:
            port_place.ask_at_hand(self, self._lead_on)

    def _lead_on(self) -> None:
        """What is to be done next with the port has the focus: where nothing may be looked at, what is said of it."""
        key, words_on_it, _ = port_column.way_on(self)
        self.desk.wanted_top, self.desk.wanted_focus = True, key if words_on_it else "at-hand"

    def leave(self) -> None:
        """What was answered stays on the desk: a photograph is held against it."""
        self._keep_named()
        self.desk.naming = self.inquiry.state

    # -- what is asked -------------------------------------------------------------------------------------------

    @property
    def asked(self) -> Feature | None:
        """The feature a person chose to look at, as long as it may be; none while the program chooses."""
        return self._asked if self._asked is not None and self.inquiry.may(self._asked) else None

    @asked.setter
    def asked(self, feature: Feature | None) -> None:
        self._asked = feature

    @property
    def feature(self) -> Feature | None:
        """What is asked now; none when the port is named."""
        if self.asked is not None:
            return self.asked
        following = self.inquiry.found.next
        return None if self.early or following is None else following.feature

    @property
    def again(self) -> bool:
        """Whether the program asks to look at it a second time."""
        following = self.inquiry.found.next
        return self.asked is None and following is not None and following.again

    def _answered(self) -> None:
        self.asked, self.desk.wanted_top = None, True
        self.typed.set("")

    def saw(self, feature: Feature, value: str) -> Any:
        def act() -> None:
            self.inquiry.saw(feature, value, self.again)
            self._answered()

        return act

    def not_sure(self) -> None:
        if self.feature is not None:
            self.inquiry.not_sure(self.feature, self.again)
            self._answered()

    def measured(self) -> None:
        """Take the reading that was typed; raises InputError where there is none or it cannot be read."""
        if not self.typed.text.strip():
            self.desk.wanted_focus = "size"
            raise InputError("Type what you read, such as 6.3; or say that there is none, or that you cannot tell.")
        if self.feature is not None:
            self._measured(self.feature, self.typed.text, self.again)
            self._answered()

    def _measured(self, feature: Feature, typed: str, again: bool) -> None:
        beside = self.inquiry.measured(feature, typed, again)
        if beside:
            self.desk.say(beside)

    def none_there(self) -> None:
        if self.feature is not None:
            self.inquiry.measured(self.feature, "none", self.again)
            self._answered()

    def looking_at(self, feature: Feature) -> Any:
        def act() -> None:
            self.asked, self.desk.wanted_top = feature, True
            self.typed.set("")

        return act

    def take_back(self) -> None:
        if self.asked is not None:
            self.inquiry.withdraw(self.asked)
            self._answered()

    def changing(self, feature: Feature) -> Any:
        """The question of an answer again; only taking it back where that may not be looked at now."""

        def act() -> None:
            if self.inquiry.may(feature):
                self.looking_at(feature)()
            else:
                port_place.ask_back(self, feature, self._answered)

        return act

    def over(self) -> None:
        self._begin(self.inquiry.afresh())

    def another(self) -> None:
        self._keep_named()
        self._begin(self.inquiry.another())

    def _begin(self, inquiry: Inquiry) -> None:
        self.inquiry = inquiry
        self.early = False
        self._answered()

    # -- arranging -----------------------------------------------------------------------------------------------

    @property
    def column_first(self) -> bool:
        """The question comes first, and what warns of a port where no way on is offered; a named port is seen."""
        return self.feature is not None or not port_column.way_on(self)[1] or bool(self.inquiry.on_it)

    def bench_for(self, width: float, height: float) -> float:
        """A named port and its company have all but the line with the way on."""
        return (super().bench_for if self.column_first else self.led_bench)(width, height)

    def arrange(self, room: Room) -> None:
        """The question with its cards, or the identification."""
        self._trail(room)
        feature = self.feature
        if feature is None:
            low = not room.wide and (not self.column_first or bool(self.inquiry.on_it))
            if low:
                room.keep_in_sight(port_column.first(self, room.column))
            self.in_hand.show(self.desk.half(self.inquiry.found.candidates[0].id), SIDES[self.view])
            room.on_bench(Stage("bench", room.bench, self._draw_named, self.in_hand.key, self.in_hand.drag))
            port_column.fill(self, room.column, self._fit(), low)
            return
        self._thin(room)
        room.on_bench(Stage("bench", room.bench, self._draw_shortlist))
        question_column.fill(self, room, feature)
        if feature is not self._before:
            self._before = feature
            self.desk.wanted_focus = "" if feature in SEEN else "size"

    def _trail(self, room: Room) -> None:
        """Where the port is, what is at hand, and each answer, to say anew; the one most likely misread is marked, and
        what does not go with the named port."""
        clash, named = self.inquiry.found.contradiction, self.feature is None
        doubted = [clash.misread] if clash is not None else self.inquiry.found.misfits if named else []
        items = port_place.items(self)
        for feature in self.inquiry.state.answers:
            words = f"{feature_words(feature)}: {self.inquiry.said(feature)}"
            if feature in doubted and self.inquiry.may(feature):
                words = f"look again \N{RIGHTWARDS ARROW} {words}"
            items.append((f"said-{feature.value}", words, self.changing(feature)))
        if self.inquiry.state.answers:
            items.append(("over", "start over", self.over))
        room.trail(items)

    def name_now(self) -> None:
        self.early, self.asked, self.desk.wanted_top = True, None, True

    # -- the identification --------------------------------------------------------------------------------------

    def _fit(self) -> Half | None:
        mates = self.inquiry.found.mates_with
        return self.desk.half(mates[0]) if mates else None

    def seeing(self, view: str) -> Any:
        def act() -> None:
            self.view = view
            self.in_hand.look(SIDES[view])

        return act

    def copy(self) -> None:
        found = self.inquiry.found
        told = (words.order(found), self.inquiry.doubted, *words.on_it(found))
        copy_words(self.desk, " ".join(filter(None, told)), "Order words")

    def _carry(self) -> str:
        best = self.inquiry.found.candidates[0]
        data = saved_port.kept(self.inquiry.plain())
        self.desk.name_port(NamedPort(best.id, best.probability, data, self.inquiry.state))
        return best.id

    def _keep_named(self) -> None:
        """A port that stands named, or was taken on to another job, is known there as it is now."""
        state = self.inquiry.state
        if state.answers and (self.feature is None or self.desk.named_here(self.inquiry.found.half.id)):
            self._carry()

    def bring(self) -> None:
        fit = self._fit()
        if fit is not None:
            self.desk.carry["together"] = (self._carry(), fit.id)
            self.desk.go("together")

    def to_cable(self) -> None:
        self.desk.carry["cable"] = (self._carry(),)
        self.desk.go("cable")

    def save(self) -> None:
        best = self.desk.half(self._carry())
        sheet, kept = save(self.inquiry, best, self._fit(), self.desk.sheets, self.desk.spoken)
        self.desk.say(f"Saved: {sheet} and {kept.name}.")

    def page(self) -> None:
        self.desk.carry["half"] = (self._carry(),)
        self.desk.go("half")

    def beside(self) -> None:
        self.desk.carry["beside"] = (self._carry(), *(one.id for one in self.inquiry.found.beware[:BESIDE]))
        self.desk.go("beside")

    def ask_on(self) -> None:
        self.early = False

    def next_look(self) -> None:
        """Go on to the look that helps most: the one misread, the next in turn, else one not tried yet."""
        onward = self.inquiry.onward
        if onward is None:
            return
        if onward[1] is None:
            self.early = False
        else:
            self.looking_at(onward[1])()

    # -- the bench -----------------------------------------------------------------------------------------------

    def _thin(self, room: Room) -> None:
        """Where an answer changed the shortlist on this bench, let it move there."""
        ranked = self.inquiry.ranked
        now = shortlist.layout(room.type, room.bench, self.desk, ranked)
        before, self._stands = self._stands, (room.bench.w, room.type.scale, ranked, now)
        if before is not None and before[:2] == self._stands[:2] and before[2] is not ranked:
            self._stood = before[3]
            self.thinned.set(0.0)
            self.thinned.to(1.0, self.desk.clock(), self.desk.motion_s)

    def _draw_shortlist(self, pen: Pen, box: Box) -> None:
        shortlist.draw(pen, box, self.desk, self.inquiry.ranked, self._stood, self.thinned.value)

    def _draw_named(self, pen: Pen, box: Box) -> None:
        fit = self._fit()
        beside = [] if fit is None else [Beside(fit, True)]
        beside += [Beside(self.desk.half(one.id), False) for one in self.inquiry.found.beware[:BESIDE]]
        port.draw(pen, box, self.desk, self.in_hand, self.view, beside)

    # -- keys, files, keeping ------------------------------------------------------------------------------------

    def key(self, event: pygame.event.Event) -> bool:
        """V changes the view, the arrows turn the named port, Backspace goes to the last answer."""
        if event.key == pygame.K_v and self.feature is None:
            names = list(SIDES)
            self.seeing(names[(names.index(self.view) + 1) % len(names)])()
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
        """The picture settles, the shortlist thins."""
        return self.in_hand.tick(now) if self.feature is None else self.thinned.tick(now)

    def dropped(self, path: str) -> bool:
        """A saved identification is gone on from.

        Raises InputError where it is none.
        """
        if Path(path).suffix.lower() != ".json":
            raise InputError(f"{Path(path).name} is no saved identification; drop the .json file beside its sheet.")
        changed = self.inquiry.load(Path(path))
        if changed:
            self.desk.say(changed)
        self._answered()
        return True

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene."""
        if self.feature is None:
            return [("Arrow keys on the picture", "turn the port"), ("V", "turn, face on, cut open")]
        return [("1 to 9", "take that answer"), ("Tab to a word under the bench, Enter", "change that answer")]

    def remembered(self) -> dict[str, Any]:
        """All answers, as a saved identification."""
        return {**saved_port.kept(self.inquiry.plain()), "early": self.early}

    def recall(self, held: dict[str, Any]) -> None:
        """The answers of last time, and what they name otherwise under other tables."""
        self.inquiry.take(saved_port.kept(held), LAST)
        self.early = held.get("early") is True
        if self.inquiry.state.answers and held.get("tables") not in (None, version(self.desk.tables)):
            self.desk.say(saved_port.changed(held, self.inquiry.plain(), Path(LAST), self.desk.tables))
