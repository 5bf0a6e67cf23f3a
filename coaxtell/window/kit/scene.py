"""The life of a scene: enter, arrange, draw, keys, tick, leave; and the room it is arranged in."""

from __future__ import annotations

from typing import Any

import pygame

from coaxtell.window.kit.common import Common
from coaxtell.window.kit.fonts import Type
from coaxtell.window.kit.geometry import Box
from coaxtell.window.kit.stack import Stack
from coaxtell.window.kit.theme import BAND, STEP, TARGET
from coaxtell.window.kit.widgets import Action, Widget

LOW = 520.0
"""Below this height [units] a narrow room has no place for the bench over the first answer."""
NARROW = 860.0
"""Below this width [units] the column stands under the bench and the whole page scrolls."""
BENCH_SHARE, NARROW_SHARE = 0.6, 0.53
"""How much of the width the bench has beside the column, and where that leaves the column little."""
LOWEST_BENCH, LEAST_BENCH = 200.0, 88.0
"""No bench is made lower than this for a low window, and none gives way further to what must be in sight [units]."""
MARGIN = 3 * STEP
LED_LINE = TARGET + 3 * STEP
"""Height of a line with the way on under a bench that has all the rest [units]."""
LED_SHARE = 0.5
"""Height of such a bench in the width of the window, where that leaves room for the line."""


class Room:
    """What a scene is arranged in: the bench, the line of answered words under it, and the column."""

    def __init__(
        self,
        type_: Type,
        width: float,
        height: float,
        least_bench: float,
        column_first: bool = False,
        beside: bool = False,
    ) -> None:
        """A room of a window, its bench never lower than `least_bench` [units].

        With `column_first` the column goes before the bench where the room is too low for both; with `beside` it stands
        beside the bench in a room that is too low, however narrow that is.
        """
        self.type = type_
        self.width, self.height = width, height
        narrow = width < NARROW
        self.wide = not narrow or (beside and height < LOW)
        self.tight = column_first and not self.wide and height < LOW
        """Whether the column stands over the bench, so that its first answer is in sight."""
        if self.wide:
            split, margin = (round(width * NARROW_SHARE), 2 * STEP) if narrow else (round(width * BENCH_SHARE), MARGIN)
            self.bench = Box(0, BAND, split, height - BAND)
            self.panel = Box(split, 0, width - split, height)
            self.page = Box(split, BAND - STEP, width - split, height - BAND + STEP)
            # the corner of the panel belongs to the button for the keys
            self.column = Stack(type_, split + margin, BAND, width - split - 2 * margin)
        else:
            bench = max(least_bench, min(0.62 * (height - BAND), 0.6 * width))
            self.bench = Box(0, BAND, width, bench)
            self.page = Box(0, BAND, width, height - BAND)
            self.panel = Box(0, BAND + bench, width, 0)
            top = BAND + STEP if self.tight else BAND + bench + 2 * STEP
            self.column = Stack(type_, MARGIN - STEP, top, width - 2 * MARGIN)
            if self.tight:
                self.panel = self.panel._replace(y=BAND)
        self.column.sight = height
        self._under: list[Widget] = []
        self._trail: list[tuple[str, str, Action]] = []

    def keep_in_sight(self, tall: float) -> None:
        """Lower a bench over the column until so much of the column [units] is in sight too."""
        if self.wide or self.tight:
            return
        lower = min(self.column.y + tall + STEP - self.height, self.bench.h - LEAST_BENCH)
        if lower <= 0:
            return
        self.bench = self.bench._replace(h=self.bench.h - lower)
        self.panel = self.panel._replace(y=self.panel.y - lower)
        self.column.y -= lower

    def trail(self, items: list[tuple[str, str, Action]]) -> None:
        """What has been answered, a line of words under the bench, each a way back; in a narrow room under all else."""
        if not items:
            return
        self._trail = items
        if self.wide:
            words = self._trail_from(0.0)
            height = words.y + STEP
            self.bench = self.bench._replace(h=self.bench.h - height)
            for widget in words.widgets:
                widget.box = widget.box.moved(0, self.bench.bottom)
                widget.scrolls = False
            self._under += words.widgets

    def _trail_from(self, y: float) -> Stack:
        words = Stack(self.type, MARGIN, y, self.bench.w - 2 * MARGIN)
        words.words_row(self._trail)
        return words

    def on_bench(self, widget: Widget) -> None:
        """A widget that stands on the bench."""
        widget.scrolls = not self.wide
        self._under.append(widget)

    def close(self) -> list[Widget]:
        """All widgets, once everything has been put in: those of the bench and its line first."""
        if not self.wide and self._trail:
            words = self._trail_from(self.column.y + STEP)
            self.column.widgets += words.widgets
            self.column.y = words.y
        if self.tight:
            top = self.column.y + STEP
            for widget in self._under:
                widget.box = widget.box.moved(0, top - self.bench.y)
            self.column.y = top + self.bench.h
        return [*self._under, *self.column.widgets]


class Scene:
    """One job. Subclasses fill in what they need; drawing changes nothing."""

    name = ""
    """A key of its own, kept in the settings."""
    word = ""
    """The one word or two that stand at the top left."""
    short = ""
    """Its word where there is little room; the same where that is short."""
    help = ""
    """What the job is, in a line."""
    serves: tuple[str, ...] = ()
    """The commands of the terminal whose work it does."""
    takes = ""
    """What files may be dropped on it; empty for none."""
    opens: tuple[str, ...] = ()
    """Endings of the files that open it wherever they are dropped."""
    least_bench = 300.0
    """Height of the bench [units] where the column stands under it; less where the column asks the question."""

    def bench_for(self, width: float, height: float) -> float:
        """Least height of the bench in a window of this size [units] where the column stands under it: no more than is
        in sight."""
        return min(self.least_bench, max(LOWEST_BENCH, height - BAND))

    def led_bench(self, width: float, height: float) -> float:
        """Height of a bench that has all but the line with the way on, as far as its pictures need it [units]."""
        usual = min(self.least_bench, max(LOWEST_BENCH, height - BAND))
        return max(LEAST_BENCH, min(height - BAND - LED_LINE, max(usual, LED_SHARE * width)))

    @property
    def column_first(self) -> bool:
        """Whether the column goes before the bench where there is no room for both in sight."""
        return False

    @property
    def column_beside(self) -> bool:
        """Whether the column goes beside the bench where there is no height for both, however narrow it is then."""
        return False

    @property
    def waiting(self) -> bool:
        """Whether it waits for something made elsewhere and is to be arranged anew when that has come."""
        return False

    def __init__(self, desk: Common) -> None:
        """A scene at its desk."""
        self.desk = desk

    def enter(self) -> None:
        """The scene comes on."""

    def leave(self) -> None:
        """The scene goes off, or the window closes."""

    def arrange(self, room: Room) -> None:
        """Put widgets into the room."""
        raise NotImplementedError

    def key(self, event: pygame.event.Event) -> bool:
        """A key that no widget used; true where the scene used it."""
        return False

    def keys(self) -> list[tuple[str, str]]:
        """The keys of this scene, for the list that `?` shows."""
        return []

    def back(self) -> bool:
        """Esc: one step back; false where there is none."""
        return False

    def tick(self, now: float) -> bool:
        """Time passes [s]; true while something moves."""
        return False

    def dropped(self, path: str) -> bool:
        """A file was dropped on the window; true where the scene takes it."""
        return False

    def remembered(self) -> dict[str, Any]:
        """What is kept when the window closes."""
        return {}

    def recall(self, held: dict[str, Any]) -> None:
        """Take up what was kept; whatever does not fit any more is left out."""
