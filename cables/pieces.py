"""What a run is made of: its cable in one piece or in two round an inline part, and a pigtail inside an enclosure."""

from __future__ import annotations

import math
from enum import StrEnum

import msgspec

from coaxtell.cables.classes import CableClass
from coaxtell.cables.ends import Matings, end_for, takes
from coaxtell.cables.tables import CableTables
from coaxtell.models.half import Half
from coaxtell.models.measure import Measure

INLINE_PORT = "n-50-jack"
"""The ports of arrestors, splitters and bulkheads, as they are mostly sold (common practice)."""


LONGEST_PIGTAIL_M = 2.0
"""A pigtail runs inside an enclosure, which is no larger than this [m] (assumed)."""


class InlineKind(StrEnum):
    """A part set into a run."""

    ARRESTOR = "arrestor"
    SPLITTER = "splitter"


class Inline(msgspec.Struct, frozen=True):
    """An arrestor or a splitter in a run, so far from the reader [m]."""

    kind: InlineKind
    at_m: float

    def loss(self, tables: CableTables) -> Measure:
        """What its own body loses [dB]."""
        joints = tables.joints
        return joints.arrestor_loss if self.kind is InlineKind.ARRESTOR else joints.splitter_loss

    @property
    def certain_db(self) -> float:
        """What it surely keeps from an antenna [dB]: a splitter sends half the power the other way."""
        return 10 * math.log10(2) if self.kind is InlineKind.SPLITTER else 0.0


class Piece(msgspec.Struct, frozen=True):
    """One made-up cable: class, length [m], its two ends, and whether each is a right-angle one."""

    cable: CableClass
    length_m: float
    ends: tuple[Half | None, Half | None]
    right_angle: tuple[bool, bool] = (False, False)


def pieces(
    cable: CableClass, length_m: float, ends: tuple[Half | None, Half | None], right_angle: tuple[bool, bool],
    inline: Inline | None, matings: Matings,
) -> tuple[Piece, ...]:  # fmt: skip
    """The cable in one piece, or in two that meet at the inline part."""
    if inline is None:
        return (Piece(cable, length_m, ends, right_angle),)
    partner = end_for(matings, cable, matings.halves[INLINE_PORT])
    between = None if partner is None else partner.half
    return (
        Piece(cable, inline.at_m, (ends[0], between), (right_angle[0], False)),
        Piece(cable, length_m - inline.at_m, (between, ends[1]), (False, right_angle[1])),
    )


def pigtail(port: Half, length_m: float, matings: Matings, tables: CableTables) -> Piece | None:
    """A pigtail from a port to a bulkhead jack, of the thinnest class that takes both; none where no class does."""
    bulkhead = matings.halves[INLINE_PORT]
    for cable in sorted(tables.classes.values(), key=lambda c: c.diameter.nominal):
        partner = end_for(matings, cable, port)
        if cable.loss_known and partner is not None and takes(cable, bulkhead):
            return Piece(cable, length_m, (partner.half, bulkhead))
    return None
