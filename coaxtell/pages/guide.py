"""What the guide says at each question and each end, on paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

import msgspec

from coaxtell.identifier import words
from coaxtell.identifier.answers import State
from coaxtell.identifier.belief import shortlist_of
from coaxtell.identifier.features import couplings
from coaxtell.identifier.guide import Group, Guide, Question, Way
from coaxtell.identifier.partners import partners_of
from coaxtell.models.acts import Act, before
from coaxtell.models.half import Half
from coaxtell.models.tables import Tables
from coaxtell.models.words import order_words
from coaxtell.models.words import said as said_all
from coaxtell.pages.lifesize import Shown, shown, twin_words

TITLE = "Which port is it?"
EXAMPLES = 4
"""Pictures beside an answer that leads on to another question."""
HOW = (
    "Begin at question 1. At each question take the answer that fits and go where it points.",
    "Where two answers could be right, take either: ports near a limit stand behind both. Where the end does not look "
    "like your port, go back to the last answer you were not sure of.",
)
ONLY = (
    "Only the listed halves are considered, by as few questions as part them. A port that is not on the list ends at "
    "one that is: hold what the end says, pin or socket first, against the port before you join or order."
)
SHARED = "Ends that several ports share"
OF_SHARED = "The questions go no further here: what stands beside each name tells it from the others."
BARE = "Known to exist and not here, since no source gives their sizes"
OF_LIST = "What to see on each once more, what to order for it, and what it is itself."
"""The heading of the ends of a guide to every half and what is said of them; of what has no sizes; of the ports of a
list."""


def opening(halves: Iterable[Half], every: bool) -> tuple[str, ...]:
    """What must hold before the mate comes off and the calliper comes out, then how the guide is read.

    `every` says that all halves of the tables are asked for; else a port of none of them ends wrongly, and it is said.
    """
    listed = () if every else (ONLY,)
    return (*said_all(before([Act.UNSCREW, Act.LOOK, Act.MEASURE], halves)), *HOW, *listed)


class Listed(NamedTuple):
    """Which halves a guide is to, where not to every one: what they are together, and what is said of each, by id."""

    title: str
    notes: Mapping[str, str]


class End(msgspec.Struct, frozen=True):
    """Where the guide ends: a word to find it by, and the halves there."""

    label: str
    halves: tuple[Shown, ...]

    @property
    def several(self) -> bool:
        """Whether questions alone do not tell these halves apart."""
        return len(self.halves) > 1


def ends(guide: Guide, tables: Tables) -> dict[Group, End]:
    """Every end of the guide once; those of several halves are lettered A, B, C in the order they are met."""
    found: dict[Group, End] = {}
    letters = _letters()
    for question in guide.questions():
        for way in question.ways:
            if isinstance(way.to, Group) and way.to not in found:
                halves = [tables.half(half_id) for half_id in way.to.ids]
                label = halves[0].name if len(halves) == 1 else f"end {next(letters)}"
                found[way.to] = End(label, tuple(shown(half, halves) for half in halves))
    return found


class Absent(NamedTuple):
    """Halves of a family that are known to exist without sizes, the families they are taken for, what is known."""

    family: str
    names: tuple[str, ...]
    taken_for: tuple[str, ...]
    known: str


def absent(tables: Tables, ids: Iterable[str]) -> list[Absent]:
    """What may be taken for these halves though no source gives its sizes, unless it is held otherwise than they."""
    there = [tables.half(half_id) for half_id in dict.fromkeys(ids)]
    found: dict[tuple[str, str], tuple[dict[str, None], dict[str, None]]] = {}
    for one in tables.unmeasured.values():
        held = [half for half in there if one.held is None or one.held in couplings(half)]
        taken = [half.family for half in held if half.id in one.mistaken_for]
        if taken:
            names, families = found.setdefault((one.family, one.known), ({}, {}))
            names[one.name] = None
            families.update(dict.fromkeys(taken))
    return [Absent(family, tuple(names), tuple(taken), known) for (family, known), (names, taken) in found.items()]


def not_here(missing: Iterable[Absent]) -> str:
    """The families of these beside those they are taken for, in a sentence; empty where there are none."""
    taken: dict[str, dict[str, None]] = {}
    for one in missing:
        taken.setdefault(one.family, {}).update(dict.fromkeys(one.taken_for))
    listed = "; ".join(f"{family}, taken for {' or '.join(others)}" for family, others in taken.items())
    return f"{BARE}: {listed}. What is known of them stands at the end." if listed else ""


def _letters() -> Iterator[str]:
    """A to Z, then AA to ZZ."""
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    yield from alphabet
    yield from (a + b for a in alphabet for b in alphabet)


def arrow(way: Way, known: dict[Group, End]) -> str:
    """Where an answer leads, as it stands behind the arrow."""
    return f"question {way.to.number}" if isinstance(way.to, Question) else known[way.to].label


def capital(text: str) -> str:
    """The text with a capital at its beginning."""
    return text[:1].upper() + text[1:]


def how(question: Question) -> str:
    """How a question is answered, in words."""
    return words.how(question)


def answer(way: Way) -> str:
    """The words of an answer."""
    return capital(words.way(way))


def behind(way: Way) -> list[str]:
    """The ids of all halves that an answer leads to, in the order they are met."""
    found: dict[str, None] = {}
    open_: list[Question | Group] = [way.to]
    while open_:
        place = open_.pop(0)
        if isinstance(place, Group):
            found.update(dict.fromkeys(place.ids))
        else:
            open_ += [one.to for one in place.ways]
    return list(found)


def examples(way: Way, tables: Tables) -> list[Half]:
    """A few halves of different families that an answer leads to."""
    halves = [tables.half(half_id) for half_id in behind(way)]
    by_family = {half.family.removeprefix("RP-").split(" ")[0]: half for half in reversed(halves)}
    return list(reversed(by_family.values()))[:EXAMPLES]


def fit(half: Half, tables: Tables) -> Half | None:
    """What to order for a port: the best of what mates with it, as where it is named; none where nothing does."""
    return partners_of(shortlist_of(tables.halves, State().setting), half).fit


def said(one: Shown, fits: Half | None, note: str = "") -> list[tuple[str, str]]:
    """What is said of a half at an end and of what fits it, each sentence with its role: plain, quiet or harm.

    `note`: what the list says of it.
    """
    lines = [("plain", note)] if note else []
    lines.append(("plain", capital(one.gender) + "."))
    if one.look_at:
        lines.append(("plain", "Look at: " + "; ".join(one.look_at) + "."))
    if one.twins:
        lines.append(("plain", twin_words(one)))
    told = "Nothing in the tables fits it." if fits is None else f"To order, what fits it: {order_words(fits)}."
    lines.append(("plain", told))
    lines.append(("plain", f"The port itself: {order_words(one.half)}."))
    if one.half.wording:
        lines.append(("quiet", capital(one.half.wording) + "."))
    if one.weak:
        lines.append(("harm", one.weak))
    return lines
