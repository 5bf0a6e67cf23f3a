"""The cables for the page: classes, what else a run loses, and how each class comes onto each port. No law."""

from __future__ import annotations

from typing import Any

from coaxtell.cables import mismatch
from coaxtell.cables.classes import CableClass
from coaxtell.cables.ends import Matings
from coaxtell.cables.links import links
from coaxtell.cables.loss import class_spread
from coaxtell.cables.objections import WORTH_SAYING
from coaxtell.cables.sides import side_of
from coaxtell.cables.tables import CableTables
from coaxtell.cables.target import MET_DB
from coaxtell.cables.units import FEET_M, HIGHEST_DBM, LONGEST_M, LOWEST_DBM, SHORTEST_M
from coaxtell.models.half import Half
from coaxtell.models.mating.mate import Mating, mate
from coaxtell.models.measure import Measure


def cables(tables: CableTables) -> dict[str, Any]:
    """Classes whose loss is known, and what a joint, an adapter, a jumper and the reflections lose [dB]."""
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
        "classes": [_class(one, tables) for one in _known(tables)],
        "bands": {key: [r.name, r.band.low, r.band.high, r.usual.nominal] for key, r in tables.regions.items()},
    }


def sides(every: list[Half], tables: CableTables) -> dict[str, Any]:
    """How each class comes onto each port: `of` gives by class and port the place in `all`, where equals stand once."""

    def joined(a: Half, b: Half) -> Mating:
        return mate(a, b, doubt=False)

    place = {half.id: number for number, half in enumerate(every)}
    matings = Matings({half.id: half for half in every}, joined)
    found: list[dict[str, Any]] = []
    of: dict[str, list[int]] = {}
    for one in _known(tables):
        of[one.name] = []
        for port in every:
            side = _side(matings, one, port, tables, place)
            if side not in found:
                found.append(side)
            of[one.name].append(found.index(side))
    return {"all": found, "of": of}


def _side(matings: Matings, one: CableClass, port: Half, tables: CableTables, place: dict[str, int]) -> dict[str, Any]:
    """The cable's end (null where there is no way), adapters from the port on, what they lose by, limited joints."""
    side = side_of(matings, one, port)
    beside = links(one, side, port, tables)
    jumpers = [link.thickest_mm for link in beside if link.thickest_mm is not None]
    facing = [port, *(adapter.inner for adapter in side.adapters)] if side.joints else []
    return {
        "end": None if side.end is None else place[side.end.id],
        "chain": [[place[adapter.outer.id], place[adapter.inner.id]] for adapter in side.adapters],
        "joints": max(len(side.joints), 1) + (len(beside) > len(side.adapters)),
        "adapters": len(beside) - len(jumpers),
        "jumpers": len(jumpers),
        "carries": jumpers[0] if jumpers else None,
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
    """What a part loses, and how far that may be off [dB]."""
    return [loss.nominal, (loss.high - loss.low) / 2]


def _class(one: CableClass, tables: CableTables) -> dict[str, Any]:
    return {
        "name": one.name,
        "k": one.coefficients,
        "rows": [[row.mhz, row.loss.nominal] for row in one.read_rows],
        "off": class_spread(one, tables.joints),
        "bend": [one.bend_once.nominal, one.bend_repeated.nominal],
        "outdoor": any(tables.practice.jackets[jacket].outdoor for jacket in one.jackets),
    }
