"""Halves for tests, loaded once, and copies of a shipped table with one number changed."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib import resources
from pathlib import Path

from coaxtell.models import tables
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating, mate


@cache
def all_halves() -> dict[str, Half]:
    return tables.load().halves


def half(half_id: str) -> Half:
    return all_halves()[half_id]


PIN_IN_THE_JACK = ("smb", "ssmb", "smc", "fakra", "smp", "micro")
"""Families whose standard polarity has the pin in the jack, by the first word of their keys: rule table of the
project's fact sheet (bayonet-snap). What is based on one of them is so too."""


@cache
def based_on() -> dict[str, str]:
    """The family that each of those is based on that are based on one."""
    files = resources.files("coaxtell.models") / "tables"
    known = [tomllib.loads(one.read_text(encoding="utf-8")) for one in files.iterdir() if one.name.endswith(".toml")]
    return {one["key"]: one["based_on"] for one in known if one.get("based_on")}


def pin_in_the_jack(half_id: str) -> bool:
    """Whether the half is of a family that has its pin in the jack, or of one that is based on such a family."""
    root = half_id.split("-")[0]
    return root in PIN_IN_THE_JACK or (root in based_on() and pin_in_the_jack(based_on()[root]))


def mating(a: str, b: str) -> Mating:
    return mate(half(a), half(b))


def verdict(a: str, b: str) -> str:
    """What the numbers of the tables come to, doubt left aside."""
    return mate(half(a), half(b), doubt=False).geometry.value


def shipped_text(file: str) -> str:
    return (resources.files("coaxtell.models") / "tables" / file).read_text(encoding="utf-8")


def changed_copy(folder: Path, file: str, key: str, old: str, new: str, count: int = 1) -> dict[str, Half]:
    """The halves with a copy of `file` under `key` added, in which `old` was exchanged for `new` exactly `count`
    times; the copy's reverse pair is left out."""
    text = shipped_text(file)
    assert text.count(old) == count, (file, old, text.count(old))
    text = text.replace(old, new)
    text = re.sub(r'^key = ".*"$', f'key = "{key}"', text, count=1, flags=re.MULTILINE)
    text = re.sub(r"^reverse_key = .*$", 'reverse_key = ""', text, flags=re.MULTILINE)
    (folder / f"{key}.toml").write_text(text, encoding="utf-8")
    return tables.load(folder).halves
