"""Which half a person means: ids in any case, trade names, parts of a name; where several fit, all of them."""

from __future__ import annotations

import re
from collections.abc import Iterable

from coaxtell.models.half import Half

SPECIAL = ("rp", "reverse", "left")
"""What has to be said to be meant: a port that nobody calls so is standard and right-hand."""

ALSO = {"2.92 mm": {"k"}, "1.85 mm": {"v"}, "1.0 mm": {"w"}, "3.5 mm": {"apc"}, "7 mm": {"apc"}}
"""Letters by which the trade calls families, besides their sizes (common practice, no source)."""
FILLERS = {"type", "connector"}
"""Words that say nothing of which half is meant."""


def meant(halves: Iterable[Half], typed: str) -> list[Half]:
    """The halves that a person may mean, those that fit closest; none where nothing fits."""
    wanted, close = _words(typed) - FILLERS, _run(typed)
    if not wanted:
        return []
    found: list[tuple[int, Half]] = []
    for half in halves:
        names = [half.id, half.name, *half.trade_names]
        if close in {_run(name) for name in names}:
            return [half]
        own = set().union(*(_words(name) for name in names), genders(half), ALSO.get(half.family, set()))
        if half.key is not None and not wanted & _words(half.key.kind):
            continue  # a single letter is the code of a housing only where its kind is named
        if wanted <= own and not any(word in own - wanted for word in SPECIAL):
            found.append((len(_words(half.id) - wanted), half))
    least = min((extra for extra, _ in found), default=0)
    return [half for extra, half in found if extra == least]


def genders(half: Half) -> set[str]:
    """Male and female as the trade says them, by the body and by the contact; both where the two disagree."""
    plug, pin = half.gender == "plug", half.centre.pin is not None
    if half.gender == "sexless":
        return set()
    return {word for male in (plug, pin) for word in (("male", "m") if male else ("female", "f"))}


def _words(name: str) -> set[str]:
    plain = re.sub(r"(?<=\d),(?=\d)", ".", name.lower())  # a decimal comma
    return set(re.findall(r"rp(?=[a-z])|[a-z]+|\d+(?:\.\d+)?", plain))


def _run(name: str) -> str:
    return re.sub(r"[^a-z0-9.]", "", name.lower()).replace("u.fl", "ufl")
