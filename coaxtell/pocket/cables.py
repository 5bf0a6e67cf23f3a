"""The cables for the page: classes, what else a run loses, what speaks against one, how each comes onto a port."""

from __future__ import annotations

from typing import Any

from coaxtell.cables import mismatch
from coaxtell.cables.classes import RATED_MHZ, TABLE_TEMPERATURE_C, CableClass
from coaxtell.cables.ends import Matings
from coaxtell.cables.links import links, thickest_for
from coaxtell.cables.loss import class_spread
from coaxtell.cables.objections import WORTH_SAYING
from coaxtell.cables.sides import side_of
from coaxtell.cables.tables import CableTables
from coaxtell.cables.target import MET_DB
from coaxtell.cables.units import (
    F_PER_C,
    FEET_M,
    FREEZING_F,
    HIGHEST_C,
    HIGHEST_DBM,
    LONGEST_M,
    LOWEST_C,
    LOWEST_DBM,
    SHORTEST_M,
)
from coaxtell.models.half import Half
from coaxtell.models.mating.surely import to_order
from coaxtell.models.measure import Measure


def cables(tables: CableTables) -> dict[str, Any]:
    """Classes whose loss is known; what joints, adapters, jumpers and reflections lose [dB]; what a run is held to."""
    figures = tables.joints
    return {
        "perLength": 100 * FEET_M,
        "joint": _part(figures.joint_loss),
        "adapter": _part(figures.adapter_loss),
        "jumper": _part(figures.jumper_loss),
        "readerReflects": mismatch.reflection_of(figures.reader_return_loss.nominal),
        "antennaReflects": mismatch.reflection_of(figures.antenna_return_loss.nominal),
        "antennaAtWorst": mismatch.reflection_of(figures.antenna_return_loss.low),
        "mostReflects": mismatch.MOST,
        "met": MET_DB,
        "lengths": [SHORTEST_M, LONGEST_M],
        "levels": [LOWEST_DBM, HIGHEST_DBM],
        "celsius": TABLE_TEMPERATURE_C,
        "temperatures": [LOWEST_C, HIGHEST_C],
        "fahrenheit": [FREEZING_F, F_PER_C],
        "warmth": [share / 100 for share in _part(figures.temperature)],
        "longest": tables.practice.longest_assembly.nominal,
        "usual": tables.practice.loss_budget.nominal,
        "ratedAt": RATED_MHZ,
        "classes": [_class(one, tables) for one in _known(tables)],
        "bands": {key: [r.name, r.band.low, r.band.high, r.usual.nominal] for key, r in tables.regions.items()},
    }


def sides(every: list[Half], tables: CableTables) -> dict[str, Any]:
    """How each class comes onto each port: `of` gives by class and port the place in `all`, where equals stand once.

    `top` is what each half is made for at most [MHz], `carries` the thickest cable that should hang on it [mm].
    """
    place = {half.id: number for number, half in enumerate(every)}
    matings = Matings({half.id: half for half in every}, to_order)
    found: list[dict[str, Any]] = []
    of: dict[str, list[int]] = {}
    for one in _known(tables):
        of[one.name] = []
        for port in every:
            side = _side(matings, one, port, tables, place)
            if side not in found:
                found.append(side)
            of[one.name].append(found.index(side))
    limits = [thickest_for(port, tables) for port in every]
    return {
        "all": found,
        "of": of,
        "top": [None if half.top_ghz is None else half.top_ghz.nominal * 1000 for half in every],
        "carries": [None if limit is None else limit.nominal for limit in limits],
    }


def _side(matings: Matings, one: CableClass, port: Half, tables: CableTables, place: dict[str, int]) -> dict[str, Any]:
    """The cable's end (null where there is no way), adapters from the port on, what they lose by, limited joints."""
    side = side_of(matings, one, port)
    beside = links(one, side, port, tables)
    jumpers = sum(link.jumper for link in beside)
    facing = [port, *(adapter.inner for adapter in side.adapters)] if side.joints else []
    return {
        "end": None if side.end is None else place[side.end.id],
        "chain": [[place[adapter.outer.id], place[adapter.inner.id]] for adapter in side.adapters],
        "joints": max(len(side.joints), 1) + (len(beside) > len(side.adapters)),
        "adapters": len(beside) - jumpers,
        "jumpers": jumpers,
        "reflects": side.reflection,
        "returns": mismatch.return_loss_db(side.reflection) if side.reflection > WORTH_SAYING else None,
        "limited": [
            [place[joint.half.id], place[half.id]]
            for half, joint in zip(facing, side.joints, strict=True)
            if joint.limited
        ],
    }


def _known(tables: CableTables) -> list[CableClass]:
    return [one for one in tables.classes.values() if one.loss_known]


def _part(loss: Measure) -> list[float]:
    """A figure, and how far it may be off, in its own unit."""
    return [loss.nominal, (loss.high - loss.low) / 2]


def _class(one: CableClass, tables: CableTables) -> dict[str, Any]:
    return {
        "name": one.name,
        "mm": one.diameter.nominal,
        "watts": None if one.power_900 is None else one.power_900.nominal,
        "k": one.coefficients,
        "rows": [[row.mhz, row.loss.nominal] for row in one.read_rows],
        "off": class_spread(one, tables.joints),
        "bend": [one.bend_once.nominal, one.bend_repeated.nominal],
        "outdoor": any(tables.practice.jackets[jacket].outdoor for jacket in one.jackets),
    }
