"""The dimensions of a half: which number of the table stands where on its drawing, and in what words.

Words are computed from the Measure alone, so that a changed number changes its own dimension and no other. Each
measure of a half is found here once: as a length on the axis, as a diameter, or as a note where no line shows it.
"""

from __future__ import annotations

from typing import Any, Literal, NamedTuple

from coaxtell.models import numbers
from coaxtell.models.catalogue import MODELS, Reason, tell
from coaxtell.models.half import Half, Step, Thread, Turned
from coaxtell.models.measure import Grade, Measure
from coaxtell.models.surfaces import ring_radii, surfaces

Kind = Literal["length", "diameter", "note"]

MARKS = {Grade.MEMORY: "[M]", Grade.MEMORY_LOW: "[m]", Grade.ASSUMED: "[A]", Grade.NOT_FOUND: "[?]"}
"""What stands behind a number that no document backs."""
DIAMETER, SQUARE, ACROSS_FLATS = "⌀", "□", "AF "
"""Signs before a diameter and a square (ISO 129-1) and before a hexagon across its flats (trade usage)."""

LENGTHS = frozenset({"to", "rim", "tip", "shoulder", "bottom", "face", "back", "z", "lock", "centre"})
ACROSS = frozenset({"d", "d_end", "hole", "od", "inner", "outer", "over", "bead"})


class Dimension(NamedTuple):
    """One number of the table on the drawing.

    `z` and `r`: the point of the half it belongs to [mm]; `inside`: whether only the cut shows that point.
    """

    path: numbers.Path
    name: str
    kind: Kind
    words: str
    z: float
    r: float
    inside: bool


def number(value: float) -> str:
    """A number as drawings print it, with a true minus sign."""
    return f"{value:g}".replace("-", "−")


def measure_words(measure: Measure, sign: str = "", with_mm: bool = False) -> str:
    """A measure as its dimension reads: value, limits, mark of a number that no document backs.

    Millimetres are named only `with_mm`: a drawing states once that its dimensions are in mm.
    """
    bare = measure.unit == "relative" or (measure.unit == "mm" and not with_mm)
    unit = "" if bare else f" {measure.unit}"
    known = {"low": measure.min, "high": measure.max} if measure.min != measure.max else {}
    ends = {name: number(limit) for name, limit in known.items() if limit is not None}
    limits = MODELS.say(Reason(f"dimension.{'_'.join(ends)}", ends)) if ends else ""
    mark = f" {MARKS[measure.grade]}" if measure.soft else ""
    return f"{sign}{number(measure.nominal)}{unit}{limits}{mark}"


def thread_words(thread: Thread) -> str:
    """A thread's designation with class and, where it is left, hand."""
    return f"{thread.size} {thread.tolerance}" + (" LH" if thread.hand == "left" else "")


def dimensions(half: Half) -> list[Dimension]:
    """Every number of the half with its place on the drawing, in the order of the table."""
    return [_placed(half, path, measure) for path, measure in numbers.walk(half)]


def _placed(half: Half, path: numbers.Path, measure: Measure) -> Dimension:
    kind = _kind(path)
    name = _name(half, path)
    if kind == "note":
        return Dimension(path, name, kind, measure_words(measure, with_mm=True), 0.0, 0.0, True)
    z, r, inside = _place(half, path, measure)
    sign = _sign(half, path) if kind == "diameter" else ""
    return Dimension(path, name, kind, measure_words(measure, sign), z, r, inside)


def _name(half: Half, path: numbers.Path) -> str:
    """What a number measures, short enough for a drawing: each word once, the axis and the sign unsaid."""
    texts = MODELS.texts()
    codes = [(part, part.code.replace("number.", "short.")) for part in numbers.parts(half, path)]
    words = [tell(short) if short in texts else MODELS.say(part) for part, short in codes]
    return " ".join(filter(None, dict.fromkeys(words)))


def _kind(path: numbers.Path) -> Kind:
    key = path[-1]
    if len(path) == 1 or "thread" in path:
        return "note"
    if key in LENGTHS:
        return "length"
    return "diameter" if key in ACROSS else "note"


def _sign(half: Half, path: numbers.Path) -> str:
    part: Any = half
    for key in path[:-1]:
        part = part[key] if isinstance(key, int) else getattr(part, key)
    if isinstance(part, Step) and part.form in ("hex", "square"):
        return ACROSS_FLATS if part.form == "hex" else SQUARE
    return DIAMETER


def _body(half: Half, path: numbers.Path) -> tuple[Turned, Thread | None]:
    if path[0] == "nut":
        assert half.nut is not None
        return half.nut.body, half.nut.thread
    if path[0] == "housing":
        assert half.housing is not None
        return half.housing, None
    return half.shell, half.thread


def _place(half: Half, path: numbers.Path, measure: Measure) -> tuple[float, float, bool]:
    """Point on the half [mm] that a length or diameter belongs to, and whether only the cut shows it."""
    key = path[-1]
    if path[0] in ("shell", "nut", "housing") and path[-1] != "lock":
        return _on_body(half, path)
    if path[0] == "centre":
        return _on_centre(half, path, measure)
    if path[0] == "insulator":
        assert isinstance(path[1], int)
        ring = half.insulator[path[1]]
        inner, outer = ring_radii(half, ring)
        if key in ("inner", "outer"):
            return (0.75 * ring.face.nominal + 0.25 * ring.back.nominal, inner if key == "inner" else outer, True)
        return measure.nominal, (inner + outer) / 2, True
    if half.lugs is not None and path[0] == "lugs":
        lug = half.lugs
        if key == "d":
            return lug.centre.nominal + lug.d.nominal / 2, 0.45 * lug.over.nominal, False
        return lug.centre.nominal, lug.over.nominal / 2, False
    if half.nut is not None and half.nut.ramps is not None and key == "lock":
        return measure.nominal, half.nut.body.inside[-1].d.nominal / 2 if half.nut.body.inside[-1].d else 0.0, True
    if half.snap is not None and path[0] == "snap":
        return half.snap.z.nominal, half.snap.bead.nominal / 2, True
    assert half.groove is not None
    return half.groove.z.nominal, half.groove.lip.nominal / 2, True


def _on_body(half: Half, path: numbers.Path) -> tuple[float, float, bool]:
    body, thread = _body(half, path)
    key = path[-1]
    if key == "rim":
        mouth = surfaces(body, body.outside, thread, inside=False)[0]
        return mouth.z_front, mouth.r_front, covered(half, str(path[0]), mouth.z_front, mouth.r_front)
    inner = "inside" in path
    steps = body.inside if inner else body.outside
    index = path[path.index("inside" if inner else "outside") + 1]
    assert isinstance(index, int)
    surface = surfaces(body, steps, thread, inside=inner)[index]
    z, r = {
        "d": ((surface.z_front + surface.z_back) / 2, (surface.r_front + surface.r_back) / 2),
        "d_end": (surface.z_back + 0.15 * (surface.z_front - surface.z_back), surface.r_back),
        "to": (surface.z_back, surface.r_back),
    }[str(key)]
    return z, r, inner or covered(half, str(path[0]), z, r)


def covered(half: Half, part: str, z: float, r: float) -> bool:
    """Whether nut or housing hides a point of the shell's outside from the eye."""
    if part != "shell":
        return False
    covers = [(half.nut.body, half.nut.thread)] if half.nut is not None else []
    if half.housing is not None:
        covers.append((half.housing, None))
    for body, thread in covers:
        found = surfaces(body, body.outside, thread, inside=False)
        if any(s.z_front >= z >= s.z_back and max(s.r_front, s.r_back) > r for s in found):
            return True
    return False


def _on_centre(half: Half, path: numbers.Path, measure: Measure) -> tuple[float, float, bool]:
    centre = half.centre
    key = path[-1]
    if path == ("centre", "d"):
        back = half.shell.inside[-1].to.nominal
        front = min(z for z in _centre_ends(half) if z is not None)
        return 0.6 * front + 0.4 * back, centre.d.nominal / 2, True
    if centre.pin is not None and "pin" in path:
        pin = centre.pin
        if key == "d":
            return 0.4 * pin.tip.nominal + 0.6 * pin.shoulder.nominal, pin.d.nominal / 2, True
        return measure.nominal, (0.0 if key == "tip" else pin.d.nominal / 2), True
    if centre.socket is not None and "socket" in path:
        socket = centre.socket
        hole = socket.hole.nominal / 2
        if key == "hole":
            return 0.4 * socket.tip.nominal + 0.6 * socket.bottom.nominal, hole, True
        if key == "od":
            return 0.8 * socket.tip.nominal + 0.2 * socket.bottom.nominal, measure.nominal / 2, True
        return measure.nominal, hole, True
    return measure.nominal, centre.d.nominal / 2, True


def _centre_ends(half: Half) -> tuple[float | None, float | None, float | None]:
    """Where pin, socket or flat end begin to differ from the plain inner conductor [mm]."""
    centre = half.centre
    return (
        None if centre.pin is None else centre.pin.shoulder.nominal,
        None if centre.socket is None else centre.socket.bottom.nominal,
        None if centre.butt is None else centre.butt.face.nominal,
    )
