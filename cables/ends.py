"""Which half at a cable's end goes onto a port, from the matings, and which classes take such an end."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import Any, Protocol, TypeVar

import msgspec
from msgspec.structs import replace

from coaxtell.cables.classes import CableClass
from coaxtell.models.half import Half
from coaxtell.models.mating.outcome import JOINED, Verdict

_Made = TypeVar("_Made")

MATES, MATES_WITH_LIMITS, NOT_KNOWN = Verdict.MATES.value, Verdict.LIMITS.value, Verdict.NOT_KNOWN.value


class Joined(Protocol):
    """What of a mating counts here: its verdict and the return loss [dB] it is limited to."""

    @property
    def verdict(self) -> str:
        """One of the six verdicts."""

    @property
    def return_loss_db(self) -> float | None:
        """Return loss of the joint [dB]; none where nothing limits it."""

    @property
    def geometry(self) -> str:
        """The verdict of the numbers as they stand, which is not the one to act on where that is not known."""

    @property
    def may_harm(self) -> bool:
        """Whether harm comes of it too often to be passed over, where that was worked out."""


class Open(msgspec.Struct, frozen=True):
    """A half of which it is not known whether it mates with another, though by their numbers it does."""

    half: Half
    may_harm: bool


class Partner(msgspec.Struct, frozen=True):
    """A half that truly mates with another, with the joint's limits."""

    half: Half
    limited: bool
    return_loss_db: float | None


class Matings:
    """Which of the given halves truly mate, each pair worked out once and only when asked for."""

    def __init__(self, halves: Mapping[str, Half], mate: Callable[[Half, Half], Joined]) -> None:
        self.halves = halves
        self._mate = mate
        self._pairs: dict[tuple[str, str], Partner | None] = {}
        self._open: dict[tuple[str, str], Open] = {}
        self._partners: dict[str, tuple[Partner, ...]] = {}
        self._kept: dict[Hashable, Any] = {}

    def kept(self, key: Hashable, make: Callable[[], _Made]) -> _Made:
        """What `make` gave the first time for this key: a site asks the same of the same halves over and over."""
        if key not in self._kept:
            self._kept[key] = make()
        found: _Made = self._kept[key]
        return found

    def joint(self, port: Half, other: Half) -> Partner | None:
        """`other` as a partner of `port`, or none where the two do not truly mate."""
        key = (port.id, other.id)
        if key not in self._pairs:
            mating = self._mate(port, other)
            partner = None
            if mating.verdict in (MATES, MATES_WITH_LIMITS):
                partner = Partner(other, mating.verdict == MATES_WITH_LIMITS, mating.return_loss_db)
            elif mating.verdict == NOT_KNOWN and mating.geometry in JOINED:
                self._open[key] = Open(other, mating.may_harm)
                self._open[other.id, port.id] = Open(port, mating.may_harm)
            self._pairs[key] = partner
            # A mating reads the same from both sides.
            self._pairs[other.id, port.id] = None if partner is None else replace(partner, half=port)
        return self._pairs[key]

    def verdict(self, one: Half, other: Half) -> str:
        """What becomes of two halves, in the verdict's own word."""
        return str(self._mate(one, other).verdict)

    def left_open(self, port: Half) -> tuple[Open, ...]:
        """The halves of which it is not known whether they mate with a port, though by their numbers they do."""
        self.partners(port)
        return tuple(found for half in self.halves if (found := self._open.get((port.id, half))) is not None)

    def partners(self, port: Half) -> tuple[Partner, ...]:
        """All halves that truly mate with a port, best first: without limits, same line, same family."""
        if port.id not in self._partners:
            found = [p for half in self.halves.values() if (p := self.joint(port, half)) is not None]
            found.sort(
                key=lambda p: (
                    p.limited,
                    p.half.impedance_ohm != port.impedance_ohm,
                    p.half.family != port.family,
                    p.half.id,
                )
            )
            self._partners[port.id] = tuple(found)
        return self._partners[port.id]


def end_key(half: Half) -> str:
    """How the class tables name an end of this kind: its family, with RP- in front where it is reversed.

    A keyed housing counts as its kind, whatever its code: the same cables are sold with each of them.
    """
    family = half.family.removeprefix("RP-") if half.key is None else half.key.kind
    return f"RP-{family}" if half.polarity == "reverse" else family


def takes(cable: CableClass, half: Half) -> bool:
    """True where the class is usually sold with an end of this family, polarity and impedance."""
    line = half.impedance_ohm
    return end_key(half) in cable.ends and (line is None or abs(line - cable.impedance.nominal) < 1)


def end_for(matings: Matings, cable: CableClass, port: Half) -> Partner | None:
    """The best end of this class that truly mates with the port; none where no usual end does."""
    return next((p for p in matings.partners(port) if takes(cable, p.half)), None)
