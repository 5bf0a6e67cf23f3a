"""The skills: what the trade decides by, and which of them a pair of halves calls for."""

from __future__ import annotations

from enum import StrEnum

from coaxtell.models.half import Half
from coaxtell.models.mating.mate import JOINED, Verdict


class Skill(StrEnum):
    """One thing a person must be able to decide."""

    GENDER = "gender by thread"
    POLARITY = "polarity by pin"
    SIZE = "family by size"
    RULES = "the three rules"
    IMPEDANCE = "impedance"
    LOOK_ALIKES = "look-alike pairs"
    SNAP_ON = "snap-on wording"
    HARM = "what a wrong pair does"
    ORDER = "the end to order"
    CABLE = "cable by distance and band"


PAIR = "pair "
"""How the name of a confused pair begins, where skills and pairs are practised side by side."""


def line(half: Half) -> str:
    """What is one family to the hand: reverse polarity and the codes of a keyed housing are left out."""
    return half.family.removeprefix("RP-") if half.key is None else half.key.kind


def by_snap(half: Half) -> bool:
    """True where body and contact disagree on the gender without reverse polarity, as with snap-on families."""
    contact_plug = half.centre.pin is not None
    return half.polarity == "standard" and half.gender != "sexless" and contact_plug != (half.gender == "plug")


def by_wording(a: Half, b: Half) -> bool:
    """True for two halves of one family whose words for body and contact disagree: one may be ordered as the other."""
    return by_snap(a) and by_snap(b) and line(a) == line(b)


def of_pair(a: Half, b: Half, verdict: Verdict) -> tuple[Skill, ...]:
    """The skills that decide a mating: each rule the pair breaks, and what the wrong pair does."""
    found = _differing(a, b)
    if by_wording(a, b):
        found.append(Skill.SNAP_ON)
    elif a.gender == b.gender:
        found.append(Skill.GENDER)
    if verdict in (Verdict.DAMAGES, Verdict.NO_CONTACT):
        found.append(Skill.HARM)
    if verdict in JOINED:
        found.append(Skill.RULES)
    return tuple(found) or (Skill.RULES,)


def parted_by(a: Half, b: Half) -> tuple[Skill, ...]:
    """The skills that tell two halves apart."""
    if by_wording(a, b) and a.gender != b.gender:
        return (Skill.SNAP_ON,)
    found = _differing(a, b)
    if a.gender != b.gender:
        found.append(Skill.GENDER)
    return tuple(found) or (Skill.LOOK_ALIKES,)


def _differing(a: Half, b: Half) -> list[Skill]:
    """What differs between two halves beside their gender."""
    found: list[Skill] = []
    if a.polarity != b.polarity:
        found.append(Skill.POLARITY)
    if line(a) != line(b):
        found.append(Skill.SIZE)
    elif a.key != b.key:
        found.append(Skill.LOOK_ALIKES)
    elif a.impedance_ohm != b.impedance_ohm:
        found.append(Skill.IMPEDANCE)
    return found
