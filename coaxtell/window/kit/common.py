"""What every scene shares, whatever it is about: settings, clock, dialogs, a sentence at the foot, work beside it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar

from coaxtell.models.errors import InputError
from coaxtell.window.kit.dialog import Dialog
from coaxtell.window.kit.settings import Settings
from coaxtell.window.kit.theme import MOTION_S, PALETTES, Palette

T = TypeVar("T")


class Common:
    """Everything that outlives a scene and that the window itself needs to know."""

    def __init__(self, settings: Settings, clock: Callable[[], float]) -> None:
        """Nothing said, nothing in front."""
        self.settings = settings
        self.clock = clock
        self.notice = ""
        self.copied = ""
        self.dialogs: list[Dialog] = []
        self.wanted_focus = ""
        self.wanted_top = False
        """Whether what is shown next is another thing, to be seen from its top."""
        """A control that a scene wants to have the focus once it is arranged again."""
        self.in_background = False
        """Whether long work goes to a thread, so that the window stays awake."""
        self._landed: list[Callable[[], None]] = []
        self.go: Callable[[str], None] = lambda name: None
        self.display = "0"

    @property
    def palette(self) -> Palette:
        """The colours in force."""
        return PALETTES["light" if self.settings.tone == "light" else "dark"]

    @property
    def motion_s(self) -> float:
        """How long a movement lasts [s]; nothing where motion is off."""
        return MOTION_S if self.settings.motion else 0.0

    def poll(self) -> bool:
        """Take in what is made elsewhere; true where something new can be shown."""
        return False

    def forget(self) -> None:
        """What was wanted and is not begun counts no more: what is shown next asks for its own."""

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
