"""What is in and round a run beside its cable: parts, loops, the route, right-angle ends; each is on or off."""

from __future__ import annotations

from typing import Any, NamedTuple

from coaxtell.cables.pieces import Inline, InlineKind
from coaxtell.window.kit.stack import Stack
from coaxtell.window.views.scales import THIN


class Amount(NamedTuple):
    """A part that has a size: its words, the size it begins with, the sizes of its slider, and their unit."""

    words: str
    label: str
    usual: float
    ends: tuple[float, float]
    step: float
    unit: str


FLAGS = {
    "outdoor": "outdoors",
    "riser": "between floors",
    "right-reader": "right angle, reader",
    "right-antenna": "right angle, antenna",
}
"""What is so or not."""
AMOUNTS = {
    "bend": Amount("tight bend", "Tightest bend", 40.0, (5.0, 150.0), 5.0, "mm"),
    "pigtail": Amount("pigtail", "Pigtail to the wall", 0.2, (0.05, 1.0), 0.05, "m"),
    "arrestor": Amount("arrestor", "Arrestor after", 1.0, (0.1, 30.0), 0.1, "m"),
    "splitter": Amount("splitter", "Splitter after", 1.0, (0.1, 30.0), 0.1, "m"),
    "service": Amount("service loop", "Service loop", 0.5, (0.1, 5.0), 0.1, "m"),
    "drip": Amount("drip loop", "Drip loop", 0.3, (0.1, 2.0), 0.1, "m"),
    "warm": Amount("hot or cold", "Temperature", 40.0, (-40.0, 85.0), 5.0, "°C"),
}
"""What has a size."""
_INLINE = {kind.value: kind for kind in InlineKind}
_LEAST_M = 0.1
"""An inline part stands at least so far from the antenna's end [m]."""


class RunParts:
    """The parts that are on, with their sizes."""

    def __init__(self) -> None:
        """None of them."""
        self.on: set[str] = set()
        self.sizes: dict[str, float] = {}

    @property
    def stamp(self) -> tuple[object, ...]:
        """What a run worked out with them rests on."""
        return (*sorted(self.on), *(self.sizes[key] for key in sorted(self.sizes)))

    def toggle(self, key: str) -> None:
        """Put a part in or out; a run takes one inline part at a time."""
        if key in self.on:
            self.on.remove(key)
            self.sizes.pop(key, None)
            return
        if key in _INLINE:
            for other in _INLINE.keys() & self.on:
                self.toggle(other)
        self.on.add(key)
        if key in AMOUNTS:
            self.sizes[key] = AMOUNTS[key].usual

    def inline(self, length_m: float) -> Inline | None:
        """The inline part of a run with so much cable [m], within it."""
        for key in _INLINE.keys() & self.on:
            return Inline(_INLINE[key], min(self.sizes[key], max(length_m - _LEAST_M, length_m / 2)))
        return None

    def fields(self, length_m: float) -> dict[str, Any]:
        """What they say of a run on a route of this length [m], as the fields of a run."""
        found: dict[str, Any] = {
            "outdoor": "outdoor" in self.on,
            "riser": "riser" in self.on,
            "right_angle": ("right-reader" in self.on, "right-antenna" in self.on),
            "bend_mm": self.sizes.get("bend"),
            "pigtail_m": self.sizes.get("pigtail"),
            "service_loop_m": self.sizes.get("service", 0.0),
            "drip_loop_m": self.sizes.get("drip", 0.0),
        }
        if "warm" in self.on:
            found["temperature_c"] = self.sizes["warm"]
        found["inline"] = self.inline(length_m + found["service_loop_m"] + found["drip_loop_m"])
        return found

    def arrange(self, column: Stack) -> None:
        """The buttons, and a slider for each part that is on and has a size."""
        column.part("In and round the run")
        words = {**FLAGS, **{key: amount.words for key, amount in AMOUNTS.items()}}
        column.buttons([(f"part-{key}", told, self._toggled(key), key in self.on) for key, told in words.items()])
        for key, amount in AMOUNTS.items():
            if key in self.on:
                shown = f"{self.sizes[key]:g}{THIN}{amount.unit}"
                column.slider(f"size-{key}", amount.label, self.sizes[key], amount.ends, amount.step,
                              self._sized(key), shown)  # fmt: skip

    def _toggled(self, key: str) -> Any:
        return lambda: self.toggle(key)

    def _sized(self, key: str) -> Any:
        def put(value: float) -> None:
            self.sizes[key] = round(value, 3)

        return put

    def remembered(self) -> dict[str, float | None]:
        """The parts that are on, with their sizes."""
        return {key: self.sizes.get(key) for key in sorted(self.on)}

    def recall(self, held: object) -> None:
        """The parts of last time, as far as they still make sense."""
        self.on, self.sizes = set(), {}
        for key, size in held.items() if isinstance(held, dict) else ():
            if key in FLAGS:
                self.toggle(key)
            elif key in AMOUNTS and isinstance(size, int | float):
                low, high = AMOUNTS[key].ends
                if low <= size <= high:
                    self.toggle(key)
                    self.sizes[key] = float(size)
