"""What a life-size sheet shows: rows of look-alikes, each half with its names and what tells it from its row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby

import msgspec

from coaxtell.identifier import features, looks, sizes
from coaxtell.identifier.draws import Nominal
from coaxtell.identifier.features import Feature
from coaxtell.models.half import Half
from coaxtell.models.measure import Grade
from coaxtell.models.numbers import SHAPELESS, walk
from coaxtell.models.words import coupling_words

ALIKE = 1.16
"""Widths of a row's faces differ by no more than this: what two people take for the same at a glance."""
DIFFERS = 0.15
"""A difference from which an eye with the part beside it sees it [mm]."""


class Shown(msgspec.Struct, frozen=True):
    """One half on the sheet: its names, gender by body and by contact, what to look at, how weak its numbers are."""

    half: Half
    names: str
    gender: str
    look_at: tuple[str, ...]
    twins: tuple[str, ...]
    """Names of halves in the row from which nothing told here tells it."""
    weak: str


class Row(msgspec.Struct, frozen=True):
    """Halves that look alike, under what they share: what holds them, and how wide their faces are."""

    kind: str
    across: str
    shown: tuple[Shown, ...]


def twin_words(one: Shown) -> str:
    """What to do where nothing seen tells a half from another; empty where something does."""
    if not one.twins:
        return ""
    return f"Nothing seen here tells it from {' and '.join(one.twins)}: read the marking or the maker's sheet."


Say = Callable[[Half], str]


def rows(halves: Sequence[Half]) -> list[Row]:
    """The halves in rows of look-alikes: by what holds them, then by width."""
    found: list[Row] = []
    for _, alike in groupby(sorted(halves, key=_order), key=_class):
        row: list[Half] = []
        for half in alike:
            if row and _width(half) > ALIKE * _width(row[0]):
                found.append(_row(row))
                row = []
            row.append(half)
        found.append(_row(row))
    place = {half.id: k for k, half in enumerate(halves)}
    # within a row as the tables list them, where reverse polarity follows its standard half
    return [
        msgspec.structs.replace(row, shown=tuple(sorted(row.shown, key=lambda one: place[one.half.id])))
        for row in found
    ]


def _class(half: Half) -> tuple[int, bool, str]:
    """What one sees at once: how it is held, and whether it sits in a keyed plastic housing."""
    kind = "" if half.key is None else half.key.kind
    return features.COUPLINGS.index(features.coupling(half)), half.nut is not None and half.nut.slides, kind


def _order(half: Half) -> tuple[tuple[int, bool, str], float, str]:
    return _class(half), _width(half), half.id


def _width(half: Half) -> float:
    if half.housing is not None:
        return max(step.d.nominal for step in half.housing.outside if step.d is not None)
    found = sizes.nominal_size(half, Feature.SIZE, looks.load().table.jaws.reach)
    assert found is not None
    return found


def _row(halves: list[Half]) -> Row:
    first = halves[0]
    seen = looks.load().table.seen[Feature.COUPLING].values[features.coupling(first)]
    if first.key is not None:
        seen = f"a plastic housing with a {first.key.kind} key"
    elif first.nut is not None and first.nut.slides:
        seen = f"a {coupling_words(first)}, no thread"
    low, high = min(map(_width, halves)), max(map(_width, halves))
    across = f"{low:.1f} mm" if high - low < 0.1 else f"{low:.1f} to {high:.1f} mm"
    kind = f"{seen[:1].upper()}{seen[1:]}"
    return Row(kind, f"face {across} wide", tuple(shown(half, halves) for half in halves))


def gender(half: Half) -> str:
    """Gender by the body and by the contact in few words."""
    contact = "pin" if half.centre.pin is not None else "socket" if half.centre.socket is not None else "flat contact"
    if half.gender == "sexless":
        return f"sexless by body and contact ({contact})"
    by_body = "male" if half.gender == "plug" else "female"
    by_contact = "male" if half.centre.pin is not None else "female"
    return f"by body {half.gender} ({by_body}), by contact {by_contact} ({contact})"


def weakness(half: Half) -> str:
    """How many numbers of its shape are only weakly remembered; empty where none is."""
    shape = [m for path, m in walk(half) if path[0] not in SHAPELESS]
    weak = sum(m.grade in (Grade.MEMORY_LOW, Grade.NOT_FOUND) for m in shape)
    return f"Weak: {weak} of {len(shape)} sizes only weakly remembered." if weak else ""


def shown(half: Half, row: Sequence[Half]) -> Shown:
    """A half with what tells it from the others of its row; with all that is to be seen where it stands alone."""
    others = [other for other in row if other is not half]
    names = [name for name in half.trade_names if name.lower() != half.name.lower()]
    told = tuple(say(half) for say in _SAYINGS if not others or any(say(other) != say(half) for other in others))
    alike = [other.name for other in others if all(say(other) == say(half) for say in _SAYINGS)]
    return Shown(
        half=half,
        twins=tuple(alike),
        names=", ".join(names[:2]),
        gender=gender(half),
        look_at=tuple(word for word in told if word),
        weak=weakness(half),
    )


def _housing(half: Half) -> str:
    return "" if half.key is None else f"{half.key.colour} housing, letter {half.key.code}"


def _centre(half: Half) -> str:
    seen = looks.load().table.seen[Feature.CENTRE].values
    return f"{seen[features.centre(half)]} in the centre".replace(": a hole to take a pin in", " in")


def _insulator(half: Half) -> str:
    """Where the insulator lies, by both planes where they differ: the reference plane, and the rim that one sees."""
    where = features.insulator(half, Nominal())[0]
    behind = half.shell.rim.nominal - max((ring.face.nominal for ring in half.insulator), default=0.0)
    rim = f", {behind:.1f} mm behind the rim" if where == "flush" and behind > features.LEVEL_WITH_PLANE else ""
    return {
        "flush": f"insulator level with the reference plane{rim}",
        "tube": "insulator tube in front",
        "recessed": "insulator set back",
        "air": "only air round the centre",
    }[where]


def _thread(half: Half) -> str:
    thread = half.coupling_thread
    if thread is None:
        return ""
    return f"thread {thread.size}" + (", left-hand" if thread.hand == "left" and "left" not in thread.size else "")


def _coupling(half: Half) -> str:
    return "" if half.coupling_thread is not None else coupling_words(half)


def _pin(half: Half) -> str:
    if half.centre.pin is not None:
        return f"pin {half.centre.pin.d.nominal:.2f} mm thick"
    return "" if half.centre.socket is None else f"hole {half.centre.socket.hole.nominal:.2f} mm wide"


def _bore(half: Half) -> str:
    bore = sizes.nominal_size(half, Feature.BORE, looks.load().table.jaws.reach)
    assert bore is not None
    return f"outer contact {round(bore / DIFFERS) * DIFFERS:.1f} mm inside"


_SAYINGS: tuple[Say, ...] = (_housing, _centre, _insulator, _coupling, _thread, _pin, _bore)
