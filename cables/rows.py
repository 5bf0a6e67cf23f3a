"""The values of one block of a site file, read one by one, each problem with its line."""

from __future__ import annotations

import difflib
from collections.abc import Callable
from typing import Any

import msgspec

from coaxtell.cables.blocks import Block, Problem
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half


class NamedPort(msgspec.Struct, frozen=True):
    """A port named by a half's id or a saved identification, with a caution where it is not sure."""

    half: Half
    caution: str = ""


FindPort = Callable[[str], NamedPort]
"""Finds the half for what a row names; raises InputError where there is none."""


KEYS = {
    "site": {
        *("name", "region", "frequency", "channels", "power", "prefer", "spares"),
        *("gain", "size", "temperature", "want", "outdoor", "riser"),
    },
    "reader": {"id", "port", "power", "note"},
    "route": {"id", "length", "bend", "outdoor", "riser", "temperature", "note"},
    "antenna": {
        *("id", "reader", "route", "port", "class", "note"),
        *("length", "bend", "outdoor", "riser", "temperature", "gain", "size", "want"),
    },
}
"""What each block of a site file may say."""


class Row:
    """A block's values read one by one, each problem kept with the line of its key."""

    def __init__(self, block: Block, file: str, fallbacks: tuple[dict[str, Any], ...] = ()) -> None:
        self.block = block
        self.file = file
        self.problems: list[Problem] = []
        self._fallbacks = fallbacks
        self.name = f"{block.name} {block.values['id']}" if "id" in block.values else block.name
        for key in block.values.keys() - KEYS[block.name]:
            near = difflib.get_close_matches(key, KEYS[block.name], 1)
            hint = f"did you mean {near[0]!r}?" if near else f"keys are {', '.join(sorted(KEYS[block.name]))}."
            self.wrong(key, f"does not know the key {key!r}; {hint}")

    def wrong(self, key: str, what: str) -> None:
        self.problems.append(Problem(self.file, self.block.line_of(key), f"{self.name}: {what}"))

    def raw(self, key: str) -> Any:
        for values in (self.block.values, *self._fallbacks):
            if key in values:
                return values[key]
        return None

    def text(self, key: str, needed: bool = False) -> str:
        value = self.raw(key)
        if value is None:
            if needed:
                self.wrong(key, f"has no {key}; add it.")
            return ""
        if not isinstance(value, str) or not value.strip():
            self.wrong(key, f'{key} {value!r} is not a text in quotes; write it like {key} = "...".')
            return ""
        return value.strip()

    def flag(self, key: str) -> bool:
        value = self.raw(key)
        if value is None:
            return False
        if not isinstance(value, bool):
            self.wrong(key, f"{key} {value!r} is neither true nor false; write one of them without quotes.")
            return False
        return value

    def quantity(self, key: str, read_as: Callable[[str, str], Any]) -> Any:
        """A value with its unit; a bare number is turned down by the reading function, with its reason."""
        value = self.raw(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            self.wrong(key, f"{key} {value!r} is not a quantity; write it in quotes with its unit.")
            return None
        try:
            return read_as(str(value), key)
        except InputError as error:
            self.wrong(key, str(error))
            return None

    def port(self, key: str, find: FindPort) -> NamedPort | None:
        name = self.text(key, needed=True)
        if not name:
            return None
        try:
            return find(name)
        except InputError as error:
            self.wrong(key, str(error))
            return None
