"""What a picture shows of a half, and whether it tells two halves apart."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

from coaxtell.identifier.answers import Answer, Saw
from coaxtell.identifier.features import Feature
from coaxtell.models.catalogue import Reason
from coaxtell.models.half import Half, Step, Turned
from coaxtell.quiz.item import Picture
from coaxtell.quiz.stock import Stock
from coaxtell.quiz.tells import between, for_mating

CLEAR = 3.0
"""Widths are told apart by eye where they differ by so many times the spread of comparing by eye."""

CLAUSES = (Feature.CENTRE, Feature.COLOUR)
"""Features whose value needs words round it to be said."""

DEEP = "deep"
"""What is answered of the plastic where none lies near the rim."""

STEEPEST = 60.0
"""From further round than this the face shows no hole and no pin, however shallow [deg]."""


def off_axis(picture: Picture) -> float:
    """The angle between the line of sight and the half's axis [deg]."""
    across = math.cos(math.radians(picture.azimuth)) * math.cos(math.radians(picture.elevation))
    return math.degrees(math.acos(max(-1.0, min(1.0, across))))


def _rings(body: Turned, thread_d: float | None) -> list[tuple[float, float]]:
    """Front z and inside radius of each step of a body [mm]."""
    found = []
    z = body.rim.nominal
    for step in body.inside:
        found.append((z, _radius(step, thread_d)))
        z = step.to.nominal
    return found


def _radius(step: Step, thread_d: float | None) -> float:
    diameter = step.d.nominal if step.d is not None else thread_d
    assert diameter is not None
    return diameter / 2


def _in_sight(half: Half, z: float, angle: float) -> bool:
    """True where a point on the axis at z [mm] is seen from `angle` [deg] off the axis, past every rim before it."""
    if angle >= STEEPEST:
        return False
    thread = half.coupling_thread
    inside = None if thread is None else thread.major.nominal - 1.082532 * thread.pitch_mm
    rings = _rings(half.shell, inside)
    if half.nut is not None:
        rings += _rings(half.nut.body, inside)
    rings += [(ring.face.nominal, ring.inner.nominal / 2) for ring in half.insulator if ring.inner is not None]
    slope = math.tan(math.radians(angle))
    return all(slope * (front - z) < radius for front, radius in rings if front > z)


def features(half: Half, picture: Picture) -> tuple[Feature, ...]:
    """The features of the half that the picture shows; width only beside a scale."""
    found = _from(half, off_axis(picture))
    return (*found, Feature.SIZE) if picture.scale else found


def _from(half: Half, angle: float) -> tuple[Feature, ...]:
    """The features, but for the width, that are seen from `angle` [deg] off the axis.

    Which way a thread climbs is none of them: its slope of a degree or two is lost at the size of an item's picture.
    """
    found = [Feature.COUPLING]
    if half.housing is not None:
        found.append(Feature.COLOUR)
    elif half.groove is not None and half.groove.outside:
        found.append(Feature.GROOVE)
    pin, socket = half.centre.pin, half.centre.socket
    tip = pin.tip.nominal if pin is not None else socket.tip.nominal if socket is not None else 0.0
    if _in_sight(half, tip, angle):
        found.append(Feature.CENTRE)
    faces = [ring.face.nominal for ring in half.insulator]
    if faces and _in_sight(half, max(faces), angle):
        found.append(Feature.PLASTIC)
    return tuple(found)


def shown(stock: Stock, half: Half, picture: Picture) -> dict[Feature, Answer]:
    """What a person without a mistake answers on this picture; a value that rests on a soft number is left out."""
    return {
        feature: answer(stock, half, feature)
        for feature in features(half, picture)
        if feature is Feature.SIZE or len(stock.shown(half.id, feature)) == 1
    }


def answer(stock: Stock, half: Half, feature: Feature) -> Answer:
    """What a person without a mistake answers about one feature of a half."""
    if feature is Feature.SIZE:
        return Saw(_nearest_thing(stock, half))
    return Saw(min(stock.shown(half.id, feature)))


def _nearest_thing(stock: Stock, half: Half) -> str:
    mm = stock.width(half.id).nominal
    things = stock.shortlist.looks.steps
    return min(things, key=lambda key: abs(math.log(things[key].d.nominal / mm)))


def apart(stock: Stock, one: Half, two: Half, seen: Iterable[Feature]) -> tuple[Feature, ...]:
    """Which of the seen features tell two halves apart whatever the soft numbers really are."""
    return tuple(feature for feature in seen if differ(stock, one, two, feature))


def tells(stock: Stock, one: Half, two: Half, picture: Picture) -> tuple[Feature, ...]:
    """Which looks tell a half in a picture from another.

    An insulator that the other would show in this pose and this one has not is missed, so it tells as well.
    """
    angle = off_axis(picture)
    seen = _kept(stock, one.id, angle)
    if Feature.PLASTIC not in seen and Feature.PLASTIC in _kept(stock, two.id, angle):
        seen = (*seen, Feature.PLASTIC)
    return apart(stock, one, two, (*seen, Feature.SIZE) if picture.scale else seen)


@lru_cache(maxsize=1024)
def _kept(stock: Stock, half_id: str, angle: float) -> tuple[Feature, ...]:
    """As `_from`; kept, since the options of an item ask for most pairs of halves from one angle."""
    return _from(stock.half(half_id), angle)


def differ(stock: Stock, one: Half, two: Half, feature: Feature) -> bool:
    """True where a seen feature tells two halves apart whatever the soft numbers really are."""
    if feature is not Feature.SIZE:
        mine, theirs = stock.shown(one.id, feature), stock.shown(two.id, feature)
        return bool(mine and theirs) and not mine & theirs
    spread = stock.shortlist.looks.table.seen[feature].spread
    assert spread is not None
    a, b = stock.width(one.id), stock.width(two.id)
    return max(math.log(a.low / b.high), math.log(b.low / a.high)) > CLEAR * spread.nominal


def in_words(stock: Stock, halves: Sequence[Half], picture: Picture) -> Reason:
    """What the picture shows of one port or of two, for where it cannot be shown."""
    shows = [_clauses(stock, half, picture) for half in halves]
    if len(shows) == 1:
        port = Reason("shown.port", {"clauses": shows[0]})
        return Reason("shown.run", {"port": port, "legs": said_legs(picture)}) if picture.legs else port
    return Reason("shown.two", {"one": shows[0], "two": shows[1]})


def said_legs(picture: Picture) -> list[Reason]:
    """The legs of a sketched way, in turn."""
    return [Reason("shown.leg", {"metres": leg}) for leg in picture.legs]


def _clauses(stock: Stock, half: Half, picture: Picture) -> list[Reason]:
    table = stock.shortlist.looks.table
    found = []
    seen = shown(stock, half, picture)
    if stock.shown(half.id, Feature.PLASTIC) == {DEEP}:
        seen[Feature.PLASTIC] = Saw(DEEP)
    for feature, answer in seen.items():
        if feature is Feature.SIZE:
            found.append(Reason("shown.size", {"mm": stock.width(half.id).nominal}))
        elif isinstance(answer, Saw) and feature is Feature.PLASTIC:
            found.append(Reason(f"lies.{answer.value}"))
        elif isinstance(answer, Saw):
            code = feature.value if feature in CLAUSES else "value"
            found.append(Reason(f"shown.{code}", {"value": table.seen[feature].values[answer.value]}))
    return found


def telling(stock: Stock, half: Half, rival: Half, picture: Picture) -> Reason:
    """The look in the picture that tells a half from the one it is taken for."""
    found = tells(stock, half, rival, picture)
    if found:
        return between(stock, half, rival, found[0])
    return for_mating(half, rival, stock.verdict(half.id, rival.id))
