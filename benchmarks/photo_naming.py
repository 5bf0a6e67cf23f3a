"""A port named with a photograph beside a bank card and without: looks and seconds saved, and how often wrong at 0.9.

The same seeded people with the same parts, with their eyes alone and with a calliper at hand. With the photograph its
width is told first: the true width over the coupling and the error of one photograph of the drawn scenes
(`photo_scene`, no renderer that anything was set or trained on), doubled for photographs unlike those, as far off as
the program counts it (`width.UNLIKE`: chosen on other people, seeds 991,001 to 991,010). The reading is switched
off in the program, so it tells nothing here. The time of the photograph itself is not counted.
Run: python -m benchmarks.photo_naming (the photographs), then python -m benchmarks.study photo_naming
"""

from __future__ import annotations

import json
from functools import cache
from typing import NamedTuple

import numpy as np

from benchmarks.photo_scene import scene
from benchmarks.photo_width import MARKED, widths
from benchmarks.study import RESULTS, Study, Tally, dated
from coaxtell.identifier.answers import BY_PHOTOGRAPH, Read
from coaxtell.identifier.features import Feature
from coaxtell.identifier.identification import SURE, Settled
from coaxtell.identifier.instruments import NONE, SMALLEST
from coaxtell.photo import card as cards
from coaxtell.photo.width import LEVEL, UNKNOWN, UNLIKE, measure
from tests.identifier.crowd import KINDS, Crowd, parts, people_of, said_by
from tests.identifier.kit import shortlist

FILE = RESULTS / "photo_errors.json"
SCENES, FIRST = 120, 90_000
"""Photographs drawn, and the seed of the first: none of those that anything was set or reported on before."""
DOUBLED = 2.0
MEANS = (NONE, "calliper")


class Shot(NamedTuple):
    """How far off the width of one photograph is, and how far it says it may be [mm]."""

    error: float
    plus_minus: float


def shots() -> list[Shot]:
    """The photographs of the drawn scenes that gave a width, half of them with the face off the card's plane."""
    found = []
    for seed in range(FIRST, FIRST + SCENES):
        off = seed % 2 == 1
        drawn = scene(seed, 2048, 1536, widths(), off)
        rng = np.random.default_rng(seed)
        grey = cards.grey_of(drawn.picture)
        card = cards.fitted(grey, drawn.corners + rng.normal(0, 3.0, (4, 2)))
        if card is None:
            continue
        centre = drawn.centre + rng.normal(0, MARKED * drawn.radius, 2)
        width = measure(grey, card, centre, drawn.radius, UNKNOWN if off else LEVEL)
        if width is not None:
            found.append(Shot(round(width.mm - drawn.width_mm, 4), round(width.plus_minus, 4)))
    return found


@cache
def kept_shots() -> list[Shot]:
    """The photographs that were kept."""
    return [Shot(*row) for row in json.loads(FILE.read_text(encoding="utf-8"))["shots"]]


@cache
def crowd(instrument: str) -> Crowd:
    return Crowd(shortlist("uhf-reader"), instrument)


def play(block: int, size: int) -> dict[str, Tally]:
    """Looks, seconds, right, settled and wrong at 0.9 of so many people of each kind, with the photograph and without.

    Ports without a width over the coupling are left out: of those a photograph tells no such width.
    """
    found: dict[str, Tally] = {}
    known = shortlist("uhf-reader")
    for instrument in MEANS:
        for kind in KINDS:
            for half, seed in people_of(kind, 1000 * STUDY.seed + block, size, known):
                rng = np.random.default_rng([seed, 3])
                true = parts(known.ids[half])[0].get(Feature.COUPLING_DIAMETER)
                if not isinstance(true, float):
                    continue
                shot = kept_shots()[int(rng.integers(len(kept_shots())))]
                mm = round(true + DOUBLED * shot.error, 2)
                # a width that no port has is seen to be none, and the photograph tells nothing
                read = Read(mm, UNLIKE * shot.plus_minus, BY_PHOTOGRAPH)
                told = {Feature.COUPLING_DIAMETER: read} if mm >= SMALLEST else {}
                wrong = {}
                for label, before in (("without", {}), ("with", told)):
                    met = crowd(instrument).meet(said_by(kind, seed, known.halves[half], known), half, before)
                    wrong[label] = met.stated >= SURE and not met.right
                    figures = {
                        "looks": met.asked, "seconds": met.seconds, "right": met.right,
                        "settled": met.state is Settled.SETTLED, "wrong at 0.9": wrong[label],
                    }  # fmt: skip
                    for what, value in figures.items():
                        name = f"{instrument}, {kind}, {label}, {what}"
                        found[name] = found.get(name, Tally(0, 0)).plus(Tally(float(value), 1))
                for only, other in (("with", "without"), ("without", "with")):
                    name = f"{instrument}, wrong at 0.9 only {only}"
                    count = Tally(float(wrong[only] and not wrong[other]), 1)
                    found[name] = found.get(name, Tally(0, 0)).plus(count)
    return found


STUDY = Study(
    name="photo_naming",
    about="A port named with a photograph and without: looks, seconds, right, settled, wrong at 0.9, by kind of person",
    rooms=("models", "identifier"),
    seed=28,
    blocks=25,
    play=play,
    size=200,
    sample=3,
)

if __name__ == "__main__":
    held = shots()
    FILE.write_text(
        json.dumps(dated({"first": FIRST, "scenes": SCENES, "shots": held}), indent=1) + "\n", encoding="utf-8"
    )
    print(f"{len(held)} of {SCENES} photographs gave a width")
