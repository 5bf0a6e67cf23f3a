"""Reasons as data, and the catalogue that says them: engines give codes with numbers, one place makes sentences.

An engine builds a `Reason` and never a sentence. Each room keeps its texts in `texts/LANGUAGE.toml`, one table a
subject, one text a code, with the numbers as fields in braces (`{gap_mm:.2f}`). Another language is another file.
"""

from __future__ import annotations

from functools import cache
from importlib import resources

import msgspec

from coaxtell.models import toml

ENGLISH = "en"
"""The language that every text exists in; a text that another language lacks is said in it."""


class Reason(msgspec.Struct, frozen=True):
    """One thing to say: its code, `subject.what`, and the values that its text quotes, by name.

    A value is a number, a name that is the same in every language, or a reason of its own; several reasons are said
    one after the other, joined by the text `list.join`.
    """

    code: str
    values: dict[str, float | str | Reason | list[Reason]] = {}


class Catalogue:
    """The texts of one room, and of the rooms below it, in every language that has a file."""

    def __init__(self, package: str, below: Catalogue | None = None) -> None:
        self._package = package
        self._below = below
        self._texts = cache(self._load)

    def _load(self, language: str) -> dict[str, str]:
        found = {} if self._below is None else dict(self._below._texts(language))
        file = resources.files(self._package) / "texts" / f"{language}.toml"
        if file.is_file():
            for subject, texts in toml.loads(file.read_text(encoding="utf-8")).items():
                found |= {f"{subject}.{code}": text for code, text in texts.items()}
        return found

    def texts(self, language: str = ENGLISH) -> dict[str, str]:
        """Every text by its code, English where the language has none of its own."""
        return self._texts(ENGLISH) | self._texts(language)

    def say(self, reason: Reason, language: str = ENGLISH) -> str:
        """The sentence of a reason.

        Raises KeyError where no text has the code or the text quotes a value that the reason lacks: a slip of ours.
        """
        text = self._texts(language).get(reason.code) or self._texts(ENGLISH)[reason.code]
        return text.format(**{name: self._said(value, language) for name, value in reason.values.items()})

    def _said(self, value: float | str | Reason | list[Reason], language: str) -> float | str:
        if isinstance(value, Reason):
            return self.say(value, language)
        if isinstance(value, list):
            join = self._texts(language).get("list.join") or self._texts(ENGLISH)["list.join"]
            return join.join(self.say(one, language) for one in value)
        return value


MODELS = Catalogue("coaxtell.models")
"""What the models' rooms say."""
