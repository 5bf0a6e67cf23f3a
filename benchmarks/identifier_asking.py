"""How long asking takes and what comes of it: five models of mistakes, settings and means at hand.

For each: share right, seconds, share settled, settled by eye alone, settled and wrong, wrong at 0.9 or more. Run:
python -m benchmarks.study identifier_asking
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from benchmarks.study import Study, Tally
from coaxtell.identifier.identification import SURE, Settled
from coaxtell.identifier.instruments import NONE
from tests.identifier.crowd import KINDS, Crowd, people_of, said_by
from tests.identifier.kit import shortlist

SETTINGS = ("uhf-reader", "any", "wifi", "cellular", "video", "bench")
CELLS = (*((setting, "calliper") for setting in SETTINGS), ("uhf-reader", NONE))


@cache
def crowd(setting: str, instrument: str) -> Crowd:
    return Crowd(shortlist(setting), instrument)


def play(block: int, size: int) -> dict[str, Tally]:
    """What comes of so many people of each model in each cell."""
    found: dict[str, Tally] = {}
    for setting, instrument in CELLS:
        known = shortlist(setting)
        for kind in KINDS:
            for half, seed in people_of(kind, 1000 * STUDY.seed + block, size, known):
                met = crowd(setting, instrument).meet(said_by(kind, seed, known.halves[half], known), half)
                settled = met.state is Settled.SETTLED
                figures = {
                    "right": met.right, "seconds": met.seconds, "settled": settled,
                    "order fits all": met.state is Settled.FITS_ALL, "settled by eye": settled and met.by_eye,
                    "settled and wrong": settled and not met.right,
                    "wrong at 0.9": met.stated >= SURE and not met.right,
                }  # fmt: skip
                for what, value in figures.items():
                    label = f"{setting}, {instrument}, {kind}, {what}"
                    found[label] = found.get(label, Tally(0, 0)).plus(Tally(float(value), 1))
    return found


def row(figures: Mapping[str, Tally], setting: str) -> str:
    """A row of the table on `docs/naming.md`: with a calliper, from the best to the worst of the five models."""

    def spread(what: str, scale: float, form: str) -> str:
        means = sorted(scale * figures[f"{setting}, calliper, {kind}, {what}"].mean for kind in KINDS)
        return f"{means[0]:{form}} to {means[-1]:{form}}"

    shares = [spread(what, 100, form) for what, form in (("settled", ".0f"), ("right", ".1f"), ("wrong at 0.9", ".1f"))]
    return " | ".join([f"| {setting}", spread("seconds", 1, ".0f"), *(f"{share} %" for share in shares)]) + " |"


STUDY = Study(
    name="identifier_asking",
    about="Seconds, share right, settled, settled by eye and wrong, by setting, means at hand and model of mistakes",
    rooms=("models", "identifier"),
    seed=5,
    blocks=40,
    play=play,
    size=200,
    sample=20,
)
