"""Sentences of the engines as a person reads them: halves by their names, not by their ids; minus signs as such."""

from __future__ import annotations

import re
from collections.abc import Callable

from coaxtell.models.half import Half

MINUS = re.compile(r"(?<![\w-])-(?=\d)")


def speaker(halves: dict[str, Half]) -> Callable[[str], str]:
    """A function that puts names in place of the ids in a sentence; a half after `of` gets its article."""
    ids = sorted(halves, key=len, reverse=True)
    found = re.compile(r"(\bof )?(?<![\w.-])(" + "|".join(re.escape(i) for i in ids) + r")(?![\w-])")

    def name(match: re.Match[str]) -> str:
        before = match[1] or ""
        return f"{before}{'the ' if before else ''}{halves[match[2]].name}"

    return lambda words: MINUS.sub("\N{MINUS SIGN}", found.sub(name, words))
