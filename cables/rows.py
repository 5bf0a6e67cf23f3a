"""The values of one block of a site file, read one by one, each problem with its line."""

from __future__ import annotations

import difflib
from collections.abc import Callable
from typing import Any

import msgspec

from coaxtell.cables.doubt import Doubt
from coaxtell.cables.reasons import because
from coaxtell.cables.site_blocks import Block, Problem
from coaxtell.models import unseen
from coaxtell.models.catalogue import Reason
from coaxtell.models.errors import InputError
from coaxtell.models.half import Half


class NamedPort(msgspec.Struct, frozen=True):
    """A port named by a half's id or a saved identification, with its doubt where that is not settled.

    `changed` says what working the identification out anew changed, empty where nothing did; `beside` names what else
    the port may be where that takes the same order, `clash` which of its answers no half gives together, and which of
    them to look at again; `on_it` what was said to be on it, see `acts.on_the_port`; `pictured` names what of it was
    measured in a photograph.
    """

    half: Half
    doubt: Doubt | None = None
    changed: str = ""
    beside: tuple[str, ...] = ()
    clash: str = ""
    on_it: tuple[Reason, ...] = ()
    pictured: str = ""


PHOTOGRAPHED = "caution.photographed"
"""The code of what is told of a port that was measured in a photograph."""
OF_NAMES = ("caution.clash", PHOTOGRAPHED, "caution.fits_all")
"""What is told of how ports were named, though an order can be made."""


def _placed(ports: tuple[NamedPort, NamedPort]) -> tuple[tuple[Reason, NamedPort], ...]:
    return (Reason("place.reader"), ports[0]), (Reason("place.antenna"), ports[1])


def on_ports(ports: tuple[NamedPort, NamedPort]) -> list[Reason]:
    """What was said to be on the ports of a run, the reader's first: told before all else."""
    return [because("caution.on_port", place=place, told=told) for place, port in _placed(ports) for told in port.on_it]


def of_names(ports: tuple[NamedPort, NamedPort]) -> list[Reason]:
    """Of the ports of a run, the reader's first: answers that clash, what was measured in a photograph, what else a
    port may be with the same order.

    Nobody is sent to look again at what may carry kilovolts.
    """
    found = []
    for place, port in _placed(ports):
        if port.clash and not (port.doubt and port.doubt.kilovolts):
            found.append(because("caution.clash", place=place, clash=port.clash))
        if port.pictured:
            found.append(because(PHOTOGRAPHED, place=place, looks=port.pictured))
        if port.beside:
            others = ", ".join(port.beside)
            found.append(because("caution.fits_all", place=place, named=port.half.name, others=others))
    return found


FindPort = Callable[[str], NamedPort]
"""Finds the half for what a row names; raises InputError where there is none."""


WISHES = ("temperature", "gain", "size", "want", "budget", "outdoor", "riser", "service_loop", "drip_loop")
"""What holds for every antenna of a site that does not say otherwise."""

_ENDS = ("reader_port", "right_angle", "arrestor", "splitter", "pigtail")
"""What an antenna alone may say of its own run."""

KEYS = {
    "site": {
        "name",
        "region",
        "frequency",
        "channels",
        "power",
        "settings",
        "prefer",
        "spares",
        "linear_gain",
        *WISHES,
    },
    "reader": {"id", "port", "power", "settings", "note"},
    "route": {"id", "length", "bend", "outdoor", "riser", "temperature", "service_loop", "drip_loop", "note"},
    "antenna": {"id", "reader", "route", "port", "class", "note", "length", "bend", *WISHES, *_ENDS},
}
"""What each block of a site file may say."""


class Row:
    """A block's values read one by one, each problem kept with the line of its key."""

    def __init__(self, block: Block, file: str, fallbacks: tuple[dict[str, Any], ...] = ()) -> None:
        self.block = block
        self.file = file
        self.problems: list[Problem] = []
        self._fallbacks = fallbacks
        for key in block.values.keys() - KEYS[block.name]:
            if near := difflib.get_close_matches(key, KEYS[block.name], 1):
                self.wrong(key, "near_key", key=key, near=near[0])
            else:
                self.wrong(key, "unknown_key", key=key, keys=", ".join(sorted(KEYS[block.name])))

    def wrong(self, key: str, what: str, /, **values: float | str) -> None:
        """Keep a problem with the line of its key; `what` and its values are of the site's texts."""
        # what a person wrote reaches pages and terminals in these sentences, a sign that nobody sees too
        shown = {name: unseen.written_out(one) if isinstance(one, str) else one for name, one in values.items()}
        told = because("site.of_block", block=self.block.title, what=because(f"site.{what}", **shown))
        self.problems.append(Problem(self.file, self.block.line_of(key), told))

    def raw(self, key: str) -> Any:
        for values in (self.block.values, *self._fallbacks):
            if key in values:
                return values[key]
        return None

    def text(self, key: str, needed: bool = False) -> str:
        value = self.raw(key)
        if value is None:
            if needed:
                self.wrong(key, "missing", key=key)
            return ""
        if not isinstance(value, str) or not value.strip():
            self.wrong(key, "not_text", key=key, value=repr(value))
            return ""
        if unseen.acted_on(value.strip()) or unseen.holds(value.strip()):
            self.wrong(key, "unseen_text", key=key, value=value.strip())
            return ""
        return value.strip()

    def flag(self, key: str) -> bool:
        value = self.raw(key)
        if value is None:
            return False
        if not isinstance(value, bool):
            self.wrong(key, "not_flag", key=key, value=repr(value))
            return False
        return value

    def quantity(self, key: str, read_as: Callable[[str, str], Any]) -> Any:
        """A value with its unit; a bare number is turned down by the reading function, with its reason."""
        value = self.raw(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            self.wrong(key, "not_quantity", key=key, value=repr(value))
            return None
        try:
            return read_as(str(value), key)
        except InputError as error:
            self.wrong(key, "said", words=str(error))
            return None

    def port(self, key: str, find: FindPort) -> NamedPort | None:
        name = self.text(key, needed=True)
        if not name:
            return None
        try:
            return find(name)
        except InputError as error:
            self.wrong(key, "said", words=str(error))
            return None
