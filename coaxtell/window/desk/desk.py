"""What all scenes share: tables, matings, the ports named so far, pictures; and what every window has."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

from coaxtell import folders, saved_port
from coaxtell.gauge_bench import contradicted
from coaxtell.identifier import looks
from coaxtell.identifier.answers import State
from coaxtell.identifier.belief import ranked, shortlist_of
from coaxtell.identifier.features import Feature
from coaxtell.identifier.record import state_from
from coaxtell.models import gauged, tables
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating, Verdict, mate
from coaxtell.models.words import counted
from coaxtell.window.desk.art import Art
from coaxtell.window.desk.inquiry import Inquiry
from coaxtell.window.desk.pictures import Pictures
from coaxtell.window.desk.spoken import speaker
from coaxtell.window.kit.common import Common
from coaxtell.window.kit.settings import Settings

SETTING = "uhf-reader"
"""Where ports are met unless a person says otherwise: a setting of the identifier."""


class NamedPort:
    """A port that was named: which half, how sure, and what it rests on."""

    def __init__(self, half_id: str, probability: float, data: dict[str, Any], state: State) -> None:
        """A half and its probability, 0 to 1; `data` is its identification as it is saved, `state` its answers."""
        self.half_id, self.probability, self.data, self.state = half_id, probability, data, state


class Reading(NamedTuple):
    """A size measured elsewhere for the naming of a port, as typed; `anew` where it begins another port."""

    feature: Feature
    typed: str
    anew: bool


class Desk(Common):
    """The bench's drawer: everything about connectors that outlives a scene."""

    def __init__(
        self,
        settings: Settings,
        clock: Callable[[], float],
        pictures: Pictures,
        extra: Path | None = None,
        records: Path | None = None,
    ) -> None:
        """Load the tables; raises InputError where the user's own are wrong."""
        super().__init__(settings, clock)
        self.pictures = pictures
        self.extra = extra
        self.tables = tables.load(extra)
        self.records = folders.record(None if records is None else str(records))
        self.sheets = folders.documents()
        """Where sheets are saved."""
        self.named: list[NamedPort] = []
        self.carry: dict[str, tuple[str, ...]] = {}
        """Halves carried over to another scene, by its name; to the naming of ports a saved identification's file."""
        self.looks = looks.load()
        self.naming = self._answered_before()
        """What was answered of the port being named, when its scene was left last; none where nothing was."""
        self._inquiries: dict[str, Inquiry] = {}
        self.reading: Reading | None = None
        """A size on its way to the naming of ports."""
        self.unsaid: bool | None = None
        """Whether the naming of ports is gone back to for what is on the port, or for a look; none where it is not."""
        self.folder: Path | None = None
        """Where the last file was chosen."""
        self.art = Art()
        self.spoken = speaker(self.tables.halves)
        """Puts names in place of ids in a sentence."""
        self.aside: list[str] = []
        """Which readings of the own tables do not count, a sentence for each."""
        self._told_aside = extra is None or not (extra / gauged.FILE).is_file()
        self._usual: list[Half] | None = None
        self._companies: dict[str, dict[Verdict, list[Half]]] = {}
        self._asked: set[str] = set()
        self._matings: dict[tuple[str, str, bool], Mating] = {}

    def poll(self) -> bool:
        """Take in the pictures that have come; once, that readings of the own tables do not count is said."""
        if not self._told_aside:
            self._told_aside = True
            self.later(self._set_aside, self._say_aside, self.say)
        return self.pictures.poll()

    def _set_aside(self) -> list[str]:
        assert self.extra is not None
        return contradicted(self.extra)

    def _say_aside(self, told: list[str]) -> None:
        self.aside = told
        if told:
            self.say(self.counts_not)

    @property
    def counts_not(self) -> str:
        """That readings of the own tables do not count, in a line; empty where all do."""
        if not self.aside:
            return ""
        others = len(self.aside) - 1
        more = f" So it is with {counted(others, 'other number')}." if others else ""
        return f"{self.spoken(self.aside[0])}{more}"

    def forget(self) -> None:
        """No picture that has not been begun is wanted any more."""
        self.pictures.forget()

    def half(self, half_id: str) -> Half:
        """A half by id; raises InputError where there is none."""
        return self.tables.half(half_id)

    @property
    def usual(self) -> list[Half]:
        """All halves, the families met most in the trade first, each family together."""
        if self._usual is None:
            order = [half for half, _ in ranked(shortlist_of(self.tables.halves, SETTING), State(SETTING))]
            families = list(dict.fromkeys(half.family for half in order))
            self._usual = sorted(self.tables.halves.values(), key=lambda half: families.index(half.family))
        return self._usual

    def mating(self, a: Half, b: Half, doubt: bool = False) -> Mating:
        """The mating of two halves, worked out once."""
        key = (a.id, b.id, doubt)
        found = self._matings.get(key)
        if found is None:
            found = self._matings[key] = mate(a, b, doubt=doubt)
        return found

    def company(self, half: Half) -> dict[Verdict, list[Half]] | None:
        """All halves by what becomes of them with this one, in the usual order; none until it is worked out."""
        found = self._companies.get(half.id)
        if found is None and half.id not in self._asked:
            self._asked.add(half.id)

            def work() -> dict[Verdict, list[Half]]:
                told: dict[Verdict, list[Half]] = {}
                for other in self.usual:
                    told.setdefault(mate(half, other).verdict, []).append(other)
                return told

            def done(told: dict[Verdict, list[Half]]) -> None:
                self._companies[half.id] = told

            self.later(work, done, self.say)
        return self._companies.get(half.id)

    def name_port(self, port: NamedPort) -> None:
        """Remember a named port; the newest comes first, each half once."""
        self.named = [n for n in self.named if n.half_id != port.half_id]
        self.named.insert(0, port)
        del self.named[6:]

    def _answered_before(self) -> State | None:
        """What was answered of the port in hand before the window was closed last."""
        held = self.settings.work.get("name")
        try:
            return None if held is None else state_from(saved_port.kept(held), "", self.looks)
        except InputError:
            return None

    def _inquiry(self, place: str, state: State) -> Inquiry:
        """What follows from the answers about a port, worked out once; `place` is where it lies."""
        found = self._inquiries.get(place)
        if found is None or found.state != state:
            found = self._inquiries[place] = Inquiry(self.tables, state.setting)
            found.state = state
        return found

    @property
    def in_hand(self) -> Inquiry | None:
        """The port being named, as it was left; none where nothing was answered."""
        return None if self.naming is None else self._inquiry("in hand", self.naming)

    def port(self, half_id: str) -> Inquiry | None:
        """The port that was named as a half: the one in hand, else one named before; none where none was.

        The one in hand counts before it is named, where it was said to be energised, or maybe to carry high voltage.
        """
        here, held = self.named_here(half_id), self.in_hand
        if held is not None and held.found.half.id == half_id and (here or held.on_it or held.found.high_voltage):
            return held
        return None if here is None else self._inquiry(half_id, here.state)

    def named_here(self, half_id: str) -> NamedPort | None:
        """A half as it was named here; none where it was not."""
        return next((n for n in self.named if n.half_id == half_id), None)
