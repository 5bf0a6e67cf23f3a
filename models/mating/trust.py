"""How far the tables can be trusted: shares by grade, sources that disagree, families that share their numbers, and
verdicts that rest on memory or assumption."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from itertools import combinations, combinations_with_replacement
from typing import NamedTuple

from coaxtell.models import tables
from coaxtell.models.catalogue import Reason
from coaxtell.models.family import Dispute, Kin
from coaxtell.models.half import Half
from coaxtell.models.mating.doubts import listed
from coaxtell.models.mating.mate import Mating, mate
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.numbers import named, walk
from coaxtell.models.profile import profile
from coaxtell.models.tables import Tables
from coaxtell.models.threads import limits

COMMON = 0.5
"""Share of its mating-critical numbers that a family may have in common with another without saying so."""


class Conflict(NamedTuple):
    """A number on which sources disagree: its half, what it is called, and the measure with its rivals."""

    half: str
    number: Reason
    measure: Measure


class Shared(NamedTuple):
    """Two families, by key, and the share of the smaller one's mating-critical numbers that both have."""

    one: str
    other: str
    share: float


def grades(halves: Iterable[Half]) -> dict[Grade, int]:
    """How many numbers of some halves have each grade, best first; grades that none has are left out."""
    count = Counter(measure.grade for half in halves for _, measure in walk(half))
    return {grade: count[grade] for grade in Grade if count[grade]}


def members(known: Tables) -> dict[str, list[Half]]:
    """The halves of each family as the trade calls it: the reverse pair apart, of a keyed housing one code."""
    found: dict[str, list[Half]] = {}
    codes: dict[str, str] = {}
    for half in known.halves.values():
        if half.key is not None and codes.setdefault(half.key.kind, half.key.code) != half.key.code:
            continue
        family = half.family if half.key is None else half.family.removesuffix(f" {half.key.code}")
        ohm = f" {half.impedance_ohm:g} ohm" if half.impedance_ohm is not None else ""
        found.setdefault(family + ohm, []).append(half)
    return found


def conflicts(known: Tables) -> list[Conflict]:
    """Every number for which another source gives another value, once each."""
    found: list[Conflict] = []
    for half in known.halves.values():
        for path, measure in walk(half):
            if measure.against and not any(measure == other.measure for other in found):
                found.append(Conflict(half.id, named(half, path), measure))
    return found


def disputes(known: Tables) -> list[Dispute]:
    """Every statement on which sources disagree, once, though a family based on another inherits it."""
    return list({d.about: d for family in known.families.values() for d in family.disputes}.values())


def critical_numbers(half: Half) -> set[tuple[str, float]]:
    """The numbers that decide what a half mates with: diameters of its faces by role, coupling, contact [mm]."""
    p = profile(half)
    faces = (*p.fixed, *p.moving)
    found: set[tuple[str, float]] = {(face.role, 2 * r) for face in faces for r in (face.r0, face.r1) if r > 0}
    if p.thread is not None:
        thread = p.thread.thread
        sign = 1 if thread.hand == "right" else -1
        found |= {("pitch", sign * thread.pitch_mm), ("crest", limits(thread).major_max)}
    if p.lugs is not None:
        found |= {("lugs", p.lugs.over), ("lug", p.lugs.stud)}
    if p.ramps is not None:
        found |= {("slot", p.ramps.width), ("sleeve", p.ramps.bore)}
    if p.snap is not None:
        found |= {("bead", p.snap.bead), ("bead at", p.snap.z)}
    if p.groove is not None:
        found |= {("lip", p.groove.lip), ("groove", p.groove.floor), ("groove at", p.groove.z)}
    found.add(("rim", p.rim))
    return {(name, round(value, 3)) for name, value in found}


def shared_numbers(known: Tables) -> list[Shared]:
    """Pairs of families that have more than COMMON of their mating-critical numbers in common."""
    numbers: dict[str, set[tuple[str, float]]] = {}
    for key in known.families:
        own = [h for h in known.halves.values() if h.polarity == "standard" and h.id.startswith(f"{key}-")]
        own += [known.halves[key]] if key in known.halves else []
        genders = {h.gender: h for h in own if _of_family(h, key, known)}
        numbers[key] = {
            (f"{gender} {name}", value) for gender, h in genders.items() for name, value in critical_numbers(h)
        }
    found: list[Shared] = []
    for (one, a), (other, b) in combinations(numbers.items(), 2):
        both = {name.split()[0] for name, _ in a} & {name.split()[0] for name, _ in b}
        a, b = ({number for number in side if number[0].split()[0] in both} for side in (a, b))
        share = len(a & b) / min(len(a), len(b)) if a and b else 0.0
        if share > COMMON:
            found.append(Shared(one, other, share))
    return found


def _of_family(half: Half, key: str, known: Tables) -> bool:
    """Whether a half's id belongs to that family key and to no longer one, such as smb-75 beside smb."""
    return not any(k != key and k.startswith(f"{key}-") and half.id.startswith(f"{k}-") for k in known.families)


def kin(known: Tables, one: str, other: str) -> list[Kin]:
    """What the tables say of two families that share numbers, directly or through a third; empty where nothing."""
    ways: dict[str, list[tuple[str, Kin]]] = {}
    for key, family in known.families.items():
        for said in family.shares:
            ways.setdefault(key, []).append((said.key, said))
            ways.setdefault(said.key, []).append((key, said))
    reached: dict[str, list[Kin]] = {one: []}
    waiting = [one]
    while waiting:
        here = waiting.pop(0)
        for there, said in ways.get(here, []):
            if there not in reached:
                reached[there] = [*reached[here], said]
                waiting.append(there)
    return reached.get(other, [])


def resting(halves: Iterable[Half]) -> list[Mating]:
    """The matings of all pairs whose verdict a memory or assumed number can move, with the names of those numbers."""
    shipped, in_doubt = tables.load().halves, listed()

    def may(a: Half, b: Half) -> bool:
        """Of two that ship the list says whether it is worth a mating."""
        ships = shipped.get(a.id) is a and shipped.get(b.id) is b
        return not ships or frozenset((a.id, b.id)) in in_doubt

    found = (mate(a, b) for a, b in combinations_with_replacement(list(halves), 2) if may(a, b))
    return [mating for mating in found if mating.depends_on]
