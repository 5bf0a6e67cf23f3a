"""What standards, makers and the trade say of pairs of families: each a fact with its ground and its sources."""

from __future__ import annotations

from functools import cache
from importlib import resources

import msgspec

from coaxtell.models import toml
from coaxtell.models.half import Half

PRACTICE = "practice"
"""Key of the source that stands for common practice: nobody wrote it down where we could read it."""


class Statement(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Two families by key, on what ground they are said to mate or to keep apart, and in the latter case why."""

    a: str
    b: str
    ground: str
    source: list[str]
    says: str = ""

    @property
    def sourced(self) -> bool:
        """Whether a standard, a maker or a reference work says so; common practice alone conditions nothing."""
        return self.source != [PRACTICE]

    def covers(self, one: Half, other: Half) -> bool:
        """Whether the statement is about that pair."""
        return {family_key(one), family_key(other)} == {self.a, self.b} and opposite(one, other)


class Statements(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All statements: that two families mate, which condition the draws where sourced, and that they do not."""

    fits: list[Statement]
    apart: list[Statement]

    def fit(self, a: Half, b: Half) -> Statement | None:
        """The statement that two halves mate; none where nothing states it."""
        keys = a.key is None or b.key is None or a.key.code == b.key.code or a.key.neutral or b.key.neutral
        return next((said for said in self.fits if keys and said.covers(a, b)), None)

    def against(self, a: Half, b: Half) -> Statement | None:
        """The statement that two halves do not go together; none where nothing states it."""
        return next((said for said in self.apart if said.covers(a, b)), None)


def family_key(half: Half) -> str:
    """The key of the family that a half belongs to; of a keyed housing all codes are one family."""
    key = half.id.removesuffix(f"-{half.gender}")
    return key if half.key is None else key.removesuffix(f"-{half.key.code.lower()}")


def opposite(a: Half, b: Half) -> bool:
    """Whether two halves are plug and jack, or both sexless."""
    return {a.gender, b.gender} == {"plug", "jack"} or a.gender == b.gender == "sexless"


@cache
def shipped() -> Statements:
    """The statements that ship with the tables."""
    text = (resources.files("coaxtell.models") / "statements.toml").read_text(encoding="utf-8")
    return msgspec.convert(toml.loads(text), Statements)
