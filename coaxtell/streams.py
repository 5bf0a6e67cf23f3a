"""The standard streams as they are found: closed ones stand empty, and signs that one cannot write get plain ones."""

from __future__ import annotations

import codecs
import contextlib
import io
import os
import sys
import unicodedata

from coaxtell.models import unseen

PLAIN = {
    "−": "-", "–": "-", "—": "-", "‐": "-", "±": "+-", "×": "x", "·": ".", "…": "...", "→": "->", "≥": ">=", "≤": "<=",
    "°": " deg", "⌀": "dia ", "□": "sq ", "µ": "u", "μ": "u", "Ω": "ohm", "✓": "v", "✗": "x", "▀": "#", "█": "#",
    "“": '"', "”": '"', "‘": "'", "’": "'", "″": '"', "′": "'", "ß": "ss", "ø": "o", "Ø": "O", "æ": "ae", "Æ": "AE",
    "ł": "l", "Ł": "L", "đ": "d",
}  # fmt: skip
"""What stands in for a sign where a stream cannot write it; letters with marks lose their marks."""


def plain(text: str) -> str:
    """The text in signs that every stream can write; what has no stand-in is a question mark."""
    found = []
    for sign in text:
        bare = unicodedata.normalize("NFKD", PLAIN.get(sign, sign)).replace("\N{FRACTION SLASH}", "/")
        kept = "".join(c for c in bare if c.isascii())
        found.append(kept or ("" if unicodedata.category(sign) in ("Mn", "Cf") else "?"))
    return "".join(found)


def _stand_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain(error.object[error.start : error.end]), error.end


codecs.register_error("plain", _stand_in)


def prepare() -> None:
    """Make the standard streams fit to be used: a closed one takes or gives nothing, and none fails on a sign."""
    # a stream that was closed before the program began is none at all
    if sys.stdin is None:
        sys.stdin = open(os.devnull, encoding="utf-8")  # noqa: SIM115
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="plain")


def unheard() -> None:
    """From here on nothing that a library writes by itself reaches the person: notices about its caches and drivers."""
    with contextlib.suppress(OSError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)


def beside(text: str, end: str = "\n", before: str = "") -> None:
    """Say something on standard error, beside what was asked for; where nobody hears it that is done all the same.

    What a terminal acts on is written out, save the line ends of the text and what the program itself puts `before` it.
    """
    shown = unseen.written_out(text, but="\n")
    try:
        sys.stderr.write(f"{before}{shown}{end}")
        sys.stderr.flush()
    except OSError:
        give_up("stderr")


def told(sentence: str) -> None:
    """Say a sentence on standard error, under the program's name, on one line; as `beside`."""
    beside(unseen.written_out(f"coaxtell: {sentence}"))


def give_up(name: str = "stdout") -> None:
    """A standard stream cannot be written any more: what is left in it goes nowhere, so that the end is quiet."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), getattr(sys, name).fileno())
    except (OSError, ValueError):
        setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
