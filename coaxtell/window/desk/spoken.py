"""Sentences of the engines as a person reads them: halves by their names, not by their ids; minus signs as such."""

from __future__ import annotations

import re
from collections.abc import Callable

from coaxtell.models.half import Half

MINUS = re.compile(r"(?<![\w-])-(?=\d)")


def speaker(halves: dict[str, Half]) -> Callable[[str], str]:
    """A function that puts names in place of the ids in a sentence.

    A half after `of` gets its article; an id in brackets stands behind its name already and goes.
    """
    ids = "|".join(re.escape(i) for i in sorted(halves, key=len, reverse=True))
    found = re.compile(rf"( \()?(\bof )?(?<![\w.-])({ids})(?![\w-])(\))?")

    def name(match: re.Match[str]) -> str:
        bracket, before, half_id, end = match.groups(default="")
        if bracket and end:
            return ""
        return f"{bracket}{before}{'the ' if before else ''}{halves[half_id].name}{end}"

    return lambda words: MINUS.sub("\N{MINUS SIGN}", found.sub(name, words))
