"""The reading of a face: coupling, centre and plastic by a small network, each with its chance, or not read at all.

No weights come with the program: those trained so far missed what was asked of them (docs/photo.md). This reads with
weights that somebody trained by `python -m coaxtell.photo.training`, so that they can be scored on real photographs.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import cv2
import numpy as np
import numpy.typing as npt

from coaxtell.models.errors import RefusedError
from coaxtell.photo.card import Array

SIDE = 128
"""Side of the picture that the network reads [px]."""
HEADS = {
    "coupling": 6, "centre": 2, "plastic": 4, "face": 1, "coupling_visible": 1, "centre_readable": 1,
    "plastic_readable": 1, "circle": 3,
}  # fmt: skip
"""Outputs of the network by name and number, in order."""
CLASSES: dict[str, tuple[str, ...]] = {
    "coupling": ("thread-outside", "thread-inside", "lugs", "bayonet-sleeve", "smooth", "sleeve"),
    "centre": ("pin", "socket"),
    "plastic": ("level", "sunk", "deep", "tube"),
}
"""What each look may be read as."""
GATES = {"coupling": "coupling_visible", "centre": "centre_readable", "plastic": "plastic_readable"}
"""The output that says whether a look can be read at all."""
SURE = 0.8
"""From this chance on a reading counts as sure."""
ROUND = 1.4
"""Half the side of what is cut out, in radii of the marked face."""


class Look(NamedTuple):
    """One look as read: the likeliest value, its chance, and whether it can be read at all."""

    value: str
    chance: float
    readable: bool

    @property
    def sure(self) -> bool:
        """Whether it counts as sure."""
        return self.readable and self.chance >= SURE


class Reading(NamedTuple):
    """What was read: the chance that this is a mating face, and each look by its name."""

    face: float
    looks: dict[str, Look]


def columns() -> dict[str, slice]:
    """Where each head's outputs stand."""
    found, at = {}, 0
    for name, count in HEADS.items():
        found[name] = slice(at, at + count)
        at += count
    return found


def crop(picture: npt.NDArray[np.uint8], centre: Array, radius: float) -> npt.NDArray[np.uint8]:
    """The marked face with a little round it (SIDE, SIDE, 3); beyond the picture its border goes on."""
    scale = SIDE / (2 * ROUND * radius)
    soft = cv2.GaussianBlur(picture, (0, 0), 0.4 / scale) if scale < 1 else picture
    x, y = (SIDE - 1) / 2 - scale * np.asarray(centre, dtype=np.float64)
    there = np.array([[scale, 0.0, x], [0.0, scale, y]])
    cut = cv2.warpAffine(soft, there, (SIDE, SIDE), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(cut, dtype=np.uint8)


class Reader:
    """A network's weights, read from an ONNX file."""

    def __init__(self, weights: Path) -> None:
        """Load them. Raises InputError where the package or the file is missing, or the file is no such network."""
        try:
            import onnxruntime
        except ImportError:  # missing, or installed and broken
            raise RefusedError("photo.no_reader") from None
        if not weights.is_file():
            raise RefusedError("photo.no_weights", path=str(weights))
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = 2
        options.log_severity_level = 4  # what is wrong with a file is said by us
        try:
            self._session: Any = onnxruntime.InferenceSession(str(weights), options, ["CPUExecutionProvider"])
            inputs, outputs = self._session.get_inputs(), self._session.get_outputs()
            wanted = (1, [3, SIDE, SIDE], 1, sum(HEADS.values()))
            held = (len(inputs), list(inputs[0].shape[1:]), len(outputs), outputs[0].shape[-1])
        except Exception:  # the package has a family of errors of its own, without a common public base
            raise RefusedError("photo.bad_weights", path=str(weights)) from None
        if held != wanted:
            raise RefusedError("photo.bad_weights", path=str(weights))
        self._name = inputs[0].name

    def read(self, crops: npt.NDArray[np.uint8]) -> list[Reading]:
        """What each cut-out face (n, SIDE, SIDE, 3) shows."""
        x = crops.astype(np.float32).transpose(0, 3, 1, 2) / 255
        at, found = columns(), []
        for row in self._session.run(None, {self._name: x})[0]:
            looks = {}
            for name, values in CLASSES.items():
                chances = np.exp(row[at[name]] - row[at[name]].max())
                chances /= chances.sum()
                best = int(chances.argmax())
                looks[name] = Look(values[best], float(chances[best]), bool(row[at[GATES[name]]][0] > 0))
            found.append(Reading(float(1 / (1 + np.exp(-row[at["face"]][0]))), looks))
        return found
