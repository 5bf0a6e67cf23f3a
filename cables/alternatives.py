"""What else one could order: the next thicker cables and what they would buy, the next thinner and what it misses."""

from __future__ import annotations

from coaxtell.cables.limits import Legal
from coaxtell.cables.ranking import Choice, Ranked
from coaxtell.cables.reasons import because
from coaxtell.models.catalogue import Reason

_THICKER = 2
"""Thicker cables that are told."""
_WORTH_DB = 0.1
"""A thicker cable that saves less than this buys nothing worth telling [dB]."""


def alternatives(choice: Choice) -> tuple[Reason, ...]:
    """Up to three: two thicker with what they buy, and the next thinner with what it misses."""
    first = choice.first
    if first is None:
        return ()
    own = first.assembly
    offered = [r for r in choice.ranked if r is not first and r.assembly.buildable and _own_ends(r, first)]
    size = own.cable.diameter.nominal
    thicker = [
        r
        for r in offered
        if r.assembly.cable.diameter.nominal > size
        and r.assembly.legal is not Legal.NO
        and own.loss.worst_db - r.assembly.loss.worst_db > _WORTH_DB
    ]
    thinner = [r for r in offered if r.assembly.cable.diameter.nominal <= size and not r.meets]
    thicker.sort(key=lambda r: (r.assembly.cable.diameter.nominal, r.assembly.loss.worst_db))
    thinner.sort(key=lambda r: (r.miss_db, r.assembly.over_limit_db))
    return tuple([_bought(first, r) for r in thicker[:_THICKER]] + [_missed(r) for r in thinner[:1]])


def _own_ends(ranked: Ranked, first: Ranked) -> bool:
    return ranked.assembly.adapter_count <= first.assembly.adapter_count


def _bought(first: Ranked, other: Ranked) -> Reason:
    """What a thicker cable buys over the first, and what it asks for."""
    own, thick = first.assembly, other.assembly
    more = thick.expected_dbm - own.expected_dbm
    code = "else.more_power" if more > _WORTH_DB else "else.lower_setting"
    return because(
        code,
        cable=thick.cable.name,
        diameter_mm=thick.cable.diameter.nominal,
        more_db=more if more > _WORTH_DB else own.power_dbm - thick.power_dbm,
        setting_dbm=thick.power_dbm,
        expected_dbm=thick.expected_dbm,
        bend_mm=thick.cable.bend_once.nominal,
        own_bend_mm=own.cable.bend_once.nominal,
    )


def _missed(ranked: Ranked) -> Reason:
    a = ranked.assembly
    why = ranked.reasons[0] if ranked.missed is None else ranked.missed
    return because("else.misses", cable=a.cable.name, diameter_mm=a.cable.diameter.nominal, why=why)
