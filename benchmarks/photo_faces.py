"""Faces drawn by the program's own raster renderer, on which no reading was ever trained, as a folder to be scored.

Beside the faces one picture in six is of a rear end and one in ten has none: screw heads, washers, plates. A look is
labelled only where the pose and the pixels leave it to be seen; a file's name ends in how wide its face was drawn [px].
Run: python -m benchmarks.photo_faces FOLDER [--pictures N], then coaxtell photo --evaluate FOLDER --weights FILE.onnx
or python -m benchmarks.photo_reading FOLDER FILE.onnx
"""

from __future__ import annotations

import argparse
import csv
import math
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from coaxtell.identifier import features
from coaxtell.identifier.draws import Nominal
from coaxtell.models import tables
from coaxtell.models.half import Half
from coaxtell.models.reverse import reverse
from coaxtell.models.solids.camera import camera_at
from coaxtell.models.solids.display import Display
from coaxtell.models.solids.turntable import Pose, Turntable
from coaxtell.photo.reading import CLASSES
from coaxtell.photo.scoring import COLUMNS, LABELS

SIDE = 160
"""What a face of the whole picture's share would fill [px]."""
ROOM = 3
"""How much larger the picture is, so that the whole half lies in it."""
SIZES = (48, 64, 96, 128, 160)
"""To which of these SIDE is reduced before it is enlarged again [px]."""
SHOWN_FROM, READABLE_TO, READABLE_PX = 15.0, 40.0, 64
"""The flank is seen from so much tilt on, centre and plastic up to so much [degrees], and from so many pixels on."""


def halves() -> list[Half]:
    """Halves of the tables with a pin or a socket, and those with both changed, so that no family tells the centre."""
    held = list(tables.load().halves.values())
    pairs: dict[str, dict[str, Half]] = {}
    for half in held:
        pairs.setdefault(half.family, {})[half.gender] = half
    turned: list[Half] = []
    for family, both in pairs.items():
        plug, jack = both.get("plug"), both.get("jack")
        if plug is None or jack is None or plug.polarity != "standard":
            continue
        if plug.centre.pin is not None and jack.centre.socket is not None:
            turned += reverse(plug, jack, f"x-{family}", family)
    return [half for half in (*held, *turned) if half.centre.butt is None and half.housing is None]


def radius(half: Half) -> float:
    """The largest radius about the face [mm]."""
    body = half.nut.body if half.nut is not None else half.shell
    return max([part.d.nominal for part in body.outside[:2] if part.d is not None] + [3.0]) / 2


def ground_of(rng: np.random.Generator) -> Any:
    """A blotched ground (ROOM * SIDE, ROOM * SIDE, 3)."""
    side = ROOM * SIDE
    ground = np.full((side, side, 3), rng.integers(20, 235, 3), dtype=np.float64)
    return ground + cv2.resize(rng.normal(0, 12, (12, 12, 3)), (side, side))


def nothing(rng: np.random.Generator) -> tuple[Any, dict[str, object], int]:
    """A picture without a port: a screw head, a washer or a plate where the mark lies."""
    light, middle = np.ascontiguousarray(ground_of(rng)), ROOM * SIDE // 2
    reach = int(rng.uniform(0.35, 0.9) * SIDE / 2)
    grey = [float(rng.uniform(60, 230))] * 3
    kind = int(rng.integers(3))
    if kind == 2:
        cv2.rectangle(light, (middle - reach, middle - reach), (middle + reach, middle + reach), grey, -1)
    else:
        cv2.circle(light, (middle, middle), reach, grey, -1, cv2.LINE_AA)
    if kind == 0:  # a cross slot
        for way in ((1, 0), (0, 1)):
            far = (int(0.6 * reach * way[0]), int(0.6 * reach * way[1]))
            near, end = (middle - far[0], middle - far[1]), (middle + far[0], middle + far[1])
            cv2.line(light, near, end, [40.0] * 3, max(2, reach // 6), cv2.LINE_AA)
    if kind == 1:
        cv2.circle(light, (middle, middle), reach // 2, [30.0] * 3, -1, cv2.LINE_AA)
    side = int(rng.choice(SIZES))
    line = {"cx": middle, "cy": middle, "r": reach, "coupling": "?", "centre": "?", "plastic": "?", "kind": "none"}
    return taken(light, side, rng), line, round(2 * reach * side / SIDE)


def taken(light: Any, side: int, rng: np.random.Generator) -> Any:
    """What a camera makes of it at so few pixels, enlarged again: noise and JPEG."""
    small = cv2.resize(light.clip(0, 255), (ROOM * side, ROOM * side), interpolation=cv2.INTER_AREA)
    noisy = (small + rng.normal(0, rng.uniform(0, 5), small.shape)).clip(0, 255).astype(np.uint8)
    _, packed = cv2.imencode(".jpg", noisy[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(60, 96))])
    whole = np.asarray(cv2.imdecode(packed, cv2.IMREAD_COLOR))
    return cv2.resize(whole, (ROOM * SIDE, ROOM * SIDE), interpolation=cv2.INTER_CUBIC)


def drawn(
    table: Turntable, half: Half, rng: np.random.Generator, rear: bool = False
) -> tuple[Any, dict[str, object], int]:
    """A picture of the face, or of the rear end, on a blotched ground, its line of labels without the file's name,
    and how wide the face is drawn [px]."""
    turn, lift = rng.uniform(-45, 45) + 180 * rear, rng.uniform(-35, 35)
    share = rng.uniform(0.35, 0.9)
    shown, scale = Display(half), share * SIDE / 2 / radius(half)
    shot = table.quick(shown, Pose(turn, lift, ROOM * SIDE, scale))
    eye = camera_at(turn, lift)
    face = np.array([0.0, 0.0, half.shell.rim.nominal]) - shown.middle(shown.pieces())
    x, y = (float(ROOM * SIDE / 2 + scale * face @ way) for way in (eye.right, -eye.up))
    ground = ground_of(rng)
    cover = shot[..., 3:] / 255.0
    light = (shot[..., :3] * cover + ground * (1 - cover)) * rng.uniform(0.6, 1.15) * (1 + rng.normal(0, 0.06, 3))
    side = int(rng.choice(SIZES))
    picture = taken(light, side, rng)
    tilt = math.degrees(math.acos(math.cos(math.radians(turn)) * math.cos(math.radians(lift))))
    readable = tilt < READABLE_TO and side >= READABLE_PX
    labels = {
        "coupling": features.coupling(half) if tilt > SHOWN_FROM and side * share >= 20 else "?",
        "centre": features.centre(half) if readable else "?",
        "plastic": features.plastic(half, Nominal())[0] if readable else "?",
    }
    for name, value in labels.items():
        labels[name] = value if value in CLASSES[name] and not rear else "?"
    where = {"cx": round(x, 1), "cy": round(y, 1), "r": round(SIDE * share / 2, 1)}
    return picture, {**where, **labels, "kind": "trap" if rear else "face"}, round(side * share)


def main() -> None:
    """Draw a folder of labelled pictures."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.photo_faces", description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--pictures", type=int, default=600)
    parser.add_argument("--seed", type=int, default=77)
    args = parser.parse_args()
    args.folder.mkdir(parents=True, exist_ok=True)
    rng = np.random.default_rng(args.seed)
    by_coupling: dict[str, list[Half]] = {}
    for half in halves():
        by_coupling.setdefault(features.coupling(half), []).append(half)
    names = sorted(by_coupling)
    table = Turntable()
    with (args.folder / LABELS).open("w", encoding="utf-8", newline="") as out:
        lines = csv.DictWriter(out, COLUMNS)
        lines.writeheader()
        for i in range(args.pictures):
            one_coupling = by_coupling[names[(i + i // len(names)) % len(names)]]
            half = one_coupling[int(rng.integers(len(one_coupling)))]
            picture, line, px = nothing(rng) if i % 10 == 9 else drawn(table, half, rng, rear=i % 6 == 5)
            name = f"{i:04}-{px}px.png"
            cv2.imwrite(str(args.folder / name), picture)
            lines.writerow({"file": name, **line})
    table.close()


if __name__ == "__main__":
    main()
