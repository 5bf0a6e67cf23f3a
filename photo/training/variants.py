"""Faces for the renderer: every half with its numbers drawn anew, pin or socket by a coin, and things that are no face.

Since pin and socket change places at random in every half, family and gender tell nothing about the centre.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from coaxtell.photo.reading import CLASSES

Array = npt.NDArray[np.float64]
Shape = dict[str, Any]

COUPLINGS, CENTRES, PLASTICS = (CLASSES[name] for name in ("coupling", "centre", "plastic"))
LEVEL_MM, SUNK_MM = 0.3, 3.0
"""Plastic up to so far behind the rim is level, up to so far sunk: as the naming of ports has it [mm]."""
BACK, SHELL, NUT, HOUSING, PLASTIC, CENTRE, COUPLING = range(7)
ROW = 9
MICRO_MM = 1.5
"""Halves of no larger radius are receptacles on a board, as often as not."""
TAPED = 0.06
"""Share of faces with tape wound about them."""


class Variant(NamedTuple):
    """Shapes for the renderer (n, ROW) and what is true of them; -1 where it does not apply."""

    rows: npt.NDArray[np.float32]
    face: bool
    coupling: int
    centre: int
    plastic: int
    rim_z: float
    rim_r: float
    centre_r: float
    plastic_r: float
    kind: str
    board: float | None = None
    """Where the board lies that it is soldered to [mm]; none where it stands on no board."""


class Pile:
    """Shapes being put together."""

    def __init__(self) -> None:
        self.rows: list[list[float]] = []

    def _add(self, kind: int, part: int, *values: float) -> None:
        self.rows.append([float(kind), float(part), *values, *([0.0] * (ROW - 2 - len(values)))])

    def cone(self, part: int, r0: float, z0: float, r1: float, z1: float) -> None:
        """A ring between two circles: a cylinder, a cone or a flat disc."""
        if abs(r0 - r1) + abs(z0 - z1) > 1e-5:
            self._add(0, part, r0, z0, r1, z1)

    def prism(self, part: int, apothem: float, z0: float, z1: float, sides: int, turn: float, hole: float) -> None:
        """A block with that many sides and its front at z0, open inside of the hole's radius."""
        self._add(1, part, apothem, z0, z1, sides, turn)
        self._add(2, part, hole, apothem, z0, sides, turn)

    def stud(self, part: int, a: tuple[float, float, float], b: tuple[float, float, float], r: float) -> None:
        """A round bar with round ends."""
        self._add(3, part, *a, *b, r)

    def done(self) -> npt.NDArray[np.float32]:
        return np.array(self.rows, dtype=np.float32).reshape(-1, ROW)


def _edges(pile: Pile, outline: Shape, shape: Shape, grow: float, rng: np.random.Generator) -> None:
    """The edges of a cut outline as rings; where the coupling's thread lies they are the coupling."""
    points = np.array(outline["points"], dtype=np.float64)
    part = int(outline["part"])
    low, high = shape.get("thread", (1e9, 1e9))
    outmost = points[:, 1].max()
    hexed = part == NUT and shape["hex"]
    turn = rng.uniform(0, 2 * np.pi)
    for (z0, r0), (z1, r1) in zip(points, np.roll(points, -1, axis=0), strict=True):
        if max(r0, r1) < 1e-6 or min(z0, z1) < shape["rim"] - 28:
            continue
        if hexed and min(r0, r1) > 0.97 * outmost:
            pile._add(1, part, 0.9 * outmost * grow, z0, z1, 6, turn)
            continue
        if hexed and max(r0, r1) > 0.97 * outmost and abs(z0 - z1) < 0.6:
            pile._add(2, part, min(r0, r1) * grow, 0.9 * outmost * grow, max(z0, z1), 6, turn)
            continue
        threaded = low - 1e-3 <= min(r0, r1) and max(r0, r1) <= high + 1e-3 and abs(z0 - z1) > 1e-3
        pile.cone(COUPLING if threaded else part, r0 * grow, z0, r1 * grow, z1)


def _centre(pile: Pile, rng: np.random.Generator, pin: bool, wide: float, rim: float, deepest: float) -> float:
    """A pin or a socket of about that radius; returns the radius it shows."""
    if pin:
        r = wide * rng.uniform(0.55, 1.05)
        tip = rim + (rng.uniform(-2.5, 0.4) if rng.random() < 0.7 else rng.uniform(0.2, 2.5))
        nose = r * rng.uniform(0.3, 1.4)
        end = r * rng.uniform(0.15, 0.7)
        pile.cone(CENTRE, 0.0, tip, end, tip)
        pile.cone(CENTRE, end, tip, r, tip - nose)
        pile.cone(CENTRE, r, tip - nose, r, deepest)
        if rng.random() < 0.4:  # a shoulder
            shoulder = tip - nose - rng.uniform(0.5, 3)
            pile.cone(CENTRE, r, shoulder, wide * 1.25, shoulder)
            pile.cone(CENTRE, wide * 1.25, shoulder, wide * 1.25, deepest)
        return r
    r = wide * rng.uniform(0.9, 1.25)
    hole = r * rng.uniform(0.42, 0.72)
    tip = rim - (rng.uniform(0.0, 2.2) if rng.random() < 0.8 else rng.uniform(2.0, 4.0))
    lead = (r - hole) * rng.uniform(0.1, 0.6)
    pile.cone(CENTRE, hole + lead, tip, r, tip)
    pile.cone(CENTRE, hole, tip - lead, hole + lead, tip)
    pile.cone(CENTRE, hole, tip - lead, hole, tip - rng.uniform(2.5, 5.0))
    pile.cone(CENTRE, r, tip, r, deepest)
    return r


def face(shape: Shape, rng: np.random.Generator) -> Variant:
    """A half with its numbers drawn, its centre by a coin and often its plastic moved."""
    pile = Pile()
    grow = rng.uniform(0.97, 1.03)
    rim = float(shape["rim"])
    shell = [o for o in shape["outlines"] if o["part"] in (SHELL, HOUSING)]
    rest = [o for o in shape["outlines"] if o["part"] == NUT]
    rings = [o for o in shape["outlines"] if o["part"] == PLASTIC]
    cores = [o for o in shape["outlines"] if o["part"] == CENTRE]
    slid = rng.uniform(-2.0, 2.0) if rest and rng.random() < 0.3 else 0.0
    for outline in shell:
        _edges(pile, outline, shape, grow, rng)
    for outline in rest:
        moved = {**outline, "points": [[z + slid, r] for z, r in outline["points"]]}
        _edges(pile, moved, shape, grow, rng)
    plastic = PLASTICS.index(shape["plastic"])
    fronts = [max(z for z, _ in o["points"]) for o in rings]
    shift = 0.0
    if rings and plastic != PLASTICS.index("tube") and rng.random() < 0.5:
        behind = float(rng.choice([rng.uniform(-0.1, 0.25), rng.uniform(0.45, 2.8), rng.uniform(3.3, 6.0)]))
        shift = rim - behind - max(fronts)
        plastic = 0 if behind <= LEVEL_MM else 1 if behind <= SUNK_MM else 2
    inner = outer = 0.0
    for outline in rings:
        points = [(z + shift, r * grow) for z, r in outline["points"]]
        inner, outer = min(r for _, r in points), max(r for _, r in points)
        for (z0, r0), (z1, r1) in zip(points, [*points[1:], points[0]], strict=True):
            pile.cone(PLASTIC, r0, z0, r1, z1)
    core_points = np.array([p for o in cores for p in o["points"]])
    wide = float(np.clip(core_points[:, 1].max() * grow, 0.12, 3.0)) if len(core_points) else 0.5
    if rings and inner > 0.05:
        wide = min(wide, inner)
    rim_r = max(r for o in shell for z, r in o["points"] if z > rim - 0.6) * grow
    wide = min(wide, 0.42 * rim_r) * rng.uniform(0.75, 1.1)
    pin = bool(rng.random() < 0.5)
    shown = _centre(pile, rng, pin, wide, rim, rim - 25.0)
    widest = max(max(r for _, r in o["points"]) for o in shape["outlines"]) * grow
    board = _board(pile, rng, rim, widest) if widest <= MICRO_MM and rng.random() < 0.7 else None
    if board is None:
        _back(pile, rng, rim, widest)
    if "lugs" in shape:
        count, over, r, z = shape["lugs"]
        start = rng.uniform(0, 2 * np.pi)
        for i in range(int(count)):
            a = start + 2 * np.pi * i / count
            c, s = np.cos(a), np.sin(a)
            base = rim_r * 0.9
            pile.stud(
                COUPLING, (base * c, base * s, z), ((over - 0.3 * r) * grow * c, (over - 0.3 * r) * grow * s, z), r
            )
    if shape["coupling"] in ("bayonet-sleeve", "sleeve"):
        _slots(pile, rng, shape, rest or shell, grow, slid if rest else 0.0)
    look = max(max(r for z, r in o["points"] if z > rim - 1.5) for o in shell) * grow
    if rest:
        look = max(look, max(max(r for _, r in o["points"]) for o in rest) * grow)
    if rng.random() < TAPED:
        top = rim - rng.uniform(0.3, 2.0)
        end = top - rng.uniform(2.0, 8.0)
        over = 1.03 * max(look, *(r * grow for o in (*shell, *rest) for z, r in o["points"] if z >= end))
        pile.cone(HOUSING, over, top, over, end)
    return Variant(
        pile.done(), True, COUPLINGS.index(shape["coupling"]), CENTRES.index("pin" if pin else "socket"),
        plastic if rings else PLASTICS.index("deep"), rim, look, shown, outer, shape["id"], board,
    )  # fmt: skip


def _slots(pile: Pile, rng: np.random.Generator, shape: Shape, bodies: list[Shape], grow: float, slid: float) -> None:
    """Slots of a sleeve as dark bars let into its rim: two mouths of a bayonet, or cuts of a springing sleeve."""
    front = max(z for o in bodies for z, _ in o["points"]) + slid
    ring = [r for o in bodies for z, r in o["points"] if z > front - slid - 1.2]
    inner, outer = min(ring) * grow, max(ring) * grow
    bayonet = shape["coupling"] == "bayonet-sleeve"
    if not bayonet and rng.random() < 0.35:
        return
    count = 2 if bayonet else int(rng.choice([2, 3, 4, 4, 6]))
    wide = outer * rng.uniform(0.1, 0.17) if bayonet else outer * rng.uniform(0.02, 0.06)
    start = rng.uniform(0, 2 * np.pi)
    for i in range(count):
        a = start + 2 * np.pi * i / count
        c, s = np.cos(a), np.sin(a)
        reach = inner + (outer - inner) * (0.6 if bayonet else 1.0)
        z = front - 0.75 * wide
        pile.stud(
            COUPLING if bayonet else HOUSING, (0.98 * inner * c, 0.98 * inner * s, z), (reach * c, reach * s, z), wide
        )


def _board(pile: Pile, rng: np.random.Generator, rim: float, widest: float) -> float:
    """What a receptacle on a board stands in: a tray with tags soldered down; returns where the board lies."""
    z = rim - rng.uniform(0.9, 1.7)
    turn = rng.uniform(0, 2 * np.pi)
    side = widest * rng.uniform(1.02, 1.25)
    part = HOUSING if rng.random() < 0.6 else SHELL
    pile.prism(part, side, z + rng.uniform(0.2, 0.6), z, 4, turn, 0.85 * widest)
    for i in range(int(rng.choice([3, 3, 4]))):
        a = turn + i * np.pi / 2
        c, s = side * np.cos(a), side * np.sin(a)
        pile.stud(BACK, (0.9 * c, 0.9 * s, z), (1.5 * c, 1.5 * s, z), rng.uniform(0.12, 0.3) * widest)
    return z


def _back(pile: Pile, rng: np.random.Generator, rim: float, widest: float) -> None:
    """What a port stands on: nut and washer, a flange, a block, a cable, or nothing in sight."""
    z = rim - rng.uniform(3.5, 14)
    kind = rng.random()
    turn = rng.uniform(0, 2 * np.pi)
    if kind < 0.35:
        washer = widest * rng.uniform(1.1, 1.8)
        pile.cone(BACK, 0.0, z - 2.5, washer, z - 2.5)
        pile.prism(BACK, widest * rng.uniform(1.02, 1.35), z, z - 2.5, 6, turn, widest * 0.8)
    elif kind < 0.5:
        pile.prism(BACK, widest * rng.uniform(1.05, 1.8), z, z - 2.0, 4, turn, widest * 0.7)
    elif kind < 0.65:
        pile.prism(BACK, widest * rng.uniform(1.0, 1.3), z, z - 12.0, 4, turn, widest * 0.6)
    elif kind < 0.8:
        pile.cone(BACK, widest * 0.9, z, widest * rng.uniform(0.6, 1.1), z - 12.0)


def nothing(rng: np.random.Generator) -> Variant:
    """A thing that is as round and no mating face: a screw, a rear end with solder and wire, a power jack, a cap,
    a face under tape."""
    pile = Pile()
    r = rng.uniform(2, 10)
    kind = str(rng.choice(["rear", "rear", "screw", "power", "cap", "hole", "ring", "tape"]))
    turn = rng.uniform(0, 2 * np.pi)
    if kind == "rear":
        _rear(pile, rng, r)
    elif kind == "screw":
        pile.cone(SHELL, 0.0, 0.0, r, 0.0) if rng.random() < 0.4 else pile.cone(SHELL, 0.0, 0.0, r, -0.5 * r)
        pile.cone(SHELL, r, 0.0, r, -r)
        if rng.random() < 0.5:
            pile.prism(CENTRE, r * 0.5, 0.01, -r * 0.5, 6, turn, r * 0.45)
        for i in range(int(rng.integers(0, 3))):
            a = turn + i * np.pi / 2
            c, s = 0.6 * r * np.cos(a), 0.6 * r * np.sin(a)
            pile.stud(BACK, (c, s, 0.0), (-c, -s, 0.0), 0.08 * r)
    elif kind == "power":
        hole = r * rng.uniform(0.5, 0.8)
        pile.cone(HOUSING, hole, 0.0, r, 0.0)
        pile.cone(HOUSING, hole, 0.0, hole, -9.0)
        pile.cone(HOUSING, 0.0, -9.0, hole, -9.0)
        pile.cone(CENTRE, hole * 0.2, rng.uniform(-4, -0.5), hole * 0.2, -9.0)
        pile.prism(HOUSING, r, 0.0, -10.0, 4, turn, r)
    elif kind == "cap":
        pile.cone(SHELL, 0.0, 0.0, r * 0.9, 0.0)
        pile.cone(SHELL, r * 0.9, 0.0, r, -0.4)
        pile.cone(SHELL, r, -0.4, r, -8.0)
    elif kind == "tape":  # a strip over a face: what lies under it is not seen
        pile.cone(SHELL, r * 0.9, 0.0, r, 0.0)
        pile.cone(SHELL, r, 0.0, r, -9.0)
        pile.prism(HOUSING, r * rng.uniform(1.02, 1.3), rng.uniform(0.05, 0.3), -0.1, 4, turn, 0.0)
    elif kind == "hole":
        pile.cone(BACK, r, 0.02, r * 1.15, 0.02)
    else:
        inner = r * rng.uniform(0.3, 0.8)
        pile.cone(SHELL, inner, 0.0, r, 0.0)
        pile.cone(SHELL, r, 0.0, r, -6.0)
        pile.cone(SHELL, inner, 0.0, inner, -8.0)
        pile.cone(BACK, 0.0, -8.0, inner, -8.0)
    return Variant(pile.done(), False, -1, -1, -1, 0.0, r, 0.0, 0.0, f"no-{kind}")


def _rear(pile: Pile, rng: np.random.Generator, r: float) -> None:
    """The cable's or the board's end of a port: a barrel with a stub, solder, strands or a crimp, no mating edge."""
    inner = r * rng.uniform(0.4, 0.85)
    pile.cone(SHELL, inner, 0.0, r, 0.0)
    pile.cone(SHELL, r, 0.0, r, -8.0)
    pile.cone(SHELL, inner, 0.0, inner, -rng.uniform(0.1, 6.0))
    depth = rng.uniform(-1.5, 0.5)
    pile.cone(PLASTIC, 0.0, depth, inner, depth)
    stub = r * rng.uniform(0.06, 0.2)
    high = rng.uniform(0.5, 6.0)
    pile.stud(CENTRE, (0.0, 0.0, depth - 1.0), (rng.normal(0, 0.1) * r, rng.normal(0, 0.1) * r, depth + high), stub)
    if rng.random() < 0.6:  # solder: lumps about the stub
        for _ in range(int(rng.integers(1, 6))):
            x, y = rng.normal(0, 0.12, 2)
            z = depth + rng.uniform(0, high)
            pile.stud(
                BACK, (x * r, y * r, z), (x * r + 0.01, y * r, z + rng.uniform(0, 0.5)), r * rng.uniform(0.08, 0.25)
            )
    if rng.random() < 0.5:  # a wire, or strands
        away = rng.normal(0, 1, 2)
        for _ in range(int(rng.choice([1, 1, 5, 9]))):
            x, y = rng.normal(0, 0.06, 2) * r
            end = (away + rng.normal(0, 0.15, 2)) * r
            pile.stud(
                CENTRE,
                (x, y, depth + high),
                (float(end[0]), float(end[1]), depth + high + rng.uniform(0, 12)),
                stub * 0.5,
            )
    if rng.random() < 0.4:  # tags or legs of a part for a board
        for i in range(4):
            a = np.pi / 4 + i * np.pi / 2
            c, s = 1.1 * r * np.cos(a), 1.1 * r * np.sin(a)
            pile.stud(SHELL, (c, s, -1.0), (c, s, rng.uniform(2, 4)), 0.12 * r)
        pile.prism(SHELL, 1.3 * r, 0.0, -2.0, 4, 0.0, r)
