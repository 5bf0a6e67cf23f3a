"""Bad input, told in one sentence."""

from __future__ import annotations

from functools import cache

from coaxtell.models.catalogue import ENGLISH, MODELS, Catalogue, Reason, Value


class InputError(ValueError):
    """What is wrong, where, and what to do about it, in words for the technician.

    The one class for bad input: the command line prints it and ends with status 2; engines raise it as RefusedError.
    """


class RefusedError(InputError):
    """Bad input that an engine refuses: the code `room.what` of a text in that room's `texts/refused.LANGUAGE.toml`,
    and the values that it quotes."""

    def __init__(self, code: str, **values: Value) -> None:
        super().__init__(code)
        self.room, _, what = code.partition(".")
        self.reason = Reason(f"refused.{what}", values)

    def __str__(self) -> str:
        return self.said()

    def said(self, language: str = ENGLISH) -> str:
        """The sentence in a language."""
        return refusals(self.room).say(self.reason, language)


@cache
def refusals(room: str) -> Catalogue:
    """What the engines of a room say to bad input."""
    below = MODELS if room == "models" else refusals("models")
    return Catalogue(f"coaxtell.{room}", below=below, file="refused.{}.toml")
