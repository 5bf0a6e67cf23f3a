"""Families that are stated to mate, joined to clans: their unsure numbers are known only together."""

from __future__ import annotations

from typing import NamedTuple

from coaxtell.models.half import Half
from coaxtell.models.statements import Statement, Statements, family_key, opposite
from coaxtell.models.tables import Tables


class Clan(NamedTuple):
    """Halves whose numbers are drawn together, under a name, and the pairs of them that are stated to mate.

    `stated` by a source, which conditions the draws; `practice` by common practice alone, which does not.
    """

    name: str
    halves: dict[str, Half]
    stated: list[tuple[str, str]]
    practice: list[tuple[str, str]]


def clans(known: Tables, said: Statements) -> list[Clan]:
    """The clans of all halves; of a keyed housing one code stands for all.

    Families of reverse polarity belong to their standard kind, and a family based on another to that, since they
    share numbers; a family that nothing is stated of, such as one's own, is a clan of its own.
    """
    families: dict[str, list[Half]] = {}
    for half in known.halves.values():
        own = families.setdefault(family_key(half), [])
        if not any(other.gender == half.gender for other in own):
            own.append(half)
    root = {key: key for key in families}

    def top(key: str) -> str:
        while root[key] != key:
            key = root[key]
        return key

    ties = [(fit.a, fit.b) for fit in said.fits if fit.a in families and fit.b in families]
    ties += [(key, table.reverse_key) for key, table in known.families.items() if table.reverse_key in families]
    told = {fit.a for fit in said.fits} | {fit.b for fit in said.fits}
    ties += [(table.based_on, key) for key, table in known.families.items() if {key, table.based_on} <= told]
    for one, other in ties:
        first, second = sorted((top(one), top(other)), key=list(families).index)
        root[second] = first
    found: list[Clan] = []
    for name in families:
        if root[name] == name:
            members = [half for key, own in families.items() if top(key) == name for half in own]
            stated, practice = (
                [pair for fit in said.fits if fit.sourced is sourced for pair in _pairs(fit, members)]
                for sourced in (True, False)
            )
            found.append(Clan(name, {half.id: half for half in members}, stated, practice))
    return found


def _pairs(fit: Statement, members: list[Half]) -> list[tuple[str, str]]:
    """The pairs of halves that a statement is about, each once, the plug first."""
    return [
        (one.id, other.id)
        for one in members
        for other in members
        if one.gender in ("plug", "sexless") and opposite(one, other) and fit.covers(one, other)
    ]
