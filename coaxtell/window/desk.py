"""What all scenes share: tables, matings, the ports named so far, settings, pictures, and ways to speak up."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from coaxtell.folders import documents, folder
from coaxtell.identifier.answers import State
from coaxtell.identifier.belief import Shortlist, ranked
from coaxtell.models import tables
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating, mate
from coaxtell.window.art import Art
from coaxtell.window.dialog import Dialog
from coaxtell.window.pictures import Pictures
from coaxtell.window.settings import Settings
from coaxtell.window.spoken import speaker
from coaxtell.window.theme import MOTION_S, PALETTES, Palette

T = TypeVar("T")
SETTING = "uhf-reader"
"""Where ports are met unless a person says otherwise: a setting of the identifier."""


class Named:
    """A port that was named: which half, how sure, and what to call it."""

    def __init__(self, half_id: str, probability: float) -> None:
        """A half and its probability, 0 to 1."""
        self.half_id, self.probability = half_id, probability


class Desk:
    """The bench's drawer: everything that outlives a scene."""

    def __init__(
        self,
        settings: Settings,
        clock: Callable[[], float],
        pictures: Pictures,
        extra: Path | None = None,
        records: Path | None = None,
    ) -> None:
        """Load the tables; raises InputError where the user's own are wrong."""
        self.settings = settings
        self.clock = clock
        self.pictures = pictures
        self.extra = extra
        self.tables = tables.load(extra)
        self.records = records if records is not None else folder("data") / "records.db"
        self.sheets = documents()
        """Where sheets are saved."""
        self.named: list[Named] = []
        self.carry: dict[str, tuple[str, ...]] = {}
        """Halves carried over to another scene, by its name."""
        self.notice = ""
        self.copied = ""
        self.dialogs: list[Dialog] = []
        self.wanted_focus = ""
        """A control that a scene wants to have the focus once it is arranged again."""
        self.in_background = False
        """Whether long work goes to a thread, so that the window stays awake."""
        self._landed: list[Callable[[], None]] = []
        self.go: Callable[[str], None] = lambda name: None
        self.display = "0"
        self.art = Art()
        self.spoken = speaker(self.tables.halves)
        """Puts names in place of ids in a sentence."""
        self._usual: list[Half] | None = None
        self._matings: dict[tuple[str, str, bool], Mating] = {}

    @property
    def palette(self) -> Palette:
        """The colours in force."""
        return PALETTES["light" if self.settings.tone == "light" else "dark"]

    @property
    def motion_s(self) -> float:
        """How long a movement lasts [s]; nothing where motion is off."""
        return MOTION_S if self.settings.motion else 0.0

    def half(self, half_id: str) -> Half:
        """A half by id; raises InputError where there is none."""
        return self.tables.half(half_id)

    @property
    def usual(self) -> list[Half]:
        """All halves, the families met most in the trade first, each family together."""
        if self._usual is None:
            order = [half for half, _ in ranked(Shortlist(list(self.tables.halves.values()), SETTING), State(SETTING))]
            families = list(dict.fromkeys(half.family for half in order))
            self._usual = sorted(self.tables.halves.values(), key=lambda half: families.index(half.family))
        return self._usual

    def mating(self, a: Half, b: Half, sweep: bool = False) -> Mating:
        """The mating of two halves, worked out once."""
        key = (a.id, b.id, sweep)
        found = self._matings.get(key)
        if found is None:
            found = self._matings[key] = mate(a, b, sweep=sweep)
        return found

    def later(self, work: Callable[[], T], done: Callable[[T], None], failed: Callable[[str], None]) -> None:
        """Do long work beside the window; `done` is told its result, or `failed` the sentence, when it has landed."""

        def run() -> None:
            try:
                found = work()
            except InputError as error:
                words = str(error)
                self._landed.append(lambda: failed(words))
                return
            except Exception as error:  # told in one sentence like any other fault
                words = f"That did not work ({error})."
                self._landed.append(lambda: failed(words))
                return
            self._landed.append(lambda: done(found))

        if self.in_background:
            threading.Thread(target=run, daemon=True).start()
        else:
            run()
            self.land()

    def land(self) -> bool:
        """Take in the work that has landed; true where there was some."""
        landed, self._landed = self._landed, []
        for tell in landed:
            tell()
        return bool(landed)

    def say(self, words: str) -> None:
        """A sentence at the foot of the window until the next key or click."""
        self.notice = words

    def ask(self, dialog: Dialog) -> None:
        """Put a dialog in front of the scene."""
        self.dialogs.append(dialog)

    def close_dialog(self) -> None:
        """Take the dialog in front away."""
        if self.dialogs:
            self.dialogs.pop()

    def name_port(self, half_id: str, probability: float) -> None:
        """Remember a named port; the newest comes first, each half once."""
        self.named = [n for n in self.named if n.half_id != half_id]
        self.named.insert(0, Named(half_id, probability))
        del self.named[6:]
