"""How long asking takes and what comes of it: five models of mistakes, settings and means at hand.

For each: share right, seconds, share settled, settled by eye alone, settled and wrong, wrong at 0.9 or more. Run:
python -m benchmarks.study identifier_asking
"""

from __future__ import annotations

from functools import cache

from benchmarks.study import Study, Tally
from coaxtell.identifier.identification import SURE, Settled
from coaxtell.identifier.instruments import NONE
from tests.identifier.crowd import KINDS, Crowd, people_of, said_by
from tests.identifier.kit import shortlist

CELLS = (("uhf-reader", "calliper"), ("any", "calliper"), ("uhf-reader", NONE))


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
