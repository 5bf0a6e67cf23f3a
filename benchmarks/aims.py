"""What each kept figure is to reach, file by file. Of one that no aim names nothing is asked: it is there to be read.

Walls of clocks are asked nothing of, since they tell as much of what else runs; work of the processor is.
"""

from __future__ import annotations

from fnmatch import fnmatchcase
from typing import NamedTuple

from coaxtell.quiz.assessment import UNTIL_DAYS


class Aim(NamedTuple):
    """What the figures of one name, or of names by a pattern of the shell, are to reach."""

    figures: str
    least: float = float("-inf")
    most: float = float("inf")

    @property
    def words(self) -> str:
        """What is asked, such as `at most 0.05`."""
        if self.least == self.most:
            return f"{self.least:g}"
        bounds = (("at least", self.least, float("-inf")), ("at most", self.most, float("inf")))
        return " and ".join(f"{word} {bound:g}" for word, bound, none in bounds if bound != none)

    def reached(self, value: float) -> bool:
        """Whether a figure is as it is to be."""
        return self.least <= value <= self.most


def _all(figures: str, value: float) -> Aim:
    return Aim(figures, value, value)


AIMS: dict[str, tuple[Aim, ...]] = {
    "arrival": (
        Aim("wide, all: length within 2 % or 5 cm", 0.95), Aim("wide, all: cut of * named", 0.95),
        Aim("wide, all: wrong class named, where it can be told", 0.95), Aim("wide, all: false alarm", most=0.02),
        Aim("wide, all: fault told within 10 cm", 0.95),
    ),
    "cold_start": (Aim("coaxtell *", most=4),),
    "damaged_records": (_all("*fault", 0),),
    "demonstration": (_all("status", 0), _all("faults", 0)),
    "fuzz": (
        _all("*fault", 0), _all("blocks over 1 GB", 0), _all("blocks that ended before their time", 0),
        Aim("most memory of a block, MB", most=1000),
    ),
    "gauge_range": (Aim("as stated, parts held", 0.92, 0.98),),
    "identifier_calibration": (
        Aim("own, *, stated beyond the interval of right", -0.02, 0.02),
        Aim("*, stated beyond the interval of right", most=0.04),
    ),
    "identifier_unknown": (
        Aim("chosen, settled and wrong", most=0.15), Aim("chosen, in table, settled", 0.84),
        Aim("chosen, harm or no contact", most=0.01),
    ),
    "identify_batch": (Aim("clashing_work_s", most=20), Aim("*_work_s", most=10)),
    "many_halves": (Aim("many_first_question_ms", most=50),),
    "photo_naming": (Aim("*, wrong at 0.9, more with than without", most=0),),
    "photo_reading": (
        Aim("looks, coupling, lines, *, right", 0.95), Aim("looks, centre, lines, *, right", 0.95),
        Aim("looks, plastic, lines, *, right", 0.93), Aim("*, calibration_error", most=0.05),
        Aim("*, coverage_at_95_right", 0.7), Aim("called_faces, trap, share", most=0.1),
        Aim("called_faces, none, share", most=1 / 30), Aim("processor_ms_a_face", most=500),
    ),
    "photo_width": (
        Aim("*, within its plus-minus", 0.9), Aim("level, within 0.15 mm", 0.5), Aim("off plane, within 0.35 mm", 0.5),
    ),
    "pocket_cuts": (_all("p*", 1),),
    "pocket_jobs": (_all("jobs *", 1), _all("views without a fault", 1)),
    "pocket_speed": (
        _all("acknowledged within 50 ms", 1), Aim("answered within 150 ms", 0.95), _all("answered within 250 ms", 1),
        Aim("six times the processor's time within 150 ms", 0.95),
        _all("six times the processor's time within 250 ms", 1), _all("first paint within 1000 ms", 1),
        _all("usable within 1500 ms", 1), Aim("index_bytes", most=100_000),
    ),
    "pocket_traces": (_all("states alike", 1),),
    "quiz_attackers": (Aim("*, right, more than chance", most=0.05),),
    "quiz_expiry": (Aim(f"*, {UNTIL_DAYS} days, below", most=0.1),),
    "quiz_kill": (_all("lost", 0), _all("faults", 0)),
    "quiz_one_right": (_all("*, one right", 1),),
    "quiz_practice": (Aim("program, *, fewer than random", 0),),
    "quiz_readiness": (Aim("*, brier over base", most=0.6),),
    "quiz_shown": (_all("*disagreements", 0),),
    "quiz_writers": (Aim("longest_s", most=1), _all("lost", 0), _all("faults", 0)),
    "true_world": (Aim("*, told less holds", most=0.03),),
    "window_events": (_all("*[a-z][a-z]*", 1),),
    "window_jobs": (_all("done, *", 1),),
}  # fmt: skip

QUICK_MS = {
    "one mating": 300.0, "how sure a mating is": 300.0, "first question": 20.0, "question after two looks": 20.0,
}  # fmt: skip
"""What is worked out anew with the page is to take at most [ms of the processor]."""
NOTES = {
    "identify_batch": "10,000 rows in 10 s: work of the processor, where rows clash of two cores; walls as they were",
    "photo_reading": "a look that misses is switched off in the program: no reading is shipped",
    "photo_naming": "5,000 people each; with a calliper 148 of 25,000 are wrong only with it, 142 only without: chance",
}
"""What is to be known beside the figures of a file."""


def aim(name: str, figure: str) -> Aim | None:
    """What a figure of a file is to reach: the first aim that names it; none where nothing is asked of it."""
    return next((one for one in AIMS.get(name, ()) if fnmatchcase(figure, one.figures)), None)
