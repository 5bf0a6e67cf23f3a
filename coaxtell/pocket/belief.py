"""The tables of the belief for the page: what each half shows, how people misread it, how often it is met.

The page's engine reads these and nothing else; what Python computes from the halves it does not compute again.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from coaxtell.identifier import contradiction, contrast, instruments, likelihood, looks, misfit, question
from coaxtell.identifier.answers import Saw, State, Term
from coaxtell.identifier.belief import Shortlist
from coaxtell.identifier.draws import COUNT, DIGITS, Array
from coaxtell.identifier.features import BAYONETS, HELD_BESIDE, PRINTED, SEEN, Feature, coupling, couplings
from coaxtell.identifier.outlook import FAINT
from coaxtell.models.acts import NEEDS, Act, Need, from_afar
from coaxtell.models.half import Half
from coaxtell.pocket.packed import packed


def tables(halves: list[Half]) -> dict[str, Any]:
    """All that the page's engine needs, ready for JSON; the halves in the order that their numbers stand in."""
    known = looks.load()
    shortlists = {setting: Shortlist(halves, setting) for setting in known.settings}
    first = next(iter(shortlists.values()))
    return {
        "ids": list(first.ids),
        "orderOf": first.order_of.tolist(),
        "orders": len(first.orders),
        "care": first.care.tolist(),
        "draws": COUNT,
        "usual": list(known.table.levels).index(contradiction.USUAL),
        "nothing": likelihood.NOTHING,
        "cells": {"reach": likelihood.CELL_REACH, "spreads": likelihood.CELL_SPREADS},
        "contrast": {
            "tells": contrast.TELLS,
            "telling": contrast.TELLING,
            "glance": [feature.value for feature in contrast.AT_A_GLANCE],
        },
        "readingReach": contradiction.READING_REACH,
        "instruments": [{"name": n, "off": _off(n, known)} for n in instruments.names(known)],
        "steps": 10**DIGITS,
        "elsewhere": {
            "share": known.table.elsewhere.share.nominal,
            "spread": known.table.elsewhere.spread.nominal,
        },
        "secondLooks": [feature.value for feature in misfit.DECIDE],
        "centreTold": [feature.value for feature in question.CENTRE_TOLD],
        "quickCentre": [Feature.CENTRE.value, Feature.TOUCH.value],
        "unlikely": misfit.UNLIKELY,
        "beyond": misfit.BEYOND,
        "sizeSteps": 10**misfit.SIZE_DIGITS,
        "toldApart": [question.LIKELIEST, question.OTHERS],
        "finer": {feature.value: [one.value for one in finer] for feature, finer in misfit.FINER.items()},
        "acts": _acts(halves),
        "stopping": {
            "few": question.FEW,
            "nearEnd": question.NEAR_THE_END,
            "nearlyBest": question.NEARLY_BEST,
            "tried": question.TRIED,
            "faint": FAINT,
            "tie": question.TIE,
            "wrongOrder": known.table.stopping.wrong_order.nominal,
            "pictured": question.PICTURED,
        },
        "settings": {name: {"prior": one.prior.tolist()} for name, one in shortlists.items()},
        "begins": begins(shortlists),
        "features": [_feature(feature, first, shortlists) for feature in Feature],
    }


def begins(shortlists: dict[str, Shortlist]) -> dict[str, str]:
    """The look to take first in every setting with every instrument, and after each answer of it where nobody has set
    anything: what the page asks before its own tables are worked out."""
    found: dict[str, str] = {}
    for setting, shortlist in shortlists.items():
        for instrument in instruments.names(shortlist.looks):
            state = State(setting, instrument)
            states = {"": state}
            asked = question.next_look(shortlist, state)
            if state == State() and asked is not None and asked.feature in SEEN:
                values = shortlist.outcomes(asked.feature).names
                states |= {f" {asked.feature}={value}": state.tell(asked.feature, Saw(value)) for value in values}
            off = _off(instrument, shortlist.looks)
            for said, one in states.items():
                look = question.next_look(shortlist, one)
                if look is not None and not look.again:
                    found[f"{setting} {'' if off is None else f'{off:g}'}{said}"] = look.feature.value
    return found


def _off(instrument: str, known: looks.Looks) -> float | None:
    """How far a reading may be off [mm]; none where there is nothing to measure with."""
    found = instruments.plus_minus(instrument, known)
    return found if math.isfinite(found) else None


def _acts(halves: list[Half]) -> dict[str, Any]:
    """What decides on the acts that may be proposed: the terms, the needs, and the halves that are delicate."""
    places = range(len(halves))
    return {
        "lookOnly": Term.LOOK_ONLY.value,
        "noReach": Term.NO_REACH.value,
        "mated": Term.MATED.value,
        "seenTo": [Need.SWITCHED_OFF.value, Need.SECURED.value],
        "noHighVoltage": Need.NO_HIGH_VOLTAGE.value,
        "highVoltage": Term.HIGH_VOLTAGE.value,
        "afar": {need.value: reason.code for need in NEEDS[Act.HOLD] for reason in from_afar(set(Need) - {need})},
        "notPrecision": Need.NOT_PRECISION.value,
        "touching": [need.value for need in NEEDS[Act.TOUCH]],
        "wood": Feature.TOUCH.value,
        "coupling": Feature.COUPLING.value,
        "bayonets": list(BAYONETS),
        "bayonetHalves": [i for i in places if coupling(halves[i]) in BAYONETS],
        "precisionHalves": [i for i in places if halves[i].precision],
        "mayBe": question.MAY_BE,
    }


def _feature(feature: Feature, first: Shortlist, shortlists: dict[str, Shortlist]) -> dict[str, Any]:
    row, second = first.looks.row(feature), first.looks.second(feature)
    found: dict[str, Any] = {
        "name": feature.value,
        "seen": feature in SEEN,
        "seconds": row.seconds.nominal,
        "where": row.where,
        "needs": [need.value for need in NEEDS[row.act]],
        "within": [] if feature in SEEN else first.looks.table.measured[feature].within,
        "inFace": [i for i, half in enumerate(first.halves) if first.looks.act(feature, couplings(half)) is Act.TOUCH],
        "beside": feature in HELD_BESIDE,
        "reach": row.reach,
        "mated": row.mated,
        "unseen": row.mated or feature in PRINTED,
        "again": {"same": second.same.nominal, "seconds": second.seconds.nominal},
    }
    return found | (_seen(feature, first, shortlists) if feature in SEEN else _measured(feature, first))


def _seen(feature: Feature, first: Shortlist, shortlists: dict[str, Shortlist]) -> dict[str, Any]:
    outcomes = first.outcomes(feature)
    fits = np.array([contradiction.fits(first, feature, Saw(value)) for value in outcomes.names])
    found: dict[str, Any] = {
        "values": list(outcomes.names),
        "table": packed(outcomes.table),
        "offered": list(first.offered(feature)),
        "fits": ["".join("01"[int(one)] for one in row) for row in fits.T],
    }
    follows = first.looks.table.seen[feature].follows
    if follows is not None:
        found["follows"] = {"feature": follows.feature, "says": follows.says, "share": follows.share.nominal}
    if feature is Feature.MARKED:
        found["anyFits"] = True
    others = {name: one.outcomes(feature).table for name, one in shortlists.items()}
    outside = np.flatnonzero(np.any([(table != outcomes.table).any(axis=(0, 2)) for table in others.values()], axis=0))
    if len(outside):
        # a half that has no such part is given the answers of those that have one, as often as they are met
        rows = {name: _one_row(table[:, outside]) for name, table in others.items()}
        found["outside"] = {"halves": outside.tolist(), "settings": {name: packed(row) for name, row in rows.items()}}
    return found


def _one_row(table: Array) -> Array:
    """The one row that some halves share, (level, outcome)."""
    assert (table == table[:, :1]).all()
    return table[:, 0]


def _measured(feature: Feature, first: Shortlist) -> dict[str, Any]:
    row = first.looks.table.measured[feature]
    sizes = first.sizes(feature)
    rows, count = [], 0
    for there in sizes.there:
        rows.append(count if there else -1)
        count += bool(there)
    levels = first.looks.table.levels.values()
    misread = [likelihood.misreading(row, level, 0.0) for level in levels]
    found: dict[str, Any] = {
        "rows": rows,
        "around": [[round(float(mm), 6) for mm in row if math.isfinite(mm)] for row in sizes.around],
        "hand": row.hand.nominal,
        "sizes": packed(sizes.mm[sizes.there]),
        "least": row.least,
        "most": row.most,
        "misread": [[m.gross, m.overlooked, m.phantom, m.spread] for m in misread],
    }
    if feature is Feature.THREADS:
        found["off"] = first.looks.table.counting.ruler.nominal
    return found
