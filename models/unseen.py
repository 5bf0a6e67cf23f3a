"""Signs in a name that nobody sees, that turn the direction of those behind them, or that a terminal acts on."""

from __future__ import annotations

import re
import unicodedata

UNSEEN = re.compile(
    "[\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f\u2800\u3164"
    "\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufffb\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff]"
)
"""Letters that show nothing or turn the direction of those behind them: Default_Ignorable_Code_Point of the Unicode
Character Database, without the joiners, and the blank of Braille."""
JOINERS = "\u200c\u200d"
"""They shape letters of Arabic and of Indian scripts, and nothing else."""


def holds(name: str) -> bool:
    """Whether a name holds a letter that nobody sees, by which two names that look alike would be two."""
    inside = zip(f" {name}", name, f"{name[1:]} ", strict=False)
    stray = any(
        letter in JOINERS and not all(unicodedata.category(beside) in ("Lo", "Mn", "Mc") for beside in (before, after))
        for before, letter, after in inside
    )
    return stray or UNSEEN.search(name) is not None


def acted_on(name: str) -> bool:
    """Whether a name holds a sign that a terminal acts on or a line ends at."""
    return any(unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp") for letter in name)


def written_out(text: str, but: str = "") -> str:
    """The text with every such sign as Python writes it, save those `but`."""
    if text.isprintable():
        return text
    return "".join(
        ascii(c)[1:-1] if c not in but and unicodedata.category(c).startswith(("C", "Zl", "Zp")) else c for c in text
    )
