"""Sweeps as network analysers write them: Touchstone files, read with scikit-rf."""

from __future__ import annotations

import warnings
from pathlib import Path
from typing import Any

import numpy as np

from coaxtell import files
from coaxtell.cables.arrival.sweep import FarEnd, Sweep
from coaxtell.models.errors import InputError

SUFFIXES = (".s1p", ".s2p")
_NUMBERS = {".s1p": 3, ".s2p": 9}
"""Numbers a row, by the kind of file: the frequency, and two for each parameter."""
_TEXT = ("utf-8-sig", "replace")
"""How a file is read: some begin with a mark of order, and a degree sign in a comment may be of another alphabet."""
MOST_BYTES = 8_000_000
"""A file of this many bytes holds more points than an analyser sweeps, and is read in less than 1 GB."""
_NOISE = 5
"""Numbers a row of noise."""
_NOTHING_PASSES = 1e-3
"""Less than this passing from port to port [of the amplitude] is no cable between them."""


def read(path: Path, far: FarEnd | None, ohm: float = 50.0) -> Sweep:
    """The sweep in a file; `far` is what stood at the far end, by default the second port of an .s2p.

    Raises InputError where the file or scikit-rf is missing, or it is damaged, of another impedance or port count.
    """
    if path.suffix.lower() not in SUFFIXES:
        raise InputError(f"{path}: is no .s1p or .s2p file; save the sweep in the Touchstone format.")
    if not path.is_file():
        raise InputError(f"{path}: there is no such file; check its name.")
    if path.stat().st_size > MOST_BYTES:
        raise InputError(f"{path.name}: is larger than {MOST_BYTES // 10**6} MB; sweep with fewer points.")
    _rows_whole(path)
    network = _network(path)
    ports = network.nports
    if ports not in (1, 2) or path.suffix.lower() != f".s{ports}p":
        raise InputError(f"{path.name}: holds {ports} ports, not what its name says; save it again.")
    if np.abs(network.z0 - ohm).max() > 0.5:
        other = f"{network.z0.flat[0].real:g}"
        raise InputError(
            f"{path.name}: was measured in {other} ohm, the cable has {ohm:g}; measure again in {ohm:g} ohm."
        )
    if far is None:
        if ports == 1:
            raise InputError(
                f"{path.name}: has one port; say what stood at the far end: --far-end open, short or load."
            )
        far = FarEnd.PORT
    if far is FarEnd.PORT and ports == 1:
        raise InputError(f"{path.name}: has one port, so no second one stood at the far end; say open, short or load.")
    s: Any = network.s
    if far is not FarEnd.PORT:
        return Sweep(path.name, network.f, s[:, 0, 0], far)
    if np.median(np.abs(s[:, 1, 0])) < _NOTHING_PASSES:
        raise InputError(
            f"{path.name}: nothing passes from port to port; join both ends or give --far-end, else the cable is "
            "broken."
        )
    return Sweep(path.name, network.f, s[:, 0, 0], far, s[:, 1, 0], s[:, 1, 1])


def _rows_whole(path: Path) -> None:
    """Refuse a file without an option line, of another port count than its name says, or with a row cut short.

    The reader takes frequencies without a unit as GHz, and leaves out what is missing of a row without a word.
    """
    lines = [line.partition("!")[0].split() for line in files.read_text(path, *_TEXT).splitlines()]
    if any(words and words[0].startswith("[") for words in lines):
        return  # the format's second version says its port count itself
    rows = [(number, words) for number, words in enumerate(lines, start=1) if words and not words[0].startswith("#")]
    if rows and not any(words and words[0].startswith("#") for words in lines):
        raise InputError(
            f"{path.name}: has no option line such as # MHz S RI R 50, so its frequencies have no unit; save it again."
        )
    held = next((kind for kind, count in _NUMBERS.items() if rows and count == len(rows[0][1])), None)
    if held is not None and held != path.suffix.lower():
        ports = "one port" if held == ".s1p" else "two ports"
        raise InputError(f"{path.name}: holds the rows of {ports}, not what its name says; save it again as {held}.")
    needed = _NUMBERS[path.suffix.lower()]
    for number, words in rows:
        # after a two-port's own rows five numbers a row may tell its noise
        if len(words) != needed and not (needed == _NUMBERS[".s2p"] and len(words) == _NOISE):
            raise InputError(
                f"{path.name}: is damaged, line {number} holds {len(words)} of {needed} numbers; save the sweep again."
            )


def _network(path: Path) -> Any:
    try:
        import skrf
    except ImportError:
        raise InputError("Sweeps are read with scikit-rf; install it: pip install 'coaxtell[arrival]'.") from None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            # opened here, so that the reader leaves none open where it trips
            with path.open("r", -1, *_TEXT) as handle:
                network = skrf.Network(handle)
    except Exception:  # the reader raises whatever its parsing trips over
        raise InputError(f"{path.name}: is damaged or no Touchstone file; save the sweep again.") from None
    if network.f is None or not len(network.f):
        raise InputError(f"{path.name}: holds no points; save the sweep again.")
    return network
