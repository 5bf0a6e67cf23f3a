"""Make the stored crops and what the stored weights read on them: crops.webp, crops.json.

Run: python -m benchmarks.photo_faces FOLDER --pictures 720 --seed 78, then python -m assets.photo.make FOLDER (needs
the extra `coaxtell[photo]`). The weights are those of the second training run, of which docs/photo.md has the figures;
they missed what was asked, no command names a port by them, and no package of coaxtell holds them: they lie here so
that those figures can be repeated.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np
from PIL import Image

from benchmarks.photo_reading import mark
from coaxtell.photo import file, scoring
from coaxtell.photo.reading import CLASSES, SIDE, Reader, crop

HERE = Path(__file__).parent
WEIGHTS, CROPS, TOLD = HERE / "reading.onnx", HERE / "crops.webp", HERE / "crops.json"
EACH, ACROSS = 13, 8
"""So manieth pictures are kept, rear ends and pictures without a port among them, so many of them side by side."""


def stored() -> list[np.ndarray[tuple[int, ...], np.dtype[np.uint8]]]:
    """The stored crops (SIDE, SIDE, 3), in their order."""
    whole = np.asarray(Image.open(CROPS).convert("RGB"))
    down = whole.shape[0] // SIDE
    return [whole[y * SIDE : (y + 1) * SIDE, x * SIDE : (x + 1) * SIDE] for y in range(down) for x in range(ACROSS)]


def main() -> None:
    """Cut, store, and read what was stored."""
    folder = Path(sys.argv[1])
    path = folder / scoring.LABELS
    places = scoring.labels(str(path), path.read_text(encoding="utf-8"))[::EACH]
    cut = [crop(file.load(folder / one.file).picture, np.array(one.centre), one.radius) for one in places]
    rows = [np.hstack(cut[at : at + ACROSS]) for at in range(0, len(cut), ACROSS)]
    Image.fromarray(np.vstack(rows)).save(CROPS, lossless=True, method=6)
    told = []
    for place, reading in zip(places, Reader(WEIGHTS).read(np.array(stored())), strict=True):
        looks = {look: [reading.looks[look].value, round(reading.looks[look].chance, 4), reading.looks[look].readable]
                 for look in CLASSES}  # fmt: skip
        told.append({"kind": place.kind, "labels": place.looks, "face": round(reading.face, 4), "read": looks})
    lines = ",\n".join(json.dumps(one) for one in told)
    TOLD.write_text(f'{{"weights": "{mark(WEIGHTS)}", "crops": [\n{lines}\n]}}\n', encoding="utf-8")


if __name__ == "__main__":
    main()
