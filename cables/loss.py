"""What a run loses on one class, each part apart, and how far the sum may be off."""

from __future__ import annotations

import math
from typing import TypeVar

import msgspec
import numpy as np
from numpy.typing import NDArray

from coaxtell.cables import mismatch
from coaxtell.cables.classes import TABLE_TEMPERATURE_C, CableClass, temperature_factor
from coaxtell.cables.links import Link
from coaxtell.cables.pieces import Piece
from coaxtell.cables.run import Run
from coaxtell.cables.sides import Side
from coaxtell.cables.tables import CableTables, Joints


class Loss(msgspec.Struct, frozen=True):
    """What is lost between the ports, each part apart, and how far the sum may be off [dB]."""

    cable_db: float
    joints_db: float
    adapters_db: float
    inline_db: float
    """What an arrestor, a splitter, a pigtail or jumpers lose."""
    mismatch_db: float
    plus_minus_db: float
    least_cable_db: float
    """What the cable surely loses: the law counts no more than this."""
    worst_cable_db: float
    """What the cable may lose; the rest of the plus-minus does not grow with the length."""

    @property
    def total_db(self) -> float:
        """Cable, joints, adapters, inline parts and mismatch together [dB]."""
        return self.cable_db + self.joints_db + self.adapters_db + self.inline_db + self.mismatch_db

    @property
    def worst_db(self) -> float:
        """The most that may be lost, the plus-minus added [dB]."""
        return self.total_db + self.plus_minus_db


def class_spread(cable: CableClass, figures: Joints) -> float:
    """How far a class's loss may be off, as a share of it: makers' spread, or how far below permitted maxima."""
    return 1 - 1 / (1 + figures.rg_spread.nominal / 100) if cable.by_maxima else figures.maker_spread.nominal / 100


def bench_share(cable: CableClass, tables: CableTables) -> float:
    """How far a class's loss may be off on the bench, as a share of it: makers' spread and the bench's warmth."""
    return class_spread(cable, tables.joints) + tables.joints.temperature.nominal / 100 * tables.arrival.warmth.nominal


def at_ends(figures: Joints, near: float = 0.0, far: float = 0.0) -> tuple[float, float]:
    """What does not pass the antenna, and how far that may be off with the reader's reflection [dB both].

    `near` and `far` are the reflections that reader's and antenna's side bring of their own.
    """
    reader, antenna, worst = (
        mismatch.reflection_of(loss)
        for loss in (
            figures.reader_return_loss.nominal, figures.antenna_return_loss.nominal, figures.antenna_return_loss.low
        )
    )  # fmt: skip
    usual = mismatch.mismatch_loss_db(antenna)
    interaction = mismatch.interaction_db(reader + near, antenna + far)
    return usual, mismatch.mismatch_loss_db(worst) - usual + interaction


Level = TypeVar("Level", float, NDArray[np.float64])


def assembly_db(cable_db: Level, cable: CableClass, tables: CableTables) -> tuple[Level, Level]:
    """What a bare assembly should lose on an analyser, its cable losing so much, and how far that may be off [dB]."""
    joint, analyser = tables.joints.joint_loss, tables.arrival.analyser.nominal
    return cable_db + 2 * joint.nominal, bench_share(cable, tables) * cable_db + (joint.high - joint.low) + analyser


def most_db(expected_db: float, plus_minus_db: float) -> float:
    """The most that a good assembly is taken to lose [dB], down to the hundredth: none passes by the rounding."""
    return math.floor(100 * (expected_db + plus_minus_db) + 1e-9) / 100


def bench_db(piece: Piece, mhz: float, tables: CableTables) -> tuple[float, float]:
    """What an analyser should read on a bare assembly at +25 C, and the most by which arrival passes one [dB both]."""
    expected, plus_minus = assembly_db(piece.cable.loss_db(piece.length_m, mhz), piece.cable, tables)
    return expected, most_db(expected, plus_minus)


Beside = tuple[tuple[Link, ...], tuple[Link, ...]]
"""The adapters and jumpers at either side."""


def loss_of(
    run: Run, cable: CableClass, sides: tuple[Side, Side], tail: Piece | None, beside: Beside, tables: CableTables
) -> Loss:
    figures = tables.joints
    printed = cable.loss_db(run.cable_m, run.frequency_mhz)
    coefficient = figures.temperature
    cable_db = printed * temperature_factor(coefficient.nominal, run.temperature_c)
    joints = sum(max(len(side.joints), 1) for side in sides)
    inline_db, inline_off = 0.0, 0.0
    if run.inline is not None:
        own = run.inline.loss(tables)
        joints += 2
        inline_db, inline_off = own.nominal, (own.high - own.low) / 2
    if tail is not None:
        joints += 1
        tail_db = tail.cable.loss_db(tail.length_m, run.frequency_mhz)
        inline_db, inline_off = inline_db + tail_db, inline_off + tail_db * figures.maker_spread.nominal / 100
    adapters = sum(not link.jumper for side in beside for link in side)
    jumpers = sum(link.jumper for side in beside for link in side)
    # one that stands in an adapter's place has the joints of that, one for the weight alone brings its own
    joints += sum(len(links) > len(side.adapters) for links, side in zip(beside, sides, strict=True))
    inline_db += jumpers * figures.jumper_loss.nominal
    inline_off += jumpers * (figures.jumper_loss.high - figures.jumper_loss.low) / 2
    antenna_db, ends_off = at_ends(figures, *(side.reflection for side in sides))
    mismatch_db = antenna_db + sum(mismatch.mismatch_loss_db(side.reflection) for side in sides)
    spread = class_spread(cable, figures)
    least = cable_db * (1 - spread) if cable.by_maxima else cable_db
    warmth = abs(run.temperature_c - TABLE_TEMPERATURE_C) * (coefficient.high - coefficient.low) / 200
    cable_plus_minus = cable_db * spread + printed * warmth
    plus_minus = (
        cable_plus_minus
        + inline_off
        + joints * (figures.joint_loss.high - figures.joint_loss.low) / 2
        + adapters * (figures.adapter_loss.high - figures.adapter_loss.low) / 2
        + ends_off
    )
    return Loss(
        cable_db=cable_db,
        joints_db=joints * figures.joint_loss.nominal,
        adapters_db=adapters * figures.adapter_loss.nominal,
        inline_db=inline_db,
        mismatch_db=mismatch_db,
        plus_minus_db=plus_minus,
        least_cable_db=least,
        worst_cable_db=cable_db + cable_plus_minus,
    )
