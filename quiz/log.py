"""The log of what people did: pure events, from which every score, schedule and verdict is replayed."""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Iterable
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Annotated

import msgspec

from coaxtell.models import unseen
from coaxtell.models.errors import RefusedError
from coaxtell.quiz import words
from coaxtell.quiz.item import Item
from coaxtell.quiz.score import points
from coaxtell.quiz.skills import Skill

AHEAD = timedelta(hours=1)
"""How far the clocks of two machines may differ before an event counts as dated later than now."""

LONGEST_NAME = 200
"""Letters of a person's name that the record keeps."""


Moment = Annotated[datetime, msgspec.Meta(tz=True)]
"""A time with its zone; without one it could be held against no other."""


class Mode(StrEnum):
    """Why a person sat down."""

    PRACTICE = "practice"
    ASSESSMENT = "assessment"


class Stated(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What one try of an assessment asks: facts, strata, which of them harder (a name for each try that lost it), and
    which try it is."""

    facts: list[str]
    strata: list[str]
    harder: list[str]
    number: int
    left_out: list[str] = []
    """Harmful facts of the ports that are too many to be asked."""
    tables: str = ""
    """Check sum of the tables of halves."""
    twins: list[str] = []
    """Harmless pairs beside the facts, asked until they sit too; none in tries begun before there were any."""
    recheck: bool = False
    """True for the short re-check of one who is ready."""


class Started(msgspec.Struct, frozen=True, tag="started", forbid_unknown_fields=True):
    """A sitting began; an assessment says from which ports and with which seed, so that it can be replayed."""

    id: str
    time: Moment
    person: str
    mode: Mode
    seed: int = 0
    site: str = ""
    ports: dict[str, int] = {}
    blueprint: str = ""
    """Fingerprint of the tasks it draws from; a sitting goes on only on the same ones."""
    terms: Stated | None = None
    """What an assessment asks; none in practice and in records of 0.1.0."""

    @property
    def sitting(self) -> str:
        """The sitting it began."""
        return self.id

    @property
    def number(self) -> int:
        """Place in the sitting."""
        return 0


class Answered(msgspec.Struct, frozen=True, tag="answered", forbid_unknown_fields=True):
    """One answer: what was asked, what was chosen and how sure the person was.

    Raises InputError where an option was not offered, the chance is none, or the number is below 1.
    """

    id: str
    time: Moment
    person: str
    sitting: str
    number: int
    kind: str
    a: str
    b: str
    question: str
    options: list[str]
    right: str
    chosen: str
    sure: float
    skills: list[Skill]
    harmful: bool = False
    cell: str = ""
    """The fact it was about; empty in records of 0.1.0."""
    asks: str = ""
    """What it was for in an assessment: a fact, a look-alike, a stratum; empty in practice and in records of 0.1.0."""

    def __post_init__(self) -> None:
        if self.right not in self.options or self.chosen not in self.options:
            raise RefusedError("quiz.not_offered")
        if not 0 <= self.sure <= 1:
            raise RefusedError("quiz.no_chance")
        if self.number < 1:
            raise RefusedError("quiz.numbered")

    @property
    def correct(self) -> bool:
        """True where the right option was chosen."""
        return self.chosen == self.right

    @property
    def points(self) -> float:
        """What the answer earned."""
        return points(self.correct, self.sure)

    @property
    def pair(self) -> str:
        """The two halves it was about, in one order."""
        return "|".join(sorted((self.a, self.b)))


class Signed(msgspec.Struct, frozen=True, tag="signed", forbid_unknown_fields=True):
    """A lead saw a person do what a checklist asks, with real parts or with printed ones of ten times the size."""

    id: str
    time: Moment
    person: str
    by: str
    ports: dict[str, int]
    line: str
    """What was done, as the checklist names it."""
    site: str = ""

    @property
    def sitting(self) -> str:
        """It stands by itself."""
        return self.id

    @property
    def number(self) -> int:
        """Place in the sitting."""
        return 0


class Remark(StrEnum):
    """What whoever relies on an assessment should know of how it was taken."""

    PUT_BACK = "put back"
    """The record lacked so many answers that this machine had seen; they were written into it again."""
    ELSEWHERE = "elsewhere"
    """From this item on it was taken where the machine knew nothing of what came before."""
    WITHOUT_PICTURES = "without pictures"
    """From this item on pictures were described in words."""
    SPLIT = "split"
    """It went on in two places, so that so many numbers were given twice; found in the answers, never written."""
    PRACTISED = "practised"
    """So many answers of practice stand between its own; found in the answers, never written."""


class Noted(msgspec.Struct, frozen=True, tag="noted", forbid_unknown_fields=True):
    """A remark on a sitting."""

    id: str
    time: Moment
    person: str
    sitting: str
    what: Remark
    number: int
    """The item from which on it holds, or how many answers it is about."""


Event = Started | Answered | Signed | Noted


def answered(
    item: Item,
    chosen: str,
    sure: float,
    *,
    event_id: str,
    time: datetime,
    person: str,
    sitting: str,
    number: int,
    cell: str = "",
    asks: str = "",
) -> Answered:
    """The event of an answer to an item; raises InputError where that option was not offered."""
    if chosen not in {option.id for option in item.options}:
        raise RefusedError("quiz.no_answer", chosen=chosen)
    return Answered(
        id=event_id,
        time=time,
        person=person,
        sitting=sitting,
        number=number,
        kind=item.task.kind,
        a=item.task.a,
        b=item.task.b,
        question=words.say(item.question),
        options=[option.id for option in item.options],
        right=item.right,
        chosen=chosen,
        sure=sure,
        skills=list(item.skills),
        harmful=item.harmful,
        cell=cell,
        asks=asks,
    )


ALPHABETS = ("LATIN", "GREEK", "CYRILLIC")
"""Alphabets that share the looks of letters; no word is spelt in two of them (Unicode Technical Standard 39, 5.2)."""


def _mixed(name: str) -> bool:
    """Whether a word of the name is spelt in two alphabets, by which two names that look alike would be two people."""
    words = "".join(letter if letter.isalpha() else " " for letter in name).split()
    return any(len({unicodedata.name(one, " ").split()[0] for one in word} & {*ALPHABETS}) > 1 for word in words)


MOST_MARKS = 4
"""Marks in a row on a letter (Unicode Technical Standard 39, 5.4, which also forbids one of them twice in a row)."""


def stands_for_a_letter(sign: str) -> bool:
    """Whether a sign is a letter of one of the alphabets in another dress (of compatibility, as Unicode calls it)."""
    kind, _, plain = unicodedata.decomposition(sign).partition("> ")
    bases = "".join(chr(int(code, 16)) for code in plain.split()) if kind.startswith("<") else ""
    return any(unicodedata.name(base, " ").split()[0] in ALPHABETS for base in bases)


def _dressed(name: str) -> bool:
    """Whether a letter stands in a dress that shows as a plain one to whoever reads it: of mathematics, of another
    width, or under marks that no spelling has."""
    if any(map(stands_for_a_letter, name)):
        return True
    apart, marks = unicodedata.normalize("NFD", name), 0
    for before, letter in zip(f" {apart}", apart, strict=False):
        marks = marks + 1 if unicodedata.category(letter) in ("Mn", "Me") else 0
        if marks > MOST_MARKS or (marks > 1 and letter == before) or unicodedata.category(letter) == "Me":
            return True
    return False


def one_blank(name: str) -> str:
    """The name with one plain blank where it has several, or one of another width."""
    return " ".join(name.split())


def person_name(text: str) -> str:
    """A name as the record keeps it: any Unicode text, composed, its blanks single and plain, none outside.

    Raises InputError where nothing is left, where it is too long, holds control characters or such as nobody sees,
    spells a word in two alphabets, or dresses up its letters.
    """
    name = unicodedata.normalize("NFC", text).strip()
    if not name:
        raise RefusedError("quiz.no_name")
    if len(name) > LONGEST_NAME:
        raise RefusedError("quiz.long_name", letters=len(name), most=LONGEST_NAME)
    if unseen.acted_on(name):
        raise RefusedError("quiz.broken_name")
    if unseen.holds(name):
        raise RefusedError("quiz.unseen_name")
    if _mixed(name):
        raise RefusedError("quiz.mixed_name")
    if _dressed(name):
        raise RefusedError("quiz.dressed_name")
    return one_blank(name)


_encoder = msgspec.json.Encoder(order="deterministic")
_decoder: msgspec.json.Decoder[Event] = msgspec.json.Decoder(Event)


def encode(event: Event) -> str:
    """The event as one line of JSON, the same text each time."""
    return _encoder.encode(event).decode()


def decode(text: str) -> Event:
    """The event in a line of JSON; raises ValueError where it is none."""
    return _decoder.decode(text)


def digest(body: str) -> str:
    """Check sum of an event's text: finds damage, though not forgery."""
    return hashlib.sha256(body.encode()).hexdigest()


def in_order(events: Iterable[Event]) -> list[Event]:
    """Events in the order in which they are replayed, wherever they were written."""
    return sorted(events, key=lambda event: (event.time, event.sitting, event.number, event.id))


def answers(events: Iterable[Event], mode: Mode | None = None) -> list[Answered]:
    """The answers among the events, those of one mode where it is named."""
    found = list(events)
    if mode is None:
        return [event for event in found if isinstance(event, Answered)]
    sittings = {event.id for event in found if isinstance(event, Started) and event.mode is mode}
    return [event for event in found if isinstance(event, Answered) and event.sitting in sittings]


def as_of(events: Iterable[Event], now: datetime) -> list[Event]:
    """The events with none later than now: what a clock that ran ahead dated later counts as of now."""
    return [
        msgspec.structs.replace(event, time=now) if event.time > now + AHEAD else event for event in in_order(events)
    ]


def ahead(events: Iterable[Event], now: datetime) -> list[Event]:
    """The events that a clock dated later than now."""
    return [event for event in events if event.time > now + AHEAD]


def split(events: Iterable[Event]) -> dict[str, int]:
    """Sittings that went on in two places, with how many answers came under a number that was given already; every
    answer of theirs counts."""
    seen: set[tuple[str, int]] = set()
    found: dict[str, int] = {}
    for event in events:
        if isinstance(event, Answered):
            if (event.sitting, event.number) in seen:
                found[event.sitting] = found.get(event.sitting, 0) + 1
            seen.add((event.sitting, event.number))
    return found
