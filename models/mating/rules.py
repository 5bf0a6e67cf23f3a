"""The three rules of the trade for a pair: same family, same polarity, opposite gender; each kept, broken, or excepted
where geometry decides otherwise."""

from __future__ import annotations

import msgspec

from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import JOINED, Verdict


class Rule(msgspec.Struct, frozen=True):
    """Whether a pair keeps one rule, and why; none where two families are made to fit each other."""

    kept: bool | None
    why: Reason

    @property
    def state(self) -> Reason:
        """Kept, broken or excepted."""
        return Reason("rule.excepted" if self.kept is None else "rule.kept" if self.kept else "rule.broken")


def _family(half: Half) -> str:
    """The family without its polarity: reverse polarity is the second rule's matter."""
    return half.family.removeprefix("RP-")


def rules(a: Half, b: Half, verdict: Verdict) -> list[Rule]:
    """The three rules for a pair with its verdict, in the order of the trade."""
    families: dict[str, str | Reason] = {"a": a.family, "b": b.family}
    if _family(a) == _family(b):
        family = Rule(True, Reason("rule.one_family", {"family": _family(a)}))
    elif verdict in JOINED:
        family = Rule(None, Reason("rule.made_to_fit", families))
    else:
        family = Rule(False, Reason("rule.two_families", families))
    ours, theirs = Reason(f"polarity.{a.polarity}"), Reason(f"polarity.{b.polarity}")
    polarity = (
        Rule(True, Reason("rule.one_polarity", {"polarity": ours}))
        if a.polarity == b.polarity
        else Rule(False, Reason("rule.two_polarities", {"a": ours, "b": theirs}))
    )
    return [family, polarity, _gender(a, b)]


def _gender(a: Half, b: Half) -> Rule:
    genders = {"a": Reason(f"gender.{a.gender}"), "b": Reason(f"gender.{b.gender}")}
    if a.gender == b.gender == "sexless":
        return Rule(True, Reason("rule.sexless"))
    if "sexless" in (a.gender, b.gender):
        return Rule(False, Reason("rule.not_opposite", genders))
    if a.gender == b.gender:
        return Rule(False, Reason("rule.one_gender", {"gender": genders["a"]}))
    return Rule(True, Reason("rule.opposite", genders))
