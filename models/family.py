"""What one table file states of a family, and the halves that follow from it."""

from __future__ import annotations

from typing import Literal

import msgspec

from coaxtell.models.errors import RefusedError
from coaxtell.models.half import (
    Centre,
    Gender,
    Groove,
    Half,
    Key,
    Lugs,
    Notches,
    Nut,
    Ramps,
    Ring,
    Snap,
    Teeth,
    Thread,
    Turned,
)
from coaxtell.models.measure import Measure
from coaxtell.models.reverse import reverse

GENDERS: tuple[Gender, ...] = ("plug", "jack", "sexless")


class FamilyThread(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The thread that plug and jack share, with the tolerance class of either side."""

    size: str
    major: Measure
    outside: Literal["2A", "6g"]
    inside: Literal["2B", "6H"]
    tpi: Measure | None = None
    pitch: Measure | None = None
    hand: Literal["right", "left"] = "right"

    def cut(self, tolerance: Literal["2A", "2B", "6g", "6H"]) -> Thread:
        """The thread of one half."""
        return Thread(
            size=self.size, major=self.major, tolerance=tolerance, tpi=self.tpi, pitch=self.pitch, hand=self.hand
        )


class NutTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A moving part as a table states it: without ramps it carries the family's thread."""

    body: Turned
    ramps: Ramps | None = None
    slides: bool = False


class KeyTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The codes of a keyed housing: letter to colour, and which letter goes with all."""

    kind: str
    colours: dict[str, str]
    source: list[str]
    neutral: str = ""


class HalfTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One half as a table states it."""

    shell: Turned
    centre: Centre
    trade_names: list[str] = []
    insulator: list[Ring] = []
    lugs: Lugs | None = None
    nut: NutTable | None = None
    snap: Snap | None = None
    groove: Groove | None = None
    housing: Turned | None = None
    teeth: Teeth | None = None
    notches: Notches | None = None
    finish: Literal["gold", "nickel", "steel", "brass"] = "nickel"


class Kin(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Another family, by its key, whose numbers this one shares on purpose, with the reason and its sources.

    Raises InputError where reason or source is missing.
    """

    key: str
    why: str
    source: list[str]

    def __post_init__(self) -> None:
        if not self.why.strip() or not self.source:
            raise RefusedError("models.share_bare", key=self.key)


class Dispute(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A statement that is no number and on which sources disagree: what is taken and what others say instead.

    Raises InputError where one of the sides or its sources is missing.
    """

    about: str
    taken: str
    source: list[str]
    instead: str
    against: list[str]

    def __post_init__(self) -> None:
        if not (self.about.strip() and self.taken.strip() and self.instead.strip() and self.source and self.against):
            raise RefusedError("models.dispute_bare", about=self.about)


class FamilyTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One family as its file states it.

    Raises InputError where the key cannot be part of an id.
    """

    key: str
    family: str
    bore: Measure
    er: Measure
    plug: HalfTable | None = None
    jack: HalfTable | None = None
    sexless: HalfTable | None = None
    thread: FamilyThread | None = None
    impedance: Measure | None = None
    precision: bool = False
    """Whether its ports are made and kept to gauge-room figures, so that nothing but a gauge touches their faces."""
    like_high_voltage: list[str] = []
    """Families for high voltage that look like this one."""
    top: Measure | None = None
    torque: Measure | None = None
    reverse_key: str = ""
    reverse_family: str = ""
    reverse_tip: Measure | None = None
    """Where the pin of the reverse jack ends [z, mm], where it was measured."""
    based_on: str = ""
    wording: str = ""
    keys: KeyTable | None = None
    shares: list[Kin] = []
    disputes: list[Dispute] = []

    def __post_init__(self) -> None:
        if not self.key or not self.key.replace("-", "").replace(".", "").isalnum() or not self.key.isascii():
            raise RefusedError("models.key_letters", key=self.key)
        if self.key != self.key.lower():
            raise RefusedError("models.key_case", key=self.key)


Held = Literal["thread-outside", "thread-inside", "lugs", "bayonet-sleeve", "smooth", "sleeve", "housing"]
"""How a half is seen to be held to its mate."""


class Unmeasured(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A half that is known to exist but of which no source gives the sizes: named, never drawn, never judged.

    `known` says in words what is known of it; `held` how it is seen to be held to its mate, in the word of that look,
    where that is known; `mistaken_for` names drawn halves that people take it for; `high_voltage` marks what may carry
    kilovolts.

    Raises InputError where family, what is known or source is missing.
    """

    family: str
    gender: Gender
    known: str
    source: list[str]
    held: Held | None = None
    mistaken_for: list[str] = []
    high_voltage: bool = False

    def __post_init__(self) -> None:
        if not self.family.strip() or not self.known.strip() or not self.source:
            raise RefusedError("models.unmeasured_bare")

    @property
    def name(self) -> str:
        """What the half is called."""
        return self.family if self.gender == "sexless" else f"{self.family} {self.gender}"


def _threads_placed(gender: Gender, own: HalfTable) -> None:
    """Refuse a thread where none can be: it stands outside on the shell or inside in the nut."""
    wrong = [("shell", own.shell.inside)]
    if own.nut is not None:
        wrong.append(("nut", own.nut.body.outside))
    if own.housing is not None:
        wrong.append(("housing", [*own.housing.inside, *own.housing.outside]))
    for part, steps in wrong:
        if any(step.thread for step in steps):
            raise RefusedError("models.thread_place", gender=gender, part=part)


def _half(table: FamilyTable, gender: Gender, own: HalfTable) -> Half:
    _threads_placed(gender, own)
    on_shell = any(step.thread for step in own.shell.outside)
    nut = None
    if own.nut is not None:
        in_nut = any(step.thread for step in own.nut.body.inside)
        if in_nut and table.thread is None:
            raise RefusedError("models.nut_no_thread", gender=gender)
        thread = table.thread.cut(table.thread.inside) if in_nut and table.thread is not None else None
        nut = Nut(body=own.nut.body, thread=thread, ramps=own.nut.ramps, slides=own.nut.slides)
    if on_shell and table.thread is None:
        raise RefusedError("models.shell_no_thread", gender=gender)
    ohm = table.impedance.nominal if table.impedance is not None else None
    name = table.family if gender == "sexless" else f"{table.family} {gender}"
    if ohm is not None and table.key.endswith(f"-{ohm:g}"):
        name += f" {ohm:g} ohm"
    return Half(
        id=table.key if gender == "sexless" else f"{table.key}-{gender}",
        family=table.family,
        gender=gender,
        polarity="standard",
        impedance=table.impedance,
        name=name,
        trade_names=own.trade_names,
        bore=table.bore,
        top_ghz=table.top,
        torque_nm=table.torque,
        er=table.er,
        shell=own.shell,
        centre=own.centre,
        insulator=own.insulator,
        thread=table.thread.cut(table.thread.outside) if on_shell and table.thread is not None else None,
        lugs=own.lugs,
        nut=nut,
        snap=own.snap,
        groove=own.groove,
        housing=own.housing,
        teeth=own.teeth,
        notches=own.notches,
        wording=table.wording,
        precision=table.precision,
        like_high_voltage=table.like_high_voltage,
        finish=own.finish,
    )


def _keyed(half: Half, keys: KeyTable) -> list[Half]:
    """One half per code of the housing."""
    return [
        msgspec.structs.replace(
            half,
            id=f"{half.id.removesuffix('-' + half.gender)}-{code.lower()}-{half.gender}",
            family=f"{half.family} {code}",
            name=f"{half.family} {code} {half.gender}",
            key=Key(kind=keys.kind, code=code, colour=colour, neutral=code == keys.neutral),
        )
        for code, colour in keys.colours.items()
    ]


def halves_of(table: FamilyTable) -> list[Half]:
    """The halves of a family, the reverse pair and the codes of a keyed housing included.

    Raises InputError where the table states no half or contradicts itself.
    """
    halves = [
        _half(table, gender, own)
        for gender, own in zip(GENDERS, (table.plug, table.jack, table.sexless), strict=True)
        if own is not None
    ]
    if not halves:
        raise RefusedError("models.no_half_stated")
    if table.reverse_key:
        if len(halves) != 2:
            raise RefusedError("models.reverse_alone")
        halves += reverse(
            halves[0], halves[1], table.reverse_key, table.reverse_family or f"RP-{table.family}", table.reverse_tip
        )
    if table.keys is not None:
        halves = [keyed for half in halves for keyed in _keyed(half, table.keys)]
    return halves
