"""Reasons as data, and the catalogue that says them: engines give codes with numbers, one place makes sentences.

An engine builds a `Reason` and never a sentence. Each room keeps its texts in `texts/LANGUAGE.toml`, one table a
subject, one text a code, with the numbers as fields in braces (`{gap_mm:.2f}`). Another language is another file.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from functools import cache
from importlib import resources
from string import Formatter
from types import MappingProxyType
from typing import Any

import msgspec

from coaxtell.models import toml

ENGLISH = "en"
"""The language that every text exists in; a text that another language lacks is said in it."""


class Reason(msgspec.Struct, frozen=True):
    """One thing to say: its code, `subject.what`, and the values that its text quotes, by name.

    A value is a number, a name, or a reason of its own. A name is English and stands as it is, where a language has no
    text `word.NAME` for it; several reasons are said one after the other, joined by the text `SUBJECT.join` of the code
    that lists them, or by `list.join`.
    """

    code: str
    values: Mapping[str, Value] = {}


Value = float | str | Reason | list[Reason]
"""What a text may quote."""


def called(one: Enum) -> Reason:
    """What a member of an enumeration is called: the text `class.member`; its value stands in files alone."""
    return Reason(f"{type(one).__name__.lower()}.{one.name.lower()}")


class Catalogue:
    """The texts of one room, and of the rooms below it, in every language that has a file in `texts`."""

    def __init__(self, package: str, below: Catalogue | None = None, file: str = "{}.toml") -> None:
        self._package, self._file = package, file
        self._below = below
        self.texts = cache(self._load)
        """Every text by its code in a language, English where the language has none of its own."""

    def _load(self, language: str = ENGLISH) -> dict[str, str]:
        found = {} if self._below is None else dict(self._below.texts(language))
        for name in (ENGLISH, language):
            file = resources.files(self._package) / "texts" / self._file.format(name)
            if file.is_file():
                for subject, texts in toml.loads(file.read_text(encoding="utf-8")).items():
                    found |= {f"{subject}.{code}": text for code, text in texts.items()}
        return found

    def say(self, reason: Reason, language: str = ENGLISH, names: Mapping[str, str] = MappingProxyType({})) -> str:
        """The sentence of a reason; `names` are what the language calls names that no text of `word` holds.

        Raises KeyError where no text has the code or the text quotes a value that the reason lacks: a slip of ours.
        """
        texts = self.texts(language)
        write = _Commas().format if texts.get("list.decimal") == "," else str.format
        join = texts.get(f"{reason.code.split('.')[0]}.join", texts["list.join"])

        def said(value: Value) -> float | str:
            if isinstance(value, list):
                return join.join(filter(None, (self.say(one, language, names) for one in value)))
            if isinstance(value, str):
                return names.get(value) or texts.get(f"word.{value}", value)
            return self.say(value, language, names) if isinstance(value, Reason) else value

        return write(texts[reason.code], **{name: said(value) for name, value in reason.values.items()})


class _Commas(Formatter):
    """Writes numbers with a decimal comma, in whatever format."""

    def format_field(self, value: Any, format_spec: str) -> str:
        text: str = super().format_field(value, format_spec)
        return text.replace(".", ",") if isinstance(value, (int, float)) else text


MODELS = Catalogue("coaxtell.models")
"""What the models' rooms say."""


def tell(code: str, **values: Value) -> str:
    """What the models say to a code and its values."""
    return MODELS.say(Reason(code, values))


def word(one: Enum) -> str:
    """What a member of an enumeration of the models is called."""
    return MODELS.say(called(one))


@cache
def piece(name: str, **values: str) -> str:
    """What a part, a face or a step that no table names is called."""
    return tell(f"piece.{name}", **values)
